"""Which probe was this? From received octets, damaged or not, to the frame that was sent.

Two right neighbours name their offset (``_walk``), so octets that came through in runs are found
wherever they stand; XOR with the walk then leaves the kind and, at the slots, bits of the number
and of the length. What came without right neighbours (every second octet, a stuck line) is held
against the walk where it should stand.
"""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterable, Iterator, Sequence
from functools import cache, lru_cache
from itertools import pairwise
from typing import NamedTuple

from framecheck.core.sums import ones_sum
from framecheck.damage.probes._content import (
    BOARD,
    KINDS,
    LONGEST,
    NUMBER_BITS,
    NUMBERS,
    REST_BITS,
    SENDER,
    SHORTEST,
    Addresses,
    Name,
    built,
    cells,
    starts,
)
from framecheck.damage.probes._variants import exchanges, slips
from framecheck.damage.probes._walk import BLOCK, FIRST, KEYS, STOP, WALK, choices, is_slot, places

_RUN = 5
"""Octets of even parity in a row from which a look at their pairs pays."""
_EVEN = bytes(n for n in range(256) if n.bit_count() % 2 == 0 and n not in KEYS)
_RUNS = re.compile(b"[" + re.escape(_EVEN) + b"]{%d,}" % _RUN)
_LONG_RUN = 12
"""As many where all octets are exchanged or slipped: then a probe has long runs of them."""
_LONG_RUNS = re.compile(b"[" + re.escape(_EVEN) + b"]{%d,}" % _LONG_RUN)
_KEYS = bytes(KEYS)
_HEADERS = 42
"""Octets of Ethernet, IPv4 and UDP headers."""
_SURE = 24
"""Octets of a content that make sure of it."""
_GAP = 4
"""Octets that may be wrong between two of one run."""
_FEWEST = 10
"""Octets that must bear a number out: eight bits each, against all offsets and exchanges tried."""
_FRONT = 40
"""Octets that must bear out a newer number than that of most: fewer may be of two frames."""
_NEAR = 24
"""Octets by which a probe is looked for before and behind its place, where it has no runs."""

_GLANCE = 192
"""Octets that name a probe which came whole."""
_SAMPLE = slice(42, 170)
"""Octets by which ways to see a probe are compared before they are tried on all."""
_ENOUGH = 0.85
"""Share of the octets that a way to see a probe bears out, from which no other is looked for."""
_CUT = 2.75
"""Octets' worth of evidence that each cut costs when two ways to see a probe are compared."""
_STEADY = 0.3
"""Margin, as a share of all, from which scattered octets agree on a bit."""

_REMEMBERED = 64
"""Frames whose probe is remembered: several ask for it one after another."""

Item = tuple[int, int]
"""An offset of the walk, and the received octet XOR the walk's: one of the keys."""


class Telling(NamedTuple):
    """What a received frame says of the probe that was sent."""

    number: int
    """0 to 63."""
    length: int
    """Octets of the frame as it was sent."""
    kind: str
    to: Addresses | None
    """Where it was sent to; None when nothing that came through says so."""
    frame: bytes | None
    """The frame as it was sent, without FCS; None without ``to``."""
    seen: int
    """Received octets that bear it out."""
    others: tuple[int, ...] = ()
    """Numbers of other probes of which parts stand in it."""

    @property
    def sure(self) -> bool:
        """Whether it is this probe, and not another frame with some octets like it.

        A header to our port alone may be of another frame, whose content then says otherwise.
        """
        return self.seen > _HEADERS or (self.kind == "ethernet" and self.seen >= _SURE)


class _Piece(NamedTuple):
    """Octets that agree on one frame."""

    key: int
    known: dict[int, int]
    """Values of the bits of the frame's name, as far as they came through."""
    octets: int
    last: int
    """Offset of its last octet."""

    @property
    def number(self) -> int | None:
        return _value(self.known, range(NUMBER_BITS))


class _Found(NamedTuple):
    octets: bytes
    shift: int
    """Offset in the frame less the place in ``octets``, of the first run."""
    pieces: list[_Piece]
    weight: float
    """Octets that bear it out, less the price of each cut between them."""


def told(received: bytes, to: Addresses | None = None) -> bytes | None:
    """The probe that was sent, as it was sent, or None when this is no probe that can be told.

    ``received``: a frame as it was printed, however damaged; ``to``: where the probes went, for
    frames whose own addresses are gone. Never raises.
    """
    found = tell(received, to)
    return found.frame if found else None


def told_all(received: Sequence[bytes], to: Addresses | None = None) -> list[bytes | None]:
    """``told`` for the frames of one log: where most went, the others went too."""
    found = [tell(octets, to) for octets in received]
    if to is None:
        known = Counter(t.to for t in found if t and t.to and t.to != BOARD)
        if known:
            most = known.most_common(1)[0][0]
            for i, t in enumerate(found):
                if t and t.to != BOARD and t.to != most:
                    found[i] = tell(received[i], most)
    return [t.frame if t else None for t in found]


@lru_cache(_REMEMBERED)
def tell(received: bytes, to: Addresses | None = None) -> Telling | None:
    """The probe of which most octets stand in the received ones, or None; see ``told``.

    The same octets are looked at once.
    """
    whole = _as_sent(received, to)
    if whole is not None:
        return whole
    found = _in_place(received, 0)
    enough = _ENOUGH * (len(received) - FIRST)
    if found is None or found.weight < enough:
        for other in _looks(received, found is None or found.weight < enough / 2):
            if found is None or other.weight > found.weight:
                found = other
            if found.weight >= enough and found.pieces[0].octets >= enough:
                break
    said = _telling(found, len(received), to) if found else None
    return said or _by_header(received)


def _as_sent(received: bytes, to: Addresses | None) -> Telling | None:
    """The probe that these octets are without damage: told by the first of them, and compared."""
    found = _in_place(received[:_GLANCE], 0)
    said = _telling(found, len(received), to) if found else None
    if said is None or said.frame != received:
        return None
    return said._replace(seen=len(received) - FIRST)


def _looks(received: bytes, all_ways: bool) -> Iterator[_Found]:
    """Ways to see a probe in the octets, the likeliest first; or only as they stand."""
    if not all_ways:
        found = _by_pairs(received)
        if found:
            yield found
        return
    longest = max((m.end() - m.start() for m in _RUNS.finditer(received)), default=0)
    seen = [received] if longest >= _RUN else []
    seen += exchanges(received) if longest >= _LONG_RUN else ()
    seen += [octets for octets in slips(received) if _LONG_RUNS.search(octets)]
    for octets in _promising(seen):
        found = _by_pairs(octets)
        if found:
            yield found
    for shift in sorted(range(-_NEAR, _NEAR + 1), key=abs):
        found = _in_place(received, shift)
        if found:
            yield found
    for order in _thinned():
        found = _in_place(received, 0, order)
        if found:
            yield found


@cache
def _thinned() -> tuple[tuple[int, ...], ...]:
    """Offsets that are left when every second or third octet is lost."""
    return tuple(
        tuple(i for i in range(STOP) if i % every != lost)
        for every in (2, 3)
        for lost in range(every)
    )


def _promising(seen: list[bytes]) -> Iterator[bytes]:
    """Those that show most of a probe in a sample, the best first; all where none shows any.

    One that shows nearly all of it is not kept waiting for the others.
    """
    weights = []
    done = set()
    for i, octets in enumerate(seen):
        sample = octets[_SAMPLE] if len(octets) > _SAMPLE.stop else octets
        found = _by_pairs(sample)
        weights.append(max(found.weight, 1) if found else 0)
        if weights[i] >= _ENOUGH * len(sample):
            done.add(i)
            yield octets
    best = max(weights, default=0)
    for i in sorted(range(len(seen)), key=lambda i: -weights[i]):
        if weights[i] >= 0.75 * best and i not in done:
            yield seen[i]


def _in_place(received: bytes, shift: int, order: Sequence[int] | None = None) -> _Found | None:
    """The probe whose offset ``i`` stands at ``i - shift``; ``order``: the offsets in turn."""
    walk = WALK[shift:] if shift > 0 else bytes(-shift) + WALK
    if order is not None:
        walk = bytes(map(WALK.__getitem__, order[: len(received)]))
    size = min(len(received), len(walk))
    mixed = int.from_bytes(received[:size], "big") ^ int.from_bytes(walk[:size], "big")
    octets = mixed.to_bytes(size, "big")
    hits = size - len(octets.translate(None, _KEYS))
    if hits < _FEWEST + size // 20:
        return None
    offsets = order or range(shift, shift + size)
    items = [(offsets[i], x) for i, x in enumerate(octets) if x in KEYS and offsets[i] >= FIRST]
    return _found(received, shift, [items], size)


def _by_pairs(octets: bytes) -> _Found | None:
    """The probe whose pairs of neighbours stand anywhere in the octets."""
    best: _Found | None = None
    get = places().get
    hits: dict[int, list[Item]] = {key: [] for key in KEYS}
    for i, there in enumerate([get(a << 8 | b, ()) for a, b in pairwise(octets)]):
        for key, at in there:
            hits[key].append((i, at))
    for key in KEYS:
        runs = [run for run in _runs(hits[key]) if len(run) > 1]
        if not runs:
            continue
        items = []
        seen: set[int] = set()
        for run in runs:
            shift = run[0][1] - run[0][0]
            covered = _covered(run)
            seen.update(at - shift for at in covered)
            items.append([(at, octets[at - shift] ^ WALK[at]) for at in covered])
        found = _found(octets, runs[0][0][1] - runs[0][0][0], items, len(seen))
        if found and (best is None or found.weight > best.weight):
            best = found
    return best


def _runs(hits: Iterable[Item]) -> list[list[Item]]:
    """Places and offsets that go on together, a few wrong ones between them allowed."""
    out: list[list[Item]] = []
    by_shift: dict[int, list[Item]] = {}
    for i, at in hits:
        run = by_shift.get(at - i)
        if run is None or i - run[-1][0] > _GAP:
            run = by_shift[at - i] = []
            out.append(run)
        run.append((i, at))
    return out


def _covered(run: list[Item]) -> list[int]:
    return sorted({at for _, at in run} | {at + 1 for _, at in run})


def _found(octets: bytes, shift: int, runs: list[list[Item]], most: int) -> _Found | None:
    """What the runs say; ``most``: the received octets that they cover, each once."""
    pieces = [p for run in runs for p in _pieces(run) if p.octets >= 3]
    seen = sum(p.octets for p in pieces)
    weight = min(seen, most) - _CUT * len(pieces)
    return _Found(octets, shift, pieces, weight) if seen >= _FEWEST else None


Bits = tuple[Item, ...]
"""Bits of a frame's name, each with its value."""


@cache
def _slots() -> tuple[dict[int, Bits] | None, ...]:
    """For each offset that is a slot, what its octet says by what it was exchanged with."""
    return tuple(_slot(at) if is_slot(at) else None for at in range(STOP))


def _slot(at: int) -> dict[int, Bits]:
    bits = cells(at)[::-1]
    return {
        x: tuple((b, n >> k & 1) for k, b in enumerate(bits)) for n, x in enumerate(choices(at))
    }


def _pieces(items: Iterable[Item]) -> Iterator[_Piece]:
    """Cut items, in order of their offsets, where they begin to speak of another frame."""
    key, octets, last = -1, 0, 0
    known: dict[int, int] = {}
    learned: dict[int, int] = {}
    slots = _slots()
    for at, mixed in items:
        slot = slots[at]
        said: Bits = ()
        if slot is None:
            cut = mixed != key
        else:
            if key < 0 or mixed ^ key not in slot:
                continue
            said = slot[mixed ^ key]
            cut = any(known.get(bit, v) != v for bit, v in said)
        if cut:
            if octets:
                # The other frame may have begun before it was seen: so much is left out.
                sure = {
                    b: v for b, v in known.items() if learned[b] < at - BLOCK or b < NUMBER_BITS
                }
                yield _Piece(key, sure, octets, last)
            known, learned, octets = {}, {}, 0
        if slot is None:
            key = mixed
        for bit, v in said:
            if bit not in known:
                known[bit], learned[bit] = v, at
        octets, last = octets + 1, at
    if octets:
        yield _Piece(key, known, octets, last)


def _value(known: dict[int, int], bits: Iterable[int]) -> int | None:
    """The number whose bits these are, the first the least significant; None if one is unknown."""
    total = 0
    for place, bit in enumerate(bits):
        if bit not in known:
            return None
        total |= known[bit] << place
    return total


def _telling(found: _Found, size: int, to: Addresses | None) -> Telling | None:
    """Weigh the pieces: which frame do they speak of?"""
    sizes: Counter[tuple[int, int]] = Counter()
    for piece in found.pieces:
        if piece.number is not None:
            sizes[piece.key, piece.number] += piece.octets
    # Octets of another frame in between cut pieces short: what most slots say goes before them.
    seen = sum(p.octets for p in found.pieces)
    scattered = max(sizes.values(), default=0) < 0.4 * seen
    if scattered:
        sizes = _together(found) or sizes
    if not sizes:
        return None
    first = min(found.pieces, key=lambda p: p.last)
    key, number = _newest(sizes, (first.key, first.number))
    mine = [p for p in found.pieces if p.key == key and _fits(p, number)]
    seen = sum(p.octets for p in mine)
    if seen < _FEWEST:
        return None
    kind, known = KINDS[KEYS.index(key)], _votes(mine, _STEADY)
    length = _length(known, size, max(p.last for p in mine), _headed(found, kind)[1])
    if length is None:
        return None
    where, default = _where(found, kind, known.get(NUMBER_BITS), to)
    frame = built(Name(number, length, kind, default), where) if where else None
    others = tuple(sorted({n for _, n in sizes} - {number}))
    return Telling(number, length, kind, where, frame, seen, others)


def _votes(pieces: Iterable[_Piece], margin: float = 0.0) -> dict[int, int]:
    """The value of each bit as most octets have it; none where the margin is too small."""
    votes: Counter[int] = Counter()
    cast: Counter[int] = Counter()
    for piece in pieces:
        for bit, value in piece.known.items():
            votes[bit] += piece.octets if value else -piece.octets
            cast[bit] += piece.octets
    return {
        bit: int(count > 0)
        for bit, count in votes.items()
        if count and abs(count) >= margin * cast[bit]
    }


def _together(found: _Found) -> Counter[tuple[int, int]]:
    """The number that small pieces give only together, or with a header."""
    out: Counter[tuple[int, int]] = Counter()
    for key in KEYS:
        mine = [p for p in found.pieces if p.key == key]
        known = _votes(mine, _STEADY)
        number = _value(known, range(NUMBER_BITS))
        if number is None and mine:
            said = _headed(found, KINDS[KEYS.index(key)])[0]
            fitting = [n for n in said if all(n >> b & 1 == v for b, v in known.items() if b < 6)]
            number = fitting[0] if fitting else None
        if number is not None:
            out[key, number] = sum(p.octets for p in mine)
    return out


def _headed(found: _Found, kind: str) -> tuple[list[int], int | None]:
    """Numbers of the probe and the length of the frame, as a header in its place has them."""
    octets, shift = found.octets, max(0, -found.shift)
    head = octets[shift:] if octets[6:12] != SENDER.mac else octets
    if kind not in ("udp", "echo") or len(head) < 42:
        return [], None

    def word(at: int) -> int:
        return int.from_bytes(head[at : at + 2], "big")

    numbers = [word(18), word(34) - 49152 if kind == "udp" else word(40)]
    lengths = [14 + word(16)] + ([34 + word(38)] if kind == "udp" else [])
    sure = ones_sum(head[14:34]) == 0xFFFF or len({*lengths}) < len(lengths)
    fitting = [n for n in lengths if SHORTEST <= n <= LONGEST and sure]
    return [n for n in numbers if 0 <= n < NUMBERS], fitting[0] if fitting else None


def _newest(sizes: Counter[tuple[int, int]], front: tuple[int, int | None]) -> tuple[int, int]:
    """The frame that was meant: of several that stand in the buffer, the one sent last.

    What an earlier frame left behind is old, and numbers count up. A number that few octets bear
    out is not believed against one that many do, unless it stands at the front.
    """
    (most, octets), *_ = sorted(sizes.items(), key=lambda s: (-s[1], s[0]))
    best = most
    for name, count in sorted(sizes.items()):
        ahead = (name[1] - best[1]) % NUMBERS
        enough = _FRONT if name == front else max(_FRONT, octets // 4)
        if count >= enough and 0 < ahead < NUMBERS // 2:
            best = name
    return best


def _fits(piece: _Piece, number: int) -> bool:
    return all(piece.known.get(b, number >> b & 1) == number >> b & 1 for b in range(NUMBER_BITS))


def _length(known: dict[int, int], size: int, last: int, headed: int | None) -> int | None:
    """The length that the known bits allow.

    Of several: what the header says, else as many as were received, else the shortest that
    holds all octets that came.
    """
    bits = range(NUMBER_BITS + 1, NUMBER_BITS + REST_BITS)
    mask = sum(1 << k for k, bit in enumerate(bits) if bit in known)
    value = sum(known[bit] << k for k, bit in enumerate(bits) if bit in known)
    fitting = [n for n in range(SHORTEST, LONGEST + 1) if n & mask == value]
    # Foreign octets behind the end may look like more of it by chance: then the bits decide.
    fitting = [n for n in fitting if n > last] or fitting[:1]
    for wanted in (headed, size):
        if wanted in fitting:
            return wanted
    return fitting[0] if fitting else None


def _where(
    found: _Found, kind: str, other: int | None, to: Addresses | None
) -> tuple[Addresses | None, bool]:
    """Where the probe was sent to, and whether that is the documentation addresses."""
    if other == 0:
        return BOARD, True
    read = None
    for shift in (0, found.shift):
        read = read or _addresses(found.octets, shift, kind)
    if other is None and (to or read or BOARD) == BOARD:
        return BOARD, True
    return to or read, False


def _addresses(octets: bytes, shift: int, kind: str) -> Addresses | None:
    """The addresses in a header that came through, or None."""
    head = octets[max(0, -shift) : max(0, starts(kind) - shift)]
    if shift > 0 or len(head) < starts(kind):
        return None
    if sum(a == b for a, b in zip(head[6:12], SENDER.mac, strict=True)) < 5:
        return None
    mac, ip = head[:6], BOARD.ip
    if kind == "arp":
        ip = head[38:42]
    elif kind != "ethernet":
        ip = head[30:34]
        if ones_sum(head[14:34]) != 0xFFFF:
            return None
    return Addresses(mac, ip)


def _by_header(received: bytes) -> Telling | None:
    """The probe that an IPv4 header in its place names, when no content came through.

    Its checksum must hold, and what stands behind it must be our port or identifier.
    """
    head = received[:42]
    if len(head) < 42 or head[12:15] != b"\x08\0\x45" or head[26:30] != SENDER.ip:
        return None
    if ones_sum(head[14:34]) != 0xFFFF:
        return None
    kind = {17: "udp", 1: "echo"}.get(head[23], "")
    number, length = int.from_bytes(head[18:20], "big"), 14 + int.from_bytes(head[16:18], "big")
    if not kind or number >= NUMBERS or not SHORTEST <= length <= LONGEST:
        return None
    to = Addresses(head[:6], head[30:34])
    frame = built(Name(number, length, kind, to == BOARD), to)
    same = sum(a == b for a, b in zip(frame[:42], head, strict=True))
    return Telling(number, length, kind, to, frame, same) if same >= 38 else None
