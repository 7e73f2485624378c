"""The frame check sequence of PPP in HDLC-like framing, 16 bits wide (RFC 1662 C.2)."""

from __future__ import annotations

from collections.abc import Iterator

from framecheck.core.finding import Breach, Example, Outcome, Verdict, rfc, rule
from framecheck.core.layer import Layer
from framecheck.core.span import Span
from framecheck.core.sums import fcs16
from framecheck.core.view import View
from framecheck.judging._measure import measure


@measure("fcs", layer="hdlc")
def take(hdlc: Layer, view: View) -> Verdict | None:
    """FCS-16 over everything between the flags but itself, after unescaping."""
    if not view.fcs or len(view.fcs) != 2 or hdlc.start:
        return None
    carried = int.from_bytes(view.fcs, "little")
    computed = fcs16(view.octets) ^ 0xFFFF
    covers = (Span.of_octets(0, len(view.octets)),)
    outcome: Outcome = "match" if carried == computed else "mismatch"
    return Verdict("fcs", outcome, carried, computed, None, covers)


@rule(
    # Not "fcs" as the verdict: rule names are at least two words (see the sheet's schema).
    "hdlc-fcs",
    layer="hdlc",
    certainty="impossible",
    source=rfc(1662, "C.2"),
    example=Example("ff03c0210101000482", ((0, 9),), fcs="0000", starts_at="hdlc"),
)
def hdlc_fcs(hdlc: Layer, view: View) -> Iterator[Breach]:
    """The FCS behind a frame between flags must be that of its octets.

    A receiver drops such a frame in silence. On a serial line without flow control it is the mark
    of an overrun: octets were lost.
    """
    for verdict in view.verdicts:
        if verdict.name == "fcs" and verdict.outcome == "mismatch" and not hdlc.start:
            says = f"the FCS carries {verdict.carried:04x}, the octets give {verdict.computed:04x}"
            yield Breach(verdict.covers, verdict.carried, verdict.computed, says)
