"""Dumps and frames: the printed form of a frame, and what is left when its envelope is off."""

from __future__ import annotations

from typing import Any, Literal, NamedTuple

from framecheck.core.span import Range
from framecheck.core.text import Places

StartsAt = Literal["ethernet", "ipv4", "ipv6", "arp", "ppp", "hdlc", "inside", "unknown"]


BROKEN_DIGITS = "broken digits"
"""What a doubt is about when single octets are unsure and every other stands where it should."""
SPLIT_ROW = "a split row"
"""What a doubt is about when a row was put together from parts of lines."""
WRAPPED = "wrapped lines"
"""What a doubt is about when a screen's width broke rows, and they were put together again."""
INTERLEAVED = "interleaved dumps"
"""What a doubt is about when a row may belong to the dump that is printed at the same time."""
TWO_FRAMES = "rows of two frames"
"""What a doubt is about when a frame begins right behind the rows of one that lacks some."""
FOREIGN_ROW = "rows of something else"
OCTETS_ONLY = (BROKEN_DIGITS, SPLIT_ROW, INTERLEAVED, FOREIGN_ROW)
"""Doubts that a sum over the doubtful octets settles: the others stand where they should."""


class Doubt(NamedTuple):
    """Something that is not sure, with both readings."""

    about: str
    """What it concerns, a word or two: ``octet order``, ``first column``, ``where it starts``."""
    taken: str
    """The reading that was taken."""
    other: str
    """The reading that was not."""
    decides: bool = False
    """Whether the other reading would change the frame's state."""
    line: int | None = None

    @property
    def says(self) -> str:
        """Both readings in one sentence."""
        where = f"line {self.line}: " if self.line else ""
        return f"{where}{self.about}: taken as {self.taken}; could be {self.other}"


class Dump(NamedTuple):
    """One printed frame, as read from a log or a capture."""

    octets: bytes
    places: Places
    layout: str | None = None
    """How it is printed, by its traits; None for captures."""
    record: int | None = None
    """1-based number in a capture; None for logs."""
    claimed_length: int | None = None
    """The length that a line near by announces."""
    direction: str | None = None
    """``received`` or ``sent``, when a line near by says so."""
    stamp: str | float | None = None
    """Time as printed (text), or seconds since the epoch (captures)."""
    doubts: tuple[Doubt, ...] = ()
    at_start: bool = False
    """Whether the input's first line cuts it off at its front (an offset above zero)."""
    at_edge: bool = False
    """Whether the input ends inside it or where it could have gone on."""
    gutter: Literal["agrees", "differs"] | None = None
    """What the character column says of the octets; None when there is none."""
    doubtful: tuple[Range, ...] = ()
    """Octets that the console may have broken."""
    digits: int = 0
    """Characters of the text that are digits of these octets."""
    framing: int = 0
    """Other characters that belong to the dump: offsets, separators, gutter, line ends."""
    wire_length: int | None = None
    """Captures: octets that the frame had on the wire."""
    word: int = 1
    """Octets that are printed as one number: the last number may hold more than the frame."""
    strength: float = 0.0
    """Evidence of the text that this is a frame's dump, in bits (what it holds not counted)."""
    words_behind: bool = False
    """Whether words that say nothing of a frame stand behind its only row, the first such."""


class Envelope(NamedTuple):
    """Octets that stand around a frame in its dump: named by their shape."""

    kind: str
    side: Literal["head", "tail"]
    octets: bytes


class Frame(NamedTuple):
    """A dump without its envelopes: octet 0 is the first octet of what ``starts_at`` says."""

    dump: Dump
    octets: bytes
    starts_at: StartsAt
    envelopes: tuple[Envelope, ...] = ()
    doubts: tuple[Doubt, ...] = ()
    """The dump's doubts and those of its framing."""

    @property
    def head(self) -> int:
        """Octets of the dump in front of the frame."""
        return sum(len(e.octets) for e in self.envelopes if e.side == "head")

    @property
    def fcs(self) -> bytes | None:
        """The FCS left on behind the frame, or None."""
        return next((e.octets for e in self.envelopes if e.kind == "fcs"), None)

    @property
    def on_wire(self) -> bool:
        """Whether an FCS or a preamble shows that the frame was on the wire."""
        return any(e.kind in ("fcs", "preamble") for e in self.envelopes)

    @property
    def places(self) -> Places:
        """From the frame's octets to the log."""
        return self.dump.places.moved(self.head)


def json_doubt(doubt: Doubt) -> dict[str, Any]:
    """A doubt as the sheet states it, with both readings."""
    return {
        "about": doubt.about,
        "taken": doubt.taken,
        "other": doubt.other,
        "line": doubt.line,
        "says": doubt.says,
    }
