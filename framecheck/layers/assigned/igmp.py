"""IGMP types.

Source: RFC 1112 appendix I (0x12), RFC 2236 2.1, RFC 3376 4, from memory, as of 2025.
"""

TYPES = {
    0x11: "membership query",
    0x12: "version 1 membership report",
    0x16: "version 2 membership report",
    0x17: "leave group",
    0x22: "version 3 membership report",
}
