"""DHCP message types (option 53).

Source: RFC 2132 9.6 (1 to 8); the rest of IANA "DHCP Message Type 53 Values" from memory, as of
2025 (RFC 3203, 4388, 6926).
"""

MESSAGE_TYPES = {
    1: "DHCPDISCOVER",
    2: "DHCPOFFER",
    3: "DHCPREQUEST",
    4: "DHCPDECLINE",
    5: "DHCPACK",
    6: "DHCPNAK",
    7: "DHCPRELEASE",
    8: "DHCPINFORM",
    9: "DHCPFORCERENEW",
    10: "DHCPLEASEQUERY",
    11: "DHCPLEASEUNASSIGNED",
    12: "DHCPLEASEUNKNOWN",
    13: "DHCPLEASEACTIVE",
}
