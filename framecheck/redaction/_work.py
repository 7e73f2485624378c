"""One frame on its way: how it may have been sent, and which of its octets may stay."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, field, replace
from typing import NamedTuple

from framecheck.core.finding import Host
from framecheck.core.layer import Layer
from framecheck.core.sheet import FrameRecord
from framecheck.core.span import each, runs
from framecheck.damage.probes import BOARD, SENDER, told
from framecheck.layers import decode_frame
from framecheck.redaction._census import ADDRESSES, Census
from framecheck.redaction._parts import Part, parts
from framecheck.redaction._truth import Truth, guessed, truth_of

_MOST_GUESSES = 4
"""Damages of which one may have happened that are taken up."""
FOREIGN = 8
"""Wrong octets that stay: by how much a sum is off tells what they should have been."""


@dataclass(slots=True)
class Work:
    """One frame on its way."""

    record: FrameRecord
    truth: Truth
    layers: tuple[Layer, ...]
    found: tuple[Part, ...]
    probe: bool = False
    as_read: bool = False
    """Whether parts are those of the octets as they came, though they were moved, likeliest."""
    as_numbers: bool = False
    """Whether numbers stay that the octets as they came are read to have."""
    hold: bool = False
    """Whether a struck octet of a text stays: what it became may mean something."""
    stay: frozenset[int] = frozenset()
    """Octets of what was sent that stay besides; behind its end, received ones of no sent octet."""
    new: bytearray | None = None
    """The truth with its stand-ins."""
    copies: dict[int, tuple[Work, int, int]] = field(default_factory=dict)
    """Octets of padding that an earlier frame left: that frame, where in its dump, what it was."""
    front: bytes = b""
    """What is to be printed in front of them."""
    octets: bytes = b""
    """The received octets to print."""
    tail: bytes = b""
    """What is to be printed behind them."""


class Earlier(NamedTuple):
    """A frame that may have left octets in a later one's padding: its dump, then and now."""

    work: Work
    before: bytes
    after: bytes


def prepared(records: Sequence[FrameRecord], host: Host) -> list[list[Work]]:
    """Each frame with the parts that are to change, in each way in which it may have been sent.

    Where that is only a guess: by each guess, by it and as the octets that came are read, by it
    with the numbers that they are read to have, and without any. ``host``: what is known of the
    board.
    """
    ways = []
    for record in records:
        found = []
        for truth in guessed(record, host)[:_MOST_GUESSES]:
            work = _prepared(record, truth)
            found.append(work)
            if truth.origin:
                found += [replace(work, as_read=True), replace(work, as_numbers=True)]
        plain = _prepared(record, truth_of(record))
        found[2:2] = [plain]
        if plain.truth.origin:
            found.append(replace(plain, as_numbers=True))
        ways.append(found)
    first = [found[0] for found in ways]
    for works in ways:
        for work in works:
            if work.truth.unknown:
                _complete(work, first)
    return ways


def _prepared(record: FrameRecord, truth: Truth) -> Work:
    same = truth.octets is record.octets
    layers = record.layers if same else decode_frame(truth.octets, start_of(record))
    probe = told(record.octets) is not None
    return Work(record, truth, layers, tuple(parts(layers, truth.octets)), probe)


def start_of(record: FrameRecord) -> str:
    """What the first octet of what was sent was: the damage may hide it."""
    start = record.frame.starts_at
    return "ethernet" if start == "unknown" else start


def _complete(work: Work, works: Iterable[Work]) -> None:
    """Put lost octets of an address back, where another frame holds one with the same others."""
    octets = bytearray(work.truth.octets)
    lost = set(work.truth.unknown)
    for part in work.found:
        if part.role in ADDRESSES and lost & set(range(part.start, part.stop)):
            known = [(i - part.start, octets[i]) for i in range(*part[:2]) if i not in lost]
            alike = Counter(
                value
                for value in _addresses(works, part.role)
                if len(known) > 1 and all(value[i] == o for i, o in known)
            )
            if alike:
                octets[part.start : part.stop] = alike.most_common(1)[0][0]
    work.truth = work.truth._replace(octets=bytes(octets))
    work.layers = decode_frame(work.truth.octets, start_of(work.record))


def _addresses(works: Iterable[Work], role: str) -> Iterator[bytes]:
    for work in works:
        for part in work.found if not work.truth.unknown else ():
            if part.role == role and part.stop - part.start == ADDRESSES[role]:
                yield work.truth.octets[part.start : part.stop]


def census(ways: Sequence[Sequence[Work]]) -> Census:
    """The addresses of all frames, in the first way in which each may have been sent.

    Bits that were turned are noted in all ways.
    """
    found = Census()
    for works in sorted(ways, key=lambda w: w[0].record.state != "sound"):
        work = works[0]
        for way in works:
            for part in way.found:
                if part.role == "ipv4" and part.stop - part.start == ADDRESSES["ipv4"]:
                    _strike(found, way, part)
        for part in work.found:
            found.add(part.role, work.truth.octets[part.start : part.stop])
            if part.role == "name":
                found.name(work.truth.octets[part.start : part.stop])
        if work.probe:
            found.kept.update(v for a in (BOARD, SENDER) for v in a if isinstance(v, bytes) and v)
    for work in (w for works in ways for w in works):
        found.stick(work.truth.stuck)
    return found


def _strike(found: Census, work: Work, part: Part) -> None:
    old, came = work.truth.octets, work.record.octets
    turned = set(struck(work)) & set(range(part.start, part.stop))
    if turned and part.stop <= len(came):
        bits = (old[i] ^ came[i] if i in turned else 0 for i in range(part.start, part.stop))
        found.strike(old[part.start : part.stop], bytes(bits))


def struck(work: Work) -> Iterator[int]:
    """Octets that came otherwise than they were sent, in place, and few of them."""
    record, sent = work.record, work.truth.octets
    if record.moves or work.truth.unknown:
        return
    found: list[int] = list(each(record.wrong))
    if work.truth.guess:
        if work.truth.origin != tuple(range(len(sent))):
            return
        found = [i for i, (a, b) in enumerate(zip(sent, record.octets, strict=False)) if a != b]
    if len(found) <= FOREIGN:
        yield from (i for i in found if i < len(sent))


def texts_struck(work: Work, names: Census) -> set[int]:
    """What was sent where octets of texts and names were struck; ``names`` knows how they were."""
    found = {i for p in work.found if p.role in ("text", "name") for i in range(*p[:2])}
    octets = {work.truth.octets[i] for i in struck(work) if i in found}
    for part in work.found:
        value = work.truth.octets[part.start : part.stop]
        base = names.base(value) if part.role == "name" else None
        octets |= {b for a, b in zip(value, base or b"", strict=False) if a != b}
    return octets


def held_spans(work: Work) -> list[range]:
    """Octets of a frame that may stay as they were, part by part; ``Work.stay`` numbers them."""
    size = len(work.truth.octets)
    sent = [range(p.start, min(p.stop, size)) for p in work.found if p.role != "padding"]
    return sent + [range(size + a, size + b) for a, b in runs(work.truth.foreign)]


def hides_enough(work: Work, stay: frozenset[int]) -> bool:
    """Whether of no part of a frame more than half stays."""
    return all(2 * len(stay.intersection(span)) <= len(span) for span in held_spans(work))
