"""Why a frame is judged as it is: reasons with their octets and standards, sums, doubts, fields."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from framecheck.core.finding import Finding
from framecheck.core.layer import Field
from framecheck.core.report import ReportOptions
from framecheck.core.sheet import FrameRecord
from framecheck.core.span import count
from framecheck.reports._page import INDENT, Ink, columns, safe, wrap
from framecheck.reports._words import MOST_REASONS, NOTES, by_weight, counted, octets_at, them


def labelled(label: str, paragraphs: Iterable[str], options: ReportOptions) -> Iterator[str]:
    """Paragraphs with a word in front of the first; nothing when there are none."""
    first = f"  {label:<8}"
    for paragraph in paragraphs:
        yield from wrap(paragraph, options.width, first, INDENT)
        first = INDENT


def reasons(record: FrameRecord, options: ReportOptions, ink: Ink) -> Iterator[str]:
    """What is broken, at which octets, by which standard."""
    first = "  why     "
    for says, detail in _reasons(record, options):
        yield from with_detail(says, detail, options, ink, first, f"{INDENT}  ")
        first = INDENT


def with_detail(
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
        yield f"{counted(hidden, 'finding')} more: --all shows {them(hidden)}", ""
    if record.repair is not None:
        proof = ", ".join(_spoken(safe(p)) for p in record.repair.proved_by)
        yield f"healed by: {safe(record.repair.says)}", f"proved by {proof}" if proof else ""


def _spots(f: Finding) -> str:
    return octets_at([s.octets for s in f.spans]) if f.spans else "the whole frame"


def sums(record: FrameRecord) -> Iterator[str]:
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
    capitals = {"ipv4": "IPv4", "ipv6": "IPv6", "icmpv6": "ICMPv6"}
    short = ("fcs", "hdlc", "icmp", "igmp", "tcp", "udp")
    return " ".join(capitals.get(w, w.upper() if w in short else w) for w in name.split("-"))


def proven(record: FrameRecord) -> Iterator[str]:
    """How much of the frame something vouches for."""
    vouched, length = count(record.proven), len(record.octets)
    if not length:
        return
    said = f"{vouched} of {counted(length, 'octet')}"
    yield f"{said}; {octets_at(record.proven)}" if vouched else f"{said}: nothing vouches for any"


def doubts(record: FrameRecord, options: ReportOptions) -> Iterator[str]:
    """What the reader was not sure of, with both readings."""
    shown = record.doubts if options.show_all else record.doubts[:MOST_REASONS]
    for d in shown:
        yield safe(d.says)
    if len(record.doubts) > len(shown):
        yield f"{len(record.doubts) - len(shown)} more doubts: --all shows them"


def fields(record: FrameRecord, options: ReportOptions, ink: Ink) -> Iterator[str]:
    """What each layer says, field by field, in the standard's words."""
    if record.layers:
        yield ""
    for layer in record.layers:
        start, stop = layer.octets
        head = f"{layer.kind}{' (quoted)' if layer.quoted else ''}"
        yield ink.dim(f"  {head}   {octets_at([(start, stop)])}")
        said = ", ".join(field_said(f) for f in layer.fields[:200])
        yield from wrap(said, options.width, INDENT)


def field_said(f: Field) -> str:
    """A field and its reading, in the standard's words."""
    name = f.name.replace("_", " ")
    if f.value is None:
        return f"{name} cut off"
    reads = f.reads
    if reads is not None:
        return f"{name} {safe(reads, 120)}"
    if isinstance(f.value, bytes):
        more = f"... ({len(f.value)} octets)" if len(f.value) > 16 else ""
        return f"{name} {f.value[:16].hex()}{more}"
    if "checksum" in f.name:  # written as the reasons write it
        return f"{name} {f.value:04x}"
    return f"{name} {f.value}"
