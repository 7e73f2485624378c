"""Where each received octet came from: octets lost, put in, doubled, and so moved.

Of all alignments that keep the order, the one that says the received octets in the fewest bits: a
wrong octet costs its value and a flag, an octet put in its value, a jump (from one shift to
another) its place and its size. Jumps in front and behind are cheaper than inside: that is where
headers and sums stand. Lengths to a jumbo frame take milliseconds: shifts come from pieces of
four octets that both sides hold, and only where losses are dense (one octet in n) is a whole edit
distance computed, by bit vectors.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence

from framecheck.evidence._distance import path
from framecheck.evidence._in_place import in_place
from framecheck.evidence._regular import regular
from framecheck.evidence._stays import Block, in_their_places

WRONG = 9.0
"""Bits of an octet that is not what was sent: its value, and that it is wrong."""
EXTRA = 9.5
"""Bits of an octet that was put in: its value, and more than if it were only wrong."""
LOST = 1.0
"""Bits of each octet that is lost in one piece with others."""
JUMP = 6.0
"""Bits of a jump inside the frame, besides those that say where."""
EDGE = 8.0
"""Bits of a jump at the frame's start or end, or where its link header ends."""
_EDGES = (0, 12, 14)
_DENSE = 7.0
"""Bits of a jump when there is one in every few octets."""
_BY_RULE = 0.5
"""Bits of a jump that comes after every so many octets."""
_FEW = 3
"""Wrong octets that are left before many jumps are thought of."""
_BETWEEN = 0.25
"""Bits of an octet without a jump when there is one in every few."""
_PIECE = 4
_VOTES = 4
"""Pieces that must agree on a shift before it is looked at."""
_SHIFTS = 8
"""Shifts that are looked at together; more of them are dense losses."""
_COMMON = 8
"""Places of the same piece in the sent frame from which on it says nothing."""
LONGEST = 10000
"""Octets up to which shifts are searched; longer ones are compared in place."""

_FLAGS = bytes((0, *([1] * 255)))


def align(received: bytes, sent: bytes, before: bytes | None = None) -> tuple[Block, ...]:
    """The blocks that belong together, ascending on both sides, without overlap.

    What no block holds of ``received`` was put in, of ``sent`` was lost. ``before``: what the
    buffer held before at the received offsets, when that is known: an octet that still holds it
    was not written, which is likelier than that it is another octet of the frame.
    """
    size = min(len(received), len(sent))
    plain: tuple[Block, ...] = (Block(0, 0, size),) if size else ()
    if not size or received[:size] == sent[:size]:
        return plain
    wrong = sum(_flags(received, sent, 0, before)[:size])
    uneven = len(received) != len(sent)
    if wrong * WRONG <= EDGE or (not uneven and wrong * WRONG <= 2 * JUMP):
        return plain
    if max(len(received), len(sent)) > LONGEST:
        return plain
    shifts, dense = _shifts(received, sent)
    best, cost = plain, _price(plain, received, sent, None, before)
    if len(shifts) > 1:
        found = _along(received, sent, shifts, before)
        price = _price(found, received, sent, None, before)
        if price < cost:
            best, cost = found, price
    left = sum(_wrong(b, received, sent, before) for b in best)
    if dense or (uneven and (left >= _FEW or len(best) > _FEW)):
        for found, jump in _many(received, sent):
            price = _price(found, received, sent, jump, before)
            if price < cost:
                best, cost = found, price
    if (
        best is plain
        or in_place(received, sent, before) + abs(len(received) - len(sent)) * EXTRA < cost
    ):
        return plain
    return in_their_places(_slid(best, received, sent), received, sent)


def _many(received: bytes, sent: bytes) -> Iterator[tuple[tuple[Block, ...], float]]:
    """Alignments with many jumps, and the bits of each jump: by rule, and as they come."""
    for blocks in regular(received, sent):
        yield tuple(Block(*b) for b in blocks), _BY_RULE
    yield tuple(Block(*b) for b in path(received, sent)), _DENSE


def _flags(received: bytes, sent: bytes, shift: int, before: bytes | None) -> bytes:
    """One octet for each received one: 1 where sent octet i - shift is another, or is none."""
    if shift >= 0:
        expected = bytes(min(shift, len(received))) + sent[: max(0, len(received) - shift)]
    else:
        expected = sent[-shift : -shift + len(received)]
    expected = expected[: len(received)]
    flags = _differ(received[: len(expected)], expected).translate(_FLAGS)
    flags = b"\1" * min(shift, len(received)) + flags[shift:] if shift > 0 else flags
    flags += b"\1" * (len(received) - len(flags))
    if before is not None and shift == 0:
        old = _differ(received[: len(before)], before[: len(received)]).translate(_FLAGS)
        old += b"\1" * (len(received) - len(old))
        if old.count(0):
            flags = bytes(map(min, flags, old))
    return flags


def _differ(a: bytes, b: bytes) -> bytes:
    """Octet by octet, zero where equal."""
    return (int.from_bytes(a, "big") ^ int.from_bytes(b, "big")).to_bytes(len(a), "big")


def _wrong(block: Block, received: bytes, sent: bytes, before: bytes | None) -> int:
    """Wrong octets of a block."""
    start, stop = block.received, block.received + block.size
    ours, theirs = received[start:stop], sent[block.sent : block.sent + block.size]
    if before is not None and start == block.sent:
        return sum(_flags(ours, theirs, 0, before[start:stop]))
    return block.size - _differ(ours, theirs).count(0)


def _shifts(received: bytes, sent: bytes) -> tuple[list[int], bool]:
    """Shifts that pieces of both sides agree on, 0 first; and whether there are too many."""
    where: dict[bytes, list[int]] = {}
    for j in range(len(sent) - _PIECE + 1):
        where.setdefault(sent[j : j + _PIECE], []).append(j)
    votes: Counter[int] = Counter()
    for i in range(len(received) - _PIECE + 1):
        places = where.get(received[i : i + _PIECE], ())
        if len(places) <= _COMMON:
            votes.update([i - j for j in places])
    shifts = [s for s, n in votes.most_common() if n >= _VOTES and s]
    even = len(received) - len(sent)
    chosen = list(dict.fromkeys((0, even, *shifts[:_SHIFTS])))
    return chosen, len(shifts) > _SHIFTS


def _jump(at: int, length: int) -> float:
    return EDGE if at in _EDGES or at == length else JUMP + length.bit_length()


def _along(
    received: bytes, sent: bytes, shifts: Sequence[int], before: bytes | None
) -> tuple[Block, ...]:
    """The cheapest way through the frame along the given shifts.

    ``cost[s][i]``: bits of the received octets before i when i stands at shift s. A way changes
    its shift where matching octets begin, or where headers end: nowhere else is it cheaper.
    """
    size = len(received)
    flags = {s: _flags(received, sent, s, before) for s in shifts}
    usual = {s: {at + max(0, s - o) for o in shifts if o != s for at in _EDGES[1:]} for s in shifts}
    cost: dict[int, list[float]] = {}
    came: dict[tuple[int, int], tuple[int, int]] = {}
    for s in shifts:
        front = EDGE + (s * EXTRA if s > 0 else -s * LOST) if s else 0.0
        cost[s] = [1e18] * min(size, max(0, s)) + [front]
        if len(cost[s]) > size + 1:
            cost[s] = [1e18] * (size + 1)
    for i in range(size):
        for s in shifts:
            row = cost[s]
            if len(row) <= i:
                continue
            if i and ((not flags[s][i] and flags[s][i - 1]) or i in usual[s]):
                _enter(i, s, shifts, cost, came, received)
            if len(row) == i + 1:
                row.append(row[i] + WRONG * flags[s][i])
    return _back(cost, came, shifts, size, len(sent))


def _enter(
    i: int,
    s: int,
    shifts: Sequence[int],
    cost: dict[int, list[float]],
    came: dict[tuple[int, int], tuple[int, int]],
    received: bytes,
) -> None:
    """Whether octet i at shift s is reached more cheaply from another shift."""
    row, size = cost[s], len(received)
    for other in shifts:
        gain = s - other
        start = i - gain if gain > 0 else i
        if not gain or start < 0 or start >= len(cost[other]):
            continue
        more = _put_in(received, start, i) if gain > 0 else -gain * LOST
        price = cost[other][start] + _jump(start, size) + more
        if price < row[i]:
            row[i] = price
            came[s, i] = (other, start)


def _put_in(received: bytes, start: int, stop: int) -> float:
    """Bits of octets that were put in: none if they say again what stands before or behind."""
    size = stop - start
    these = received[start:stop]
    if these not in (received[max(0, start - size) : start], received[stop : stop + size]):
        return size * EXTRA
    plain = these.count(these[0]) == size  # one more of many zeros, say, is no doubled word
    return (size - 1) * EXTRA if plain else 0.0


def _slid(blocks: tuple[Block, ...], received: bytes, sent: bytes) -> tuple[Block, ...]:
    """Each insertion moved a little, to where the octets put in say their neighbours again."""
    slid = [Block(0, 0, 0)]
    for block in blocks:
        last = slid[-1]
        start, extra = last.received + last.size, block.received - last.received - last.size
        if extra > 0 and block.sent == last.sent + last.size:
            low = max(last.received, start - 2 * extra - 2)
            high = min(block.received + block.size - extra, start + 2 * extra + 2)
            at = _best_start(low, start, high, extra, block.received - block.sent, received, sent)
            move = at - start
            slid[-1] = last._replace(size=last.size + move)
            block = Block(block.received + move, block.sent + move, block.size - move)
        slid.append(block)
    return tuple(b for b in slid if b.size)


def _best_start(
    low: int, start: int, high: int, extra: int, shift: int, received: bytes, sent: bytes
) -> int:
    """Where octets were put in, between two places; ``start`` unless another is cheaper.

    ``shift``: of what stands behind them.
    """

    def bits(at: int) -> float:
        wrong = sum(received[i] != sent[i - shift + extra] for i in range(low, at))
        wrong += sum(received[i] != sent[i - shift] for i in range(at + extra, high + extra))
        return wrong * WRONG + _put_in(received, at, at + extra) + _jump(at, len(received))

    return min(range(low, high + 1), key=lambda at: (bits(at), at != start))


def _back(
    cost: dict[int, list[float]],
    came: dict[tuple[int, int], tuple[int, int]],
    shifts: Sequence[int],
    size: int,
    length: int,
) -> tuple[Block, ...]:
    """From the cheapest end back to the front; what stands behind the sent frame is put in."""

    def end(s: int) -> float:
        over = size - s - length  # received octets behind the last sent one
        spare = min(over, size) if over > 0 else 0
        tail = spare * (EXTRA - WRONG) if spare else -over * LOST
        return cost[s][size] + tail + (EDGE if over else 0.0)

    s, i = min(shifts, key=end), size
    blocks: list[Block] = []
    while True:
        start = i
        while start > 0 and (s, start) not in came:
            start -= 1
        begin = max(start, s, 0)
        stop = min(i, length + s)
        if stop > begin:
            blocks.append(Block(begin, begin - s, stop - begin))
        if (s, start) not in came:
            break
        s, i = came[s, start]
    return tuple(reversed(blocks))


def _price(
    blocks: Sequence[Block],
    received: bytes,
    sent: bytes,
    jump: float | None,
    before: bytes | None,
) -> float:
    """Bits of an alignment; with ``jump`` bits a jump where there are many."""
    bits = 0.0 if jump is None else _BETWEEN * len(received)
    i = j = 0
    for block in (*blocks, Block(len(received), len(sent), 0)):
        extra, lost = block.received - i, block.sent - j
        if extra or lost:
            bits += _jump(i, len(received)) if jump is None else jump
            bits += (_put_in(received, i, block.received) if extra > 0 else 0.0) + lost * LOST
        if block.size:
            bits += WRONG * _wrong(block, received, sent, before)
        i, j = block.received + block.size, block.sent + block.size
    return bits


__all__ = ["Block", "align"]
