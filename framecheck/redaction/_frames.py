"""The octets of each dump of a log after redaction, worked out frame by frame.

Two rounds: first every private part gets its stand-in, then sums are carried along, because the
sum of a datagram in fragments covers octets of several frames.
"""

from __future__ import annotations

from collections import Counter, deque
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, field, replace
from typing import NamedTuple

from framecheck.core.finding import Host
from framecheck.core.layer import Layer
from framecheck.core.sheet import FrameRecord
from framecheck.core.span import count, each, runs
from framecheck.core.view import View
from framecheck.damage import Fill, fill
from framecheck.damage.probes import BOARD, SENDER, told
from framecheck.judging import judge
from framecheck.judging.memory.fragments import Key, part_of
from framecheck.judging.memory.fragments import Part as FragmentPart
from framecheck.layers import decode_frame
from framecheck.redaction._census import ADDRESSES, Census
from framecheck.redaction._ends import apart, back, front
from framecheck.redaction._fills import left_there
from framecheck.redaction._parts import Part, parts
from framecheck.redaction._standins import Choice, Standins
from framecheck.redaction._sums import (
    Quoted,
    balanced,
    carried_along,
    change_of,
    lower,
    off_by,
)
from framecheck.redaction._truth import Truth, guessed, truth_of
from framecheck.redaction._turning import said, turned

_FILLS = tuple(fill(name) for name in ("letters", "counting", "odd-parity"))
_BEFORE = 8
"""Earlier frames whose octets a padding may still hold."""
_MOST_GUESSES = 4
"""Damages of which one may have happened that are taken up."""
_LIKE = 3
_LONGEST_NUMBER = 32
"""Bits of a field that is a number, and no list of them."""
_MOST_TEXTS = 40
"""Choices of texts that are tried for one frame."""
_FOREIGN = 8
"""Wrong octets that stay: by how much a sum is off tells what they should have been."""
Shares = dict[Key, dict[int, int]]


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
    layers = record.layers if same else decode_frame(truth.octets, _start(record))
    probe = told(record.octets) is not None
    return Work(record, truth, layers, tuple(parts(layers, truth.octets)), probe)


def _start(record: FrameRecord) -> str:
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
    work.layers = decode_frame(work.truth.octets, _start(work.record))


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


def exchange(works: Sequence[Work], choice: Choice, known_fill: Fill | None) -> None:
    """Work out ``octets`` and ``tail`` of every frame."""
    fills = (*((known_fill,) if known_fill is not None else ()), *_FILLS)
    earlier: deque[Earlier] = deque(maxlen=_BEFORE)
    for work in works:
        _settle(work, choice, fills, earlier)
        standins = choice.of(work.record.number)
        _stand_in(work, standins, fills, earlier, choice.guard)
        assert work.new is not None
        work.front = front(work.record.frame, standins, fills)
        head = work.record.frame.dump.octets[: work.record.frame.head]
        after = bytes(work.truth.received(bytes(work.new)))
        earlier.append(Earlier(work, head + work.record.octets, work.front + after))
    quoted = Quoted()
    shares = _shares(works)
    for work in works:
        _carry(work, shares, quoted)
        if _level(work):
            _carry(work, shares, quoted)
        if not _alike(work):
            _liken(work, choice, fills, shares, quoted)
    for work in works:
        standins = choice.of(work.record.number)
        if _renew(work):
            _carry(work, shares, quoted)
        _finish(work, standins, fills, quoted, choice.guard)
        if work.as_read and choice.guard.leaves(work.octets, names=True):
            plain = replace(work, as_read=False)
            _stand_in(plain, standins, fills, (), choice.guard)
            _carry(plain, shares, quoted)
            _finish(plain, standins, fills, quoted, choice.guard)
            work.octets, work.tail = plain.octets, plain.tail


def _settle(work: Work, choice: Choice, fills: Sequence[Fill], earlier: Iterable[Earlier]) -> None:
    """Choose stand-ins of a frame of its own by what its rules say of it alone, if they do."""
    if _part(work) is not None:
        return
    start = work.record.frame.starts_at
    wanted = said(work.record.octets, start)
    for standins in choice.draws(work.record.number):
        _stand_in(work, standins, fills, earlier, choice.guard)
        _carry(work, {}, Quoted())
        _finish(work, standins, fills, Quoted(), choice.guard)
        if _alike(work) and said(work.octets, start) == wanted:
            choice.settle(work.record.number, standins)
            return


def hide(work: Work, standins: Standins, guard: Standins) -> None:
    """Exchange every octet of a frame; what is left of an address even then becomes zeros."""
    new = bytearray(work.front + standins.substitution.of(work.record.octets) + work.tail)
    while guard.leaves(bytes(new), names=True):
        for start, stop in guard.left(bytes(new), names=True):
            new[start:stop] = bytes(stop - start)
    first, behind = len(work.front), len(new) - len(work.tail)
    work.front, work.octets, work.tail = (
        bytes(new[:first]),
        bytes(new[first:behind]),
        bytes(new[behind:]),
    )


def _stand_in(
    work: Work,
    standins: Standins,
    fills: Sequence[Fill],
    earlier: Iterable[Earlier],
    guard: Standins,
) -> None:
    old = work.truth.octets
    work.copies.clear()
    if work.as_read:
        work.new = _read_so(work, standins, guard)
        return
    payload = {i for p in work.found if p.role in ("text", "padding") for i in range(*p[:2])}
    named = {i for p in work.found if p.role in ("name", "names") for i in range(*p[:2])}
    found = work.found
    if work.probe:
        found = tuple(p for p in found if p.role not in ("text", "padding"))
    new = standins.of(old, found)
    if not work.probe:
        for part in work.found:
            if part.role == "padding":
                new[part.start : part.stop] = _padding(work, part, standins, earlier)
    head = work.record.frame.head
    filled = set(left_there(old, fills, head))
    # At a frame's end a fill was left there by the transfer, whatever it would read as.
    left = range(next((i for i in reversed(range(len(old))) if i not in filled), -1) + 1, len(old))
    still = filled & payload | set(left)
    if old is work.record.octets:
        still |= set(each(work.record.residue))
        if count(work.record.wrong) <= _FOREIGN:
            still |= set(each(work.record.wrong)) & payload
    elif work.hold:
        still |= set(struck(work)) & (payload | named)
    for i in still | work.stay:
        if i < len(old):
            new[i] = old[i]
    if work.as_numbers:
        new = _numbered(work, new, guard, standins)
    elif not work.probe:
        held = work.truth.held or bytearray
        turned(new, work.layers, _start(work.record), guard, standins, held)
    work.new = new if work.truth.held is None else work.truth.held(bytes(new))


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
    if len(found) <= _FOREIGN:
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


def _read_so(work: Work, standins: Standins, guard: Standins) -> bytearray:
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


def _numbered(work: Work, new: bytearray, guard: Standins, standins: Standins) -> bytearray:
    """What was sent, with the numbers that the octets as they came are read to have."""
    record = work.record
    received = work.truth.received(bytes(new))
    for i in _numbers(record) - _hiding(work):
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
    return {i for i in lists & _numbers(record) if sent.get(i) in texts}


def _numbers(record: FrameRecord) -> set[int]:
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


def _free(work: Work) -> frozenset[int]:
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


def _padding(work: Work, part: Part, standins: Standins, earlier: Iterable[Earlier]) -> bytes:
    """Padding: what an earlier frame left there comes out as that frame did; zeros stay."""
    old = work.truth.octets[part.start : part.stop]
    if not any(old):
        return old
    out = bytearray(standins.text(old))
    at = work.record.frame.head + part.start
    found = []
    for source, before, after in earlier:
        left = before[at : at + len(old)]
        same = (i for i, (a, b) in enumerate(zip(old, left, strict=False)) if a == b)
        for start, stop in runs(same):
            if stop - start >= _LIKE and any(old[start:stop]):
                # Zeros at its ends tell nothing, and may be others in what that frame became.
                start = next(i for i in range(start, stop) if old[i])
                stop = next(i for i in range(stop, start, -1) if old[i - 1])
                found.append((start, stop, after[at + start : at + stop], source))
    # What is alike for longest is what was left there.
    for start, stop, new, source in sorted(found, key=lambda f: f[1] - f[0]):
        out[start:stop] = new
        for k, octet in enumerate(new, start):
            work.copies[part.start + k] = source, at + k, octet
    return bytes(out)


def _renew(work: Work) -> bool:
    """Padding that an earlier frame left, as that frame has come out in the end; if it changed."""
    assert work.new is not None
    before = bytes(work.new)
    for i, (source, at, was) in work.copies.items():
        now = (source.front + source.octets)[at : at + 1]
        if i < len(work.new) and work.new[i] == was and now:
            work.new[i] = now[0]
    return work.new != before


def _alike(work: Work) -> bool:
    """Whether the same octets came as they were sent: two that are equal do when exchanged."""
    if not work.truth.in_place or work.probe or work.new is None:
        return True
    return _as_sent(work, work.truth.octets) == _as_sent(work, bytes(work.new))


def _as_sent(work: Work, sent: bytes) -> list[bool]:
    return [a == b for a, b in zip(sent, work.truth.received(sent), strict=False)]


def _liken(
    work: Work, choice: Choice, fills: Sequence[Fill], shares: Shares, quoted: Quoted
) -> None:
    """Look for stand-ins of this frame alone with which the same octets come as they were sent.

    Other texts first; then another host in the source address, whose last octet turns the sums.
    """
    kept = bytearray(work.new or b"")
    if _part(work) is None:
        for turn in range(_MOST_TEXTS):
            _stand_in(work, choice.worded(turn), fills, (), choice.guard)
            _carry(work, shares, quoted)
            if _alike(work):
                return
        ip = next((x for x in work.layers if x.kind in ("ipv4", "ipv6")), None)
        if ip is not None and ip.whole("source_address"):
            at = ip["source_address"].stop // 8 - 1
            for host in range(1, 255):
                work.new = bytearray(kept)
                work.new[at] = host
                _carry(work, shares, quoted)
                if _alike(work):
                    return
    work.new = kept


def _level(work: Work) -> bool:
    """Keep by how much sums of what came are off; whether a private word changed for it.

    Where a length was struck, a sum is taken over fewer octets than were sent: what the others
    add up to is by how much it is off.
    """
    record, new, origin = work.record, work.new, work.truth.origin
    if new is None or not origin or work.as_read or work.truth.octets is record.octets:
        return False
    private = {i for p in work.found if p.role != "padding" for i in range(p.start, p.stop)}
    received = bytes(work.truth.received(bytes(new)))
    for verdict in record.verdicts:
        if verdict.field is None or not verdict.name.endswith("checksum"):
            continue
        if verdict.outcome != "mismatch":
            continue
        covered = {i for span in verdict.covers for i in range(*span.octets)}
        off = off_by(verdict, record.octets, received)
        free = (
            i
            for i in range(verdict.field.stop // 8, len(received) - 1)
            if not {i, i + 1} & covered and {origin[i], origin[i + 1]} <= private
            if not (i - verdict.field.start // 8) % 2 and origin[i + 1] == (origin[i] or 0) + 1
        )
        at = next(free, None) if off else None
        if at is not None and (sent := origin[at]) is not None:
            word = (int.from_bytes(new[sent : sent + 2], "big") + off) % 0xFFFF
            new[sent : sent + 2] = word.to_bytes(2, "big")
            return True
    return False


def _shares(works: Sequence[Work]) -> Shares:
    """By how much fragments behind the first make the sum of their datagram grow."""
    shares: Shares = {}
    for work in works:
        part = _part(work)
        if part is not None and part.offset and work.new is not None:
            grown = _grown(work, part.at, part.at + len(part.data))
            shares.setdefault(part.key, {})[part.offset] = grown
    return shares


def _part(work: Work) -> FragmentPart | None:
    """What of which datagram a frame is; None when it is no fragment."""
    return part_of(View(work.truth.octets, work.layers))


def _grown(work: Work, start: int, stop: int) -> int:
    assert work.new is not None
    return change_of(work.truth.octets[start:stop], bytes(work.new[start:stop]))


def _carry(work: Work, shares: Shares, quoted: Quoted) -> None:
    old, new = work.truth.octets, work.new
    assert new is not None
    verdicts, _ = judge(View(old, work.layers))
    if work.as_read:
        balanced(verdicts, old, new, _free(work))
        return
    carried_along(verdicts, work.layers, old, new)
    part = _part(work)
    # A sum of which no other part came is never looked at, and may be quoted as it is.
    if part is not None and not part.offset and part.key in shares:
        _carry_datagram(work, part, sum(shares[part.key].values()))
    if old is not work.record.octets:  # a quote is held against what came
        received = work.truth.received(bytes(new))
        quoted.note(work.record.layers, work.record.octets, received)
    quoted.note(work.layers, old, bytes(new))


def _carry_datagram(work: Work, part: FragmentPart, others: int) -> None:
    """The transport's sum over a datagram of which this frame has the first part."""
    above = next((x for x in work.layers if x.start >= part.at * 8 and x.get("checksum")), None)
    field = above.get("checksum") if above is not None else None
    if above is None or field is None or not field.whole or work.new is None:
        return
    if above.kind == "udp" and not field.number:
        return
    grown = _grown(work, above.start // 8, part.at + len(part.data)) + others
    if above.kind != "icmp":  # the others cover the addresses too
        ip = part.ip
        grown += _grown(work, ip["source_address"].start // 8, ip["destination_address"].stop // 8)
    lower(work.new, work.truth.octets, field.span, grown)


def _addressed(work: Work) -> Iterator[Part]:
    """Addresses as the octets that came are read: also where no sent octet stands."""
    for part in parts(work.record.layers, work.record.octets):
        if ADDRESSES.get(part.role) == part.stop - part.start:
            yield part


def _finish(
    work: Work, standins: Standins, fills: Sequence[Fill], quoted: Quoted, guard: Standins
) -> None:
    record, old, new = work.record, work.truth.octets, work.new
    assert new is not None
    if any(x.quoted for x in work.layers):
        before = bytearray(new)
        quoted.restore(work.layers, old, new)
        if new != before:
            work_verdicts, _ = judge(View(old, work.layers))
            outer = [v for v in work_verdicts if v.name.startswith("icmp")]
            carried_along(outer, (), old, new)
    received = work.truth.received(bytes(new))
    for i in each(record.residue):
        if i < len(received) and any(
            f.octets(record.frame.head + i, record.frame.head + i + 1)[0] == record.octets[i]
            for f in fills
        ):
            received[i] = record.octets[i]
    filled = set(left_there(record.octets, fills, record.frame.head)) | set(each(record.residue))
    foreign = [i for i in work.truth.foreign if i not in filled and i < len(received)]
    if not work.probe:
        stay = _numbers(record) if work.as_numbers else ()
        for i in (i for i in foreign if i not in stay and i + len(old) not in work.stay):
            received[i] = standins.substitution.table[record.octets[i]]
        for start, stop, role in () if work.hold else _addressed(work):
            if set(range(start, stop)) <= set(foreign):
                value = record.octets[start:stop]
                received[start:stop] = standins.address(role, value)
    work.octets = bytes(received)
    work.tail = back(record.frame, work.octets, standins)
    if guard.leaves(work.octets + work.tail, names=True):
        work.tail = apart(record.frame, work.octets, work.tail, guard, standins)
