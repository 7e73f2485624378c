"""What rules of IGMP and of multicast listener discovery share: records of a report."""

from __future__ import annotations

from collections.abc import Iterator

from framecheck.core.finding import Breach
from framecheck.core.layer import Layer
from framecheck.core.view import View
from framecheck.judging._measure import lacks
from framecheck.judging._tools import at

_LAST_RECORD_TYPE = 6


def unfilled(layer: Layer, view: View, count: str) -> Iterator[Breach]:
    """The breach that a number of records, or of sources, is that the message does not fill."""
    for name in (count, "number_of_sources"):
        field = layer.get(name)
        if field is None or not field.whole or lacks(view) or layer.quoted:
            continue
        if name == count or layer.get(count) is None:
            there = sum(g.whole for g in layer.groups)
        else:
            continue
        if there < field.number:
            says = f"{field.number} are announced, {there} are there"
            yield at(field, there, says)


def unknown_records(layer: Layer) -> Iterator[Breach]:
    """Records of a report of a type that no standard names."""
    for group in layer.groups:
        kind = group.get("record_type")
        if kind is not None and kind.whole and not 1 <= kind.number <= _LAST_RECORD_TYPE:
            yield at(kind, None, f"record type {kind.number} is named by no standard")
