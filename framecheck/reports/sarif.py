"""The sheet as SARIF 2.1.0 (OASIS), for CI jobs that show results beside the lines they speak of.

One run: results as the frames come, then the rules that they name, the inputs, and what could not
be read. A region holds only digits of octets and the separators between them; octets of other
lines are related places. The fingerprint is of the rule and the octets, so it stays when lines
move.
"""

from __future__ import annotations

import json
import os
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from hashlib import sha256
from typing import Any
from urllib.parse import quote as in_uri

from framecheck.core.finding import Finding
from framecheck.core.report import Report, ReportOptions
from framecheck.core.sheet import FrameRecord, InputRecord, Totals
from framecheck.core.span import Range
from framecheck.core.text import Place
from framecheck.reports._old import meaning
from framecheck.reports._page import safe
from framecheck.reports._words import dropped_at, no_frame, octets_at, where

SCHEMA = (
    "https://docs.oasis-open.org/sarif/sarif/v2.1.0/errata01/os/schemas/sarif-schema-2.1.0.json"
)
MOST_PLACES = 128
"""Related places of one result; those beyond are counted in its message."""

# What a frame's record states beyond the rules that it breaks.
_OWN = {
    "octets-unwritten": "Octets that the transfer never wrote: they still hold the fill.",
    "octets-wrong": "Octets whose true value is known to be another.",
    "octets-foreign": "Octets that are not part of what was sent.",
    "octets-missing": "Octets that were sent and did not arrive.",
    "frame-cut": "The input ends inside a frame.",
    "frame-undecided": "Whether a frame is right cannot be told.",
}
_LEVELS = {"impossible": "error", "forbidden": "error", "suspicious": "warning", "unusual": "note"}

_encode = json.JSONEncoder(ensure_ascii=True, separators=(",", ":")).encode


def write(
    frames: Iterable[FrameRecord], totals: Callable[[], Totals], options: ReportOptions
) -> Iterator[str]:
    """The log in pieces: results as they come, the rules that they name at the end."""
    yield f'{{"$schema":{_encode(SCHEMA)},"version":"2.1.0","runs":[{{'
    yield '"columnKind":"unicodeCodePoints","results":['
    between = "\n"
    named: dict[str, None] = {}
    seen: dict[str, int] = {}
    for record in frames:
        if options.only_damaged and record.state != "damaged":
            continue
        for result in _results(record, seen):
            named[result["ruleId"]] = None
            yield between + _encode(result)
            between = ",\n"
    end = totals()
    yield '\n],"tool":{"driver":{"name":"framecheck","version":'
    yield f'{_encode(_version())},"rules":['
    yield ",".join("\n" + _encode(_rule(name)) for name in sorted(named))
    yield '\n]}},"artifacts":['
    yield ",".join("\n" + _encode({"location": {"uri": uri(i.name)}}) for i in end.inputs)
    yield f'\n],"invocations":[{_encode(_invocation(end))}],'
    yield f'"properties":{_encode({"verdict": end.verdict})}}}]}}\n'


def uri(name: str) -> str:
    """An input's name as the reference that SARIF wants: relative, or of the file scheme."""
    if name == "-":
        return "standard-input"
    if "://" in name:
        return in_uri(name, safe="/:?&=%#[]@!$'()*+,;~")
    path = name.replace(os.sep, "/").encode("utf-8", "surrogateescape")
    return ("file://" if os.path.isabs(name) else "") + in_uri(path, safe="/~")


def _version() -> str:
    from framecheck.core.version import VERSION

    return VERSION


def _results(record: FrameRecord, seen: dict[str, int]) -> Iterator[dict[str, Any]]:
    for rule, level, says, ranges, related in _said(record):
        print_ = _fingerprint(record, rule, ranges)
        seen[print_] = seen.get(print_, 0) + 1
        places = _places(record, ranges)[1:] + _places(record, related)
        more = len(places) - MOST_PLACES
        said = f"{where(record)}, frame {record.number}: {says}"
        found: dict[str, Any] = {
            "ruleId": rule,
            "level": level,
            "message": {"text": f"{said} (and {more} more places)" if more > 0 else said},
            "locations": [_location(record, ranges)],
            "partialFingerprints": {"octets/v1": f"{print_}:{seen[print_]}"},
            "properties": {"frame": record.number, "octets": [list(r) for r in ranges]},
        }
        if places:
            near = enumerate(places[:MOST_PLACES], 1)
            found["relatedLocations"] = [_at(record, p) | {"id": n} for n, p in near]
        yield found


Said = tuple[str, str, str, Sequence[Range], Sequence[Range]]


def _said(record: FrameRecord) -> Iterator[Said]:
    """Rule, level, sentence, the octets at fault, and those at the other end of the rule."""
    damaged = record.state == "damaged"
    for f in record.findings:
        level = _LEVELS[f.certainty]
        if level == "error" and not damaged:
            level = "warning"
        ranges, related = _ends(record, f)
        yield f.rule, level, safe(f"{f.says} ({octets_at(ranges)}; {f.source})"), ranges, related
    own = "error" if damaged else "warning"
    for rule, bad, says in (
        ("octets-unwritten", record.residue, meaning(record)),
        ("octets-wrong", record.wrong, "wrong"),
        ("octets-foreign", record.extra, "not part of what was sent"),
    ):
        if bad:
            yield rule, own, f"{says}: {octets_at(bad)}", bad, []
    for m in record.missing:
        at = min(m.at, max(0, len(record.octets) - 1))
        says = f"{m.length} octets are missing in front of 0x{m.at:x}"
        yield "octets-missing", own, says, [(at, at + 1)], []
    if record.state in ("cut", "cannot tell"):
        yield _undecided(record)


def _undecided(record: FrameRecord) -> Said:
    last = max(0, len(record.octets) - 1)
    if record.state == "cut":
        return "frame-cut", "warning", "the log ends inside the frame", [(last, last + 1)], []
    doubts = [d.says for d in record.doubts if d.decides] or [d.says for d in record.doubts]
    says = safe("; ".join(doubts[:3]) or "where the frame starts is not known")
    return "frame-undecided", "warning", says, record.doubtful or [(0, 1)], []


def _ends(record: FrameRecord, f: Finding) -> tuple[list[Range], list[Range]]:
    """A rule's first place, and the places that it is held against.

    Of a sum that fails: what its arithmetic points at, else its field; then what it covers.
    """
    spans = [s.octets for s in f.spans]
    for v in record.verdicts:
        if v.name == f.rule and v.outcome == "mismatch":
            first = [s.octets for s in v.blamed] or ([v.field.octets] if v.field else [])
            if first:
                return first, [s.octets for s in v.covers]
    return spans[:1], spans[1:]


def _location(record: FrameRecord, ranges: Sequence[Range]) -> dict[str, Any]:
    places = _places(record, ranges) or _places(record, [(0, len(record.octets))])
    if places:
        return _at(record, places[0])
    number = record.frame.dump.record or record.number
    return {
        "physicalLocation": {"artifactLocation": {"uri": uri(record.input)}},
        "logicalLocations": [{"name": f"record {number}", "kind": "element"}],
    }


def _places(record: FrameRecord, ranges: Iterable[Range]) -> list[Place]:
    """Places on digits: a line that only says "as above" has none of its own."""
    markers = {
        row.line
        for row in record.places.rows
        if len(row.columns) > 1 and len(set(row.columns)) == 1
    }
    return [p for p in record.places.of(ranges) if p.line not in markers]


def _at(record: FrameRecord, p: Place) -> dict[str, Any]:
    region = {
        "startLine": p.line,
        "startColumn": p.column,
        "endLine": p.line,
        "endColumn": p.end_column,
    }
    return {"physicalLocation": {"artifactLocation": {"uri": uri(record.input)}, "region": region}}


def _fingerprint(record: FrameRecord, rule: str, ranges: Sequence[Range]) -> str:
    held = f"{rule} {list(ranges)} ".encode() + record.octets
    return sha256(held).hexdigest()[:32]


def _rule(name: str) -> dict[str, Any]:
    if name in _OWN:
        return {"id": name, "shortDescription": {"text": _OWN[name]}}
    from framecheck.judging import rule_named

    try:
        r = rule_named(name)
    except KeyError:
        return {"id": name}
    drops = (
        ""
        if r.drops is None
        else f" A strict host drops it {dropped_at(r.drops, r.layer.upper())}."
    )
    return {
        "id": name,
        "shortDescription": {"text": r.what},
        "fullDescription": {"text": f"{r.why or r.what}{drops}"},
        "help": {"text": f"{r.source}. More: framecheck explain {name}"},
        "defaultConfiguration": {"level": _LEVELS[r.certainty]},
        "properties": {"certainty": r.certainty, "layer": r.layer},
    }


def _invocation(end: Totals) -> Mapping[str, Any]:
    notes = [_notification(i) for i in end.inputs if i.error or not i.dumps]
    notes += [
        {"level": "error", "message": {"text": f"not held: {safe(str(r['says']))}"}}
        for r in end.unheld
    ]
    return {
        "executionSuccessful": not any(i.error for i in end.inputs),
        "exitCode": end.exit_code,
        "toolExecutionNotifications": notes,
    }


def _notification(i: InputRecord) -> dict[str, Any]:
    return {
        "level": "error" if i.error else "warning",
        "message": {"text": safe(i.error) if i.error else no_frame(i)},
        "locations": [{"physicalLocation": {"artifactLocation": {"uri": uri(i.name)}}}],
    }


SARIF = Report(
    "sarif", "SARIF 2.1.0, results at the characters of the log", write, streams=True, always=True
)
