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
        "verdicts": [(v.name, v.outcome, _difference(v, record)) for v in record.verdicts],
        "findings": sorted((f.rule, f.certainty, f.spans) for f in record.findings),
        "fate": (record.fate.outcome, record.fate.step, record.fate.rule),
        "damage": (record.wrong, record.extra, record.residue, record.missing, record.moves),
        "repair": record.repair is not None,
        # Whether a screen broke a line hangs on its length, and nothing hangs on that.
        "reading": sorted((d.about, d.line) for d in record.doubts if d.line and d.decides),
        "doubts": sorted((d.about, d.decides) for d in record.doubts if not d.line),
    }


def _difference(verdict: Verdict, record: FrameRecord) -> int | None:
    """By how much what is carried is off, in one's complement; as bits for an FCS.

    None where that says nothing: where octets stand elsewhere than they were sent, a sum goes over
    others; where some were never written, it tells what was sent in their place.
    """
    if verdict.outcome not in ("match", "mismatch"):
        return None
    if verdict.carried is None or verdict.computed is None:
        return None
    if record.moves or any(d.about == "what happened" for d in record.doubts):
        return None
    if _unwritten(verdict, record) or _another(verdict, record):
        return None
    if verdict.name == "fcs" or verdict.name.endswith("fcs"):
        return verdict.carried ^ verdict.computed
    if verdict.name.endswith("checksum"):
        return (verdict.computed - verdict.carried) % 0xFFFF
    return verdict.computed - verdict.carried


def _another(verdict: Verdict, record: FrameRecord) -> bool:
    """Whether the header's sum is off by another amount: a sum that the sender left open."""
    head = next((v for v in record.verdicts if v.name == "ipv4-header-checksum"), None)
    if head is None or head is verdict or head.outcome != "mismatch":
        return False
    if head.carried is None or head.computed is None or not verdict.name.endswith("checksum"):
        return False
    own = (verdict.computed or 0) - (verdict.carried or 0)
    return (head.computed - head.carried - own) % 0xFFFF != 0


def _unwritten(verdict: Verdict, record: FrameRecord) -> bool:
    fields = (verdict.field,) if verdict.field is not None else ()
    return any(
        start * 8 < span.stop and stop * 8 > span.start
        for span in (*fields, *verdict.covers)
        for start, stop in record.residue
    )


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
