"""Options of hop-by-hop and destination options headers.

Source: RFC 8200 4.2 (0, 1); tunnel encapsulation limit RFC 2473, router alert RFC 2711, jumbo
payload RFC 2675, home address RFC 6275, RPL RFC 6553 and the experiments of RFC 4727 from memory,
as of 2025.
"""

from framecheck.core.series import Option
from framecheck.layers._words import colons, unit

_ALERTS = {0: "multicast listener discovery", 1: "RSVP", 2: "active networks"}

OPTIONS = {
    0: Option("pad1"),
    1: Option("padn"),
    4: Option("tunnel_encapsulation_limit", number=1),
    5: Option("router_alert", _ALERTS.get, number=2),
    0x1E: Option("experiment"),
    0x23: Option("rpl"),
    0x63: Option("rpl_deprecated"),
    0xC2: Option("jumbo_payload_length", unit("octet"), number=4),
    0xC9: Option("home_address", colons),
}
