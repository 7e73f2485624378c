"""A reply of ARP repeats who asked and what was asked for."""

from __future__ import annotations

from collections.abc import Iterator

from framecheck.core.finding import rfc
from framecheck.core.layer import Layer
from framecheck.core.view import View
from framecheck.judging._answers import Answer, Repeated, fields
from framecheck.judging.memory.askers import Askers

_REPLY = 2


def _repeats(arp: Layer, view: View) -> Iterator[Repeated]:
    if view.past is None or arp.number("operation") != _REPLY:
        return
    asked = arp.get("sender_protocol_address")
    request = view.past.of(Askers).asked_for(asked.raw) if asked is not None else None
    if request is None:
        return
    wanted = {
        "sender_protocol_address": request["target_protocol_address"],
        "target_hardware_address": request["sender_hardware_address"],
        "target_protocol_address": request["sender_protocol_address"],
    }
    same = [n for n, octets in wanted.items() if arp.whole(n) and arp[n].raw == octets]
    # One address alone is no answer: another host may have asked.
    if len(same) > 1:
        yield from fields(arp, {name: wanted[name] for name in same})
        if view.layers[0].kind == "ethernet" and "target_hardware_address" in same:
            yield from fields(view.layers[0], {"destination": request["sender_hardware_address"]})


ARP = Answer(rfc(826, "Packet Reception"), _repeats)
