"""Two examinations of a log held against each other: what a redaction must not change."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from framecheck.core.finding import Verdict
from framecheck.core.sheet import FrameRecord


def told(record: FrameRecord) -> dict[str, Any]:
    """What a record says beside values: outcomes, places in the frame, and the fate."""
    dump = record.frame.dump
    return {
        "length": len(record.octets),
        "lines": dump.places.lines(),
        "direction": dump.direction,
        "announced length": dump.claimed_length,
        "stamp": dump.stamp,
        "start": (
            record.frame.starts_at,
            [(e.kind, len(e.octets)) for e in record.frame.envelopes],
        ),
        "state": (record.state, record.broken_by),
        "layers": [(x.kind, x.octets) for x in record.layers],
        "verdicts": [(v.name, v.outcome, _difference(v)) for v in record.verdicts],
        "findings": sorted((f.rule, f.certainty, f.spans) for f in record.findings),
        "fate": (record.fate.outcome, record.fate.step, record.fate.rule),
        "damage": (record.wrong, record.extra, record.residue, record.missing, record.moves),
        "repair": record.repair is not None,
        "doubts": sorted((d.about, d.decides, d.line or 0) for d in record.doubts),
    }


def _difference(verdict: Verdict) -> int | None:
    """By how much what is carried is off, in one's complement; as bits for an FCS."""
    if verdict.carried is None or verdict.computed is None or verdict.outcome == "partial":
        return None
    if verdict.name == "fcs" or verdict.name.endswith("fcs"):
        return verdict.carried ^ verdict.computed
    if verdict.name.endswith("checksum"):
        return (verdict.computed - verdict.carried) % 0xFFFF
    return verdict.computed - verdict.carried


def differing(
    before: Sequence[FrameRecord], after: Sequence[FrameRecord]
) -> list[tuple[FrameRecord, list[str]]]:
    """Frames that say something else than before, with what it is; those that are gone too."""
    found = []
    for i, record in enumerate(before):
        if i >= len(after):
            found.append((record, ["frame"]))
            continue
        old, new = told(record), told(after[i])
        names = [name for name in old if old[name] != new[name]]
        if names:
            found.append((record, names))
    if len(after) > len(before):
        found.append((after[len(before)], ["frame"]))
    return found
