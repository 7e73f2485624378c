"""DHCP for IPv6: message types, status codes, and options with how their octets read.

Source: RFC 8415 7.3, 21 and 21.13 (1 to 25, 82, 83), RFC 3646 (23, 24), RFC 4704 (39) and the
others named beside them, from memory, as of 2025.
"""

from __future__ import annotations

from framecheck.core.layer import Column, octets, uint
from framecheck.core.series import Option, options
from framecheck.layers._names import listed
from framecheck.layers._words import colons, decimal, ipv6_addresses, mac, seconds, text

MESSAGE_TYPES = {
    1: "SOLICIT",
    2: "ADVERTISE",
    3: "REQUEST",
    4: "CONFIRM",
    5: "RENEW",
    6: "REBIND",
    7: "REPLY",
    8: "RELEASE",
    9: "DECLINE",
    10: "RECONFIGURE",
    11: "INFORMATION-REQUEST",
    12: "RELAY-FORW",
    13: "RELAY-REPL",
    14: "LEASEQUERY",
    15: "LEASEQUERY-REPLY",
}

STATUS_CODES = {
    0: "success",
    1: "unspecified failure",
    2: "no addresses available",
    3: "no binding",
    4: "not on link",
    5: "use multicast",
    6: "no prefix available",
}

_DUID_TYPES = {1: "link-layer address and time", 2: "vendor", 3: "link-layer address", 4: "UUID"}


def duid(value: bytes) -> str:
    """A unique identifier (RFC 8415 11): its type, and the address in it where it has one."""
    kind = int.from_bytes(value[:2], "big")
    name = _DUID_TYPES.get(kind, f"type {kind}")
    at = {1: 8, 3: 4}.get(kind)
    shown = value[2:].hex() if at is None or len(value) < at else mac(value[at:])
    return f"{name}, {shown}"


def asked(value: bytes) -> str:
    """The options that a client asks for, two octets each (RFC 8415 21.7)."""
    codes = [int.from_bytes(value[i : i + 2], "big") for i in range(0, len(value) - 1, 2)]
    return ", ".join(
        OPTIONS[code].name.replace("_", " ") if code in OPTIONS else str(code) for code in codes
    )


def _hundredths(value: int) -> str:
    return decimal(value / 100)


def series(known: dict[int, Option]) -> Column:
    """Options with codes and lengths of two octets."""
    return options(
        "option",
        None,
        known,
        length_counts_all=False,
        single=(),
        ends=(),
        code_bits=16,
        length_bits=16,
    )


_STATUS = Option(
    "status_code",
    table=(uint("status_code", 16, STATUS_CODES), octets("status_message", None, text)),
    least=2,
)
# An identity association holds addresses, an address holds a status: no deeper (RFC 8415 21.4).
_LAST = series({13: _STATUS})
_LIFETIMES = (uint("preferred_lifetime", 32, seconds), uint("valid_lifetime", 32, seconds))
_ADDRESS = Option(
    "ia_address", table=(octets("ipv6_address", 16, colons), *_LIFETIMES, _LAST), least=24
)
_PREFIX = Option(
    "ia_prefix",
    table=(
        *_LIFETIMES,
        uint("prefix_length", 8),
        octets("ipv6_prefix", 16, colons),
        _LAST,
    ),
    least=25,
)
_WITHIN = series({5: _ADDRESS, 13: _STATUS, 26: _PREFIX})
_TIMES = (uint("t1", 32, seconds), uint("t2", 32, seconds))
_ASSOCIATION = (uint("iaid", 32), *_TIMES, _WITHIN)

OPTIONS = {
    1: Option("client_identifier", duid),
    2: Option("server_identifier", duid),
    3: Option("ia_na", table=_ASSOCIATION, least=12),
    4: Option("ia_ta", table=(uint("iaid", 32), _WITHIN), least=4),
    5: _ADDRESS,
    6: Option("option_request", asked),
    7: Option("preference", number=1),
    8: Option("elapsed_time", _hundredths, number=2),
    9: Option("relay_message"),
    11: Option("authentication"),
    12: Option("server_unicast", colons),
    13: _STATUS,
    14: Option("rapid_commit"),
    15: Option("user_class"),
    16: Option(
        "vendor_class",
        table=(uint("enterprise_number", 32), octets("vendor_class_data", None)),
        least=4,
    ),
    17: Option(
        "vendor_options",
        table=(uint("enterprise_number", 32), octets("vendor_option_data", None)),
        least=4,
    ),
    18: Option("interface_id"),
    19: Option("reconfigure_message", MESSAGE_TYPES.get, number=1),
    20: Option("reconfigure_accept"),
    23: Option("dns_recursive_name_server", ipv6_addresses),
    24: Option("domain_search_list", listed),
    25: Option("ia_pd", table=_ASSOCIATION, least=12),
    26: _PREFIX,
    31: Option("sntp_servers", ipv6_addresses),
    32: Option("information_refresh_time", seconds, number=4),
    39: Option(
        "client_fqdn",
        table=(
            uint("mbz", 5),
            uint("n", 1),
            uint("o", 1),
            uint("s", 1),
            octets("domain_name", None, listed),
        ),
        least=1,
    ),
    56: Option("ntp_server"),
    59: Option("bootfile_url", text),
    61: Option("client_architecture_type"),
    79: Option("client_link_layer_address"),
    82: Option("sol_max_rt", seconds, number=4),
    83: Option("inf_max_rt", seconds, number=4),
}
