"""The sheet: what a run hands to a report. Frames come first, one at a time; totals at the end."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any, Literal, NamedTuple

from framecheck.core.finding import Finding, Verdict
from framecheck.core.frame import Doubt, Frame
from framecheck.core.layer import Layer
from framecheck.core.span import Range, merged
from framecheck.core.text import Places

State = Literal["sound", "damaged", "cut", "cannot tell"]
BrokenBy = Literal["console", "transfer", "sender", "unknown"]


class Fate(NamedTuple):
    """What a strict host does with a frame."""

    outcome: Literal["delivered", "dropped", "cannot tell"]
    step: str | None = None
    rule: str | None = None
    assumed: tuple[str, ...] = ()


class Missing(NamedTuple):
    """Octets that were sent and did not arrive."""

    at: int
    """Received offset before which they are missing."""
    length: int
    """How many (``count`` in the JSON)."""


class Move(NamedTuple):
    """Octets that arrived at another offset than they were sent at."""

    received: int
    length: int
    """How many (``count`` in the JSON)."""
    sent: int


class Old(NamedTuple):
    """Octets that were never written, and what they hold instead."""

    start: int
    stop: int
    holds: str
    """``fill`` or ``frame before``."""
    starts: int = 0
    """Where in its pattern the fill stands at the dump's first octet, when that is not 0."""
    buffers: int | None = None
    """How many buffers take frames by turns, when that is certain."""
    back: int | None = None
    """How many dumps before they came: that number, or a multiple of it."""
    frame: int | None = None
    """Number of the frame that they are of, in the same input."""
    likely: tuple[float, ...] = ()
    """Probability that each of them was not written."""
    begins: float = 1.0
    """Probability that they begin at this octet and no other."""
    ends: float = 1.0

    @property
    def span(self) -> Range:
        """Start and stop."""
        return self.start, self.stop


class Repair(NamedTuple):
    """A damage whose inverse heals the frame."""

    says: str
    octets: bytes
    proved_by: tuple[str, ...]


@dataclass(slots=True)
class FrameRecord:
    """One frame, examined: everything that a report may say of it. Octet ranges are half-open."""

    number: int
    input: str
    frame: Frame
    state: State
    broken_by: BrokenBy | None
    layers: tuple[Layer, ...]
    verdicts: tuple[Verdict, ...]
    findings: tuple[Finding, ...]
    summary: str
    fate: Fate
    wrong: tuple[Range, ...] = ()
    extra: tuple[Range, ...] = ()
    residue: tuple[Range, ...] = ()
    proven: tuple[Range, ...] = ()
    suspect: tuple[Range, ...] = ()
    doubtful: tuple[Range, ...] = ()
    missing: tuple[Missing, ...] = ()
    moves: tuple[Move, ...] = ()
    repair: Repair | None = None
    doubts: tuple[Doubt, ...] = ()
    reference: bytes | None = None
    """What was sent, when it is known: of --sent, or of a probe, which says so itself."""
    probe: int | None = None
    """The probe's number, when ``reference`` is one."""
    old: tuple[Old, ...] = ()
    """What the octets of ``residue`` hold."""

    @property
    def octets(self) -> bytes:
        """The frame's octets, envelopes off."""
        return self.frame.octets

    @property
    def places(self) -> Places:
        """From the frame's octets to lines and columns of the log."""
        return self.frame.places

    @property
    def impossible(self) -> tuple[Range, ...]:
        """Octets that a broken rule names: no sender that keeps to its standard sends them so.

        A sum that matches may cover them all the same: then it was the sender.
        """
        length = len(self.frame.octets)
        named = [
            span.octets
            for f in self.findings
            if f.certainty in ("impossible", "forbidden")
            and not f.rule.endswith(("-checksum", "-fcs"))
            for span in f.spans
        ]
        return merged((min(a, length), min(b, length)) for a, b in named)


@dataclass(slots=True)
class InputRecord:
    """One input: how its characters were used, and what could not be read."""

    name: str
    characters: int = 0
    digits: int = 0
    framing: int = 0
    skipped: int = 0
    dumps: int = 0
    doubts: tuple[Doubt, ...] = ()
    error: str | None = None


@dataclass(slots=True)
class Tally:
    """How many frames of which state, and how many findings of which rule."""

    frames: int = 0
    sound: int = 0
    damaged: int = 0
    cut: int = 0
    cannot_tell: int = 0
    findings: dict[str, int] = field(default_factory=dict)

    def count(self, record: FrameRecord) -> None:
        """Add one frame."""
        self.frames += 1
        if record.state == "sound":
            self.sound += 1
        elif record.state == "damaged":
            self.damaged += 1
        elif record.state == "cut":
            self.cut += 1
        else:
            self.cannot_tell += 1
        for f in record.findings:
            self.findings[f.rule] = self.findings.get(f.rule, 0) + 1

    def add(self, other: Tally) -> None:
        """Add another input's tally."""
        self.frames += other.frames
        self.sound += other.sound
        self.damaged += other.damaged
        self.cut += other.cut
        self.cannot_tell += other.cannot_tell
        for name, n in other.findings.items():
            self.findings[name] = self.findings.get(name, 0) + n

    @property
    def verdict(self) -> Literal["sound", "damaged", "cannot tell"]:
        """Any damaged frame makes it damaged; else a cut or undecided one, or none, cannot tell."""
        if self.damaged:
            return "damaged"
        return "sound" if self.frames and self.sound == self.frames else "cannot tell"


@dataclass(slots=True)
class Totals:
    """What is known when the last frame is through."""

    inputs: tuple[InputRecord, ...]
    tally: Tally
    laws: tuple[Mapping[str, Any], ...] = ()
    law_notes: tuple[str, ...] = ()
    """What stands against a law, or limits it, in sentences."""
    requirements: tuple[Mapping[str, Any], ...] | None = None
    """What a file of requirements wants, each with whether it is held; None without a file."""
    picture: Mapping[str, Any] | None = None
    """What a report of the law shows beside it: frames by length, their octets' states."""

    @property
    def verdict(self) -> Literal["sound", "damaged", "cannot tell"]:
        """The sheet's one word."""
        return self.tally.verdict

    @property
    def unheld(self) -> tuple[Mapping[str, Any], ...]:
        """The requirements that are not held."""
        return tuple(r for r in self.requirements or () if not r["held"])

    @property
    def exit_code(self) -> int:
        """2: an input unread, no frame, or undecided with nothing damaged; 1 damaged; else 0.

        With requirements, what they allow counts as held, and what they do not hold is a 1.
        """
        if any(i.error for i in self.inputs) or not self.tally.frames:
            return 2
        if self.requirements is not None:
            undecided = any(r["name"] == "frames.undecided" for r in self.unheld)
            return 2 if undecided and not self.tally.damaged else int(bool(self.unheld))
        return {"sound": 0, "damaged": 1, "cannot tell": 2}[self.verdict]


@dataclass(slots=True)
class Sheet:
    """A whole run at hand: its frames and its totals."""

    frames: tuple[FrameRecord, ...]
    totals: Totals

    @property
    def verdict(self) -> Literal["sound", "damaged", "cannot tell"]:
        """The sheet's one word."""
        return self.totals.verdict

    @property
    def damaged(self) -> tuple[FrameRecord, ...]:
        """The frames that are damaged."""
        return tuple(f for f in self.frames if f.state == "damaged")
