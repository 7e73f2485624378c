"""What the rules of DHCP share: its options, taken together as RFC 3396 says."""

from __future__ import annotations

from functools import lru_cache
from typing import NamedTuple

from framecheck.core.layer import Group, Layer, new

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
        return Options((), (), {}, {}, False)
    first = dhcp.start + FIRST_OPTION * 8
    area: list[Group] = []
    parts: list[Part] = []
    together: dict[int, tuple[Part, ...]] = {}
    numbers: dict[int, int] = {}
    complete = True
    for group in dhcp.groups:
        fields, code = group.fields, group.code
        if fields[0].start >= first:
            area.append(group)
        if len(fields) == 1:
            continue  # padding and the end, which have no length
        data, whole = group.data, group.whole
        complete = complete and whole
        part = new(Part, (group, code, data, whole))
        parts.append(part)
        if code in together:
            together[code] += (part,)
            continue
        together[code] = (part,)
        if whole and len(data) in (1, 2, 4):
            numbers[code] = int.from_bytes(data, "big")
    return Options(tuple(area), tuple(parts), together, numbers, complete)
