"""What reports for people say about a frame, an input, a fate: numbers and names in sentences."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from framecheck.core.finding import Finding
from framecheck.core.sheet import FrameRecord, InputRecord, Tally, Totals
from framecheck.core.span import Range, merged
from framecheck.reports._page import safe

ORDER = ("impossible", "forbidden", "suspicious", "unusual")
NOTES = ("suspicious", "unusual")
MOST_REASONS = 6
"""Reasons and doubts of one frame that are shown without ``--all``."""

_STEPS = {
    "mac-address-filter-and-fcs": "at the address filter and FCS of its adapter",
    "driver-length-status": "in the driver, by its length or status",
    "ethertype-demux": "at the EtherType",
    "ip-version-ihl": "at the IP version and header length",
    "ip-header-checksum": "at the IP header checksum",
    "total-length-vs-received": "at the IP total length",
    "options": "at the IP options",
    "source-destination-address": "at the IP addresses",
    "reassembly": "in reassembly, where it waits for the other fragments",
    "protocol-demux": "at the IP protocol number",
    "transport-length": "at the {transport} length",
    "transport-checksum": "at the {transport} checksum",
    "port": "at the port",
    "application": "in the application",
}
# A real receiver was seen to answer at these steps only; elsewhere it drops without a word.
_MAY_ANSWER = ("options", "protocol-demux", "port", "application", "reassembly")


def name_of(input_name: str) -> str:
    """An input as a person knows it."""
    return "standard input" if input_name == "-" else safe(input_name)


def counted(n: int, thing: str, things: str | None = None) -> str:
    """``1 octet``, ``2 octets``."""
    return f"{n:,} {thing if n == 1 else things or thing + 's'}"


def them(n: int) -> str:
    """``it`` or ``them``."""
    return "it" if n == 1 else "them"


def octets_at(ranges: Iterable[Range], most: int = 6) -> str:
    """Octet ranges in words, offsets in hex, the last octet named: ``octets 0x22 to 0x12d``."""
    joined = merged(ranges)
    if not joined:
        return "no octets"
    said = [f"0x{a:x}" if b - a == 1 else f"0x{a:x} to 0x{b - 1:x}" for a, b in joined[:most]]
    more = f" and {len(joined) - most} more places" if len(joined) > most else ""
    one = len(joined) == 1 and joined[0][1] - joined[0][0] == 1
    return f"{'octet' if one else 'octets'} {', '.join(said)}{more}"


def where(record: FrameRecord, short: bool = False) -> str:
    """The lines of the log that print a frame, or its record in a capture."""
    lines = record.places.lines()
    if lines is None:
        number = record.frame.dump.record
        return f"record {number}" if number is not None else "-"
    first, last = lines
    said = f"{first}" if first == last else f"{first}-{last}"
    return said if short else f"line {said}" if first == last else f"lines {said}"


def fate_in_words(record: FrameRecord) -> tuple[str, str]:
    """What a strict host does with the frame; by which sentence of which standard, or nothing."""
    fate = record.fate
    if fate.outcome == "cannot tell":
        return "what a strict host does with it cannot be told", ""
    if fate.outcome == "delivered":
        even = ", damage and all" if record.state == "damaged" else ""
        return f"a strict host delivers it{even}", ""
    source = _source(fate.rule, record.findings)
    said = f"a strict host drops it {dropped_at(fate.step or '', _transport(record))}"
    return said, safe(source or "")


def dropped_at(step: str, transport: str) -> str:
    """A step of a receiver in words, and whether it drops there without an answer."""
    said = _STEPS.get(step, f"at {step.replace('-', ' ')}").format(transport=transport)
    return said if step in _MAY_ANSWER else f"{said}, without an answer"


def _transport(record: FrameRecord) -> str:
    kinds = [x.kind for x in record.layers if not x.quoted and x.kind in ("udp", "tcp", "icmp")]
    return kinds[0].upper() if kinds else "transport"


def _source(rule: str | None, findings: Sequence[Finding]) -> str | None:
    for f in findings:
        if f.rule == rule:
            return f.source
    if rule is None:
        return None
    from framecheck.judging import rule_named

    try:
        return str(rule_named(rule).source)
    except KeyError:
        return None


def by_weight(findings: Iterable[Finding]) -> list[Finding]:
    """Findings, the gravest first, in their own order otherwise."""
    return sorted(findings, key=lambda f: ORDER.index(f.certainty))


def unheld(end: Totals) -> list[str]:
    """A line for what requirements there were, and one for each that is not held."""
    if end.requirements is None:
        return []
    failed = end.unheld
    if not failed:
        return [f"all {len(end.requirements)} requirements are held"]
    be = "is" if len(failed) == 1 else "are"
    said = f"{len(failed)} of {counted(len(end.requirements), 'requirement')} {be} not held"
    return [said, *(safe(str(r["says"])) for r in failed)]


def no_frame(i: InputRecord) -> str:
    """What was read of an input without a frame, and what to do."""
    name = name_of(i.name)
    if not i.characters:
        return f"{name}: no frame found, it is empty; give a log that holds a hex dump"
    held = f"no frame found in {counted(i.characters, 'character')}"
    if i.digits:
        return f"{name}: {held}; its dumps are too short for a header of 14 octets"
    return f"{name}: {held}; have frames printed as hex digits"


def states(t: Tally) -> str:
    """Counts of the states, the gravest first."""
    if not t.frames:
        return "no frame found"
    if t.sound == t.frames:
        few = {1: "the only frame is sound", 2: "both frames are sound"}
        return few.get(t.frames, f"all {t.frames:,} frames are sound")
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
