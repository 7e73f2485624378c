"""Neighbor discovery options.

Source: RFC 4861 4.6 (1 to 5); nonce RFC 3971, route information RFC 4191, recursive name servers
and search list RFC 8106, captive portal RFC 8910 from memory, as of 2025.
"""

from framecheck.core.layer import octets, uint
from framecheck.core.series import Option
from framecheck.layers._names import listed
from framecheck.layers._words import colons, ipv6_addresses, mac, seconds, text, unit

_PREFERENCES = {0: "medium", 1: "high", 2: "reserved", 3: "low"}


def _prefix(value: bytes) -> str:
    """The front of an address, as far as a route's prefix takes octets."""
    return colons(value.ljust(16, b"\0"))


_PREFIX = (
    uint("prefix_length", 8, unit("bit")),
    uint("on_link", 1),
    uint("autonomous_address_configuration", 1),
    uint("reserved1", 6),
    uint("valid_lifetime", 32, seconds),
    uint("preferred_lifetime", 32, seconds),
    uint("reserved2", 32),
    octets("prefix", 16, colons),
)
_REDIRECTED = (octets("option_reserved", 6), octets("ip_header_and_data", None))
_MTU = (uint("option_reserved", 16), uint("mtu", 32, unit("octet")))
_ROUTE = (
    uint("prefix_length", 8, unit("bit")),
    uint("reserved1", 3),
    uint("route_preference", 2, _PREFERENCES),
    uint("reserved2", 3),
    uint("route_lifetime", 32, seconds),
    octets("prefix", None, _prefix),
)
_SERVERS = (
    uint("option_reserved", 16),
    uint("lifetime", 32, seconds),
    octets("addresses_of_ipv6_recursive_dns_servers", None, ipv6_addresses),
)
_SEARCH = (
    uint("option_reserved", 16),
    uint("lifetime", 32, seconds),
    octets("domain_names_of_dns_search_list", None, listed),
)

OPTIONS = {
    1: Option("source_link_layer_address", mac),
    2: Option("target_link_layer_address", mac),
    3: Option("prefix_information", table=_PREFIX, least=30),
    4: Option("redirected_header", table=_REDIRECTED, least=6),
    5: Option("mtu", table=_MTU, least=6),
    14: Option("nonce"),
    24: Option("route_information", table=_ROUTE, least=6),
    25: Option("recursive_dns_server", table=_SERVERS, least=6),
    31: Option("dnslisted", table=_SEARCH, least=6),
    37: Option("captive_portal", text),
    253: Option("experiment_1"),
    254: Option("experiment_2"),
}
