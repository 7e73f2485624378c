"""IPv6 destination options (RFC 8200 4.6): the header's length, and its options."""

from __future__ import annotations

from framecheck.judging._extension import option_rules

length, option_length, option_size, option_unknown, option_padding, padding_long = option_rules(
    "ipv6-destination-options", 60, "4.6"
)
