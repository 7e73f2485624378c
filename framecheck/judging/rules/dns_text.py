"""DNS names: octets that labels rarely hold on purpose."""

from __future__ import annotations

from collections.abc import Callable, Iterator

from framecheck.core.finding import Breach, memory, rule
from framecheck.core.layer import Layer
from framecheck.core.span import Range, Span
from framecheck.core.view import View
from framecheck.judging._examples import DNS_QUERY, breaking
from framecheck.judging._text import LETTERS, beyond, controls

_NAMES = frozenset(("qname", "name", "mname", "rname", "exchange", "target", "domain_name"))
_ALPHABET = LETTERS | frozenset(b"_*/")
"""Of names on servers; services, wildcards and parts of networks have their own letters."""
_MULTICAST = (5353, 5355)
_MOST = 16
"""Findings about one message."""


def _labels(dns: Layer) -> Iterator[tuple[int, bytes]]:
    """Each label that stands in a name itself, with its first octet in the frame."""
    for group in dns.groups:
        for field in group.fields:
            if field.name not in _NAMES:
                continue
            octets, at = field.raw, 0
            while at < len(octets) and 0 < octets[at] < 64:
                size = octets[at]
                yield field.start // 8 + at + 1, octets[at + 1 : at + 1 + size]
                at += 1 + size


def _odd(dns: Layer, find: Callable[[bytes], tuple[Range, ...]], what: str) -> Iterator[Breach]:
    count = 0
    for first, label in _labels(dns):
        found = find(label)
        if found and count < _MOST:
            count += 1
            spans = tuple(Span.of_octets(first + a, first + b) for a, b in found)
            shown = b"".join(label[a:b] for a, b in found).hex()
            yield Breach(spans, shown, None, f"{what} in a label: {shown}")


@rule(
    "dns-label-octets",
    layer="dns",
    certainty="suspicious",
    source=memory("RFC 1123 2.1, RFC 2181 11"),
    lenient="all resolvers: any octet is legal in a label",
    example=breaking(DNS_QUERY, ((57, 58),), (57, "03")),
)
def label_octets(dns: Layer, view: View) -> Iterator[Breach]:
    """The labels of a name hold no control characters.

    Any octet is legal, but names are made of what people type; a control character is the mark of
    a damaged one.
    """
    yield from _odd(dns, controls, "control characters")


@rule(
    "dns-label-alphabet",
    layer="dns",
    certainty="unusual",
    source=memory("RFC 1123 2.1, RFC 2181 11"),
    example=breaking(DNS_QUERY, ((57, 58),), (57, "f3")),
)
def label_alphabet(dns: Layer, view: View) -> Iterator[Breach]:
    """The labels of hosts are letters, digits and hyphens; those of services begin with _.

    Names of multicast DNS are free text, and are not looked at.
    """
    udp = view.below(dns)
    ports = (udp.number("source_port"), udp.number("destination_port")) if udp is not None else ()
    if not any(p in _MULTICAST for p in ports):
        yield from _odd(dns, lambda label: beyond(label, _ALPHABET), "other than letters")
