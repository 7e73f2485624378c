"""The sheet as JUnit XML, for a CI job: a suite an input, a test case a frame.

A damaged frame is a failure; one that could not be checked (cut, undecided, an input unread) is
an error. XML 1.0 has no control characters, so all text is quoted before it is escaped. Suites
carry what the schemas in use demand: an id, a host, a time, and elements for output.
"""

from __future__ import annotations

import os
import time
from collections.abc import Callable, Iterable, Iterator

from framecheck.core.report import Report, ReportOptions
from framecheck.core.sheet import FrameRecord, InputRecord, Totals
from framecheck.reports import _rows
from framecheck.reports._old import meaning
from framecheck.reports._page import safe
from framecheck.reports._spool import Spool
from framecheck.reports._words import by_weight, fate_in_words, no_frame, octets_at, where

_ESCAPES = {"&": "&amp;", "<": "&lt;", ">": "&gt;", '"': "&quot;"}
OCTETS_A_ROW = 16


class _Suite:
    """The counts of one input, and the stretches of the spool that hold its cases."""

    __slots__ = ("errors", "failures", "parts", "tests")

    def __init__(self) -> None:
        self.tests = self.failures = self.errors = 0
        self.parts: list[tuple[int, int]] = []


def write(
    frames: Iterable[FrameRecord], totals: Callable[[], Totals], options: ReportOptions
) -> Iterator[str]:
    """The XML in pieces; cases wait in a spool for the counts, which come first."""
    spool, suites = Spool(), dict[str, _Suite]()
    try:
        for record in frames:
            if options.only_damaged and record.state != "damaged":
                continue
            suite = suites.setdefault(record.input, _Suite())
            start = spool.length
            spool.write(_case(record, options))
            if suite.parts and suite.parts[-1][1] == start:
                start = suite.parts.pop()[0]
            suite.parts.append((start, spool.length))
            suite.tests += 1
            suite.failures += record.state == "damaged"
            suite.errors += record.state in ("cut", "cannot tell")
        end = totals()
        yield '<?xml version="1.0" encoding="UTF-8"?>\n<testsuites>\n'
        stamp = _stamp()
        for n, i in enumerate(end.inputs):
            yield from _suite(n, i, suites.get(i.name, _Suite()), spool, stamp)
        if end.requirements is not None:
            yield from _required(len(end.inputs), end, stamp)
        yield "</testsuites>\n"
    finally:
        spool.close()


def _suite(number: int, i: InputRecord, suite: _Suite, spool: Spool, stamp: str) -> Iterator[str]:
    unread = _unread(i)
    yield (
        f'<testsuite name="{_text(i.name)}" package="framecheck" id="{number}" '
        f'timestamp="{stamp}" hostname="localhost" tests="{suite.tests + bool(unread)}" '
        f'failures="{suite.failures}" errors="{suite.errors + bool(unread)}" time="0">\n'
        f'<properties>\n<property name="dumps" value="{i.dumps}"/>\n</properties>\n'
    )
    for start, stop in suite.parts:
        yield from spool.read(start, stop)
    yield unread
    yield "<system-out/>\n<system-err/>\n</testsuite>\n"


def _required(number: int, end: Totals, stamp: str) -> Iterator[str]:
    """A suite of its own: a case a requirement."""
    wanted = end.requirements or ()
    yield (
        f'<testsuite name="requirements" package="framecheck" id="{number}" '
        f'timestamp="{stamp}" hostname="localhost" tests="{len(wanted)}" '
        f'failures="{len(end.unheld)}" errors="0" time="0">\n'
        f'<properties>\n<property name="held" value="{len(wanted) - len(end.unheld)}"/>\n'
        "</properties>\n"
    )
    for r in wanted:
        says = _text(str(r["says"]))
        case = f'<testcase classname="requirements" name="{_text(str(r["name"]))}" time="0"'
        failure = f'>\n<failure message="{says}" type="requirement">{says}</failure>\n</testcase>\n'
        yield case + ("/>\n" if r["held"] else failure)
    yield "<system-out/>\n<system-err/>\n</testsuite>\n"


def _stamp() -> str:
    """The time of the run, UTC; SOURCE_DATE_EPOCH makes it repeatable (reproducible-builds.org)."""
    given = os.environ.get("SOURCE_DATE_EPOCH", "")
    seconds = int(given) if given.isascii() and given.isdigit() and len(given) < 12 else time.time()
    return time.strftime("%Y-%m-%dT%H:%M:%S", time.gmtime(seconds))


def _unread(i: InputRecord) -> str:
    """A case for what could not be read, or for an input without a frame."""
    if not i.error and i.dumps:
        return ""
    said = i.error or no_frame(i)
    return (
        f'<testcase classname="{_text(i.name)}" name="the input is read" time="0">'
        f'<error message="{_text(said)}" type="input"/></testcase>\n'
    )


def _case(record: FrameRecord, options: ReportOptions) -> str:
    layout = record.frame.dump.layout
    place = _text(record.input + (f" ({layout})" if layout else ""))
    name = _text(f"{where(record)}: frame {record.number}: {record.summary}")
    head = f'<testcase classname="{place}" name="{name}" time="0"'
    if record.state == "sound":
        return f"{head}/>\n"
    kind = "failure" if record.state == "damaged" else "error"
    findings = by_weight(record.findings)
    rule = findings[0].rule if findings and kind == "failure" else record.state
    message = findings[0].says if findings and kind == "failure" else _message(record)
    body = "\n".join(_text(line, 1000) for line in _body(record))
    return (
        f'{head}>\n<{kind} message="{_text(message)}" type="{_text(rule)}">'
        f"{body}\n</{kind}>\n</testcase>\n"
    )


def _message(record: FrameRecord) -> str:
    if record.state == "damaged":
        bad = [*record.wrong, *record.extra, *record.residue]
        return f"damaged: {octets_at(bad)}" if bad else "damaged: octets are missing"
    if record.state == "cut":
        return "could not be checked: the log ends inside the frame"
    said = [d.says for d in record.doubts if d.decides] or [d.says for d in record.doubts]
    return "could not be checked: " + ("; ".join(said[:2]) or "its start is not known")


def _body(record: FrameRecord) -> Iterator[str]:
    """Fate, reasons, then the octets with the lines of the log and the marks under them."""
    fate, source = fate_in_words(record)
    yield f"{where(record)}, {len(record.octets)} octets; {fate}" + (
        f" ({source})" if source else ""
    )
    for f in by_weight(record.findings):
        at = octets_at(s.octets for s in f.spans)
        yield f"{f.rule}: {f.says} ({at}; {f.source})"
    for d in record.doubts:
        yield f"doubt: {d.says}"
    marked = _rows.marks(record)
    missing = frozenset(m.at for m in record.missing)
    for row in _rows.lines(record, OCTETS_A_ROW):
        head = f"{row.label or '-':>8}  {row.first:#06x}  "
        yield head + row.text
        if marks := _rows.under(row, marked, missing, len(record.octets)):
            yield " " * len(head) + marks
    used = {m for m in marked.values() if m in _rows.MEANINGS}
    for mark in sorted(used):
        yield f"{mark * 2} {meaning(record) if mark == '~' else _rows.MEANINGS[mark]}"
    for m in record.missing:
        yield f"|  {m.length} octets are missing in front of octet {m.at:#x}"


def _text(text: str, limit: int = 400) -> str:
    return "".join(_ESCAPES.get(c, c) for c in safe(text, limit))


JUNIT = Report("junit", "JUnit XML, one test case a frame", write, always=True)
