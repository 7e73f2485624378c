"""ARP hardware types and operations.

Source: RFC 826 "Definitions" (Ethernet; operations 1 and 2); RFC 5494 (reserved and
experimental numbers); the rest of IANA "ARP Parameters" from memory, as of 2025.
"""

HARDWARE_TYPES = {
    0: "reserved",
    1: "Ethernet",
    6: "IEEE 802 networks",
    7: "ARCNET",
    15: "frame relay",
    16: "ATM",
    18: "Fibre Channel",
    20: "serial line",
    24: "IEEE 1394",
    27: "EUI-64",
    32: "InfiniBand",
    36: "experiment 1",
    256: "experiment 2",
    65535: "reserved",
}

OPERATIONS = {
    0: "reserved",
    1: "request",
    2: "reply",
    3: "reverse request",
    4: "reverse reply",
    8: "inverse request",
    9: "inverse reply",
    24: "experiment 1",
    25: "experiment 2",
    65535: "reserved",
}
