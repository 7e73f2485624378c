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
    code: int
    data: bytes
    whole: bool
    """Whether all that it claims is there."""


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
    complete: bool
    """Whether all options can be read, so that one that is absent was not sent."""

    @property
    def message_type(self) -> int | None:
        """What option 53 says, None without it."""
        return self.numbers.get(MESSAGE_TYPE)


# Some twenty rules ask for the options of one and the same message, one after the other.
@lru_cache(maxsize=1)
def options(dhcp: Layer) -> Options:
    """The options of a message, read once."""
    cookie = dhcp.get("magic_cookie")
    if cookie is None or cookie.raw != _COOKIE:
        return Options(False, (), (), {}, {}, False)
    first = dhcp.start + FIRST_OPTION * 8
    # Behind its code an option has its length; padding and the end have no second field.
    parts = [Part(g, g.code, g.data, g.whole) for g in dhcp.groups if g.fields[1:]]
    together: dict[int, tuple[Part, ...]] = {}
    numbers: dict[int, int] = {}
    for part in parts:
        before = together.get(part.code, ())
        together[part.code] = (*before, part)
        if not before and part.whole and len(part.data) in (1, 2, 4):
            numbers[part.code] = int.from_bytes(part.data, "big")
    area = tuple(g for g in dhcp.groups if g.fields[0].start >= first)
    complete = all(p.whole for p in parts)
    return Options(True, area, tuple(parts), together, numbers, complete)
