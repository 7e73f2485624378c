"""The sheet for a person at a terminal: the answer first, then what is wrong and where.

Each damaged frame is shown as it stands in the log, with the log's own line numbers, the octets
that are wrong marked underneath in characters; then why, by which standard, and what to do next.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator

from framecheck.core.finding import Finding
from framecheck.core.layer import Field
from framecheck.core.report import Report, ReportOptions
from framecheck.core.sheet import FrameRecord, InputRecord, Tally, Totals
from framecheck.core.span import count
from framecheck.reports import _rows
from framecheck.reports._next import Advice
from framecheck.reports._page import Ink, columns, safe, wrap
from framecheck.reports._spool import Spool
from framecheck.reports._words import (
    NOTES,
    by_weight,
    counted,
    fate_in_words,
    name_of,
    no_frame,
    octets_at,
    where,
)

INDENT = " " * 10
MOST_REASONS = 6
"""Reasons and doubts of one frame that are shown without ``--all``."""


def write(
    frames: Iterable[FrameRecord], totals: Callable[[], Totals], options: ReportOptions
) -> Iterator[str]:
    """The report in lines; frames wait in a spool for the answer, which comes first."""
    ink = Ink(options.colour)
    broken, sound = Spool(), Spool()
    advice = Advice(options)
    tallies: dict[str, Tally] = {}
    notes = 0
    try:
        for record in frames:
            first = record.input not in tallies
            tallies.setdefault(record.input, Tally()).count(record)
            title = name_of(record.input) if first and len(options.inputs) > 1 else ""
            if record.state != "sound":
                advice.see(record)
            if options.only_damaged and record.state != "damaged":
                continue
            if record.state != "sound" or options.show_all:
                broken.write(_lines(_block(record, options, ink)))
            else:
                notes += sum(f.certainty in NOTES for f in record.findings)
                if title or not sound.length:
                    sound.write(_lines(_sound_head(title, options, ink)))
                sound.write(_lines(_sound(record, options)))
        end = totals()
        yield _lines(_answer(end, tallies, options, ink))
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
    said = f"{counted(len(end.inputs), 'input')}: {_states(end.tally)}"
    yield from _bold(said, options, ink)
    for i in end.inputs:
        yield from wrap(_input_answer(i, tallies.get(i.name, Tally())), options.width, "  ", "    ")


def _bold(text: str, options: ReportOptions, ink: Ink) -> Iterator[str]:
    for line in wrap(text, options.width, "", "  "):
        yield ink.bold(line)


def _input_answer(i: InputRecord, tally: Tally) -> str:
    if i.error and not tally.frames:
        return safe(i.error)
    if not tally.frames:
        return no_frame(i)
    said = f"{name_of(i.name)}: {_states(tally)}"
    return f"{said}; not read to its end" if i.error else said


def _states(t: Tally) -> str:
    """Counts of the states, the gravest first."""
    if not t.frames:
        return "no frame found"
    if t.sound == t.frames:
        return "the only frame is sound" if t.frames == 1 else f"all {t.frames:,} frames are sound"
    if t.frames == 1:
        state = (t.damaged and "damaged") or (t.cut and "cut off by the end of the log")
        return f"the only frame is {state or 'undecided'}"
    parts = [
        (t.damaged, "damaged"),
        (t.cut, "cut off by the end of the log"),
        (t.cannot_tell, "undecided"),
    ]
    of = f" of {counted(t.frames, 'frame')}"
    said = []
    for n, what in parts:
        if n:
            said.append(f"{n:,}{of} {'is' if n == 1 else 'are'} {what}")
            of = ""
    return ", ".join(said)


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


# A frame in full.


def _block(record: FrameRecord, options: ReportOptions, ink: Ink) -> Iterator[str]:
    yield ""
    yield from _title(record, options, ink)
    fate, source = fate_in_words(record)
    says = f"{_state_in_words(record)}; {fate}"
    yield from _with_detail(says, f"({source})" if source else "", options, ink, INDENT, INDENT)
    yield ""
    yield from _octets(record, options, ink)
    yield ""
    yield from _why(record, options, ink)
    yield from _labelled("sums", _sums(record), options)
    yield from _labelled("proven", _proven(record), options)
    yield from _labelled("doubt", _doubts(record, options), options)
    if options.show_all:
        if assumed := ", ".join(safe(a) for a in record.fate.assumed):
            yield from _labelled("assumed", [f"to fit, as --host does not say: {assumed}"], options)
        yield from _fields(record, options, ink)


def _title(record: FrameRecord, options: ReportOptions, ink: Ink) -> Iterator[str]:
    several = len(options.inputs) > 1
    name = f"   {name_of(record.input)}" if several else ""
    head = f"frame {record.number}{name}   {where(record)}   {counted(len(record.octets), 'octet')}"
    summary = safe(record.summary)
    one = f"{head}   {summary}"
    if columns(one) <= options.width:
        yield ink.bold(one)
        return
    for line in [head] if columns(head) <= options.width else wrap(head, options.width):
        yield ink.bold(line)
    for line in wrap(summary, options.width, INDENT):
        yield ink.bold(line)


def _state_in_words(record: FrameRecord) -> str:
    if record.state == "damaged":
        by = {"console": "the console", "transfer": "the transfer", "sender": "the sender"}
        who = by.get(record.broken_by or "")
        return f"damaged by {who}" if who else "damaged"
    if record.state == "cut":
        return f"cut off where the log ends; {_lacking(record)}"
    if record.state == "cannot tell":
        starts = record.frame.starts_at
        why = {"inside": "its start is not there", "unknown": "where it starts is not known"}
        return f"undecided: {why.get(starts, 'see the doubts')}"
    return "sound"


def _lacking(record: FrameRecord) -> str:
    dump = record.frame.dump
    for wanted, who in ((dump.wire_length, "on the wire"), (dump.claimed_length, "as announced")):
        if wanted is not None and wanted > len(dump.octets):
            return f"{len(dump.octets)} of {counted(wanted, 'octet')} {who} are there"
    for layer in record.layers:
        total = layer.number("total_length") if layer.kind == "ipv4" and not layer.quoted else None
        there = len(record.octets) - layer.start // 8
        if total is not None and total > there:
            return f"{there} of {counted(total, 'octet')} of its IPv4 datagram are there"
    return "what is there is not whole"


def _octets(record: FrameRecord, options: ReportOptions, ink: Ink) -> Iterator[str]:
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
    lines = [
        ("~", record.residue, _rows.MEANINGS["~"]),
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
    return "wrong, other than what was sent" if known else "wrong, by the arithmetic of a sum"


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


# Why.


def _labelled(label: str, paragraphs: Iterable[str], options: ReportOptions) -> Iterator[str]:
    first = f"  {label:<8}"
    for paragraph in paragraphs:
        yield from wrap(paragraph, options.width, first, INDENT)
        first = INDENT


def _why(record: FrameRecord, options: ReportOptions, ink: Ink) -> Iterator[str]:
    """What is broken, at which octets, by which standard."""
    first = "  why     "
    for says, detail in _reasons(record, options):
        yield from _with_detail(says, detail, options, ink, first, f"{INDENT}  ")
        first = INDENT


def _with_detail(
    says: str, detail: str, options: ReportOptions, ink: Ink, first: str, below: str
) -> Iterator[str]:
    """A sentence, and its detail behind it where there is room, else beneath."""
    *before, last = wrap(says, options.width, first)
    yield from before
    if detail and columns(last + detail) + 2 <= options.width:
        yield f"{last}  {ink.dim(detail)}"
        return
    yield last
    if detail:
        for line in wrap(detail, options.width, below):
            yield ink.dim(line)


def _reasons(record: FrameRecord, options: ReportOptions) -> Iterator[tuple[str, str]]:
    findings = by_weight(record.findings)
    grave = [f for f in findings if f.certainty not in NOTES]
    shown = findings if options.show_all else (grave or findings)[:MOST_REASONS]
    verdicts = {v.name: v for v in record.verdicts}
    for f in shown:
        yield safe(f.says), f"{_spots(f)}; {safe(f.source)}"
        verdict = verdicts.get(f.rule)
        if verdict is not None and verdict.says and verdict.says not in f.says:
            yield safe(verdict.says), ""
    hidden = len(findings) - len(shown)
    if hidden:
        yield f"{counted(hidden, 'finding')} more: --all shows {_them(hidden)}", ""
    if record.repair is not None:
        proof = ", ".join(_spoken(safe(p)) for p in record.repair.proved_by)
        yield f"healed by: {safe(record.repair.says)}", f"proved by {proof}" if proof else ""


def _them(n: int) -> str:
    return "it" if n == 1 else "them"


def _spots(f: Finding) -> str:
    return octets_at([s.octets for s in f.spans]) if f.spans else "the whole frame"


def _sums(record: FrameRecord) -> Iterator[str]:
    """Each checksum and length by its outcome."""
    said = []
    for outcome, words in (
        ("match", "right"),
        ("mismatch", "wrong"),
        ("partial", "left to the adapter"),
        ("absent", "not carried"),
        ("unverifiable", "cannot be known"),
    ):
        names = [_spoken(v.name) for v in record.verdicts if v.outcome == outcome]
        if names:
            said.append(f"{words}: {', '.join(names)}")
    if said:
        yield "; ".join(said)


def _spoken(name: str) -> str:
    capitals = {"fcs": "FCS", "ipv4": "IPv4", "icmp": "ICMP", "udp": "UDP", "tcp": "TCP"}
    return " ".join(capitals.get(w, w) for w in name.split("-"))


def _proven(record: FrameRecord) -> Iterator[str]:
    proven, length = count(record.proven), len(record.octets)
    if not length:
        return
    said = f"{proven} of {counted(length, 'octet')}"
    yield f"{said}; {octets_at(record.proven)}" if proven else f"{said}: nothing vouches for any"


def _doubts(record: FrameRecord, options: ReportOptions) -> Iterator[str]:
    shown = record.doubts if options.show_all else record.doubts[:MOST_REASONS]
    for d in shown:
        yield safe(d.says)
    if len(record.doubts) > len(shown):
        yield f"{len(record.doubts) - len(shown)} more doubts: --all shows them"


def _fields(record: FrameRecord, options: ReportOptions, ink: Ink) -> Iterator[str]:
    """What each layer says, field by field, in the standard's words."""
    if record.layers:
        yield ""
    for layer in record.layers:
        start, stop = layer.octets
        head = f"{layer.kind}{' (quoted)' if layer.quoted else ''}"
        yield ink.dim(f"  {head}   {octets_at([(start, stop)])}")
        said = ", ".join(_said(f) for f in layer.fields[:200])
        yield from wrap(said, options.width, INDENT)


def _said(f: Field) -> str:
    name = f.name.replace("_", " ")
    if f.value is None:
        return f"{name} cut off"
    reads = f.reads
    if reads is not None:
        return f"{name} {safe(reads, 120)}"
    if isinstance(f.value, bytes):
        more = f"... ({len(f.value)} octets)" if len(f.value) > 16 else ""
        return f"{name} {f.value[:16].hex()}{more}"
    return f"{name} {f.value}"


# The end.


def _end(
    end: Totals, notes: int, advice: Advice, options: ReportOptions, ink: Ink
) -> Iterator[str]:
    below: list[str] = []
    if notes:
        below.append(f"{counted(notes, 'note')} on sound frames: --all shows {_them(notes)}")
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
    first = "next      "
    for says, command in advice.lines():
        if first.strip():
            yield ""
        yield from wrap(says, options.width, first, INDENT)
        if command:
            yield from wrap(command, options.width, f"{INDENT}  ")
        first = INDENT


TERMINAL = Report(
    "terminal", "for a person: the answer first, then where and why", write, tells=True
)
