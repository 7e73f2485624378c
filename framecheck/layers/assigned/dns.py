"""DNS types, classes, operation codes and response codes.

Source: RFC 1035 3.2.2 to 3.2.5 and 4.1.1; later numbers of IANA "Domain Name System Parameters"
from memory, as of 2025; types are tested against another library's table.
"""

TYPES = {
    1: "A",
    2: "NS",
    3: "MD",
    4: "MF",
    5: "CNAME",
    6: "SOA",
    7: "MB",
    8: "MG",
    9: "MR",
    10: "NULL",
    11: "WKS",
    12: "PTR",
    13: "HINFO",
    14: "MINFO",
    15: "MX",
    16: "TXT",
    28: "AAAA",
    33: "SRV",
    35: "NAPTR",
    39: "DNAME",
    41: "OPT",
    43: "DS",
    46: "RRSIG",
    47: "NSEC",
    48: "DNSKEY",
    50: "NSEC3",
    52: "TLSA",
    64: "SVCB",
    65: "HTTPS",
    250: "TSIG",
    251: "IXFR",
    252: "AXFR",
    255: "ANY",
    257: "CAA",
}

OPTION_CODES = {
    3: "name server identifier",
    5: "DNSSEC algorithm understood",
    8: "client subnet",
    10: "cookie",
    11: "TCP keepalive",
    12: "padding",
    15: "extended error",
}

CLASSES = {1: "IN", 2: "CS", 3: "CH", 4: "HS", 254: "NONE", 255: "ANY"}

OPERATIONS = {0: "query", 1: "inverse query", 2: "status", 4: "notify", 5: "update"}

RESPONSES = {
    0: "no error",
    1: "format error",
    2: "server failure",
    3: "name error",
    4: "not implemented",
    5: "refused",
    6: "name exists when it should not",
    7: "records exist when they should not",
    8: "records that should exist do not",
    9: "not authoritative, or not authorized",
    10: "name not in zone",
}
