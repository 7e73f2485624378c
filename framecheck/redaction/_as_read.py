"""Frames exchanged as the octets that came are read, whatever was sent."""

from __future__ import annotations

from collections.abc import Iterator

from framecheck.core.sheet import FrameRecord
from framecheck.redaction._census import ADDRESSES
from framecheck.redaction._parts import Part, parts
from framecheck.redaction._standins import Standins
from framecheck.redaction._turning import turned
from framecheck.redaction._work import Work

_LONGEST_NUMBER = 32
"""Bits of a field that is a number, and no list of them."""


def read_so(work: Work, standins: Standins, guard: Standins) -> bytearray:
    """What was sent, with the parts exchanged that the octets as they came are read to have."""
    record = work.record
    found = tuple(parts(record.layers, record.octets))
    received = standins.of(record.octets, found)
    for part in found:
        if part.role == "padding":
            received[part.start : part.stop] = standins.text(
                bytes(received[part.start : part.stop])
            )
    for i in _hiding(work):
        received[i] = standins.substitution.table[record.octets[i]]
    turned(received, record.layers, record.frame.starts_at, guard, standins)
    return _sent(work, received, work.truth.octets)


def numbered(work: Work, new: bytearray, guard: Standins, standins: Standins) -> bytearray:
    """What was sent, with the numbers that the octets as they came are read to have."""
    record = work.record
    received = work.truth.received(bytes(new))
    for i in numbers(record) - _hiding(work):
        received[i] = record.octets[i]
    turned(received, record.layers, record.frame.starts_at, guard, standins)
    return _sent(work, received, new)


def _hiding(work: Work) -> set[int]:
    """Octets that were sent as texts or names, and stay as the frame is read: lists of codes."""
    record = work.record
    texts = {
        i for p in work.found if p.role in ("text", "name", "names") for i in range(p.start, p.stop)
    }
    lists = {
        i
        for layer in record.layers
        for f in layer.fields
        if isinstance(f.value, bytes) and f.stop - f.start > _LONGEST_NUMBER
        for i in range(f.start // 8, f.stop // 8)
    }
    sent = dict(enumerate(work.truth.origin))
    return {i for i in lists & numbers(record) if sent.get(i) in texts}


def numbers(record: FrameRecord) -> set[int]:
    """Octets that are numbers as the frame is read, or belong to one."""
    found = set(range(len(record.octets)))
    for part in parts(record.layers, record.octets):
        found.difference_update(range(part.start, part.stop))
    return found


def _sent(work: Work, received: bytearray, others: bytes | bytearray) -> bytearray:
    """What was sent so that this was received; ``others``: what was sent and did not come."""
    new, was, came = bytearray(others), work.truth.octets, work.record.octets
    for i, sent in enumerate(work.truth.origin):
        if sent is not None:
            new[sent] = received[i] ^ came[i] ^ was[sent]
    return new


def free_to_change(work: Work) -> frozenset[int]:
    """Octets of what was sent that no rule holds to a value, as the octets that came are read."""
    record = work.record
    free: set[int] = set()
    for part in parts(record.layers, record.octets):
        if part.role == "text":
            free.update(range(part.start, part.stop))
        elif part.role == "ipv6" and record.octets[part.start] & 0xE0 == 0x20:
            free.update(range(part.start + 4, part.start + 8))  # site and network
    for verdict in record.verdicts:
        if verdict.field is not None and verdict.name.endswith("checksum"):
            free.update(range(*verdict.field.octets))
    return frozenset(
        sent for i, sent in enumerate(work.truth.origin) if sent is not None and i in free
    )


def addressed(work: Work) -> Iterator[Part]:
    """Addresses as the octets that came are read: also where no sent octet stands."""
    for part in parts(work.record.layers, work.record.octets):
        if ADDRESSES.get(part.role) == part.stop - part.start:
            yield part
