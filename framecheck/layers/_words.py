"""How people read values: addresses, times, text. Text from the wire goes through ``quote``."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial

from framecheck.core.quote import quote


def mac(value: bytes) -> str:
    """Octets of a hardware address, in hex with colons."""
    return value.hex(":")


def dotted(value: bytes) -> str:
    """An IPv4 address in dotted decimal; fewer octets give fewer numbers."""
    return ".".join(map(str, value))


def colons(value: bytes) -> str:
    """An IPv6 address as RFC 5952 4 writes it; octets that are not 16 in hex."""
    if len(value) != 16:
        return value.hex(":")
    words = [int.from_bytes(value[i : i + 2], "big") for i in range(0, 16, 2)]
    start, size = _zeros(words)
    if size < 2:
        return ":".join(f"{word:x}" for word in words)
    front, back = words[:start], words[start + size :]
    return "::".join(":".join(f"{word:x}" for word in part) for part in (front, back))


def _zeros(words: list[int]) -> tuple[int, int]:
    """Where the longest row of zeros begins, the first of several, and how long it is."""
    best, begin = (0, 0), 0
    for at, word in enumerate((*words, 1)):
        if word:
            if at - begin > best[1]:
                best = begin, at - begin
            begin = at + 1
    return best


def address(value: bytes) -> str:
    """A protocol address as its length says: IPv4, IPv6, anything else in hex."""
    return dotted(value) if len(value) == 4 else colons(value)


def addresses(value: bytes) -> str:
    """A list of IPv4 addresses; octets that make no whole address are said to be left over."""
    whole = len(value) // 4 * 4
    read = ", ".join(dotted(value[i : i + 4]) for i in range(0, whole, 4))
    return _with_rest(read, value[whole:])


def ipv6_addresses(value: bytes) -> str:
    """A list of IPv6 addresses; octets that make no whole address are said to be left over."""
    whole = len(value) // 16 * 16
    read = ", ".join(colons(value[i : i + 16]) for i in range(0, whole, 16))
    return _with_rest(read, value[whole:])


def filters(value: bytes) -> str:
    """A list of addresses with their masks (RFC 2132 4.3)."""
    return _pairs(value, "/")


def host_routes(value: bytes) -> str:
    """A list of destinations with their routers (RFC 2132 5.8)."""
    return _pairs(value, " through ")


def _pairs(value: bytes, between: str) -> str:
    whole = len(value) // 8 * 8
    read = ", ".join(
        f"{dotted(value[i : i + 4])}{between}{dotted(value[i + 4 : i + 8])}"
        for i in range(0, whole, 8)
    )
    return _with_rest(read, value[whole:])


def _with_rest(read: str, rest: bytes) -> str:
    if not rest:
        return read or "none"
    return f"{read}{', ' if read else ''}and {rest.hex()} left over"


def text(value: bytes) -> str:
    """Octets that a standard calls a string; a zero octet ends it when only zeros follow."""
    return f'"{quote(value.rstrip(bytes(1)).decode("utf-8", "backslashreplace"))}"'


def zero_ended(value: bytes) -> str | None:
    """A fixed field with a string that a zero octet ends; None when it is empty."""
    shown = value.partition(b"\0")[0]
    return text(shown) if shown else None


_UNITS = ((86400, "day"), (3600, "hour"), (60, "minute"), (1, "second"))


def seconds(value: int) -> str:
    """A time in seconds, and the same in larger units; all ones is infinity (RFC 2131 3.3)."""
    if value == 0xFFFFFFFF:
        return "for ever"
    plain = count(value, "second")
    if value < 60:
        return plain
    parts, left = [], value
    for size, unit in _UNITS:
        if left >= size:
            parts.append(count(left // size, unit))
            left %= size
    return f"{plain} ({' '.join(parts)})"


def decimal(value: float) -> str:
    """A time in seconds that need not be whole."""
    return f"{value:g} {'second' if value == 1 else 'seconds'}"


def milliseconds(value: int) -> str:
    """A time in milliseconds; from one second on, in seconds too."""
    plain = count(value, "millisecond")
    return plain if value < 1000 else f"{plain} ({decimal(value / 1000)})"


def count(number: int, unit: str) -> str:
    """A number with its unit, in singular or plural."""
    return f"{number} {unit}" if number == 1 else f"{number} {unit}s"


def yes_no(value: int) -> str | None:
    """A boolean of one octet; None for a value that is neither."""
    return {0: "no", 1: "yes"}.get(value)


def unit(name: str) -> Callable[[int], str]:
    """Words for a number that counts something: ``unit("octet")(2)`` is "2 octets"."""
    return partial(_of_unit, name)


def _of_unit(name: str, value: int) -> str:
    return count(value, name)
