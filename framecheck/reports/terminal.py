"""The sheet for a person at a terminal: the answer first, then what is wrong and where.

Each damaged frame is shown as it stands in the log, with the log's own line numbers, the octets
that are wrong marked underneath in characters; then why, by which standard, and what to do next.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator

from framecheck.core.report import Report, ReportOptions
from framecheck.core.sheet import FrameRecord, InputRecord, Tally, Totals
from framecheck.reports._frame import block
from framecheck.reports._law import sentence
from framecheck.reports._next import Advice
from framecheck.reports._page import INDENT, Ink, safe, wrap
from framecheck.reports._spool import Spool
from framecheck.reports._words import (
    MOST_REASONS,
    NOTES,
    counted,
    name_of,
    no_frame,
    states,
    them,
    unheld,
    where,
)


def write(
    frames: Iterable[FrameRecord], totals: Callable[[], Totals], options: ReportOptions
) -> Iterator[str]:
    """The report in lines; frames wait in a spool for the answer, which comes first."""
    ink = Ink(options.colour)
    broken, sound = Spool(), Spool()
    advice = Advice(options)
    tallies: dict[str, Tally] = {}
    notes, legend = 0, True
    try:
        for record in frames:
            first = record.input not in tallies
            tallies.setdefault(record.input, Tally()).count(record)
            title = name_of(record.input) if first and options.names(record.input) else ""
            if record.state != "sound":
                advice.see(record)
            if options.only_damaged and record.state != "damaged":
                continue
            if record.state != "sound" or options.show_all:
                broken.write(_lines(block(record, options, ink, legend)))
                legend = legend and record.state != "damaged"
            else:
                notes += sum(f.certainty in NOTES for f in record.findings)
                if title or not sound.length:
                    sound.write(_lines(_sound_head(title, options, ink)))
                sound.write(_lines(_sound(record, options)))
        end = totals()
        yield _lines(_answer(end, tallies, options, ink))
        yield _lines(_required(end, options, ink))
        yield from broken.read()
        yield from sound.read()
        yield _lines(_end(end, notes, advice, options, ink))
    finally:
        broken.close()
        sound.close()


def _lines(lines: Iterable[str]) -> str:
    return "".join(f"{line}\n" for line in lines)


# The answer.


def _answer(
    end: Totals, tallies: dict[str, Tally], options: ReportOptions, ink: Ink
) -> Iterator[str]:
    if len(end.inputs) == 1:
        yield from _bold(_input_answer(end.inputs[0], end.tally), options, ink)
        return
    said = f"{counted(len(end.inputs), 'input')}: {states(end.tally)}"
    yield from _bold(said, options, ink)
    for i in end.inputs:
        yield from wrap(_input_answer(i, tallies.get(i.name, Tally())), options.width, "  ", "    ")


def _required(end: Totals, options: ReportOptions, ink: Ink) -> Iterator[str]:
    first, *rest = unheld(end) or [""]
    if first:
        yield from _bold(first, options, ink)
    for line in rest:
        yield from wrap(line, options.width, "  ", "    ")


def _bold(text: str, options: ReportOptions, ink: Ink) -> Iterator[str]:
    for line in wrap(text, options.width, "", "  "):
        yield ink.bold(line)


def _input_answer(i: InputRecord, tally: Tally) -> str:
    if i.error and not tally.frames:
        return safe(i.error)
    if not tally.frames:
        return no_frame(i)
    said = f"{name_of(i.name)}: {states(tally)}"
    return f"{said}; not read to its end" if i.error else said


# Sound frames: one line each.


def _sound_head(title: str, options: ReportOptions, ink: Ink) -> Iterator[str]:
    yield ""
    if title:
        yield from wrap(title, options.width)
    yield ink.dim("sound  lines        octets  what it is")


def _sound(record: FrameRecord, options: ReportOptions) -> Iterator[str]:
    place = where(record, short=True)
    head = f"{record.number:>5}  {place:<11} {len(record.octets):>7}  "
    yield from wrap(safe(record.summary), options.width, head, " " * 28)


# The end.


def _end(
    end: Totals, notes: int, advice: Advice, options: ReportOptions, ink: Ink
) -> Iterator[str]:
    below: list[str] = []
    if notes:
        below.append(f"{counted(notes, 'note')} on sound frames: --all shows {them(notes)}")
    for i in end.inputs:
        shown = i.doubts if options.show_all else i.doubts[:MOST_REASONS]
        below.extend(f"{name_of(i.name)}: {safe(d.says)}" for d in shown)
        if len(i.doubts) > len(shown):
            below.append(f"{name_of(i.name)}: {len(i.doubts) - len(shown)} more doubts: --all")
        if i.error and i.dumps:
            below.append(safe(i.error))
    if below:
        yield ""
        for line in below:
            yield from wrap(line, options.width, "", "  ")
    if end.laws:
        yield ""
        yield from wrap(sentence(end.laws[0]), options.width, "law       ", INDENT)
    first = "next      "
    for says, command in advice.lines(end.laws):
        if first.strip():
            yield ""
        yield from wrap(says, options.width, first, INDENT)
        if command:
            yield from wrap(command, options.width, f"{INDENT}  ")
        first = INDENT


TERMINAL = Report(
    "terminal", "for a person: the answer first, then where and why", write, tells=True
)
