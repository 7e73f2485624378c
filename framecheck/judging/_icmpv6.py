"""What the rules of ICMPv6 share: kinds of message, the options of neighbor discovery."""

from __future__ import annotations

from functools import lru_cache

from framecheck.core.layer import Group, Layer
from framecheck.core.view import View
from framecheck.judging._measure import carrier
from framecheck.judging._tools import address

ERRORS = frozenset((1, 2, 3, 4))
ROUTER_SOLICITATION, ROUTER_ADVERTISEMENT, SOLICITATION, ADVERTISEMENT, REDIRECT = range(133, 138)
NEIGHBOR = {
    ROUTER_SOLICITATION: 8,
    ROUTER_ADVERTISEMENT: 16,
    SOLICITATION: 24,
    ADVERTISEMENT: 24,
    REDIRECT: 40,
}
"""Messages of neighbor discovery, and octets of the shortest (RFC 4861 4)."""
QUERY, REPORT, DONE, REPORT_2 = 130, 131, 132, 143
LEAST = {
    **dict.fromkeys((1, 2, 3, 4, 128, 129), 8),
    **dict.fromkeys((QUERY, REPORT, DONE), 24),
    REPORT_2: 8,
}
"""Octets of the shortest message of each other type (RFC 4443, RFC 2710 3, RFC 3810 5)."""
SOURCE_LINK, TARGET_LINK, PREFIX, REDIRECTED, MTU = range(1, 6)


def is_neighbor(icmpv6: Layer) -> bool:
    """Whether a message is one of neighbor discovery."""
    return icmpv6.number("type") in NEIGHBOR


def ends(icmpv6: Layer, view: View) -> tuple[bytes | None, bytes | None]:
    """Source and destination of the datagram, None for what is not there whole."""
    ip = carrier(icmpv6, view)
    if ip is None:
        return None, None
    return address(ip, "source_address"), address(ip, "destination_address")


# Some ten rules ask for the options of one and the same message, one after the other.
@lru_cache(maxsize=1)
def options(icmpv6: Layer) -> tuple[Group, ...]:
    """The options of a message of neighbor discovery, up to the first that cannot be."""
    found: list[Group] = []
    for option in icmpv6.groups if is_neighbor(icmpv6) else ():
        if option.length is None or not option.length.whole or not option.length.number:
            break
        found.append(option)
    return tuple(found)


def has(icmpv6: Layer, code: int) -> bool:
    """Whether a message carries an option."""
    return any(o.code == code for o in options(icmpv6))


def is_link_local(address: bytes) -> bool:
    """Whether an address is of fe80::/10 (RFC 4291 2.5.6)."""
    return address[0] == 0xFE and address[1] & 0xC0 == 0x80


def solicited_node(address: bytes) -> bytes:
    """The group of all whose address ends in the same 24 bits (RFC 4291 2.7.1)."""
    return bytes.fromhex("ff02" + "00" * 9 + "01ff") + address[13:]
