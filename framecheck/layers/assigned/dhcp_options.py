"""DHCP options: their names, and how their octets read.

Source: RFC 2132, every option of it, named by the headings of its sections 3 to 9; the options
behind them from the RFC named beside each, from memory, as of 2025.
"""

from __future__ import annotations

from framecheck.core.series import Option
from framecheck.layers._words import (
    addresses,
    dotted,
    filters,
    host_routes,
    mac,
    seconds,
    text,
    unit,
    yes_no,
)
from framecheck.layers.assigned.dhcp_message_types import MESSAGE_TYPES


def signed(value: int) -> str:
    """A time from coordinated universal time, in two's complement (RFC 2132 3.4)."""
    return f"{seconds(value)} east" if value < 1 << 31 else f"{seconds((1 << 32) - value)} west"


def sizes(value: bytes) -> str:
    """A list of sizes, two octets each (RFC 2132 4.7)."""
    return ", ".join(
        str(int.from_bytes(value[i : i + 2], "big")) for i in range(0, len(value) - 1, 2)
    )


def codes(value: bytes) -> str:
    """The options that a client asks for (RFC 2132 9.8)."""
    return ", ".join(
        OPTIONS[code].name.replace("_", " ") if code in OPTIONS else str(code) for code in value
    )


def identifier(value: bytes) -> str:
    """A type and an identifier: type 1 is a hardware address (RFC 2132 9.14)."""
    if len(value) == 7 and value[0] == 1:
        return mac(value[1:])
    return f"type {value[0]}, {value[1:].hex()}" if value else ""


def sub_options(value: bytes) -> str:
    """What a relay adds (RFC 3046 2.0): code and octets of each part."""
    parts, at = [], 0
    while at + 2 <= len(value):
        data = value[at + 2 : at + 2 + value[at + 1]]
        parts.append(f"{value[at]}: {data.hex()}")
        at += 2 + value[at + 1]
    return ", ".join(parts)


def routes(value: bytes) -> str:
    """Destinations with the width of their mask, and routers (RFC 3442)."""
    parts, at = [], 0
    while at < len(value) and value[at] <= 32:
        behind = at + 1 + (value[at] + 7) // 8
        if behind + 4 > len(value):
            break
        network = dotted(value[at + 1 : behind].ljust(4, bytes(1)))
        parts.append(f"{network}/{value[at]} through {dotted(value[behind : behind + 4])}")
        at = behind + 4
    if at < len(value):
        parts.append(f"and {value[at:].hex()} left over")
    return ", ".join(parts)


OPTIONS: dict[int, Option] = {
    0: Option("pad"),
    1: Option("subnet_mask", dotted),
    2: Option("time_offset", signed, number=4),
    3: Option("router", addresses),
    4: Option("time_server", addresses),
    5: Option("name_server", addresses),
    6: Option("domain_name_server", addresses),
    7: Option("log_server", addresses),
    8: Option("cookie_server", addresses),
    9: Option("lpr_server", addresses),
    10: Option("impress_server", addresses),
    11: Option("resource_location_server", addresses),
    12: Option("host_name", text),
    13: Option("boot_file_size", unit("block"), number=2),
    14: Option("merit_dump_file", text),
    15: Option("domain_name", text),
    16: Option("swap_server", dotted),
    17: Option("root_path", text),
    18: Option("extensions_path", text),
    19: Option("ip_forwarding", yes_no, number=1),
    20: Option("non_local_source_routing", yes_no, number=1),
    21: Option("policy_filter", filters),
    22: Option("maximum_datagram_reassembly_size", unit("octet"), number=2),
    23: Option("default_ip_time_to_live", number=1),
    24: Option("path_mtu_aging_timeout", seconds, number=4),
    25: Option("path_mtu_plateau_table", sizes),
    26: Option("interface_mtu", unit("octet"), number=2),
    27: Option("all_subnets_are_local", yes_no, number=1),
    28: Option("broadcast_address", dotted),
    29: Option("perform_mask_discovery", yes_no, number=1),
    30: Option("mask_supplier", yes_no, number=1),
    31: Option("perform_router_discovery", yes_no, number=1),
    32: Option("router_solicitation_address", dotted),
    33: Option("static_route", host_routes),
    34: Option("trailer_encapsulation", yes_no, number=1),
    35: Option("arp_cache_timeout", seconds, number=4),
    36: Option(
        "ethernet_encapsulation",
        {0: "Ethernet (RFC 894)", 1: "IEEE 802.3 (RFC 1042)"}.get,
        number=1,
    ),
    37: Option("tcp_default_ttl", number=1),
    38: Option("tcp_keepalive_interval", seconds, number=4),
    39: Option("tcp_keepalive_garbage", yes_no, number=1),
    40: Option("network_information_service_domain", text),
    41: Option("network_information_servers", addresses),
    42: Option("network_time_protocol_servers", addresses),
    43: Option("vendor_specific_information"),
    44: Option("netbios_over_tcp_ip_name_server", addresses),
    45: Option("netbios_over_tcp_ip_datagram_distribution_server", addresses),
    46: Option(
        "netbios_over_tcp_ip_node_type",
        {1: "B-node", 2: "P-node", 4: "M-node", 8: "H-node"}.get,
        number=1,
    ),
    47: Option("netbios_over_tcp_ip_scope"),
    48: Option("x_window_system_font_server", addresses),
    49: Option("x_window_system_display_manager", addresses),
    50: Option("requested_ip_address", dotted),
    51: Option("ip_address_lease_time", seconds, number=4),
    52: Option(
        "option_overload",
        {1: "file holds options", 2: "sname holds options", 3: "both hold options"}.get,
        number=1,
    ),
    53: Option("dhcp_message_type", MESSAGE_TYPES.get, number=1),
    54: Option("server_identifier", dotted),
    55: Option("parameter_request_list", codes),
    56: Option("message", text),
    57: Option("maximum_dhcp_message_size", unit("octet"), number=2),
    58: Option("renewal_time_value", seconds, number=4),
    59: Option("rebinding_time_value", seconds, number=4),
    60: Option("vendor_class_identifier", text),
    61: Option("client_identifier", identifier),
    64: Option("network_information_service_plus_domain", text),
    65: Option("network_information_service_plus_servers", addresses),
    66: Option("tftp_server_name", text),
    67: Option("bootfile_name", text),
    68: Option("mobile_ip_home_agent", addresses),
    69: Option("simple_mail_transport_protocol_server", addresses),
    70: Option("post_office_protocol_server", addresses),
    71: Option("network_news_transport_protocol_server", addresses),
    72: Option("default_world_wide_web_server", addresses),
    73: Option("default_finger_server", addresses),
    74: Option("default_internet_relay_chat_server", addresses),
    75: Option("streettalk_server", addresses),
    76: Option("streettalk_directory_assistance_server", addresses),
    # Behind RFC 2132:
    77: Option("user_class"),  # RFC 3004
    80: Option("rapid_commit"),  # RFC 4039
    81: Option("client_fully_qualified_domain_name"),  # RFC 4702
    82: Option("relay_agent_information", sub_options),  # RFC 3046
    85: Option("nds_servers", addresses),  # RFC 2241
    86: Option("nds_tree_name", text),  # RFC 2241
    87: Option("nds_context", text),  # RFC 2241
    90: Option("authentication"),  # RFC 3118
    91: Option("client_last_transaction_time", seconds, number=4),  # RFC 4388
    92: Option("associated_ip", addresses),  # RFC 4388
    93: Option("client_system_architecture"),  # RFC 4578
    94: Option("client_network_interface"),  # RFC 4578
    97: Option("client_machine_identifier"),  # RFC 4578
    100: Option("timezone_posix", text),  # RFC 4833
    101: Option("timezone_database", text),  # RFC 4833
    108: Option("ipv6_only_preferred", seconds, number=4),  # RFC 8925
    114: Option("captive_portal", text),  # RFC 8910
    116: Option("auto_configure", {0: "do not", 1: "do"}.get, number=1),  # RFC 2563
    118: Option("subnet_selection", dotted),  # RFC 3011
    119: Option("domain_search"),  # RFC 3397
    120: Option("sip_servers"),  # RFC 3361
    121: Option("classless_static_route", routes),  # RFC 3442
    124: Option("vendor_identifying_vendor_class"),  # RFC 3925
    125: Option("vendor_identifying_vendor_specific_information"),  # RFC 3925
    150: Option("tftp_server_address", addresses),  # RFC 5859
    255: Option("end"),
}
