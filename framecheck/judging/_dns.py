"""What the rules of DNS share: names walked label by label, and what is wrong with one."""

from __future__ import annotations

from collections.abc import Iterator
from functools import lru_cache
from typing import Literal, NamedTuple

from framecheck.core.layer import Field, Group, Layer
from framecheck.core.span import Span
from framecheck.core.view import View

SECTIONS = (
    ("question", "qdcount"),
    ("answer", "ancount"),
    ("authority", "nscount"),
    ("additional", "arcount"),
)
OPT = 41
HEADER = 12
_MOST = 255
_NAMES = frozenset(("qname", "name", "mname", "rname", "exchange", "target", "domain_name"))
# Octets in front of the first name in the data of a type, and names behind each other there.
_IN_DATA = {2: (0, 1), 5: (0, 1), 6: (0, 2), 12: (0, 1), 15: (2, 1), 33: (6, 1), 39: (0, 1)}


class Fault(NamedTuple):
    """What is wrong with a name."""

    kind: Literal["label", "long", "pointer", "end"]
    span: Span
    says: str


def fault(data: bytes, origin: int, at: int, stop: int) -> Fault | None:
    """What is wrong with the name at an octet; None when it can be read.

    ``origin``: the message's first octet, from which pointers count; ``stop``: behind its last.
    """
    begin = first = at
    length = 1
    while at < stop:
        size = data[at]
        if not size:
            return None
        if size >= 0xC0:
            if at + 2 > stop:
                break
            target = (size & 0x3F) << 8 | data[at + 1]
            if not HEADER <= target < first - origin:
                says = f"a pointer at octet {at - origin} of the message leads to {target}"
                return Fault("pointer", Span.of_octets(at, at + 2), says)
            at = first = origin + target
            continue
        if size > 63:
            says = f"a label begins with {size:02x}, whose first two bits are reserved"
            return Fault("label", Span.of_octets(at, at + 1), says)
        length += 1 + size
        if length > _MOST:
            says = f"a name has more than {_MOST} octets"
            return Fault("long", Span.of_octets(begin, max(begin, at) + 1), says)
        at += 1 + size
    return Fault("end", Span.of_octets(begin, max(begin + 1, stop)), "a name leads past its end")


# Four rules ask for the faults of one and the same message, one after the other.
@lru_cache(maxsize=1)
def faults(dns: Layer, view: View) -> tuple[Fault, ...]:
    """Everything that is wrong with the names of a message, in its order."""
    stop = min(dns.limit, len(view.octets) * 8) >> 3
    return tuple(
        found
        for at, end in _places(dns, stop)
        if (found := fault(view.octets, dns.start >> 3, at, end)) is not None
    )


def _places(dns: Layer, stop: int) -> Iterator[tuple[int, int]]:
    """Where names begin, and where they must end (pointers lead out of data, but never on)."""
    for group in dns.groups:
        for field in group.fields:
            if field.name in _NAMES and field.stop > field.start:
                yield field.start >> 3, stop
            elif field.name == "rdata" and field.whole:
                yield from _in_data(group.code, field)
    rest = dns.get("unparsed")
    if rest is not None and not filled(dns):
        yield rest.start >> 3, stop


def _in_data(kind: int, rdata: Field) -> Iterator[tuple[int, int]]:
    """Names in data that no table could take apart."""
    skip, names = _IN_DATA.get(kind, (0, 0))
    at, end = (rdata.start >> 3) + skip, rdata.stop >> 3
    for _ in range(names if at < end else 0):
        yield at, end
        octets, here = rdata.raw, at - (rdata.start >> 3)
        while here < len(octets) and 0 < octets[here] < 64:
            here += 1 + octets[here]
        at += here - (at - (rdata.start >> 3)) + (2 if octets[here : here + 1] >= b"\xc0" else 1)
        if at >= end:
            return


def unfilled(dns: Layer) -> tuple[str, int, int] | None:
    """The first section with fewer items than its count: count's name, announced, there."""
    for section, count in SECTIONS:
        wanted = dns.number(count)
        there = sum(1 for g in dns.groups if g.name == section and g.whole)
        if wanted is not None and there < wanted:
            return count, wanted, there
    return None


def filled(dns: Layer) -> bool:
    """Whether all four counts are there, and as many items as they say."""
    return dns.whole("arcount") and unfilled(dns) is None


def records(dns: Layer) -> Iterator[Group]:
    """The items that are records, those of the question left out."""
    return (g for g in dns.groups if g.name != "question")
