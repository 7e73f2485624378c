"""What a device left around a frame, held against what a host makes of the buffer as it is."""

from __future__ import annotations

from collections.abc import Iterator

from framecheck.core.finding import Breach, Example, Finding, practice, rule
from framecheck.core.layer import Layer
from framecheck.core.span import Span
from framecheck.core.view import View
from framecheck.judging._examples import UDP
from framecheck.judging.fate import fate
from framecheck.judging.judge import finding_of, judge
from framecheck.layers import decode_frame

_OUTCOMES = {
    "delivered": "it would be delivered",
    "dropped": "a strict host drops it",
    "cannot tell": "a strict host finds no header that it knows",
}


@rule(
    "device-octets-left-on",
    layer="ethernet",
    certainty="suspicious",
    source=practice("devices put status words, lengths or alignment around a frame"),
    example=Example(UDP.hex(), (), head="8001" + "4000"),
)
def octets_left_on(layer: Layer, view: View) -> Iterator[Breach]:
    """What a device leaves around a frame must be taken off before the stack sees it.

    The frame inside may be sound, and a stack that is handed the whole buffer still drops it: it
    reads the device's octets as an address. The driver has to skip what stands in front.
    """
    findings = judge(view)[1]
    inside = fate(view, findings)
    octets = view.head + view.octets + view.tail
    printed = View(octets, decode_frame(octets), host=view.host)
    outside = fate(printed, judge(printed)[1])
    if (inside.outcome, inside.step) != (outside.outcome, outside.step):
        around = [f"{len(view.head)} octets in front"] if view.head else []
        around += [f"{len(view.tail)} octets behind"] if view.tail else []
        says = f"as printed, with {' and '.join(around)}, {_OUTCOMES[outside.outcome]}"
        yield Breach((), outside.outcome, inside.outcome, says)


@rule(
    "device-claimed-length",
    layer="ethernet",
    certainty="suspicious",
    source=practice("drivers print the length that the device reports"),
    example=Example(UDP.hex(), ((52, 60),), claimed=52),
)
def claimed_length(layer: Layer, view: View) -> Iterator[Breach]:
    """The length that the log announces for a frame must be one of the frame's own.

    Lengths that drivers print are those of the buffer, of the frame with or without its FCS, or of
    what a header counts. Another number means that octets were lost or added on the way to the
    console, or that the length word of the device is wrong.
    """
    claimed, there = view.claimed, len(view.octets)
    if claimed is None or view.cut or claimed in _own_lengths(view):
        return
    printed = len(view.head) + there + len(view.tail)
    spans = (Span.of_octets(claimed, there),) if claimed < there else ()
    says = f"the log announces {claimed} octets, {printed} are printed"
    yield Breach(spans, printed, claimed, says)


def _own_lengths(view: View) -> set[int]:
    """Every length that somebody may mean who prints one beside this frame."""
    there = len(view.octets)
    ends = {there, len(view.head) + there, len(view.head) + there + len(view.tail)}
    ends |= {(x.stop if x.kind == "payload" else x.start) // 8 for x in view.layers}
    starts = {x.start // 8 for x in view.layers}
    # Counted from any header to any end, with or without the FCS behind it.
    return {end - start + fcs for end in ends for start in starts for fcs in (0, 4)}


RULES = (octets_left_on, claimed_length)
"""Rules about the dump as it is printed; ``judge`` sees the frame alone."""


def around(view: View) -> tuple[Finding, ...]:
    """What is to be said of the dump that holds the frame: its envelopes, its announced length."""
    if not view.layers:
        return ()
    found: list[Finding] = []
    # Only where a stack would look for an Ethernet header does it matter what stands in front.
    if (view.head or view.tail) and view.layers[0].kind in ("ethernet", "ipv4", "ipv6", "arp"):
        found += [
            finding_of(octets_left_on, b) for b in octets_left_on.breaks(view.layers[0], view)
        ]
    found += [finding_of(claimed_length, b) for b in claimed_length.breaks(view.layers[0], view)]
    return tuple(found)
