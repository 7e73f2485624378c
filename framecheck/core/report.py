"""What a report is: a function from frames and totals to text, written as the frames come."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from typing import NamedTuple

from framecheck.core.sheet import FrameRecord, Totals


class ReportOptions(NamedTuple):
    """How a person wants to see a sheet."""

    inputs: tuple[str, ...] = ()
    """Names of the inputs, in their order."""
    show_all: bool = False
    """Every frame in full, sound ones too."""
    only_damaged: bool = False
    """Leave all but damaged frames out (totals still count them)."""
    colour: bool = False
    width: int = 80
    """Columns of the terminal."""
    fill: str | None = None
    """The fill as the user gave it, for hints about the next command."""
    sent: str | None = None
    """What was sent, as the user named it, for hints about the next command."""

    def names(self, input_name: str) -> bool:
        """Whether a frame's input has to be named: there are several, or it is of a folder."""
        return len(self.inputs) > 1 or (bool(self.inputs) and self.inputs[0] != input_name)


Write = Callable[[Iterable[FrameRecord], Callable[[], Totals], ReportOptions], Iterator[str]]
"""Frames (each looked at once, as it comes), totals (to be called when they are through)."""


class Report(NamedTuple):
    """One way to hand over a sheet: its name for ``--report``, and its writer."""

    name: str
    says: str
    """One line for the help."""
    write: Write
    tells: bool = False
    """Whether it says in words itself what could not be found."""
    streams: bool = False
    """Whether it writes as the frames come, so that nothing else may write to its terminal."""
    always: bool = False
    """Whether it is written even when no input could be opened."""
