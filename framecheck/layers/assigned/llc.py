"""LLC service access points.

Source: IANA "IEEE 802 Numbers" and RFC 1042 "Header Format" (0xaa); the rest from memory, as of
2025.
"""

SERVICE_ACCESS_POINTS = {
    0x00: "null",
    0x02: "LLC sublayer management",
    0x06: "IP (must not be sent, RFC 1122 2.3.3)",
    0x42: "spanning tree",
    0x7E: "X.25",
    0xAA: "SNAP",
    0xE0: "IPX",
    0xF0: "NetBIOS",
    0xFE: "ISO network layer",
    0xFF: "global",
}
