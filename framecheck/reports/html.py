"""The sheet as one HTML page that needs nothing else: no network, no font, no framework.

Order: the answer, all frames in a strip, the law, the fold, damaged frames with their octets as
they stand in the log, sound ones in a table. All text of a log is quoted and then escaped; the
page's own policy (CSP) lets only its own style and script act, named by their hashes.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping
from typing import Any, NamedTuple

from framecheck.core.report import Report, ReportOptions
from framecheck.core.sheet import FrameRecord, Tally, Totals
from framecheck.reports import _rows, _strip
from framecheck.reports._html_frame import article, table_row
from framecheck.reports._html_law import folded, law_in_words
from framecheck.reports._html_parts import hashed, part, raw, templates
from framecheck.reports._page import safe
from framecheck.reports._spool import Spool
from framecheck.reports._words import counted, name_of, no_frame, states, unheld

MOST_IN_FULL = 1_600_000
"""Characters of frames in full; those beyond are rows of the table, and counted."""
MOST_IN_TABLE = 5_000
MOST_LINKS = 60


def write(
    frames: Iterable[FrameRecord], totals: Callable[[], Totals], options: ReportOptions
) -> Iterator[str]:
    """The page in pieces; frames wait in spools for the answer, which comes first."""
    yield from _written(_Page(options), frames, totals)


class Within(NamedTuple):
    """A page of a server around the report: its style and script are files of that server."""

    head: Any
    """Markup of the head: links to ``style()`` and ``script()``, served from the same place."""
    form: Any
    """Markup below the answer: the form that asked for it."""


def style() -> str:
    """The style of the page, for a server that hands it out."""
    return part("report.css")


def script() -> str:
    """The script of the page, for a server that hands it out."""
    return part("report.js")


def pieces_within(
    frames: Iterable[FrameRecord],
    totals: Callable[[], Totals],
    options: ReportOptions,
    within: Within,
) -> Iterator[str]:
    """The same page as a part of a server's; the policy is then that of the server."""
    yield from _written(_Page(options, within), frames, totals)


def _written(
    page: _Page, frames: Iterable[FrameRecord], totals: Callable[[], Totals]
) -> Iterator[str]:
    try:
        for record in frames:
            page.see(record)
        yield from page.pieces(totals())
    finally:
        page.close()


class _Page:
    """What is gathered while frames go by; memory is bounded, the rest is counted."""

    def __init__(self, options: ReportOptions, within: Within | None = None) -> None:
        self._options = options
        self._within = within
        self._full, self._table = Spool(), Spool()
        self._tallies: dict[str, Tally] = {}
        self._drawn: list[_strip.Marked] = []
        self._folded: list[_strip.Marked] = []
        self._damaged: list[tuple[str, str]] = []
        self._in_full = self._in_table = self._left_out = self._seen = self._broken = 0

    def see(self, record: FrameRecord) -> None:
        """Take one frame in."""
        self._tallies.setdefault(record.input, Tally()).count(record)
        self._seen += 1
        damaged = record.state == "damaged"
        self._broken += damaged
        if self._options.only_damaged and not damaged:
            return
        named = self._options.names(record.input)
        marks = _rows.marks(record)
        drawn = _strip.marked(record, (o for o, m in marks.items() if m == "!"))
        if len(self._drawn) < _strip.MOST_COLUMNS:
            self._drawn.append(drawn)
        if drawn.spans and len(self._folded) < _strip.MOST_ROWS:
            self._folded.append(drawn)
        wanted = record.state != "sound" or self._options.show_all
        if wanted and self._full.length < MOST_IN_FULL:
            name = f"frame-{self._seen}"
            self._full.write(article(record, name, marks, named))
            self._in_full += 1
            if damaged:
                self._damaged.append((str(record.number), name))
        elif self._in_table < MOST_IN_TABLE:
            self._in_table += 1
            self._table.write(table_row(record, named))
        else:
            self._left_out += 1

    def pieces(self, end: Totals) -> Iterator[str]:
        """The whole page."""
        before, frames, between, rows, after = self._around(end)
        yield before
        yield from self._full.read() if frames else ()
        yield between
        yield from self._table.read() if rows else ()
        yield after

    def _around(self, end: Totals) -> tuple[str, bool, str, bool, str]:
        """The page without its frames and its table: what stands before, between and behind."""
        from framecheck.core.version import VERSION

        laws = [law_in_words(x) for x in end.laws]
        split = "\x00"  # no text on the page holds it: it would be quoted
        made = (
            templates()
            .get_template("report.html")
            .render(
                title=_title(end),
                within=self._within,
                below=list(_below(end, self._tallies)),
                style=raw(part("report.css")),
                script=raw(part("report.js")),
                style_hash=hashed(part("report.css")),
                script_hash=hashed(part("report.js")),
                strip=raw(_strip.strip(self._drawn, self._seen)),
                longest=max([0, *(d.length for d in self._drawn)]),
                damaged=self._damaged[:MOST_LINKS],
                unshown=max(0, self._broken - len(self._damaged[:MOST_LINKS])),
                law=laws[0] if laws else None,
                others=[x["says"] for x in laws[1:]],
                fold=folded(self._folded, end),
                some=bool(self._in_full),
                heading=_heading(self._in_full, end, self._options.show_all),
                frames_here=raw(split),
                sound=bool(self._in_table),
                sound_heading=self._sound_heading(),
                rows_here=raw(split),
                version=VERSION,
            )
        )
        parts = made.split(split)
        frames, rows = bool(self._in_full), bool(self._in_table)
        before = parts.pop(0)
        between = parts.pop(0) if frames else ""
        return before, frames, between, rows, parts.pop(0) if rows else ""

    def _sound_heading(self) -> str:
        more = f"; {counted(self._left_out, 'more frame')} not listed" if self._left_out else ""
        return f"{counted(self._in_table, 'frame')} in one line each{more}"

    def close(self) -> None:
        """Forget everything."""
        self._full.close()
        self._table.close()


def _title(end: Totals) -> str:
    if len(end.inputs) != 1:
        return f"{counted(len(end.inputs), 'input')}: {states(end.tally)}"
    (i,) = end.inputs
    if end.tally.frames:
        unread = "; not read to its end" if i.error else ""
        return f"{name_of(i.name)}: {states(end.tally)}{unread}"
    return safe(i.error) if i.error else no_frame(i)


def _below(end: Totals, tallies: Mapping[str, Tally]) -> Iterator[str]:
    """Requirements, a line an input when there are several, and what was not sure of each."""
    yield from unheld(end)
    for i in end.inputs if len(end.inputs) > 1 else ():
        tally = tallies.get(i.name, Tally())
        said = safe(i.error) if i.error and not tally.frames else ""
        yield said or (f"{name_of(i.name)}: {states(tally)}" if tally.frames else no_frame(i))
    for i in end.inputs:
        if i.error and i.dumps:
            yield safe(i.error)
        for d in i.doubts[:6]:
            yield f"{name_of(i.name)}: {safe(d.says)}"


def _heading(count: int, end: Totals, everything: bool) -> str:
    if everything:
        return counted(count, "frame")
    one = {1: "The frame that is not sound"}
    return one.get(count, f"{count:,} frames that are not sound")


HTML = Report("html", "one page to look at and to hand on, with pictures", write)
