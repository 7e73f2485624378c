"""Evidence: what arrived, held against what was sent and against what the buffer held before."""

from framecheck.evidence.classes import Classes, classes, constants
from framecheck.evidence.compare import Difference, compare
from framecheck.evidence.console import excuse, mixed_rows
from framecheck.evidence.digits import put_back
from framecheck.evidence.pairing import Pairing
from framecheck.evidence.repair import Healing, heal
from framecheck.evidence.residue import Ring, phase, read, residue

__all__ = [
    "Classes",
    "Difference",
    "Healing",
    "Pairing",
    "Ring",
    "classes",
    "compare",
    "constants",
    "excuse",
    "heal",
    "mixed_rows",
    "phase",
    "put_back",
    "read",
    "residue",
]
