"""The sheet as JSON: a contract for other programs, stated by ``framecheck/sheet.schema.json``.

One frame a line, so that two sheets can be compared line by line; all else is ASCII without
blanks, keys in a fixed order: the same sheet always gives the same octets.
"""

from __future__ import annotations

import json
from collections.abc import Callable, Iterable, Iterator
from typing import Any

from framecheck.core.finding import Finding, Verdict
from framecheck.core.frame import Doubt, Frame, json_doubt
from framecheck.core.layer import Field, Layer
from framecheck.core.report import Report, ReportOptions
from framecheck.core.sheet import FrameRecord, InputRecord, Tally, Totals
from framecheck.core.span import Range, Span
from framecheck.core.text import Place
from framecheck.reports._old import said

FORMAT = "framecheck-sheet"
VERSION = 1

# Escapes all but ASCII: nothing of a log acts on a terminal on which the sheet is shown. What is
# encoded is made here and never holds itself: looking for that takes a tenth of the time.
_encode = json.JSONEncoder(ensure_ascii=True, separators=(",", ":"), check_circular=False).encode


def write(
    frames: Iterable[FrameRecord], totals: Callable[[], Totals], options: ReportOptions
) -> Iterator[str]:
    """The sheet in pieces: frames as they come, then laws, inputs, tally, verdict."""
    yield f'{{"format":{_encode(FORMAT)},"version":{VERSION},"frames":['
    between = "\n"
    for record in frames:
        if options.only_damaged and record.state != "damaged":
            continue
        yield between + _encode(frame_object(record))
        between = ",\n"
    end = totals()
    yield f'\n],"laws":{_encode([plain(law) for law in end.laws])}'
    yield ',"inputs":[' + ",".join("\n" + _encode(_input(i)) for i in end.inputs) + "\n]"
    yield f',"tally":{_encode(_tally(end.tally))},"verdict":{_encode(end.verdict)}'
    if end.requirements is not None:
        required = [plain(dict(r)) for r in end.requirements]
        yield f',"requirements":{_encode(required)}'
    yield "}\n"


def frame_object(record: FrameRecord) -> dict[str, Any]:
    """One frame with every key of the schema; spans in octets, half-open, ``bits`` in bits."""
    dump, fate = record.frame.dump, record.fate
    first = dump.places.at(0) if not record.octets else record.places.at(0)
    return {
        "number": record.number,
        "input": record.input,
        "line": first.line if first else None,
        "column": first.column if first else None,
        "record": dump.record,
        "layout": dump.layout,
        "starts_at": record.frame.starts_at,
        "length": len(record.octets),
        "octets": record.octets.hex(),
        "direction": dump.direction,
        "stamp": dump.stamp,
        "claimed_length": dump.claimed_length,
        "state": record.state,
        "broken_by": record.broken_by,
        "envelope": _envelopes(record.frame),
        "layers": [_layer(x) for x in record.layers],
        "verdicts": [_verdict(v) for v in record.verdicts],
        "findings": [_finding(f, record) for f in record.findings],
        "summary": record.summary,
        "fate": {
            "outcome": fate.outcome,
            "step": fate.step,
            "rule": fate.rule,
            "assumed": list(fate.assumed),
        },
        "wrong": _ranges(record.wrong),
        "extra": _ranges(record.extra),
        "residue": _ranges(record.residue),
        "proven": _ranges(record.proven),
        "suspect": _ranges(record.suspect),
        "doubtful": _ranges(record.doubtful),
        "missing": [{"at": m.at, "count": m.length} for m in record.missing],
        "moves": [
            {"received": m.received, "count": m.length, "sent": m.sent} for m in record.moves
        ],
        "repair": None
        if record.repair is None
        else {
            "says": record.repair.says,
            "octets": record.repair.octets.hex(),
            "proved_by": list(record.repair.proved_by),
        },
        "doubts": [*map(json_doubt, record.doubts), *_held(record)],
    }


def plain(value: Any) -> Any:
    """A value in JSON's own types: numbers over 32 bits and octets as hex digits."""
    if isinstance(value, bytes):
        return value.hex()
    if isinstance(value, dict):
        return {str(k): plain(v) for k, v in value.items()}
    if isinstance(value, list | tuple):
        return [plain(v) for v in value]
    if isinstance(value, int) and not isinstance(value, bool) and value >> 32 not in (0, -1):
        return f"{value:x}"
    return value if isinstance(value, str | int | float | None) else str(value)


def _held(record: FrameRecord) -> list[dict[str, Any]]:
    """Old octets that are not the given fill at its place: what they are, and how sure that is."""
    return [
        json_doubt(Doubt("what octets hold that were never written", said(o), "what was sent"))
        | {
            "octets": list(o.span),
            "holds": o.holds,
            "starts": o.starts,
            "buffers": o.buffers,
            "back": o.back,
            "frame": o.frame,
            "begins": round(o.begins, 4),
            "ends": round(o.ends, 4),
            "likely": [round(p, 4) for p in o.likely],
        }
        for o in record.old
        if o.holds != "fill" or o.starts
    ]


def _value(f: Field) -> int | str | None:
    """Up to 32 bits a number, else hex digits, as many as its octets have."""
    value = f.value
    if value is None:
        return None
    if f.stop - f.start > 32:
        return f.raw.hex()
    return value if type(value) is int else f.number


def _layer(layer: Layer) -> dict[str, Any]:
    start, stop = layer.octets
    fields = [
        {
            "name": f.name,
            "bits": [f.start, f.stop],
            "value": _value(f),
            # Most fields have no words, and a property costs a call.
            "reads": None if f.words is None else f.reads,
        }
        for f in layer.fields
    ]
    return {"kind": layer.kind, "start": start, "stop": stop, "fields": fields}


def _verdict(v: Verdict) -> dict[str, Any]:
    return {
        "name": v.name,
        "outcome": v.outcome,
        "carried": plain(v.carried),
        "computed": plain(v.computed),
        "field": None if v.field is None else list(v.field.octets),
        "covers": _spans(v.covers),
    }


def _finding(f: Finding, record: FrameRecord) -> dict[str, Any]:
    return {
        "rule": f.rule,
        "certainty": f.certainty,
        "layer": f.layer,
        "spans": _spans(f.spans),
        "observed": plain(f.observed),
        "expected": plain(f.expected),
        "source": f.source,
        "says": f.says,
        "places": _places(record.places.of(s.octets for s in f.spans)),
    }


def _envelopes(frame: Frame) -> list[dict[str, Any]]:
    head, tail = 0, frame.head + len(frame.octets)
    found = []
    for e in frame.envelopes:
        at = head if e.side == "head" else tail
        if e.side == "head":
            head += len(e.octets)
        else:
            tail += len(e.octets)
        places = _places(frame.dump.places.of([(at, at + len(e.octets))]))
        found.append({"kind": e.kind, "side": e.side, "octets": e.octets.hex(), "places": places})
    return found


def _places(places: Iterable[Place]) -> list[dict[str, int]]:
    return [{"line": p.line, "column": p.column, "end_column": p.end_column} for p in places]


def _spans(spans: Iterable[Span]) -> list[list[int]]:
    return [list(s.octets) for s in spans]


def _ranges(ranges: Iterable[Range]) -> list[list[int]]:
    return [list(r) for r in ranges]


def _input(i: InputRecord) -> dict[str, Any]:
    return {
        "name": i.name,
        "characters": i.characters,
        "digits": i.digits,
        "framing": i.framing,
        "skipped": i.skipped,
        "dumps": i.dumps,
        "doubts": [json_doubt(d) for d in i.doubts],
        "error": i.error,
    }


def _tally(t: Tally) -> dict[str, Any]:
    return {
        "frames": t.frames,
        "sound": t.sound,
        "damaged": t.damaged,
        "cut": t.cut,
        "cannot_tell": t.cannot_tell,
        "findings": dict(sorted(t.findings.items())),
    }


JSON = Report("json", "the whole sheet, for other programs", write, streams=True)
