"""Captures: pcap and pcapng files of Ethernet frames become dumps, one record at a time.

Formats by dpkt's declarations of their headers, which are read one by one here, so that a
truncated or lying file still gives every frame in front of the damage, and no length that a file
claims is believed before it is bounded.
"""

from __future__ import annotations

from collections.abc import Generator, Iterator
from typing import Any

from framecheck.core.frame import Doubt, Dump
from framecheck.core.text import Places
from framecheck.sources._error import InputError, failed
from framecheck.sources._stream import Stream

_PCAPNG = b"\x0a\x0d\x0d\x0a"
_PCAP = (b"\xa1\xb2\xc3\xd4", b"\xa1\xb2\x3c\x4d", b"\xd4\xc3\xb2\xa1", b"\x4d\x3c\xb2\xa1")
_NANO = (_PCAP[1], _PCAP[3])
MAGICS = frozenset((_PCAPNG, *_PCAP))
"""First four octets of every capture that can be read."""

ETHERNET = 1
MOST = 262_144
"""Octets that one record may hold: the largest snapshot length in use."""
_MOST_BLOCK = MOST + 65_536
_NOWHERE = Places(())


class CaptureInput:
    """A capture: ``dumps()`` hands over its records once, in their order."""

    __slots__ = ("name", "stream")

    def __init__(self, name: str, stream: Stream) -> None:
        self.name = name
        self.stream = stream

    def dumps(self) -> Generator[Dump, None, None]:
        """The records as dumps without places. Closes the input at its end.

        Raises InputError where the file is damaged, or fails to be read: every frame in front of
        that place came before.
        """
        try:
            pcapng = self.stream.peek(4) == _PCAPNG
            yield from (_blocks if pcapng else _records)(self)
        except OSError as error:
            raise failed(self.name, error) from None
        finally:
            self.close()

    def close(self) -> None:
        """Close the file; more than once does no harm."""
        self.stream.close()


def _error(capture: CaptureInput, record: int, at: int, what: str, do: str = "") -> InputError:
    do = do or "the frames before it were read; make the capture again for the rest"
    return InputError(capture.name, f"record {record}, octet {at} of the file: {what}", do)


def _only_ethernet(capture: CaptureInput, record: int, at: int, linktype: int) -> None:
    if linktype != ETHERNET:
        raise _error(
            capture,
            record,
            at,
            f"its link type is {linktype}, not Ethernet ({ETHERNET})",
            "capture on an Ethernet interface",
        )


def _dump(octets: bytes, record: int, stamp: float | None, wire: int) -> Dump:
    doubts: tuple[Doubt, ...] = ()
    if wire < len(octets):
        doubts = (
            Doubt("wire length", f"{len(octets)} octets, as captured", f"{wire}, as claimed"),
        )
        wire = len(octets)
    return Dump(octets, _NOWHERE, record=record, stamp=stamp, doubts=doubts, wire_length=wire)


def _records(capture: CaptureInput) -> Iterator[Dump]:
    from dpkt import pcap

    stream = capture.stream
    head = stream.exactly(pcap.FileHdr.__hdr_len__)
    if len(head) < pcap.FileHdr.__hdr_len__:
        raise _error(capture, 1, len(head), "the file ends inside its header")
    little = head[:4] in _PCAP[2:]
    header = (pcap.LEFileHdr if little else pcap.FileHdr)(head)
    # The high bits of the link type say whether an FCS is on; the framing finds out for itself.
    _only_ethernet(capture, 1, 20, header.linktype & 0xFFFF)
    divisor = 1e9 if head[:4] in _NANO else 1e6
    shape = pcap.LEPktHdr if little else pcap.PktHdr
    number = 0
    while True:
        number, at = number + 1, stream.at
        octets = stream.exactly(shape.__hdr_len__)
        if not octets:
            return
        if len(octets) < shape.__hdr_len__:
            raise _error(capture, number, at, "the file ends inside the record's header")
        record = shape(octets)
        if record.caplen > MOST:
            raise _error(capture, number, at, f"it claims {record.caplen} octets, more than {MOST}")
        octets = stream.exactly(record.caplen)
        if len(octets) < record.caplen:
            raise _error(
                capture, number, at, f"it claims {record.caplen} octets, {len(octets)} are left"
            )
        yield _dump(octets, number, record.tv_sec + record.tv_usec / divisor, record.len)


class _Section:
    """What the blocks of one pcapng section share: octet order and interfaces."""

    def __init__(self, little: bool) -> None:
        self.little = little
        self.interfaces: list[tuple[int, int, float, int]] = []
        """Link type, snapshot length, divisor of stamps, offset of stamps in seconds."""

    def number(self, octets: bytes) -> int:
        return int.from_bytes(octets, "little" if self.little else "big")


def _blocks(capture: CaptureInput) -> Iterator[Dump]:
    from dpkt import pcapng

    stream = capture.stream
    section = _Section(little=True)
    number = 0
    while True:
        at = stream.at
        head = stream.exactly(8)
        if not head:
            return
        if len(head) < 8:
            raise _error(capture, number + 1, at, "the file ends inside a block's header")
        if head[:4] == _PCAPNG:
            section = _Section(stream.peek(4) == b"\x4d\x3c\x2b\x1a")
        kind, length = section.number(head[:4]), section.number(head[4:])
        if length < 12 or length % 4:
            raise _error(capture, number + 1, at, f"a block claims {length} octets")
        if kind not in (1, 2, 3, 6):
            if stream.skip(length - 8) < length - 8:
                raise _error(capture, number + 1, at, _ended(length, stream.at - at))
            continue
        if length > _MOST_BLOCK:
            raise _error(
                capture, number + 1, at, f"a block claims {length} octets, more than {_MOST_BLOCK}"
            )
        block = head + stream.exactly(length - 8)
        if len(block) < length:
            raise _error(capture, number + 1, at, _ended(length, len(block)))
        if section.number(block[-4:]) != length:
            raise _error(capture, number + 1, at, "a block's two lengths differ")
        if kind == 1:
            section.interfaces.append(_interface(pcapng, section, block))
            continue
        number += 1
        yield _packet(capture, pcapng, section, kind, block, number, at)


def _ended(claimed: int, there: int) -> str:
    return f"a block claims {claimed} octets, {there} are left"


def _interface(pcapng: Any, section: _Section, block: bytes) -> tuple[int, int, float, int]:
    shape = pcapng.InterfaceDescriptionBlockLE if section.little else None
    parsed = (shape or pcapng.InterfaceDescriptionBlock)()
    parsed.unpack_hdr(block.ljust(20, b"\0"))
    divisor, offset = 1e6, 0
    rest = block[16:-4]
    while len(rest) >= 4:
        code, size = section.number(rest[:2]), section.number(rest[2:4])
        value = rest[4 : 4 + size]
        if code == pcapng.PCAPNG_OPT_ENDOFOPT:
            break
        if code == pcapng.PCAPNG_OPT_IF_TSRESOL and len(value) == 1:
            divisor = float((2 if value[0] & 0x80 else 10) ** (value[0] & 0x7F))
        if code == pcapng.PCAPNG_OPT_IF_TSOFFSET and len(value) == 8:
            offset = section.number(value)
        rest = rest[4 + size + -size % 4 :]
    return parsed.linktype, parsed.snaplen, divisor, offset


def _packet(
    capture: CaptureInput,
    pcapng: Any,
    section: _Section,
    kind: int,
    block: bytes,
    number: int,
    at: int,
) -> Dump:
    stamp: float | None = None
    if kind == 3:  # a simple packet block: no interface, no time; dpkt declares none
        interface, start = 0, 12
        wire = section.number(block[8:12])
        snap = section.interfaces[0][1] if section.interfaces else 0
        captured = min(wire, snap or wire)
    else:
        shape = pcapng.PacketBlock if kind == 2 else pcapng.EnhancedPacketBlock
        if section.little:
            shape = pcapng.PacketBlockLE if kind == 2 else pcapng.EnhancedPacketBlockLE
        packet, start = shape(), 28
        if len(block) < packet.__hdr_len__:
            raise _error(capture, number, at, f"a block of {len(block)} octets holds no frame")
        packet.unpack_hdr(block)
        interface, captured, wire = packet.iface_id, packet.caplen, packet.pkt_len
        if interface < len(section.interfaces):
            _, _, divisor, offset = section.interfaces[interface]
            stamp = (packet.ts_high << 32 | packet.ts_low) / divisor + offset
    if interface >= len(section.interfaces):
        raise _error(capture, number, at, f"it names interface {interface}, which is not described")
    _only_ethernet(capture, number, at, section.interfaces[interface][0])
    room = len(block) - 4 - start
    if captured > room:
        raise _error(capture, number, at, f"it claims {captured} octets, its block holds {room}")
    return _dump(block[start : start + captured], number, stamp, wire)
