"""Frames that break one rule, written as what differs from a sound frame.

All addresses are those for documentation (RFC 5737 3, RFC 7042 2.1.2). The sums of a changed frame
are set anew, so that an example breaks its own rule and not a checksum as well.
"""

from __future__ import annotations

from framecheck.core.finding import Example
from framecheck.core.span import Range
from framecheck.core.sums import checksum, pseudo_header

ARP = bytes.fromhex(
    "ffffffffffff00005e0053010806"
    "0001080006040001"
    "00005e005301c0000201000000000000c0000202" + "00" * 18
)
"""An ARP request, padded to 60 octets."""
ARP_REPLY = bytes.fromhex(
    "00005e00530100005e0053020806"
    "0001080006040002"
    "00005e005302c000020200005e005301c0000201" + "00" * 18
)
"""Its answer."""
ICMP = bytes.fromhex(
    "00005e00530200005e0053010800"
    "4500003c123400004001e489c0000201c0000202"
    "0800f3c812340001"
    "101112131415161718191a1b1c1d1e1f202122232425262728292a2b2c2d2e2f"
)
"""An echo request with 32 octets of data."""
UDP = bytes.fromhex(
    "00005e00530200005e0053010800"
    "45000021123400004011e494c0000201c0000202"
    "13881389000d10ed"
    "68656c6c6f" + "00" * 13
)
"""A datagram that says hello, padded to 60 octets."""
TCP = bytes.fromhex(
    "00005e00530200005e0053010800"
    "4500003c123440004006a484c0000201c0000202"
    "c00000500102030400000000a002faf004b40000"
    "020405b40402080a000000010000000001030307"
)
"""A SYN with the options that common hosts send."""


def _dhcp(ends: str, ports: str, start: str, addresses: str, options: str) -> bytes:
    fixed = f"{start}{addresses}00005e005301" + "00" * 10 + "00" * 192 + "63825363"
    message = bytes.fromhex(fixed + options).ljust(300, b"\0")
    frame = bytes.fromhex(ends[:24] + "0800450001481234000040110000" + ends[24:])
    return resummed(frame + bytes.fromhex(f"{ports}01340000") + message)


def resummed(frame: bytes) -> bytes:
    """The frame with its IPv4 header checksum and its transport checksum set to the right values.

    Only for Ethernet with type 0800 and a header whose lengths can be; else the frame as it is.
    """
    if frame[12:14] != b"\x08\x00" or len(frame) < 34:
        return frame
    octets = bytearray(frame)
    header = 14 + (octets[14] & 15) * 4
    stop = 14 + int.from_bytes(octets[16:18], "big")
    octets[24:26] = bytes(2)
    octets[24:26] = checksum(bytes(octets[14:header])).to_bytes(2, "big")
    if octets[23] == 17:  # UDP says itself how long it is
        stop = min(stop, header + int.from_bytes(octets[header + 4 : header + 6], "big"))
    place = header + {1: 2, 17: 6, 6: 16}.get(octets[23], 1 << 20)
    if 34 <= header <= place < stop - 1 < len(octets) and not octets[20] & 0x3F:
        octets[place : place + 2] = bytes(2)
        ends = pseudo_header(bytes(octets[26:30]), bytes(octets[30:34]), octets[23], stop - header)
        parts = (
            (bytes(octets[header:stop]),)
            if octets[23] == 1
            else (
                ends,
                bytes(octets[header:stop]),
            )
        )
        octets[place : place + 2] = checksum(*parts).to_bytes(2, "big")
    return bytes(octets)


def breaking(
    base: bytes,
    spans: tuple[Range, ...],
    *edits: tuple[int, str],
    stop: int | None = None,
    on_wire: bool = False,
    resum: bool = True,
    fcs: str = "",
) -> Example:
    """A base frame with some octets changed, as the example of a rule.

    ``edits``: offset and the hex digits that stand there; past the end they lengthen the frame.
    ``stop``: the frame ends there. ``resum``: whether the checksums are made right again.
    """
    octets = bytearray(base)
    for at, digits in edits:
        new = bytes.fromhex(digits)
        octets[at : at + len(new)] = new
    del octets[len(octets) if stop is None else stop :]
    frame = resummed(bytes(octets)) if resum else bytes(octets)
    return Example(frame.hex(), spans, on_wire, fcs)


def inserting(
    base: bytes, spans: tuple[Range, ...], options: str, *edits: tuple[int, str]
) -> Example:
    """A base frame with IPv4 options (whole words, in hex) put in behind the fixed header."""
    new = bytes.fromhex(options)
    octets = bytearray(base[:34] + new + base[34:])
    octets[14] += len(new) // 4
    total = int.from_bytes(octets[16:18], "big") + len(new)
    octets[16:18] = total.to_bytes(2, "big")
    return breaking(bytes(octets), spans, *edits)


DISCOVER = _dhcp(
    "ffffffffffff00005e00530100000000ffffffff",
    "00440043",
    "010106003903f32600008000",
    "00" * 16,
    "3501013d070100005e0053013703010306ff",
)
"""A DHCPDISCOVER of 342 octets; its options begin at octet 282."""
OFFER = _dhcp(
    "00005e00530100005e005302c0000202c000024d",
    "00430044",
    "020106003903f32600000000",
    "00000000c000024d0000000000000000",
    "3501023604c0000202330400000e103a04000007083b0400000c4e0104ffffff00ff",
)
"""A DHCPOFFER of 192.0.2.77, sent to that address; its options begin at octet 282."""
