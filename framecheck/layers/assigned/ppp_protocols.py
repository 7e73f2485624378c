"""PPP protocol numbers.

Source: IANA "PPP DLL Protocol Numbers", those a bench may meet, from memory, as of 2025.
"""

PROTOCOLS = {
    0x0001: "padding",
    0x0021: "IPv4",
    0x002D: "compressed TCP",
    0x002F: "uncompressed TCP",
    0x003D: "multilink",
    0x0057: "IPv6",
    0x00FD: "compressed datagram",
    0x8021: "IPCP",
    0x8057: "IPv6CP",
    0x80FD: "compression control",
    0xC021: "LCP",
    0xC023: "PAP",
    0xC025: "link quality report",
    0xC223: "CHAP",
    0xC227: "EAP",
}
