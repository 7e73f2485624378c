"""IPv4 option types.

Source: RFC 791 3.1 (0, 1, 7, 68, 130, 131, 136, 137); router alert RFC 2113 and the experimental
numbers from memory, as of 2025.
"""

from framecheck.core.layer import octets, uint
from framecheck.core.series import Option
from framecheck.layers._words import addresses

_ROUTE = (uint("pointer", 8), octets("route_data", None, addresses))
_TIMES = (
    uint("pointer", 8),
    uint("overflow", 4),
    uint(
        "flag",
        4,
        {
            0: "time stamps only",
            1: "each with the address that wrote it",
            3: "only at the addresses given",
        },
    ),
    octets("timestamp_data", None),
)

OPTIONS = {
    0: Option("end_of_option_list"),
    1: Option("no_operation"),
    7: Option("record_route", table=_ROUTE, least=1),
    30: Option("experiment"),
    68: Option("internet_timestamp", table=_TIMES, least=2),
    94: Option("experiment"),
    130: Option("security"),
    131: Option("loose_source_route", table=_ROUTE, least=1),
    136: Option("stream_identifier", number=2),
    137: Option("strict_source_route", table=_ROUTE, least=1),
    148: Option("router_alert", number=2),
    158: Option("experiment"),
    222: Option("experiment"),
}
