"""LLDP types, and how their octets read.

Source: IEEE 802.1AB 8.4 and 8.5, from memory, as of 2025.
"""

from framecheck.core.layer import Column, Got, choose, octets, uint
from framecheck.core.series import Option
from framecheck.layers._words import address, mac, seconds, text

_CHASSIS = {
    1: "chassis component",
    2: "interface alias",
    3: "port component",
    4: "MAC address",
    5: "network address",
    6: "interface name",
    7: "locally assigned",
}
_PORTS = {
    1: "interface alias",
    2: "port component",
    3: "MAC address",
    4: "network address",
    5: "interface name",
    6: "agent circuit identifier",
    7: "locally assigned",
}
_INTERFACES = {1: "unknown", 2: "interface index", 3: "system port number"}
_CAPABILITIES = (
    *("other", "repeater", "bridge", "WLAN access point", "router", "telephone"),
    *("DOCSIS cable device", "station only", "C-VLAN", "S-VLAN", "two-port MAC relay"),
)


def network_address(value: bytes) -> str:
    """An address behind the number of its family: 1 is IPv4, 2 is IPv6."""
    return address(value[1:]) if value[:1] in (b"\1", b"\2") else value.hex()


def capabilities(value: int) -> str:
    """The names of the bits that are set, the lowest first."""
    names = (name for bit, name in enumerate(_CAPABILITIES) if value >> bit & 1)
    return ", ".join(names) or "none"


def _chassis(subtype: int) -> tuple[Column, ...]:
    return (octets("chassis_id", None, {4: mac, 5: network_address}.get(subtype, text)),)


def _port(subtype: int) -> tuple[Column, ...]:
    return (octets("port_id", None, {3: mac, 4: network_address}.get(subtype, text)),)


def _address_size(got: Got) -> int:
    """The length counts the octet of the family too."""
    f = got.get("management_address_string_length")
    return max(0, f.number - 1) if f is not None and f.whole else 0


_MANAGEMENT = (
    uint("management_address_string_length", 8),
    uint("management_address_subtype", 8, {1: "IPv4", 2: "IPv6", 6: "802"}),
    octets("management_address", _address_size, address),
    uint("interface_numbering_subtype", 8, _INTERFACES),
    uint("interface_number", 32),
    uint("oid_string_length", 8),
    octets("object_identifier", "oid_string_length"),
)

TYPE_LENGTH_VALUES = {
    0: Option("end_of_lldpdu"),
    1: Option(
        "chassis",
        table=(uint("chassis_id_subtype", 8, _CHASSIS), choose(("chassis_id_subtype",), _chassis)),
        least=2,
    ),
    2: Option(
        "port",
        table=(uint("port_id_subtype", 8, _PORTS), choose(("port_id_subtype",), _port)),
        least=2,
    ),
    3: Option("time_to_live", seconds, number=2),
    4: Option("port_description", text),
    5: Option("system_name", text),
    6: Option("system_description", text),
    7: Option(
        "capabilities",
        table=(
            uint("system_capabilities", 16, capabilities),
            uint("enabled_capabilities", 16, capabilities),
        ),
        least=4,
    ),
    8: Option("management", table=_MANAGEMENT, least=9),
    127: Option(
        "organizationally_specific",
        table=(
            octets("organizationally_unique_identifier", 3, mac),
            uint("organizationally_defined_subtype", 8),
            octets("organizationally_defined_information", None),
        ),
        least=4,
    ),
}
