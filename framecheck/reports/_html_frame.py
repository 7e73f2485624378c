"""One frame on the HTML page: in full, its octets as they stand in the log, or as a table row."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from itertools import groupby
from typing import Any

from framecheck.core.sheet import FrameRecord
from framecheck.reports import _rows, _why
from framecheck.reports._frame import state_in_words
from framecheck.reports._healed import healed_rows
from framecheck.reports._html_parts import templates
from framecheck.reports._old import old
from framecheck.reports._page import safe
from framecheck.reports._words import by_weight, counted, fate_in_words, name_of, octets_at, where

_MARKS = {
    "~": "unwritten",
    "^": "wrong",
    "+": "foreign",
    "?": "doubtful",
    "!": "named",
    "-": "around",
}


def article(record: FrameRecord, name: str, marks: Mapping[int, str], named: bool) -> str:
    """A frame in full: its anchor, its octets' marks, whether its input is named."""
    fate, source = fate_in_words(record)
    place = where(record) + (f" of {name_of(record.input)}" if named else "")
    return (
        templates()
        .get_template("frame.html")
        .render(
            name=name,
            state=record.state.replace(" ", "-"),
            number=record.number,
            place=place,
            summary=safe(record.summary),
            judged=f"{_capital(state_in_words(record))}, {counted(len(record.octets), 'octet')}; "
            f"{fate}{f' ({source})' if source else ''}.",
            reasons=list(_reasons(record)),
            parts=list(_parts(record, marks)),
            key=list(_key(record, marks)),
            healed=list(_healed(record)),
        )
    )


def _capital(text: str) -> str:
    return text[:1].upper() + text[1:]


def _reasons(record: FrameRecord) -> Iterator[tuple[str, str]]:
    """What is broken, at which octets, by which standard; then proof and doubts."""
    for f in by_weight(record.findings):
        if f.certainty == "unusual" and record.state == "damaged":
            continue
        at = octets_at([s.octets for s in f.spans]) if f.spans else "the whole frame"
        yield safe(f.says), f"{safe(f.rule)}; {at}; {safe(f.source)}"
    for m in record.missing:
        yield f"{counted(m.length, 'octet')} that were sent are missing in front of 0x{m.at:x}", ""
    for move in record.moves[:6]:
        yield (
            f"what was sent at 0x{move.sent:x} stands at 0x{move.received:x}: "
            f"{counted(move.length, 'octet')}",
            "",
        )
    if record.repair is not None:
        yield (
            f"healed by: {safe(record.repair.says)}",
            ", ".join(map(safe, record.repair.proved_by)),
        )
    for line in _why.sums(record):
        yield f"sums: {line}", ""
    for line in _why.proven(record):
        yield f"proven: {line}", ""
    for d in record.doubts:
        yield f"not sure: {safe(d.says)}", ""


def _key(record: FrameRecord, marks: Mapping[int, str]) -> Iterator[tuple[str, str, str]]:
    ranges = {
        "^": record.wrong,
        "+": record.extra,
        "?": record.doubtful,
    }
    used = set(marks.values())
    for mark, name in _MARKS.items():
        if mark == "~":
            yield from ((name, "5a", f"{said}: {octets_at(there)}") for said, there in old(record))
        elif mark in used:
            at = f": {octets_at(ranges[mark])}" if ranges.get(mark) else ""
            yield name, "5a", f"{_rows.MEANINGS[mark]}{at}"


def _healed(record: FrameRecord) -> Iterator[tuple[str, str]]:
    """Offset and octets of the rows of the healed frame that differ."""
    for part in healed_rows(record, 16, False):
        if isinstance(part, int):
            yield f"{'..':<10}", f"{counted(part, 'octet')} not shown"
        else:
            yield f"0x{part.first:04x}    ", part.text


def _parts(record: FrameRecord, marks: Mapping[int, str]) -> Iterator[dict[str, Any]]:
    """The rows that matter, each with its fields; those between them fold away."""
    rows = list(_rows.lines(record, None))
    marked = [any(marks.get(c.octet, "-") != "-" for c in row.cells) for row in rows]
    keep = _rows.chosen(marked, False)
    label = max([0, *(len(r.label) for r in rows)])
    for shown, group in groupby(range(len(rows)), key=keep.__getitem__):
        if shown:
            for i in group:
                yield _shown(rows[i], _place(rows[i], label), record, marks)
            continue
        hidden = list(group)
        size = counted(sum(rows[i].size for i in hidden), "octet")
        alike = any(marked[i] for i in hidden)
        yield {
            "rows": [{"place": _place(rows[i], label), "text": rows[i].text} for i in hidden],
            "says": f"{size} more, like those around them" if alike else f"{size} without a mark",
        }


def _shown(
    row: _rows.Line, place: str, record: FrameRecord, marks: Mapping[int, str]
) -> dict[str, Any]:
    return {
        "place": place,
        "blank": " " * max(0, len(place) - 6) + "sent  ",
        "pieces": list(_pieces(row, marks)),
        "sent": _rows.beneath(row, record),
        "fields": list(_fields(record, row)) or ["not of the frame"],
    }


def _place(row: _rows.Line, label: int) -> str:
    sign = "-" if row.first < 0 else ""
    return f"{row.label:>{label}}  {f'{sign}0x{abs(row.first):03x}':>6}  "


def _pieces(row: _rows.Line, marks: Mapping[int, str]) -> Iterator[dict[str, str]]:
    """The row's text, cut where marks begin and end; the text itself is not changed."""
    at = 0
    cells = list(row.cells)
    n = 0
    while n < len(cells):
        mark = marks.get(cells[n].octet)
        last = n
        while last + 1 < len(cells) and marks.get(cells[last + 1].octet) == mark:
            last += 1
        if mark in _MARKS:
            start, stop = cells[n].x, cells[last].x + 2
            if at < start:
                yield {"text": row.text[at:start], "mark": ""}
            yield {"text": row.text[start:stop], "mark": _MARKS[mark]}
            at = stop
        n = last + 1
    if at < len(row.text):
        yield {"text": row.text[at:], "mark": ""}


def _fields(record: FrameRecord, row: _rows.Line) -> Iterator[str]:
    """Fields that have an octet in the row, in the standard's words."""
    octets = [c.octet for c in row.cells if 0 <= c.octet < len(record.octets)]
    if not octets:
        return
    start, stop = min(octets) * 8, (max(octets) + 1) * 8
    for layer in record.layers:
        for f in layer.fields:
            if f.start < stop and f.stop > start:
                yield f"{layer.kind}: {_why.field_said(f)}"


def table_row(record: FrameRecord, named: bool) -> str:
    """A frame in one line."""
    from markupsafe import escape

    state = "" if record.state == "sound" else f"{record.state}: "
    name = f"{name_of(record.input)} " if named else ""
    cells = (f"{name}{where(record, short=True)}", len(record.octets), state + safe(record.summary))
    place, length, says = (escape(c) for c in cells)
    return (
        f'<tr><td class="number">{record.number}</td><td>{place}</td>'
        f'<td class="number">{length}</td><td>{says}</td></tr>\n'
    )
