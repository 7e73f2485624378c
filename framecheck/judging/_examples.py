"""Frames that break one rule, written as what differs from a sound frame.

All addresses are those for documentation (RFC 5737 3, RFC 7042 2.1.2). The sums of a changed frame
are set anew, so that an example breaks its own rule and not a checksum as well.
"""

from __future__ import annotations

from framecheck.core.finding import Example
from framecheck.core.span import Range
from framecheck.core.sums import checksum, pseudo_header, pseudo_header_ipv6

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

    Only for Ethernet with type 0800 or 86dd and a header whose lengths can be; else the frame as
    it is.
    """
    octets = bytearray(frame)
    if frame[12:14] == b"\x08\x00" and len(frame) >= 34:
        octets[24:26] = bytes(2)
        header = 14 + (octets[14] & 15) * 4
        octets[24:26] = checksum(bytes(octets[14:header])).to_bytes(2, "big")
        if header >= 34 and not octets[20] & 0x3F:
            _sum(octets, octets[23], header, 14 + int.from_bytes(octets[16:18], "big"), 26, 34)
    elif frame[12:14] == b"\x86\xdd" and len(frame) >= 54:
        number, at = octets[20], 54
        while number in (0, 43, 44, 60) and at + 8 <= len(octets):
            size = 8 if number == 44 else octets[at + 1] * 8 + 8
            number, at = octets[at], at + size
        _sum(octets, number, at, 54 + int.from_bytes(octets[18:20], "big"), 22, 54)
    return bytes(octets)


def _sum(octets: bytearray, number: int, at: int, stop: int, first: int, behind: int) -> None:
    """Set the checksum of the transport at an octet; its addresses stand from first to behind."""
    if number == 17:  # UDP says itself how long it is
        stop = min(stop, at + int.from_bytes(octets[at + 4 : at + 6], "big"))
    place = at + {1: 2, 2: 2, 58: 2, 17: 6, 6: 16}.get(number, 1 << 20)
    if not place < stop - 1 < len(octets):
        return
    octets[place : place + 2] = bytes(2)
    source, target = bytes(octets[first : (first + behind) // 2]), bytes(octets[:behind])
    target = target[-len(source) :]
    make = pseudo_header if len(source) == 4 else pseudo_header_ipv6
    ends = b"" if number in (1, 2) else make(source, target, number, stop - at)
    value = checksum(ends, bytes(octets[at:stop]))
    if number == 17:
        value = value or 0xFFFF
    octets[place : place + 2] = value.to_bytes(2, "big")


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


ONE, TWO = "fe80" + "00" * 6 + "02005efffe005301", "fe80" + "00" * 6 + "02005efffe005302"
"""The link-local addresses of the two hosts, in hex (RFC 4291 2.5.6)."""
ALL_NODES, ALL_ROUTERS = "ff02" + "00" * 13 + "01", "ff02" + "00" * 13 + "02"
SOLICITED = "ff02" + "00" * 9 + "01ff005302"
"""The group of all whose address ends as that of the second host (RFC 4291 2.7.1)."""


def over_ipv6(
    payload: str,
    number: int = 58,
    hops: int = 255,
    source: str = ONE,
    target: str = TWO,
    link: str | None = None,
) -> bytes:
    """A frame with an IPv6 datagram: ``payload`` in hex, the number of the header it begins with.

    ``link``: where the frame goes; None: to the second host, or to the group's own address.
    """
    octets = bytes.fromhex(payload)
    to = link or ("3333" + target[-8:] if target.startswith("ff") else "00005e005302")
    head = f"{to}00005e00530186dd60000000{len(octets):04x}{number:02x}{hops:02x}{source}{target}"
    return resummed(bytes.fromhex(head) + octets)


def over_udp(payload: str, source_port: int, port: int) -> bytes:
    """A frame with a UDP datagram over IPv4 whose data are ``payload``, in hex."""
    size = len(payload) // 2
    head = f"00005e00530200005e00530108004500{28 + size:04x}1234000040110000c0000201c0000202"
    return resummed(bytes.fromhex(f"{head}{source_port:04x}{port:04x}{8 + size:04x}0000{payload}"))


SOLICITATION = over_ipv6("8700000000000000" + TWO + "010100005e005301", target=SOLICITED)
"""A neighbor solicitation with its source's link-layer address; its options begin at 78."""
ADVERTISEMENT = over_ipv6("8800000060000000" + ONE + "020100005e005301")
"""The answer to one."""
ROUTER = over_ipv6(
    "8600000040000708" + "00" * 8 + "010100005e005301"
    "030440c000278d0000093a800000000020010db8" + "00" * 12,
    target=ALL_NODES,
)
"""A router advertisement with a prefix; its options begin at octet 70."""
ECHO_IPV6 = over_ipv6("800000001234000766726f7374", hops=64)
"""An echo request with 5 octets of data."""
UDP_IPV6 = over_ipv6("13881389000d000068656c6c6f", 17, 64)
"""A datagram that says hello over IPv6."""
TCP_IPV6 = over_ipv6("c000005001020304000000007002faf000000000020405a004020101", 6, 64)
"""A SYN over IPv6."""
REPORT = resummed(
    bytes.fromhex(
        "01005e00001600005e0053010800"
        "460000281234000001020000c0000201e0000016"
        "94040000"
        "220000000000000104000000e00000fb"
    )
)
"""A report of version 3 that joins 224.0.0.251, with the router alert option; IGMP at octet 38."""
QUERY = resummed(
    bytes.fromhex(
        "01005e00000100005e0053010800"
        "460000201234000001020000c0000201e0000001"
        "94040000"
        "1164000000000000"
    )
)
"""A general query of version 2; IGMP at octet 38."""


def listener(message: str, target: str, hops: int = 1, alert: str = "05020000") -> bytes:
    """A frame with a message about listeners of groups behind its router alert (RFC 3810 5)."""
    return over_ipv6(f"3a00{alert}0100{message}", 0, hops, target=target)


GROUP = "ff02" + "00" * 13 + "fb"
LISTENER_QUERY = listener("8200000003e80000" + "00" * 16, ALL_NODES)
"""A general query of version 1; ICMPv6 at octet 62."""
LISTENER_REPORT = listener("8300000000000000" + GROUP, GROUP)
"""A report of version 1."""
LISTENER_REPORT_2 = listener("8f0000000000000104000000" + GROUP, "ff02" + "00" * 13 + "16")
"""A report of version 2 with one record."""


def over_udp_ipv6(payload: str, source_port: int, port: int, target: str = TWO) -> bytes:
    """A frame with a UDP datagram over IPv6 whose data, in hex, begin at octet 62."""
    head = f"{source_port:04x}{port:04x}{8 + len(payload) // 2:04x}0000"
    return over_ipv6(head + payload, 17, 64, target=target)


_QUESTION = b"\5frost\7orchard\7example\0\0\1\0\1".hex()
DNS_QUERY = over_udp("123401000001000000000000" + _QUESTION, 49152, 53)
"""A question for the address of frost.orchard.example; the message at octet 42, a name at 54."""
DNS_ANSWER = over_udp(
    "123481800001000100000000" + _QUESTION + "c00c0001000100000e100004c000024d", 53, 49152
)
"""Its answer, a record at octet 81 whose name is a pointer."""


def over_ethernet(kind: int, payload: str, link: str = "00005e005302") -> bytes:
    """A frame with a type (or a length) and ``payload``, in hex, padded with zeros to 60 octets."""
    return bytes.fromhex(f"{link}00005e005301{kind:04x}{payload}").ljust(60, b"\0")


_TEMPERATURES = "6c6f7720" * 12
UDP_LONG = over_udp(_TEMPERATURES, 5000, 5001)
"""A datagram with 48 octets of data over IPv4; 56 with the header of UDP."""
UDP_SHORTER = over_udp(_TEMPERATURES[:64], 5000, 5001)
"""The same with 32 octets of data."""
UDP_LONG_IPV6 = over_udp_ipv6(_TEMPERATURES, 5000, 5001)
UDP_SHORTER_IPV6 = over_udp_ipv6(_TEMPERATURES[:64], 5000, 5001)


def fragment(frame: bytes, start: int, stop: int | None = None, number: int = 7) -> str:
    """A part of a frame's datagram as a frame of its own, in hex: octets of its data, half-open.

    ``stop`` None: to the end; then it is the last part. Works for IPv4 without options and for
    IPv6 without extension headers, over Ethernet. ``number``: the identification over IPv6.
    """
    four = frame[12:14] == b"\x08\x00"
    header = 34 if four else 54
    end = 14 + int.from_bytes(frame[16:18], "big") if four else len(frame)
    data = frame[header:end][start:stop]
    more = stop is not None
    octets = bytearray(frame[:header])
    if four:
        octets[16:18] = (20 + len(data)).to_bytes(2, "big")
        octets[20:22] = (more << 13 | start // 8).to_bytes(2, "big")
        octets[24:26] = bytes(2)
        octets[24:26] = checksum(bytes(octets[14:34])).to_bytes(2, "big")
    else:
        octets[18:20] = (8 + len(data)).to_bytes(2, "big")
        octets += bytes((octets[20], 0)) + (start | more).to_bytes(2, "big")
        octets += number.to_bytes(4, "big")
        octets[20] = 44
    return (bytes(octets) + data).hex()


def behind(
    before: tuple[str, ...],
    frame: bytes | str,
    spans: tuple[Range, ...],
    starts_at: str = "ethernet",
) -> Example:
    """A frame that breaks a rule because of what came before it. ``before``: in hex, in order."""
    digits = frame if isinstance(frame, str) else frame.hex()
    return Example(digits, spans, starts_at=starts_at, before=before)


def edited(frame: bytes, *edits: tuple[int, str], resum: bool = True) -> bytes:
    """A frame with some octets changed; ``resum``: whether the checksums are made right again."""
    return bytes.fromhex(breaking(frame, (), *edits, resum=resum).octets)
