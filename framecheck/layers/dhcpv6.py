"""DHCP for IPv6: addresses, prefixes and settings for a host (RFC 8415, from memory)."""

from __future__ import annotations

from collections.abc import Sequence
from functools import cache

from framecheck.core.finding import memory
from framecheck.core.layer import Column, Layer, LayerKind, choose, octets, uint
from framecheck.layers._words import colons
from framecheck.layers.assigned.dhcpv6 import MESSAGE_TYPES, OPTIONS, series

_RELAYS = (12, 13)
_SAYS = {
    1: "looks for a server, for {who}",
    2: "offers {what} to {who}",
    3: "asks for {what}, for {who}",
    4: "asks whether {what} still fits, for {who}",
    5: "asks to keep {what}, for {who}",
    6: "asks any server to keep {what}, for {who}",
    7: "answers {who} with {what}",
    8: "gives back {what}, from {who}",
    9: "declines {what}, from {who}",
    11: "asks for settings, for {who}",
}


def _address(name: str) -> Column:
    return octets(name, 16, colons, bytes(16))


@cache
def _by_type(kind: int) -> tuple[Column, ...]:
    if kind in _RELAYS:
        return uint("hop_count", 8), _address("link_address"), _address("peer_address")
    return (uint("transaction_id", 24),)


def _says(layer: Layer, layers: Sequence[Layer]) -> str | None:
    kind = layer.number("msg_type")
    if kind is None:
        return None
    if kind not in _SAYS:
        return f"DHCPv6 message {MESSAGE_TYPES.get(kind, f'type {kind}')}"
    client, given = layer.get("client_identifier"), layer.get("ipv6_address")
    who = (client.reads or "").rpartition(", ")[2] if client is not None else "an unnamed client"
    what = (given.reads or "") if given is not None and given.whole else "settings"
    return "DHCPv6 " + _SAYS[kind].format(who=who, what=what)


DHCPV6 = LayerKind(
    name="dhcpv6",
    source=memory("RFC 8415", "8 and 9"),
    entered_by=(("udp-port", 546), ("udp-port", 547)),
    table=(
        uint("msg_type", 8, MESSAGE_TYPES, default=1),
        choose(("msg_type",), _by_type, default=1),
        series(OPTIONS),
    ),
    says=_says,
)
