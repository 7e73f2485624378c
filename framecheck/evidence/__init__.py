"""Evidence: what arrived, held against what was sent and against what the buffer held before."""

from framecheck.evidence.buffers import Buffers
from framecheck.evidence.classes import Classes, classes, constants
from framecheck.evidence.compare import Difference, compare
from framecheck.evidence.console import excuse, mixed_rows, runs_on
from framecheck.evidence.digits import put_back
from framecheck.evidence.pairing import Pairing
from framecheck.evidence.probed import probed
from framecheck.evidence.repair import Healing, heal
from framecheck.evidence.residue import claim, phase, read
from framecheck.evidence.ring import Ring

__all__ = [
    "Buffers",
    "Classes",
    "Difference",
    "Healing",
    "Pairing",
    "Ring",
    "claim",
    "classes",
    "compare",
    "constants",
    "excuse",
    "heal",
    "mixed_rows",
    "phase",
    "probed",
    "put_back",
    "read",
    "runs_on",
]
