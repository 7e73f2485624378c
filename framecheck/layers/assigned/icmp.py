"""ICMP types, and their codes.

Source: RFC 792 (0, 3 to 5, 8, 11 to 16; codes 3/0-5, 5/0-3, 11/0-1, 12/0) and RFC 1122 3.2.2
(3/6-12, 12/1); RFC 1256 (9, 10), RFC 950 (17, 18), RFC 1812 (3/13-15), RFC 6918 (obsolete ones)
and IANA "ICMP Type Numbers" from memory, as of 2025.
"""

TYPES = {
    0: "echo reply",
    3: "destination unreachable",
    4: "source quench",
    5: "redirect",
    8: "echo",
    9: "router advertisement",
    10: "router solicitation",
    11: "time exceeded",
    12: "parameter problem",
    13: "timestamp",
    14: "timestamp reply",
    15: "information request",
    16: "information reply",
    17: "address mask request",
    18: "address mask reply",
    30: "traceroute",
    40: "security failure",
    42: "extended echo request",
    43: "extended echo reply",
    253: "experiment 1",
    254: "experiment 2",
}

CODES: dict[int, dict[int, str]] = {
    3: {
        0: "net",
        1: "host",
        2: "protocol",
        3: "port",
        4: "fragmentation needed and DF set",
        5: "source route failed",
        6: "destination network unknown",
        7: "destination host unknown",
        8: "source host isolated",
        9: "destination network prohibited",
        10: "destination host prohibited",
        11: "network for type of service",
        12: "host for type of service",
        13: "communication prohibited",
        14: "host precedence violation",
        15: "precedence cutoff in effect",
    },
    5: {
        0: "for the network",
        1: "for the host",
        2: "for the type of service and network",
        3: "for the type of service and host",
    },
    11: {0: "time to live in transit", 1: "fragment reassembly time"},
    12: {0: "pointer gives the octet", 1: "required option missing", 2: "bad length"},
}
