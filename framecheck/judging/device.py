"""What a device left around a frame, held against what a host makes of the buffer as it is."""

from __future__ import annotations

from collections.abc import Iterator

from framecheck.core.finding import Breach, Example, Finding, practice, rule
from framecheck.core.layer import Layer
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


RULES = (octets_left_on,)
"""Rules about the dump as it is printed; ``judge`` sees the frame alone."""


def left_on(view: View) -> tuple[Finding, ...]:
    """What is to be said of the octets around the frame; nothing when there are none."""
    if not (view.head or view.tail) or not view.layers:
        return ()
    breaches = octets_left_on.breaks(view.layers[0], view)
    return tuple(finding_of(octets_left_on, b) for b in breaches)
