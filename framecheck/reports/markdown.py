"""The sheet as Markdown, for an issue tracker or an e-mail: octets in code blocks, marks beneath.

What comes from a log stands in code blocks, or escaped: it cannot become markup, a link or a name.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator

from framecheck.core.report import Report, ReportOptions
from framecheck.core.sheet import FrameRecord, InputRecord, Tally, Totals
from framecheck.reports import _rows
from framecheck.reports._healed import healed_rows
from framecheck.reports._old import meaning, old
from framecheck.reports._page import safe
from framecheck.reports._spool import Spool
from framecheck.reports._words import (
    MOST_REASONS,
    NOTES,
    by_weight,
    counted,
    fate_in_words,
    name_of,
    no_frame,
    octets_at,
    states,
    unheld,
    where,
)


def write(
    frames: Iterable[FrameRecord], totals: Callable[[], Totals], options: ReportOptions
) -> Iterator[str]:
    """The page in pieces; frames wait in a spool for the answer, which comes first."""
    broken, sound = Spool(), Spool()
    tallies: dict[str, Tally] = {}
    try:
        for record in frames:
            tallies.setdefault(record.input, Tally()).count(record)
            if options.only_damaged and record.state != "damaged":
                continue
            if record.state != "sound" or options.show_all:
                broken.write("\n".join(_frame(record, options)) + "\n")
            else:
                sound.write(_sound(record, options) + "\n")
        end = totals()
        yield "\n".join(_answer(end, tallies)) + "\n"
        for n, line in enumerate(unheld(end)):
            yield f"\n**{plain(line)}**\n\n" if not n else f"- {plain(line)}\n"
        yield from broken.read()
        if sound.length:
            yield "\n### Sound\n\n| frame | place | octets | what it is |\n"
            yield "| --- | --- | --- | --- |\n"
            yield from sound.read()
    finally:
        broken.close()
        sound.close()


def plain(text: str, limit: int = 400) -> str:
    """Text as Markdown shows it word by word: each character that could act is escaped."""
    return "".join(_ESCAPED.get(c, c) for c in safe(text, limit))


# CommonMark 2.4: any ASCII punctuation may be escaped by a backslash; HTML and names of people
# (@), issues (#) and links need it too. Entities go by the ampersand.
_ESCAPED = {c: f"\\{c}" for c in "\\`*_{}[]<>()#+!|~$^="} | {"&": "&amp;", "@": "&#64;"}


def _answer(end: Totals, tallies: dict[str, Tally]) -> Iterator[str]:
    if len(end.inputs) == 1:
        yield f"## {_of_input(end.inputs[0], end.tally)}"
        return
    yield f"## {counted(len(end.inputs), 'input')}: {states(end.tally)}"
    yield ""
    for i in end.inputs:
        yield f"- {_of_input(i, tallies.get(i.name, Tally()))}"


def _of_input(i: InputRecord, tally: Tally) -> str:
    if i.error and not tally.frames:
        return plain(i.error)
    if not tally.frames:
        return plain(no_frame(i))
    return f"{plain(name_of(i.name))}: {states(tally)}" + (
        "; not read to its end" if i.error else ""
    )


def _sound(record: FrameRecord, options: ReportOptions) -> str:
    name = f"{plain(name_of(record.input))} " if options.names(record.input) else ""
    place = f"{name}{where(record, short=True)}"
    return f"| {record.number} | {place} | {len(record.octets)} | {plain(record.summary)} |"


def _frame(record: FrameRecord, options: ReportOptions) -> Iterator[str]:
    name = f", {plain(name_of(record.input))}" if options.names(record.input) else ""
    yield ""
    yield f"### Frame {record.number}{name}, {where(record)}: {plain(record.summary)}"
    yield ""
    fate, source = fate_in_words(record)
    cited = f" ({plain(source)})" if source else ""
    by = f" by the {record.broken_by}" if record.broken_by not in (None, "unknown") else ""
    yield f"**{record.state}{by}**, {counted(len(record.octets), 'octet')}; {fate}{cited}."
    yield ""
    yield "```text"
    yield from _octets(record, options)
    yield "```"
    said = list(_reasons(record, options))
    if said:
        yield ""
        yield from (f"- {line}" for line in said)
    rows = list(healed_rows(record, 16, options.show_all))
    if rows:
        yield from ("", "The healed frame, where it differs:", "", "```text")
        for part in rows:
            if isinstance(part, int):
                yield f"..      {counted(part, 'octet')}"
            else:
                yield f"{part.first:#06x}  {part.text}"
        yield "```"


def _octets(record: FrameRecord, options: ReportOptions) -> Iterator[str]:
    """The rows that matter and the marks beneath them; rows of a block are never broken."""
    rows = list(_rows.lines(record, None))
    marked = _rows.marks(record)
    missing = frozenset(m.at for m in record.missing)
    drawn = [_rows.under(row, marked, missing, len(record.octets)) for row in rows]
    keep = _rows.chosen([bool(d.strip(" -")) for d in drawn], options.show_all)
    label = max([4, *(len(r.label) for r in rows)])
    yield f"{'line':>{label}}      at"
    for i, row in enumerate(rows):
        if not keep[i]:
            if i == 0 or keep[i - 1]:
                yield f"{'..':>{label}}"
            continue
        head = f"{row.label or '-':>{label}}  {row.first:#06x}  "
        yield head + row.text
        if drawn[i]:
            yield " " * len(head) + drawn[i]
        if sent := _rows.beneath(row, record):
            yield f"{'sent':>{len(head) - 2}}  {sent}"
    used = {m for d, k in zip(drawn, keep, strict=True) if k for m in d}
    for mark in (m for m in _rows.MEANINGS if m in used):
        yield f"{mark * 2}  {meaning(record) if mark == '~' else _rows.MEANINGS[mark]}"


def _reasons(record: FrameRecord, options: ReportOptions) -> Iterator[str]:
    findings = by_weight(record.findings)
    grave = [f for f in findings if f.certainty not in NOTES]
    shown = findings if options.show_all else (grave or findings)[:MOST_REASONS]
    for f in shown:
        at = octets_at([s.octets for s in f.spans]) if f.spans else "the whole frame"
        yield f"`{f.rule}`: {plain(f.says)} ({at}; {plain(f.source)})"
    if len(findings) > len(shown):
        yield f"{counted(len(findings) - len(shown), 'finding')} more"
    for ranges, says in (
        *((ranges, said) for said, ranges in old(record)),
        (record.wrong, _rows.MEANINGS["^"]),
        (record.extra, _rows.MEANINGS["+"]),
        (record.doubtful, _rows.MEANINGS["?"]),
    ):
        if ranges:
            yield f"{says}: {octets_at(ranges)}"
    for m in record.missing:
        yield f"{counted(m.length, 'octet')} that were sent are missing in front of 0x{m.at:x}"
    if record.repair is not None:
        yield f"healed by: {plain(record.repair.says)}"
    for d in record.doubts[:MOST_REASONS]:
        yield f"not sure: {plain(d.says)}"


MARKDOWN = Report("markdown", "Markdown, for an issue tracker or an e-mail", write)
