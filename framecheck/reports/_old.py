"""What octets that were never written hold, in words: the fill, or what an earlier frame left."""

from __future__ import annotations

from framecheck.core.sheet import FrameRecord, Old
from framecheck.core.span import Range

_SURE = 0.99
"""Certainty of an edge up to which it is told."""


def old(record: FrameRecord) -> list[tuple[str, list[Range]]]:
    """A sentence for each thing that octets still hold, and those octets; none without residue."""
    found: dict[str, list[Range]] = {}
    for part in record.old or [Old(a, b, "fill") for a, b in record.residue]:
        found.setdefault(said(part), []).append(part.span)
    return list(found.items())


def meaning(record: FrameRecord) -> str:
    """The same without the octets, in one line."""
    return "; ".join(words for words, _ in old(record)) or "never written"


def said(part: Old) -> str:
    """One of them in words, with what is not sure of its ends."""
    words = f"never written, {_holds(part)}"
    edges = [
        f"where they {word} is sure to {100 * sure:.0f} %"
        for word, sure in (("begin", part.begins), ("end", part.ends))
        if sure < _SURE
    ]
    return f"{words} ({' and '.join(edges)})" if edges else words


def _holds(part: Old) -> str:
    if part.holds == "fill":
        start = f", which begins with its octet 0x{part.starts:x}" if part.starts else ""
        return f"still the fill{start}"
    if part.back is None:
        return "still what an earlier frame left"
    before = "the frame before" if part.back == 1 else f"{part.back} frames before"
    ring = f"; {part.buffers} buffers take turns" if part.buffers and part.buffers > 1 else ""
    return f"still what frame {part.frame} left there, {before}{ring}"
