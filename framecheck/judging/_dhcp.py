"""What the rules of DHCP share: its options, taken together as RFC 3396 says."""

from __future__ import annotations

from functools import lru_cache
from typing import NamedTuple

from framecheck.core.layer import Group, Layer

FIRST_OPTION = 240
END, OVERLOAD, MESSAGE_TYPE = 255, 52, 53
DISCOVER, OFFER, REQUEST, DECLINE, ACK, NAK, RELEASE, INFORM = range(1, 9)
NAMES = ("", "DISCOVER", "OFFER", "REQUEST", "DECLINE", "ACK", "NAK", "RELEASE", "INFORM")
_COOKIE = b"\x63\x82\x53\x63"


class Part(NamedTuple):
    """An option that has a length: where it stands, and what stands in it."""

    group: Group
    data: bytes
    whole: bool
    """Whether all that it claims is there."""

    @property
    def code(self) -> int:
        """Its number."""
        return self.group.code


class Options(NamedTuple):
    """The options of one message; none when the cookie does not announce them."""

    announced: bool
    area: tuple[Group, ...]
    """What stands behind the cookie, padding and end included."""
    parts: tuple[Part, ...]
    """Options with a length, those in ``sname`` and ``file`` included."""
    together: dict[int, tuple[Part, ...]]
    """The same by code: several of one code are one option in parts (RFC 3396)."""
    numbers: dict[int, int]
    """What the first of each code says, where it has 1, 2 or 4 octets."""

    @property
    def message_type(self) -> int | None:
        """What option 53 says, None without it."""
        return self.numbers.get(MESSAGE_TYPE)

    @property
    def complete(self) -> bool:
        """Whether all options can be read, so that one that is absent was not sent."""
        return self.announced and all(p.whole for p in self.parts)


# Some twenty rules ask for the options of one and the same message, one after the other.
@lru_cache(maxsize=1)
def options(dhcp: Layer) -> Options:
    """The options of a message, read once."""
    cookie = dhcp.get("magic_cookie")
    if cookie is None or cookie.raw != _COOKIE:
        return Options(False, (), (), {}, {})
    first = dhcp.start + FIRST_OPTION * 8
    parts = tuple(Part(g, g.data, g.whole) for g in dhcp.groups if g.length is not None)
    together: dict[int, tuple[Part, ...]] = {}
    for part in parts:
        together[part.code] = (*together.get(part.code, ()), part)
    numbers = {
        code: int.from_bytes(same[0].data, "big")
        for code, same in together.items()
        if same[0].whole and len(same[0].data) in (1, 2, 4)
    }
    area = tuple(g for g in dhcp.groups if g.start >= first)
    return Options(True, area, parts, together, numbers)
