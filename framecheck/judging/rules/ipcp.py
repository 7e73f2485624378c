"""IPCP: lengths, codes and options (RFC 1332, RFC 1877; from memory)."""

from __future__ import annotations

from framecheck.judging._configuration import packet_rules

_SIZES = {1: (10, 10), 2: (4, 0), **dict.fromkeys((3, 129, 130, 131, 132), (6, 6))}

length, code_unknown, option_length, option_size = packet_rules(
    "ipcp", "IPCP", 0x8021, 7, _SIZES, "0306c000024d"
)
