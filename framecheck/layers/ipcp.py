"""IPCP: two ends of a PPP link agree on their IPv4 addresses (RFC 1332, from memory)."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from framecheck.core.finding import memory
from framecheck.core.layer import Carried, Layer, LayerKind, octets, uint
from framecheck.core.series import Option
from framecheck.layers._configuration import CODES, fill, leads_to, said, table
from framecheck.layers._words import addresses, dotted
from framecheck.layers.assigned.ppp_protocols import PROTOCOLS

# Name servers: RFC 1877.
_OPTIONS = {
    1: Option("ip_addresses", addresses),
    2: Option(
        "ip_compression",
        table=(uint("ip_compression_protocol", 16, PROTOCOLS), octets("compression_data", None)),
        least=2,
    ),
    3: Option("ip_address", dotted),
    129: Option("primary_dns_server_address", dotted),
    130: Option("primary_nbns_server_address", dotted),
    131: Option("secondary_dns_server_address", dotted),
    132: Option("secondary_nbns_server_address", dotted),
}


def _says(layer: Layer, layers: Sequence[Layer]) -> str | None:
    plain = said("IPCP", CODES, layer)
    address = layer.get("ip_address")
    return f"{plain} for {address.reads}" if address is not None and address.whole else plain


def _fill(values: Mapping[str, Any], carried: Carried) -> Mapping[str, Any]:
    return fill(IPCP, values, carried)


IPCP = LayerKind(
    name="ipcp",
    source=memory("RFC 1332", "3"),
    entered_by=(("ppp-protocol", 0x8021),),
    table=table(_OPTIONS, CODES, {}),
    leads_to=leads_to,
    says=_says,
    fills=_fill,
)
