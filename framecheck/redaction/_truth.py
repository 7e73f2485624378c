"""What was sent and how it became what was received, as far as the record knows it.

A redaction changes what was sent; the same damage done to that gives the octets to print. Octets
that changed on the way keep the bits by which they did.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Collection, Sequence
from typing import NamedTuple

from framecheck.core.finding import Host
from framecheck.core.sheet import FrameRecord
from framecheck.core.span import each
from framecheck.core.view import View
from framecheck.damage import ORDERS
from framecheck.damage.slip import SLIP
from framecheck.evidence.repair import guesses
from framecheck.evidence.stuck import turned_back
from framecheck.framing.start import starts
from framecheck.framing.unwrap import BEYOND_DOUBT, order_of
from framecheck.judging.healing import headers_healed

_SHORTEST = 60
_HEALS = re.compile(r"octets? 0x([0-9a-f]+)(?: to 0x[0-9a-f]+)? from ([0-9a-f]+) to ([0-9a-f]+)")
"""What a verdict says of octets that heal it."""
_SLIP = re.compile(
    r"all bits (\d) places? (later|earlier) from octet 0x([0-9a-f]+) on, the (least|most) signif"
)
_STUCK = re.compile(
    r"bit (\d) of every (octet|second octet|fourth octet)(?:, from 0x(\d) on,)? stuck at ([01])"
)
_LANES = {"octet": 1, "second octet": 2, "fourth octet": 4}
"""What a record says of bits that slipped, and of a line that is stuck."""


class Truth(NamedTuple):
    """Octets as they were sent, or as they were received where nothing else is known."""

    octets: bytes
    received: Callable[[bytes], bytearray]
    """What the received octets become when these do; same length in, the received length out."""
    foreign: tuple[int, ...] = ()
    """Received octets that no sent one became."""
    in_place: bool = False
    """Whether octets stand where they were sent, their order within words aside."""
    unknown: tuple[int, ...] = ()
    """Octets that were lost, and nothing tells what they were."""
    origin: tuple[int | None, ...] = ()
    """Per received octet the sent one that it was, where octets may have been moved."""
    guess: bool = False
    """Whether nothing proves this truth."""
    held: Callable[[bytes], bytearray] | None = None
    """What becomes of new octets before their sums are carried along: bits that cannot change."""
    stuck: int = 0
    """Those bits, of any octet."""


def truth_of(record: FrameRecord) -> Truth:
    """The truth behind a record."""
    octets = record.octets
    sent = record.reference
    if sent is None and record.repair is not None:
        sent = record.repair.octets
        slipped = _slipped(record, record.repair.says, sent)
        if slipped is not None:
            return slipped
    if sent is None:
        healed = _healed(record)
        if healed is not None:
            return _placed(healed, record)
        return Truth(octets, bytearray)
    if len(sent) < _SHORTEST:
        sent = sent.ljust(min(_SHORTEST, max(len(octets), len(sent))), b"\0")
    best, order = _agreeing(sent, octets), None
    for candidate in ORDERS:
        agreeing = _agreeing(candidate.change(sent), octets)
        if agreeing > best:
            best, order = agreeing, candidate
    if order is not None and not record.moves:
        return _ordered(sent, octets, order.change)
    return _placed(sent, record)


def guessed(record: FrameRecord, host: Host) -> list[Truth]:
    """What may have been sent, where the record names a damage and claims no octets.

    ``host``: what is known of the board.
    """
    if record.reference is not None or record.repair is not None:
        return []
    about = {d.about for d in record.doubts}
    if "what happened" in about:
        taken = next(d.taken for d in record.doubts if d.about == "what happened")
        named = _slipped(record, taken, b"") or _stuck(record, taken)
        if named is not None:
            return [named._replace(guess=True)]
        return [
            _moved(g.octets, record.octets, g.origin)._replace(unknown=g.unknown, guess=True)
            for g in guesses(record.frame, record.layers, host)
        ]
    if "what changed" not in about:
        return _exchanged(record.octets)
    view = View(record.octets, record.layers, host=host)
    return [_placed(o, record)._replace(guess=True) for o in headers_healed(view)]


def _exchanged(octets: bytes) -> list[Truth]:
    """What was sent where octets read as a frame once their order is turned back, and unlike one
    as they came: that they start at the first octet hangs on what they are in that order."""
    start = starts(octets)[0]
    order = order_of(octets, start.bits) if start.bits < BEYOND_DOUBT else None
    if order is None:
        return []
    return [_ordered(order.change(octets), octets, order.change)._replace(guess=True)]


def _slipped(record: FrameRecord, says: str, sent: bytes) -> Truth | None:
    """What was sent where a text says that all bits slipped; None where it says something else.

    ``sent``: what is known of it, from its first octet on.
    """
    found = _SLIP.search(says)
    if found is None:
        return None
    given = {
        "bits": int(found[1]),
        "toward": found[2],
        "at": int(found[3], 16),
        "order": "lsb" if found[4] == "least" else "msb",
    }
    octets = record.octets
    whole = sent[: len(octets)] + SLIP.undo(octets, **given)[len(sent) :]
    before = SLIP.apply(whole, **given)

    def received(new: bytes) -> bytearray:
        after = SLIP.apply(bytes(new), **given)
        return bytearray(o ^ b ^ a for o, b, a in zip(octets, before, after, strict=True))

    return Truth(whole, received, in_place=True)


def _stuck(record: FrameRecord, says: str) -> Truth | None:
    """The octets as they came, where a text says that a line is stuck: its bit stays what it is.

    But for those that a standard says: the sums are carried along as it wants them.
    """
    found = _STUCK.search(says)
    if found is None:
        return None
    width, lane = _LANES[found[2]], int(found[3] or "0", 16)
    bit, value = 1 << int(found[1]), found[4] == "1"
    sent = turned_back(record.octets, says)
    turned = {i for i, (a, b) in enumerate(zip(sent, record.octets, strict=True)) if a != b}

    def held(new: bytes, free: Collection[int]) -> bytearray:
        octets = bytearray(new)
        for i in range(lane, len(octets), width):
            if i not in free:
                octets[i] = octets[i] | bit if value else octets[i] & ~bit
        return octets

    return Truth(sent, lambda new: held(new, ()), held=lambda new: held(new, turned), stuck=bit)


def _healed(record: FrameRecord) -> bytes | None:
    """The octets that a verdict's arithmetic and another rule give, where nothing is moved."""
    if not record.wrong or record.moves or record.extra:
        return None
    healed = bytearray(record.octets)
    for verdict in record.verdicts:
        for at, before, after in _HEALS.findall(verdict.says):
            start, old, new = int(at, 16), bytes.fromhex(before), bytes.fromhex(after)
            stop = start + len(old)
            if healed[start:stop] == old and len(new) == len(old):
                healed[start:stop] = new
    return bytes(healed) if healed != record.octets else None


def _agreeing(a: bytes, b: bytes) -> int:
    return sum(x == y for x, y in zip(a, b, strict=False))


def _ordered(sent: bytes, octets: bytes, change: Callable[[bytes], bytes]) -> Truth:
    before = change(sent)

    def received(new: bytes) -> bytearray:
        after = change(bytes(new))
        out = bytearray(octets)
        for i in range(min(len(out), len(after))):
            out[i] ^= before[i] ^ after[i]
        return out

    return Truth(sent, received, tuple(range(len(sent), len(octets))), in_place=True)


def _placed(sent: bytes, record: FrameRecord) -> Truth:
    octets = record.octets
    origin: list[int | None] = [i if i < len(sent) else None for i in range(len(octets))]
    for move in record.moves:
        for k in range(move.length):
            if move.received + k < len(octets):
                origin[move.received + k] = move.sent + k if move.sent + k < len(sent) else None
    for i in (*each(record.extra), *each(record.residue)):
        if i < len(origin):
            origin[i] = None
    return _moved(sent, octets, origin)


def _moved(sent: bytes, octets: bytes, origin: Sequence[int | None]) -> Truth:
    """Each received octet changes as the sent one does that it was; others stay."""

    def received(new: bytes) -> bytearray:
        out = bytearray(octets)
        for i, k in enumerate(origin):
            if k is not None:
                out[i] ^= sent[k] ^ new[k]
        return out

    foreign = tuple(i for i, k in enumerate(origin) if k is None)
    return Truth(sent, received, foreign, origin=tuple(origin))
