"""What a healed frame is worth as a proof, in bits: sums that hold now, structure that shows now.

A frame that heals by chance is 2^-16 for each internet checksum that holds only afterwards, 2^-32
for an FCS; from that goes what was used up to put lost octets back, and the logarithm of the
number of tries.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import NamedTuple

from framecheck.core import sums
from framecheck.core.span import Range
from framecheck.evidence._complete import complete, destination_bits
from framecheck.evidence._quick import Quick, look
from framecheck.evidence._trial import Case, Trial

_SUM = 16
_FCS = 32
_FCS_SIZE = 4


class Weighed(NamedTuple):
    """A trial whose lengths can be."""

    trial: Trial
    octets: bytes
    """The healed frame, without its FCS; zeros in ``unknown``."""
    unknown: tuple[int, ...]
    """Octets of it that nothing tells."""
    bits: float
    """Evidence for it, the number of tries not yet taken off."""
    proved_by: tuple[str, ...]
    sure: float
    """Of the bits, those of sums alone."""
    structure: float
    """Of the bits, those of constants and lengths."""
    holds: bool
    """Whether every sum holds."""
    covered: tuple[Range, ...]
    """Octets of the healed frame that its sums cover; empty when it has none."""
    tries: int = 1
    """Of how many candidates of its kind this is one."""


def weigh(case: Case, trial: Trial, base: Quick | None, held: frozenset[str]) -> Iterator[Weighed]:
    """The trial with its lost octets put back, in each way in which all lengths can be.

    ``base``: the frame as it stands; ``held``: the sums that hold in it already.
    """
    healed, lost = trial.octets, trial.lost
    proof: list[tuple[str, float]] = []
    whole = len(healed)
    if case.tail:
        body = healed[: -case.tail]
        agrees = _fcs_agrees(trial, len(body))
        lost = tuple(i for i in lost if i < len(body))
        healed = body
    else:
        agrees = 0.0
        if not lost and sums.fcs_holds(healed):
            healed = healed[:-_FCS_SIZE]
            proof.append(("fcs", _FCS))
    for done in complete(healed, lost, trial.known, case.host):
        seen = look(done.octets)
        if seen is None or not seen.sound or not _ends_right(trial, seen, done.octets, base):
            continue
        structure = seen.bits + done.bits
        structure += destination_bits(done.octets, seen, done.unknown, case.host)
        found = list(proof)
        holds = True
        if case.tail and not done.unknown:
            holds = _fcs_holds(trial, done.octets, whole)
            found.append(("fcs", agrees))
        for total in seen.sums:
            if any(total.weight(i) for i in done.unknown):
                continue
            holds = holds and not total.off(done.octets)
            if total.name not in held:
                found.append((total.name, _SUM - done.spent.get(total.name, 0)))
        sure = sum(b for _, b in found)
        bits = sure + structure - (base.bits if base is not None else 0.0)
        names = tuple(n for n, b in found if b > 0)
        covered = tuple(part for total in seen.sums for part in total.parts)
        if any(name == "fcs" for name, _ in found):
            covered = ((0, len(done.octets)),)
        yield Weighed(
            trial, done.octets, done.unknown, bits, names, sure, structure, holds, covered
        )


def _ends_right(trial: Trial, seen: Quick, octets: bytes, base: Quick | None) -> bool:
    """Whether the frame is as long as it says; what only exchanges octets leaves any padding."""
    return seen.fits(len(octets)) or not (trial.extra or trial.missing)


def _fcs_agrees(trial: Trial, start: int) -> float:
    """Bits of the FCS that arrived."""
    gone = [i for i in trial.lost if i >= start]
    return _FCS - sum(8 - trial.known.bit_count() for _ in gone)


def _fcs_holds(trial: Trial, octets: bytes, whole: int) -> bool:
    """Whether the FCS behind a healed frame is right, as far as its bits arrived."""
    right = sums.fcs(octets)
    for i, octet in enumerate(trial.octets[whole - _FCS_SIZE :], whole - _FCS_SIZE):
        mask = trial.known if i in trial.lost else 0xFF
        if (octet ^ right[i - whole + _FCS_SIZE]) & mask:
            return False
    return True
