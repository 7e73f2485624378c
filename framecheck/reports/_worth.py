"""What each octet of a frame is worth, as one strip: a character stands for one octet or several.

Where a character stands for several, the gravest of them counts: proven means that all are.
"""

from __future__ import annotations

from collections.abc import Iterator

from framecheck.core.report import ReportOptions
from framecheck.core.sheet import FrameRecord
from framecheck.core.span import each
from framecheck.reports._page import INDENT, Ink, columns, wrap
from framecheck.reports._words import counted

PROVEN, NOTHING = "=", "."
CLASSES = (
    ("^", "wrong"),
    ("~", "never written"),
    ("+", "foreign"),
    ("!", "against a rule"),
    ("?", "unsure"),
    (":", "suspect"),
    (NOTHING, "no evidence"),
    (PROVEN, "proven"),
)
"""Mark and meaning of each class, the gravest first."""
_SIZES = (1, 2, 4, 8, 16, 32, 64, 128, 256, 512, 1024)
_RANK = {mark: i for i, (mark, _) in enumerate(CLASSES)}


def worth(record: FrameRecord) -> str:
    """One mark per octet of the frame."""
    found = [NOTHING] * len(record.octets)
    for mark, ranges in (
        (PROVEN, record.proven),
        (":", record.suspect),
        ("?", record.doubtful),
        ("!", record.impossible),
        ("+", record.extra),
        ("^", record.wrong),
        ("~", record.residue),
    ):
        for i in each(ranges):
            if i < len(found):
                found[i] = mark
    return "".join(found)


def strip(record: FrameRecord, options: ReportOptions, ink: Ink, legend: bool) -> Iterator[str]:
    """The strip of one frame in one line; beneath it, once in a report, what the marks mean."""
    marks = worth(record)
    room = max(8, options.width - columns(INDENT))
    size = next((s for s in _SIZES if len(marks) <= s * room), _SIZES[-1])
    cells = "".join(
        min(marks[i : i + size], key=_RANK.__getitem__) for i in range(0, len(marks), size)
    )
    if not cells:
        return
    yield f"  {'worth':<8}{_inked(cells[:room], ink)}"
    if size > 1:
        said = f"a character is {counted(size, 'octet')}, the gravest counts"
        yield from map(ink.dim, wrap(said, options.width, INDENT))
    if legend:
        yield from map(ink.dim, _legend(options.width))


def _legend(width: int) -> Iterator[str]:
    """What each mark means; a mark never stands on another line than its meaning."""
    line = ""
    for mark, meaning in reversed(CLASSES):
        said = f"{mark} {meaning}"
        if line and columns(line) + 3 + columns(said) > width:
            yield line
            line = ""
        line = f"{line}   {said}" if line else f"{INDENT}{said}"
    yield line


def _inked(cells: str, ink: Ink) -> str:
    """Runs of one kind in one ink: what is wrong stands out, what says nothing steps back."""
    text, start = "", 0
    for i in range(1, len(cells) + 1):
        if i == len(cells) or _kind(cells[i]) != _kind(cells[start]):
            run = cells[start:i]
            text += {"bad": ink.accent, "none": ink.dim}.get(_kind(run[0]), str)(run)
            start = i
    return text


def _kind(mark: str) -> str:
    return "bad" if mark in "^~+!" else "none" if mark == NOTHING else "plain"
