"""The frame as it was before its damage: rows to read, and to compare with what was printed."""

from __future__ import annotations

from collections.abc import Iterator

from framecheck.core.report import ReportOptions
from framecheck.core.sheet import FrameRecord
from framecheck.reports import _rows
from framecheck.reports._page import INDENT, Ink
from framecheck.reports._words import counted

_LABEL = f"  {'healed':<{len(INDENT) - 2}}"


def healed_rows(record: FrameRecord, most: int, everything: bool) -> Iterator[_rows.Line | int]:
    """Rows of the healed frame that differ from those printed, ``most`` octets a row.

    Of many in a row the edges, or with ``everything`` all rows there are; between them, how many
    octets are left out. Nothing for a frame that was not healed.
    """
    if record.repair is None:
        return
    octets = record.repair.octets
    rows = list(_rows.unplaced(octets, most))
    differ = [_other(record.octets, octets, row) for row in rows]
    left_out = 0
    for row, shown in zip(rows, _rows.chosen(differ, everything), strict=True):
        if not shown:
            left_out += row.size
            continue
        if left_out:
            yield left_out
        left_out = 0
        yield row
    if left_out:
        yield left_out


def _other(printed: bytes, healed: bytes, row: _rows.Line) -> bool:
    stop = row.first + row.size
    return printed[row.first : stop] != healed[row.first : stop]


def healed(record: FrameRecord, options: ReportOptions, ink: Ink) -> Iterator[str]:
    """The lines about a healed frame, with a word in front of the first; none without a repair."""
    digits = 0 if record.repair is None else max(3, len(f"{len(record.repair.octets):x}"))
    room = options.width - len(INDENT) - digits - 5
    most = next(m for m in (16, 8, 4) if m == 4 or 3 * m <= room)
    label = f"  {'healed':<{len(INDENT) - 2}}"
    for part in healed_rows(record, most, options.show_all):
        if isinstance(part, int):
            yield ink.dim(f"{label}{'..':<{digits + 5}}{counted(part, 'octet')} not shown")
        else:
            yield f"{ink.dim(f'{label}0x{part.first:0{digits}x}')}   {part.text}"
        label = INDENT
