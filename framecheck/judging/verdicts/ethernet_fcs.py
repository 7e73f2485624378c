"""The frame check sequence, when it was left on behind the frame (IEEE 802.3 3.2.9)."""

from __future__ import annotations

from collections.abc import Iterator
from zlib import crc32

from framecheck.core.finding import Breach, Verdict, memory, rule
from framecheck.core.layer import Layer
from framecheck.core.span import Span
from framecheck.core.sums import flipped_bit
from framecheck.core.view import View
from framecheck.judging._examples import UDP, breaking
from framecheck.judging._measure import measure


@measure("fcs", layer="ethernet")
def take(ethernet: Layer, view: View) -> Verdict | None:
    """CRC-32 over the frame; of an FCS that the end cuts off, the octets that are there."""
    if not view.fcs or ethernet.start:
        return None
    there = view.fcs[:4]
    # The first octet on the wire holds the least significant bits.
    carried = int.from_bytes(there, "little")
    computed = crc32(view.octets) & ((1 << 8 * len(there)) - 1)
    covers = (Span.of_octets(0, len(view.octets)),)
    if carried == computed:
        return Verdict("fcs", "match", carried, computed, None, covers)
    blamed, says = _flipped(view.octets, view.fcs)
    return Verdict("fcs", "mismatch", carried, computed, None, covers, says, blamed)


def _flipped(octets: bytes, fcs: bytes) -> tuple[tuple[Span, ...], str]:
    position = flipped_bit(octets + fcs) if len(fcs) == 4 else None
    if position is None:
        return (), ""
    octet, bit = divmod(position, 8)
    if octet >= len(octets):
        return (), "one flipped bit in the FCS itself would explain it"
    return (
        Span.of_octets(octet, octet + 1),
    ), f"one flipped bit heals it: octet 0x{octet:x}, bit {bit}"


@rule(
    # Not "fcs" as the verdict: rule names are at least two words (see the sheet's schema).
    "ethernet-fcs",
    layer="ethernet",
    certainty="impossible",
    source=memory("IEEE 802.3", "3.2.9"),
    drops="mac-address-filter-and-fcs",
    example=breaking(UDP, ((42, 43),), (42, "6a"), resum=False, fcs="3280f1ab"),
)
def fcs(ethernet: Layer, view: View) -> Iterator[Breach]:
    """The FCS behind a frame must be the CRC-32 of its octets.

    A MAC drops a frame whose FCS does not hold before any software sees it. If the FCS is in
    the dump and wrong, the octets changed behind the MAC, or the driver took other octets for
    the FCS. A single flipped bit is located exactly.
    """
    for verdict in view.verdicts:
        if verdict.name == "fcs" and verdict.outcome == "mismatch" and not ethernet.start:
            digits = 2 * len((view.fcs or b"")[:4])
            more = f"; {verdict.says}" if verdict.says else ""
            yield Breach(
                verdict.blamed or verdict.covers,
                verdict.carried,
                verdict.computed,
                f"the FCS carries {verdict.carried:0{digits}x}, the frame gives "
                f"{verdict.computed:0{digits}x}{more}",
            )
