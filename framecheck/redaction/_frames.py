"""The octets of each dump of a log after redaction, worked out frame by frame.

Two rounds: first every private part gets its stand-in, then sums are carried along, because the
sum of a datagram in fragments covers octets of several frames.
"""

from __future__ import annotations

from collections import deque
from collections.abc import Iterable, Sequence
from dataclasses import replace

from framecheck.core.span import count, each, runs
from framecheck.core.view import View
from framecheck.damage import Fill, fill
from framecheck.judging import judge
from framecheck.redaction._as_read import addressed, numbered, numbers, read_so
from framecheck.redaction._carrying import Shares, carry, level, part_of_datagram, shares_of
from framecheck.redaction._ends import apart, back, front, old_text
from framecheck.redaction._fills import left_there
from framecheck.redaction._parts import Part
from framecheck.redaction._standins import Choice, Standins
from framecheck.redaction._sums import Quoted, carried_along
from framecheck.redaction._turning import said, turned
from framecheck.redaction._work import FOREIGN, Earlier, Work, start_of, struck

_FILLS = tuple(fill(name) for name in ("letters", "counting", "odd-parity"))
_BEFORE = 8
"""Earlier frames whose octets a padding may still hold."""
_LIKE = 3
_MOST_TEXTS = 40
"""Choices of texts that are tried for one frame."""


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
    shares = shares_of(works)
    for work in works:
        carry(work, shares, quoted)
        if level(work):
            carry(work, shares, quoted)
        if not _alike(work):
            _liken(work, choice, fills, shares, quoted)
    for work in works:
        standins = choice.of(work.record.number)
        if _renew(work):
            carry(work, shares, quoted)
        _finish(work, standins, fills, quoted, choice.guard)
        if work.as_read and choice.guard.leaves(work.octets, names=True):
            plain = replace(work, as_read=False)
            _stand_in(plain, standins, fills, (), choice.guard)
            carry(plain, shares, quoted)
            _finish(plain, standins, fills, quoted, choice.guard)
            work.octets, work.tail = plain.octets, plain.tail


def _settle(work: Work, choice: Choice, fills: Sequence[Fill], earlier: Iterable[Earlier]) -> None:
    """Choose stand-ins of a frame of its own by what its rules say of it alone, if they do."""
    if work.stay or part_of_datagram(work) is not None:
        return
    start, wanted = work.record.frame.starts_at, None
    for standins in choice.draws(work.record.number):
        wanted = wanted or said(work.record.octets, start)
        _stand_in(work, standins, fills, earlier, choice.guard)
        carry(work, {}, Quoted())
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
        work.new = read_so(work, standins, guard)
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
        if count(work.record.wrong) <= FOREIGN:
            still |= set(each(work.record.wrong)) & payload
    elif work.hold:
        still |= set(struck(work)) & (payload | named)
    for i in still | work.stay:
        if i < len(old):
            new[i] = old[i]
    if work.as_numbers:
        new = numbered(work, new, guard, standins)
    elif not work.probe:
        held = work.truth.held or bytearray
        turned(new, work.layers, start_of(work.record), guard, standins, held)
    work.new = new if work.truth.held is None else work.truth.held(bytes(new))


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
    if part_of_datagram(work) is None:
        for turn in range(_MOST_TEXTS):
            _stand_in(work, choice.worded(turn), fills, (), choice.guard)
            carry(work, shares, quoted)
            if _alike(work):
                return
        ip = next((x for x in work.layers if x.kind in ("ipv4", "ipv6")), None)
        if ip is not None and ip.whole("source_address"):
            at = ip["source_address"].stop // 8 - 1
            for host in range(1, 255):
                work.new = bytearray(kept)
                work.new[at] = host
                carry(work, shares, quoted)
                if _alike(work):
                    return
    work.new = kept


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
    still = set(left_there(record.octets, fills, record.frame.head))
    for i in each(record.residue):
        if i < len(received) and any(
            f.octets(record.frame.head + i, record.frame.head + i + 1)[0] == record.octets[i]
            for f in fills
        ):
            received[i] = record.octets[i]
            still.add(i)
    filled = still | set(each(record.residue))
    foreign = [i for i in work.truth.foreign if i not in filled and i < len(received)]
    if not work.probe:
        stay = numbers(record) if work.as_numbers else ()
        for i in (i for i in foreign if i not in stay and i + len(old) not in work.stay):
            received[i] = standins.substitution.table[record.octets[i]]
        for start, stop, role in () if work.hold else addressed(work):
            if set(range(start, stop)) <= set(foreign):
                value = record.octets[start:stop]
                received[start:stop] = standins.address(role, value)
    if work.truth.octets is not record.octets and work.truth.origin == tuple(range(len(received))):
        kept = bytes(received)
        old_text(old, received, record.octets, standins)
        for i in still:
            received[i] = kept[i]
    work.octets = bytes(received)
    work.tail = back(record.frame, work.octets, standins)
    if guard.leaves(work.octets + work.tail, names=True):
        work.tail = apart(record.frame, work.octets, work.tail, guard, standins)
