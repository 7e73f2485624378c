"""One frame in full: what it is, its fate, its octets as they stand in the log, and why."""

from __future__ import annotations

from collections.abc import Iterator

from framecheck.core.report import ReportOptions
from framecheck.core.sheet import FrameRecord
from framecheck.reports import _why
from framecheck.reports._healed import healed
from framecheck.reports._octets import octets_of
from framecheck.reports._page import INDENT, Ink, columns, safe, wrap
from framecheck.reports._words import counted, fate_in_words, name_of, where
from framecheck.reports._worth import strip


def block(
    record: FrameRecord, options: ReportOptions, ink: Ink, legend: bool = False
) -> Iterator[str]:
    """The lines about one frame, with an empty one in front.

    ``legend``: whether to say what the marks of the strip mean.
    """
    yield ""
    yield from _title(record, options, ink)
    fate, source = fate_in_words(record)
    says = f"{state_in_words(record)}; {fate}"
    yield from _why.with_detail(says, f"({source})" if source else "", options, ink, INDENT, INDENT)
    yield ""
    yield from octets_of(record, options, ink)
    yield ""
    yield from _why.reasons(record, options, ink)
    yield from healed(record, options, ink)
    yield from _why.labelled("sums", _why.sums(record), options)
    if record.state == "damaged":
        yield from strip(record, options, ink, legend)
    yield from _why.labelled("proven", _why.proven(record), options)
    yield from _why.labelled("doubt", _why.doubts(record, options), options)
    if options.show_all:
        if assumed := ", ".join(safe(a) for a in record.fate.assumed):
            yield from _why.labelled(
                "assumed", [f"to fit, as --host does not say: {assumed}"], options
            )
        yield from _why.fields(record, options, ink)


def _title(record: FrameRecord, options: ReportOptions, ink: Ink) -> Iterator[str]:
    name = f"   {name_of(record.input)}" if options.names(record.input) else ""
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


def state_in_words(record: FrameRecord) -> str:
    """Damaged by whom, cut off where, undecided why, or sound."""
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
