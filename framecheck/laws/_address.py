"""What a law's phase means in memory, where the address of the frame's first octet is known.

Caches, buses and engines count from addresses that are multiples of their width; a count that
starts with the frame is one of the device's own.
"""

from __future__ import annotations

from framecheck.laws._model import Law, Parameters

WIDEST = 128
"""Octets of the widest line of a cache or bus that is thought of (common practice)."""


def whole_lines(n: int) -> bool:
    """Whether memory may be divided into lines of n octets."""
    return 2 <= n <= WIDEST and n & (n - 1) == 0


def placed(law: Law, address: int | None) -> str:
    """How a law's octets lie in memory, in words; empty where the address says nothing of it.

    ``address``: where octet 0 of the frame lies.
    """
    if address is None:
        return ""
    said = _SAID.get(law.family)
    return said(law.parameters, address) if said else ""


def _granule(p: Parameters, address: int) -> str:
    n, there = p["n"], address % p["n"]
    if not whole_lines(n):
        return ""
    if p["lead"] != there:
        return (
            f"in memory, where octet 0 lies at {there} mod {n}, the edges are no multiples of {n}: "
            "something else counts"
        )
    return f"in memory, where octet 0 lies at {there} mod {n}, the edges are multiples of {n}"


def _lines(p: Parameters, address: int) -> str:
    size, expected = p["size"], -address % p["size"]
    if p["phase"] == expected:
        return f"in memory these lines start at multiples of {size}"
    return (
        f"by the buffer's address, lines of memory start at octets {expected} mod {size}: these "
        "are others"
    )


def _lane(p: Parameters, address: int) -> str:
    n = p["n"]
    if not whole_lines(n):
        return ""
    lanes = ", ".join(str(x) for x in sorted((r + address) % n for r in p["r"]))
    return f"in memory those lie at {lanes} mod {n}"


def _stuck(p: Parameters, address: int) -> str:
    width = p["width"]
    return "" if width < 2 else f"in memory it lies at {(p['lane'] + address) % width} mod {width}"


def _words(width: int, address: int) -> str:
    there = address % width
    if not there:
        return "these are the words of memory"
    return (
        f"in memory, where octet 0 lies at {there} mod {width}, words begin elsewhere: something "
        "else counts"
    )


def _swap(p: Parameters, address: int) -> str:
    return _words(p["width"], address)


def _halfword(_: Parameters, address: int) -> str:
    return _words(4, address)


def _alias(p: Parameters, address: int) -> str:
    there = address % (2 << p["line"])
    if not there:
        return f"in memory it is address line {p['line']} as well"
    return f"in memory octet 0 lies at {there} mod {2 << p['line']}: the line is one of the device"


_SAID = {
    "granule": _granule,
    "round-up": _granule,
    "stale-lines": _lines,
    "lane": _lane,
    "stuck": _stuck,
    "swap": _swap,
    "halfword": _halfword,
    "alias": _alias,
}
