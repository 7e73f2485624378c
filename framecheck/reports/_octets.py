"""A frame's octets on the page: the rows that matter, the marks under them, what the marks mean."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from framecheck.core.report import ReportOptions
from framecheck.core.sheet import FrameRecord
from framecheck.core.span import Range
from framecheck.reports import _rows
from framecheck.reports._old import old
from framecheck.reports._page import INDENT, Ink, safe, wrap
from framecheck.reports._words import MOST_REASONS, NOTES, counted, octets_at


def octets_of(record: FrameRecord, options: ReportOptions, ink: Ink) -> Iterator[str]:
    """The rows that matter, their marks, what the marks mean."""
    rows, label, digits = _fitting(record, options.width)
    marked = _rows.marks(record)
    missing = frozenset(m.at for m in record.missing)
    length = len(record.octets)
    drawn = [_rows.under(row, marked, missing, length) for row in rows]
    shown = [bool(d.strip(" -")) for d in drawn]
    keep = _rows.chosen(shown, options.show_all)
    head = "" if not record.places.rows else "line"
    yield ink.dim(f"  {head:>{label}}   {'at':>{digits + 2}}")
    bad = {o for o, m in marked.items() if m != "-"}
    for i, row in enumerate(rows):
        if not keep[i]:
            if i == 0 or keep[i - 1]:
                hidden = rows[i : next((j for j in range(i, len(rows)) if keep[j]), len(rows))]
                yield ink.dim(f"  {'..':>{label}}   {_hidden(hidden, digits)}")
            continue
        at = f"{'-' if row.first < 0 else ''}0x{abs(row.first):0{digits}x}"
        before = f"  {row.label:>{label}}   {at:>{digits + 2}}   "
        yield ink.dim(before) + _coloured(row, bad, ink)
        if drawn[i]:
            yield " " * len(before) + ink.accent(drawn[i])
        if sent := _rows.beneath(row, record):
            yield f"{'sent':>{len(before) - 3}}   {sent}"
    yield from _legend(
        record, set("".join(d for d, k in zip(drawn, keep, strict=True) if k)), options
    )


def _fitting(record: FrameRecord, width: int) -> tuple[list[_rows.Line], int, int]:
    """Rows as long as the page allows, the width of their labels, the digits of their offsets."""
    digits = max(3, len(f"{len(record.octets):x}"))
    for most in (16, 8, 4):
        rows = list(_rows.lines(record, most))
        label = max([4, *(len(r.label) for r in rows)])
        if 2 + label + 3 + digits + 3 + 3 + 3 * most <= width:
            break
    return rows, label, digits


def _hidden(rows: list[_rows.Line], digits: int) -> str:
    size = sum(r.size for r in rows)
    return f"0x{max(0, rows[0].first):0{digits}x}   {counted(size, 'octet')} not shown"


def _coloured(row: _rows.Line, bad: set[int], ink: Ink) -> str:
    text, at = "", 0
    for cell in row.cells:
        if cell.octet in bad:
            text += row.text[at : cell.x] + ink.accent(row.text[cell.x : cell.x + 2])
            at = cell.x + 2
    return text + row.text[at:]


def _legend(record: FrameRecord, used: set[str], options: ReportOptions) -> Iterator[str]:
    lines: list[tuple[str, Sequence[Range], str]] = [
        *(("~", ranges, said) for said, ranges in old(record)),
        ("^", record.wrong, _wrong(record)),
        ("+", record.extra, _rows.MEANINGS["+"]),
        ("?", record.doubtful, _rows.MEANINGS["?"]),
        ("!", (), _named(record)),
        ("-", (), _envelope(record)),
    ]
    for mark, ranges, meaning in lines:
        if mark in used:
            at = f": {octets_at(ranges)}" if ranges else ""
            yield from wrap(meaning + at, options.width, f"{INDENT}{mark * 2}  ")
    for m in record.missing:
        said = f"{counted(m.length, 'octet')} that were sent are missing in front of 0x{m.at:x}"
        yield from wrap(said, options.width, f"{INDENT}|   ")
    for move in record.moves[:MOST_REASONS]:
        said = f"what was sent at 0x{move.sent:x} stands at 0x{move.received:x}"
        yield from wrap(f"{said}: {counted(move.length, 'octet')}", options.width, f"{INDENT}    ")


def _wrong(record: FrameRecord) -> str:
    known = record.reference is not None
    if known:
        return "wrong, other than what was sent"
    healed = record.repair is not None or record.moves
    by = "other than in the healed frame" if healed else "by the arithmetic of a sum"
    return f"wrong, {by}"


def _named(record: FrameRecord) -> str:
    """What the octets under ! are: the field of a sum, or what some other rule names."""
    failing = {v.name for v in record.verdicts if v.outcome == "mismatch"}
    grave = {f.rule for f in record.findings if f.certainty not in NOTES}
    if grave <= failing:
        return "the sum or length that does not fit"
    return _rows.MEANINGS["!"]


def _envelope(record: FrameRecord) -> str:
    sides = {"head": "before", "tail": "behind"}
    said = ", ".join(
        f"{safe(e.kind)} ({counted(len(e.octets), 'octet')} {sides[e.side]})"
        for e in record.frame.envelopes
    )
    return f"not of the frame: {said}"
