"""What the rules of DHCP share: its options, taken together as RFC 3396 says."""

from __future__ import annotations

from framecheck.core.layer import Group, Layer

FIRST_OPTION = 240
END, OVERLOAD, MESSAGE_TYPE = 255, 52, 53
DISCOVER, OFFER, REQUEST, DECLINE, ACK, NAK, RELEASE, INFORM = range(1, 9)
NAMES = ("", "DISCOVER", "OFFER", "REQUEST", "DECLINE", "ACK", "NAK", "RELEASE", "INFORM")


def cookie_holds(dhcp: Layer) -> bool:
    """Whether the magic cookie announces options."""
    cookie = dhcp.get("magic_cookie")
    return cookie is not None and cookie.raw == b"\x63\x82\x53\x63"


def area(dhcp: Layer) -> tuple[Group, ...]:
    """The options behind the cookie, not those in ``sname`` and ``file``; none without it."""
    if not cookie_holds(dhcp):
        return ()
    first = dhcp.start + FIRST_OPTION * 8
    return tuple(g for g in dhcp.groups if g.start >= first)


def options(dhcp: Layer) -> tuple[Group, ...]:
    """All options that have a length, those in ``sname`` and ``file`` included."""
    if not cookie_holds(dhcp):
        return ()
    return tuple(g for g in dhcp.groups if g.length is not None)


def together(dhcp: Layer) -> dict[int, tuple[Group, ...]]:
    """The options by code: several of one code are one option in parts (RFC 3396)."""
    found: dict[int, tuple[Group, ...]] = {}
    for group in options(dhcp):
        found[group.code] = (*found.get(group.code, ()), group)
    return found


def value(dhcp: Layer, code: int) -> int | None:
    """The number that an option of 1, 2 or 4 octets holds, None without it."""
    group = next((g for g in options(dhcp) if g.code == code), None)
    if group is None or not group.whole or len(group.data) not in (1, 2, 4):
        return None
    return int.from_bytes(group.data, "big")


def message_type(dhcp: Layer) -> int | None:
    """What option 53 says, None without it."""
    return value(dhcp, MESSAGE_TYPE)
