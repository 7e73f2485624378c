"""The frames that are shown to a host: recorded ones, damaged ones, and one for each rule.

All are for one host (``host.py`` says who it is). The recordings of ``vectors/traffic`` are
turned so that it is the receiver, with sums made right; of each kind of frame there are a few. The
damages are those of ``damages.py``, and one more, ``one-field``: a header's octet is changed and
the sums are made right again, so that the frame gets past them. A rule's frame is its example.
The same call gives the same frames.

So that no frame changes the way of another: every IPv4 header and every fragment has an
identification of its own, every TCP segment a source port of its own.
"""

from __future__ import annotations

import random
from collections.abc import Iterator
from typing import NamedTuple

import dpkt

from tests.outside.kernel.damages import FAMILIES
from tests.outside.kernel.host import TCP_PORTS, UDP_PORTS
from tests.outside.recordings import ALL, LEFT, frames

EACH = 130
"""Frames of each family of damages."""
FIELDS = 900
"""Frames with one field changed."""
ALIKE = 10
"""Recorded frames of one kind, at most; of tagged ones a third of it."""


def _ends(last: int, number: int) -> tuple[str, ...]:
    """Addresses in hex: hardware, IPv4, IPv6, link-local, and what its solicited group ends in."""
    return (
        f"00005e0053{last:02x}",
        f"c00002{number:02x}",
        f"20010db8{number if number < 10 else 0x77:024x}",
        f"fe8000000000000002005efffe0053{last:02x}",
        f"ff0053{last:02x}",
    )


PEER, SECOND, HOST = _ends(1, 1), _ends(2, 2), _ends(7, 77)


class Shown(NamedTuple):
    """One frame, and where it comes from."""

    family: str
    base: str
    octets: bytes


def _exchanged(octets: bytes, ours: tuple[str, ...], theirs: tuple[str, ...]) -> bytes:
    """Every address of one end is that of the other."""
    for one, two in zip(ours, theirs, strict=True):
        a, b, between = bytes.fromhex(one), bytes.fromhex(two), b"\xf8between\xf9"[: len(one) // 2]
        octets = octets.replace(a, between).replace(b, a).replace(between, b)
    return octets


def summed(octets: bytes) -> bytes:
    """The frame with every sum of IPv4 and of its transport made right, by dpkt's arithmetic."""
    out, at = bytearray(octets), 14
    if out[12:14] == b"\x81\x00":
        return octets[:12] + octets[12:16] + summed(octets[:12] + octets[16:])[12:]
    if out[12:14] == b"\x08\x00" and len(out) >= 34:
        behind = at + (out[14] & 15) * 4
        stop = min(len(out), at + int.from_bytes(out[16:18], "big"))
        _put(out, 24, at, behind, b"")
        if int.from_bytes(out[20:22], "big") & 0x3FFF == 0 and behind >= 34:
            _transport(out, out[23], behind, stop, bytes(out[26:34]))
    elif out[12:14] == b"\x86\xdd" and len(out) >= 54:
        number, behind = out[20], 54
        while number in (0, 43, 60) and behind + 8 <= len(out):
            number, behind = out[behind], behind + out[behind + 1] * 8 + 8
        stop = min(len(out), 54 + int.from_bytes(out[18:20], "big"))
        _transport(out, number, behind, stop, bytes(out[22:54]))
    return bytes(out)


def _put(out: bytearray, field: int, start: int, stop: int, ends: bytes) -> None:
    if field + 2 <= stop <= len(out):
        out[field : field + 2] = bytes(2)
        value = dpkt.dpkt.in_cksum(ends + bytes(out[start:stop]))
        out[field : field + 2] = value.to_bytes(2, "big")


def _transport(out: bytearray, number: int, at: int, stop: int, addresses: bytes) -> None:
    field = {1: 2, 2: 2, 6: 16, 17: 6, 58: 2}.get(number)
    if field is None or stop < at + field + 2:
        return
    if number == 17 and 8 <= int.from_bytes(out[at + 4 : at + 6], "big") <= stop - at:
        stop = at + int.from_bytes(out[at + 4 : at + 6], "big")
    if number == 17 and len(addresses) == 8 and not any(out[at + 6 : at + 8]):
        return  # a sender that takes no sum
    ends = b""
    if number not in (1, 2):
        ends = addresses + number.to_bytes(4, "big") + (stop - at).to_bytes(4, "big")
    _put(out, at + field, at, stop, ends)


def keeping(old: bytes, new: bytes) -> bytes:
    """``new`` with its sums as right, or as wrong, as those of ``old`` (of equal length)."""
    right = zip(summed(new), old, summed(old), strict=True)
    return bytes(n ^ o ^ r for n, o, r in right)


def _own(octets: bytes, number: int, ports: bool) -> bytes:
    """The frame with identifications and ports that no other frame has."""
    out = bytearray(octets)
    if out[12:14] == b"\x08\x00" and len(out) >= 34:
        out[18:20] = (number & 0xFFFF).to_bytes(2, "big")
        if int.from_bytes(out[20:22], "big") & 0x3FFF == 0:
            _ports(out, out[23], 14 + (out[14] & 15) * 4, number, ports)
    elif out[12:14] == b"\x86\xdd" and len(out) >= 62:
        if out[20] == 44:
            out[58:62] = number.to_bytes(4, "big")
        _ports(out, out[20], 54, number, ports)
    return keeping(octets, bytes(out))


def _ports(out: bytearray, number: int, at: int, count: int, ports: bool) -> None:
    if len(out) < at + 8:
        return
    if number == 6:
        out[at : at + 2] = (20000 + count).to_bytes(2, "big")
    known = {6: TCP_PORTS, 17: UDP_PORTS}.get(number)
    if ports and known and int.from_bytes(out[at + 2 : at + 4], "big") not in known:
        out[at + 2 : at + 4] = known[0].to_bytes(2, "big")


def _turned(octets: bytes) -> bytes:
    """A recorded frame with the alarm as its receiver, and the tag of no VLAN in particular."""
    if octets[6:12].hex() == HOST[0]:
        octets = _exchanged(octets, HOST, PEER)
    if octets[12:14] == b"\x81\x00":
        octets = octets[:14] + bytes((octets[14] & 0xF0, 0)) + octets[16:]
    return octets


def _kind(octets: bytes) -> tuple[bytes, ...]:
    """What makes two frames alike: type, protocol, message type or port or flags."""
    at = 16 if octets[12:14] == b"\x81\x00" else 12
    ip = octets[at + 2 :]
    number = {b"\x08\x00": ip[9:10], b"\x86\xdd": ip[6:7]}.get(octets[at : at + 2], ip[7:8])
    more = ip[(ip[0] & 15) * 4 :] if octets[at : at + 2] == b"\x08\x00" else ip[40:]
    told = {1: more[:2], 58: more[:2], 17: more[:4], 6: more[13:14]}.get(number[0], b"")
    if number == b"\x11":
        told = b"".join(told[i : i + 2] for i in (0, 2) if told[i] < 4)
    return octets[at - 4 : at + 2], number, told, ip[6:8] if number != b"\x06" else b""


def _sort(octets: bytes) -> tuple[bytes, bytes, bool]:
    """What damages are spread over evenly: type, protocol, and whether it is a first message."""
    kind, ip = octets[12:14], octets[14:]
    if kind not in (b"\x08\x00", b"\x86\xdd"):
        return kind, b"", False
    old = kind == b"\x08\x00"
    number, more = (ip[9], ip[(ip[0] & 15) * 4 :]) if old else (ip[6], ip[40:])
    opens = {1: more[:1] == b"\x08", 58: more[:1] == b"\x80", 6: more[13:14] == b"\x02"}
    return kind, bytes((number,)), opens.get(number, False)


def recorded() -> Iterator[tuple[str, bytes]]:
    """Frames of the recordings for the host, their sums right, some of each kind."""
    count: dict[tuple[bytes, ...], int] = {}
    for name in ALL:
        for number, octets in enumerate(frames(name)):
            kind = _kind(octets)
            longest = 300 if count.get(kind, 0) >= 1 else 1514
            most = ALIKE // 3 if octets[12:14] == b"\x81\x00" else ALIKE
            if count.get(kind, 0) < most and len(octets) <= longest:
                count[kind] = count.get(kind, 0) + 1
                yield f"{name}:{number}", summed(_turned(octets))


def _over_ipv6() -> Iterator[tuple[str, bytes]]:
    """Over IPv6: nothing of a fragment, of a transport, UDP of length 0, an option of others."""
    head, ends = f"{HOST[0]}{PEER[0]}86dd60000000", f"{PEER[2]}{HOST[2]}"
    for name, number in (("no fragment", "2c"), ("no message", "3a")):
        yield name, bytes.fromhex(f"{head}0000{number}40{ends}")
    option = bytes.fromhex(f"{head}00150040{ends}3a005e04000000008000000000000001") + b"frost"
    yield "option 94", summed(option)
    datagram = bytes.fromhex(f"{head}000d1140{ends}1389138900000000") + b"frost"
    yield "UDP length 0", summed(datagram)


def directed() -> Iterator[tuple[str, bytes]]:
    """What recordings do not have: groups in frames for one station and for all, RARP's
    operation in a message of ARP, an ICMP message that nobody sends any more.
    """
    message = f"0001080006040003{PEER[0]}{PEER[1]}{HOST[0]}{HOST[1]}"
    yield "operation 3", bytes.fromhex(f"{HOST[0]}{PEER[0]}0806{message}").ljust(60, b"\0")
    echo = b"\x08\x00\0\0\0\1\0\1frost"
    message = b"\x22\0\0\0" + bytes(4)
    head = f"{HOST[0]}{PEER[0]}08004500{20 + len(message):04x}0001000040010000{PEER[1]}{HOST[1]}"
    yield "message 34", summed((bytes.fromhex(head) + message).ljust(60, b"\0"))
    yield from _over_ipv6()
    ends = {"own": HOST[0], "everybody": "ff" * 6, "group": "01005e0000fb"}
    for name, link in ends.items():
        for target in ("e00000fb", "e0000001", "c00002ff", "ffffffff", HOST[1]):
            head = f"4500{20 + len(echo):04x}0001000040010000{PEER[1]}{target}"
            frame = bytes.fromhex(f"{link}{PEER[0]}0800{head}") + echo
            yield f"{target} to {name}", summed(frame.ljust(60, b"\0"))
    ends = {"own": HOST[0], "everybody": "ff" * 6, "group": "3333000000fb"}
    for name, link in ends.items():
        for target in ("ff02" + "00" * 13 + "fb", "ff02" + "00" * 13 + "01", HOST[3]):
            head = f"60000000{len(echo):04x}3a40{PEER[3]}{target}"
            frame = bytes.fromhex(f"{link}{PEER[0]}86dd{head}") + b"\x80" + echo[1:]
            yield f"{target} to {name}", summed(frame)


def _options(octets: bytes, before: bytes, draw: random.Random) -> bytes:
    """Options put into the IPv4 header, each nearly right."""
    if octets[12:15] != b"\x08\x00\x45":
        return octets
    room = 4 * draw.randrange(1, 11)
    series = b""
    while len(series) < room:
        kind = draw.choice((0, 1, 1, 7, 7, 68, 68, 131, 137, 148, 148, 136, 130, 200))
        if kind < 2:
            series += bytes((kind,))
            continue
        size = draw.choice((0, 1, 2, 3, 4, 4, 7, 8, 11, 12))
        pointer = draw.choice((0, 3, 4, 5, 8, 9, size, size + 1))
        series += bytes((kind, size, pointer, draw.choice((0, 1, 3))))[: max(2, size)].ljust(
            size, b"\0"
        )
    new = bytearray(octets[:34] + series[:room] + octets[34:])
    new[14] += room // 4
    new[16:18] = (int.from_bytes(new[16:18], "big") + room).to_bytes(2, "big")
    return summed(bytes(new))


def unfinished() -> Iterator[tuple[str, bytes]]:
    """Recorded frames whose transport's sum was left to the adapter, as they are."""
    found = ((i, _turned(octets)) for i, octets in enumerate(frames(LEFT)))
    short = [(i, o) for i, o in found if o != summed(o) and len(o) <= 300]
    yield from ((f"{LEFT}:{i}", octets) for i, octets in short[:ALIKE])


def examples() -> Iterator[tuple[str, bytes]]:
    """The frame of each rule that begins with an Ethernet header, for the host."""
    from framecheck.judging.judge import all_rules

    for rule in all_rules():
        example = rule.example
        if example.starts_at != "ethernet" or example.head:
            continue
        octets = bytes.fromhex(example.octets)
        turned = octets
        if octets[:6].hex() == PEER[0] or octets[6:12].hex() == SECOND[0]:
            turned = _exchanged(turned, PEER, SECOND)
        turned = _exchanged(turned, SECOND, HOST)
        yield rule.name, keeping(octets, turned) + bytes.fromhex(example.fcs)


def _changed(octets: bytes, before: bytes, draw: random.Random) -> bytes:
    """One octet of the headers is another, and the sums are right."""
    at = draw.randrange(0 if draw.random() < 0.1 else 12, min(len(octets), 76))
    old = octets[at]
    new = draw.choice((0, 0xFF, old ^ 1 << draw.randrange(8), old + 1 & 255, old - 1 & 255))
    return summed(octets[:at] + bytes((new,)) + octets[at + 1 :])


def shown(seed: str = "orchard") -> Iterator[Shown]:
    """All frames, in their order; another seed gives other damages."""
    draw = random.Random(seed)
    number = 0
    seen: set[bytes] = set()
    bases = list(recorded())
    for name, octets in bases:
        number += 1
        yield Shown("recorded", name, _own(octets, number, True))
    for name, octets in directed():
        number += 1
        yield Shown("directed", name, _own(octets, number, False))
    for name, octets in unfinished():
        yield Shown("unfinished-sum", name, octets)
    for name, octets in examples():
        number += 1
        yield Shown("rule", name, _own(octets, number, False))
    sorts: dict[tuple[bytes, bytes, bool], list[tuple[str, bytes]]] = {}
    for base in bases:
        if len(base[1]) <= 300:
            sorts.setdefault(_sort(base[1]), []).append(base)
    short = list(sorts.values())
    families = {**FAMILIES, "options": _options, "one-field": _changed}
    for family, damage in families.items():
        wanted = FIELDS if family == "one-field" else EACH
        while wanted:
            number += 1
            name, octets = draw.choice(draw.choice(short))
            own = _own(octets, number, True)
            damaged = damage(own, draw.choice(draw.choice(short))[1], draw)
            if damaged != own and damaged not in seen:
                wanted -= 1
                seen.add(damaged)
                yield Shown(family, name, damaged)
