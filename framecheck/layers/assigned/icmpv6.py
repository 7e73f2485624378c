"""ICMPv6 types, and their codes.

Source: RFC 4443 2.1 and 3 (1 to 4, 128, 129 and their codes), RFC 4861 4 (133 to 137) and
RFC 2710 3 and RFC 3810 5 (130 to 132, 143), from memory; the rest of IANA "ICMPv6 Parameters"
from memory, as of 2025.
"""

TYPES = {
    1: "destination unreachable",
    2: "packet too big",
    3: "time exceeded",
    4: "parameter problem",
    100: "experiment 1",
    101: "experiment 2",
    127: "reserved",
    128: "echo request",
    129: "echo reply",
    130: "multicast listener query",
    131: "multicast listener report",
    132: "multicast listener done",
    133: "router solicitation",
    134: "router advertisement",
    135: "neighbor solicitation",
    136: "neighbor advertisement",
    137: "redirect",
    138: "router renumbering",
    139: "node information query",
    140: "node information response",
    141: "inverse neighbor discovery solicitation",
    142: "inverse neighbor discovery advertisement",
    143: "version 2 multicast listener report",
    148: "certification path solicitation",
    149: "certification path advertisement",
    151: "multicast router advertisement",
    152: "multicast router solicitation",
    153: "multicast router termination",
    155: "RPL control",
    200: "experiment 3",
    201: "experiment 4",
    255: "reserved",
}

CODES: dict[int, dict[int, str]] = {
    1: {
        0: "no route to destination",
        1: "communication prohibited",
        2: "beyond scope of source address",
        3: "address unreachable",
        4: "port unreachable",
        5: "source address failed policy",
        6: "reject route to destination",
        7: "error in source routing header",
    },
    3: {0: "hop limit in transit", 1: "fragment reassembly time"},
    4: {
        0: "erroneous header field",
        1: "unrecognized next header type",
        2: "unrecognized IPv6 option",
        3: "incomplete header chain in first fragment",
    },
}
