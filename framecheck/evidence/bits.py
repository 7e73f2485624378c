"""One flipped bit or one wrong word: what a sum and an FCS say together, and what stays open.

An FCS tells which bit was flipped. With an internet checksum that fails too, it tells which word
was wrong: the sum says what each word would have been, the FCS which of them it is. A sum alone
leaves as many candidates as it covers words; they are counted, not chosen from.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from math import log2

from framecheck.core import sums
from framecheck.core.finding import Verdict
from framecheck.core.frame import Doubt, Frame
from framecheck.core.sheet import Repair
from framecheck.core.span import Range, each, runs
from framecheck.evidence._quick import Sum, look
from framecheck.evidence.classes import narrowed

_FCS_SIZE = 4


def healed(
    frame: Frame, verdicts: Sequence[Verdict], sound: Callable[[bytes], bool]
) -> Repair | None:
    """The frame healed of one flipped bit or one wrong word, when that is beyond doubt.

    ``sound``: whether nothing speaks against a frame.
    """
    fcs = frame.fcs
    if fcs is not None and len(fcs) == _FCS_SIZE:
        return _flipped(frame.octets, fcs) or _word(frame.octets, fcs)
    return _blamed(frame.octets, verdicts, sound)


def _flipped(octets: bytes, fcs: bytes) -> Repair | None:
    """One flipped bit, when the FCS says which it is."""
    position = sums.flipped_bit(octets + fcs)
    if position is None or position // 8 >= len(octets):
        return None
    changed = bytearray(octets)
    changed[position // 8] ^= 1 << position % 8
    chance = _FCS_SIZE * 8 - log2(8 * len(octets))
    says = f"one flipped bit: octet 0x{position // 8:x}, bit {position % 8}"
    return Repair(f"{says} (by chance 2^-{chance:.0f})", bytes(changed), ("fcs",))


def _word(octets: bytes, fcs: bytes) -> Repair | None:
    """One wrong 16-bit word, when the sums that fail and the FCS agree on which."""
    found = []
    tries = 0
    for at, word in _words(octets):
        tries += 1
        changed = octets[:at] + word.to_bytes(2, "big") + octets[at + 2 :]
        if sums.fcs(changed) == fcs:
            found.append((at, changed))
    if len(found) != 1:
        return None
    at, changed = found[0]
    was, now = octets[at : at + 2].hex(), changed[at : at + 2].hex()
    names = tuple(t.name for t in _failing(octets))
    chance = 32 - log2(tries)
    says = f"one wrong word: octet 0x{at:x} carries {was}, was sent as {now}"
    return Repair(f"{says} (by chance 2^-{chance:.0f})", changed, ("fcs", *names))


def _failing(octets: bytes) -> list[Sum]:
    seen = look(octets)
    return [t for t in seen.sums if t.off(octets)] if seen is not None else []


def _words(octets: bytes) -> list[tuple[int, int]]:
    """Each place of a word that heals every failing sum, and what the word would have to be."""
    seen = look(octets)
    body = seen.transport + 20 if seen is not None and seen.sound else len(octets)
    failing = _failing(octets)
    offs = {t.off(octets) for t in failing}
    if len(offs) != 1:
        return []
    off = offs.pop()
    first, *others = failing
    found = []
    for start, stop in first.parts:
        for at in range(start, stop - 1, 2):
            if all(t.weight(at) == 256 for t in others):
                word = sums.healed_word(int.from_bytes(octets[at : at + 2], "big"), off)
                if at >= body or _fits(octets, at, word):
                    found.append((at, word))
    return found


def _fits(octets: bytes, at: int, word: int) -> bool:
    """Whether every sum and length of the frame is right with this word."""
    changed = octets[:at] + word.to_bytes(2, "big") + octets[at + 2 :]
    seen = look(changed)
    return seen is not None and seen.sound and not any(t.off(changed) for t in seen.sums)


def _blamed(
    octets: bytes, verdicts: Sequence[Verdict], sound: Callable[[bytes], bool]
) -> Repair | None:
    """The one word at which a failing sum and another rule point."""
    blamed = [v for v in verdicts if v.outcome == "mismatch" and v.blamed and v.says]
    if len(blamed) != 1:
        return None
    verdict = blamed[0]
    span = runs(each(s.octets for s in verdict.blamed))
    found = []
    for at, word in _words(octets):
        if at <= span[0][0] and span[-1][1] <= at + 2:
            # Both 0000 and FFFF heal alike: the rules have to tell them apart.
            for value in (word,) if word else (0, 0xFFFF):
                changed = octets[:at] + value.to_bytes(2, "big") + octets[at + 2 :]
                with_fcs = sums.fcs_holds(changed)
                changed = changed[:-_FCS_SIZE] if with_fcs else changed
                if _as_long_as_it_says(changed) and sound(changed):
                    says = f"octet 0x{at:x}: {octets[at : at + 2].hex()} was sent as {value:04x}"
                    by = (verdict.name, "fcs" if with_fcs else "a rule that speaks of this place")
                    found.append(Repair(says, changed, by))
    return found[0] if len(found) == 1 else None


def _as_long_as_it_says(octets: bytes) -> bool:
    """Whether the length is right, and a sum over the data confirms the header's."""
    seen = look(octets)
    if seen is None or not seen.fits(len(octets)):
        return False
    return len(seen.sums) > 1 or octets[seen.internet] >> 4 != 4


def open_(octets: bytes, verdicts: Sequence[Verdict]) -> tuple[Doubt, ...]:
    """How many single changes would heal the sums that fail, and where; nothing when none would."""
    words = _words(octets)
    if not words:
        return ()
    inside = set(each(narrowed(verdicts)))
    words = [(at, w) for at, w in words if at in inside or at + 1 in inside]
    off = _failing(octets)[0].off(octets)
    bit = sums.one_bit(off)
    places: list[tuple[int, int]] = []
    if bit is not None:
        number, was_set = bit
        octet = 0 if number >= 8 else 1
        places = [
            (at + octet, number % 8)
            for at, w in words
            if bool(int.from_bytes(octets[at : at + 2], "big") >> number & 1) == was_set
        ]
    said = []
    if places:
        spread = _spread(runs(sorted(p for p, _ in places)))
        which = _one_of(len(places), "octet")
        said.append(f"one flipped bit (bit {places[0][1]} of {which} {spread})")
    if words:
        spread = _spread(runs(sorted(i for p, _ in words for i in (p, p + 1))))
        said.append(f"one wrong 16-bit word ({_one_of(len(words), 'word')} {spread})")
    return (Doubt("what changed", "unknown", " or ".join(said)),) if said else ()


def _one_of(n: int, thing: str) -> str:
    return f"the {thing}" if n == 1 else f"one of {n} {thing}s"


def _spread(ranges: Sequence[Range]) -> str:
    first, stop = ranges[0][0], ranges[-1][1]
    return f"at 0x{first:x}" if stop - first == 1 else f"between 0x{first:x} and 0x{stop - 1:x}"
