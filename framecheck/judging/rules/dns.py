"""DNS: the header, its counts, and the names in a message (RFC 1035 4.1)."""

from __future__ import annotations

from collections.abc import Iterator

from framecheck.core.finding import Breach, memory, practice, rfc, rule
from framecheck.core.layer import Layer
from framecheck.core.view import View
from framecheck.judging._dns import HEADER, OPT, faults, filled, records, unfilled
from framecheck.judging._examples import DNS_ANSWER, DNS_QUERY, breaking, over_udp
from framecheck.judging._measure import carrier, lacks
from framecheck.judging._shapes import too_few
from framecheck.judging._tools import at, many, there

_PORT, _MULTICAST_PORT = 53, 5353
_OPERATIONS = (0, 4, 5)
_MOST_PLAIN = 512


def _port(dns: Layer, view: View) -> int | None:
    """Which of the two ports is the service's: that of DNS, or those of the link's own names."""
    udp = view.below(dns)
    if udp is None or udp.kind != "udp":
        return None
    ports = udp.number("destination_port"), udp.number("source_port")
    return next((p for p in (_PORT, _MULTICAST_PORT) if p in ports), None)


@rule(
    "dns-incomplete",
    layer="dns",
    certainty="impossible",
    source=rfc(1035, "4.1.1"),
    drops="application",
    example=breaking(over_udp("1234010000010000", 49152, 53), ((42, 50),)),
)
def incomplete(dns: Layer, view: View) -> Iterator[Breach]:
    """A message has at least its header of 12 octets."""
    yield from too_few(dns, view, HEADER, "the header has")


@rule(
    "dns-reserved-bit",
    layer="dns",
    certainty="suspicious",
    source=rfc(1035, "4.1.1"),
    lenient="common servers, which ignore it",
    example=breaking(DNS_QUERY, ((45, 46),), (45, "40")),
)
def reserved_bit(dns: Layer, view: View) -> Iterator[Breach]:
    """The bit Z is reserved and zero; the two behind it got meanings later (RFC 4035)."""
    if dns.number("z"):
        yield at(dns["z"], 0, "the reserved bit is set")


@rule(
    "dns-operation-unusual",
    layer="dns",
    certainty="unusual",
    source=rfc(1035, "4.1.1"),
    example=breaking(DNS_QUERY, ((44, 45),), (44, "11")),
)
def operation_unusual(dns: Layer, view: View) -> Iterator[Breach]:
    """Questions are asked (0), zones are announced (4) and changed (5); little else is seen."""
    number = dns.number("opcode")
    if number is not None and number not in _OPERATIONS:
        yield at(dns["opcode"], None, f"operation {number}")


@rule(
    "dns-query-response-code",
    layer="dns",
    certainty="suspicious",
    source=rfc(1035, "4.1.1"),
    lenient="common servers, which do not look",
    example=breaking(DNS_QUERY, ((45, 46),), (45, "03")),
)
def query_response_code(dns: Layer, view: View) -> Iterator[Breach]:
    """Only a response has a response code."""
    number = dns.number("rcode")
    if number and dns.number("qr") == 0:
        yield at(dns["rcode"], 0, f"a query with response code {number}")


@rule(
    "dns-question-count",
    layer="dns",
    certainty="unusual",
    source=practice("servers answer one question a message"),
    example=breaking(
        over_udp("123401000002000000000000" + DNS_QUERY[54:].hex() * 2, 49152, 53), ((46, 48),)
    ),
)
def question_count(dns: Layer, view: View) -> Iterator[Breach]:
    """A query has one question; on the own link (mDNS) it may have more, or none."""
    number = dns.number("qdcount")
    asks = dns.number("qr") == 0 and dns.number("opcode") == 0 and _port(dns, view) == _PORT
    if asks and number is not None and number != 1:
        yield at(dns["qdcount"], 1, f"{number} questions")


@rule(
    "dns-label-reserved",
    layer="dns",
    certainty="impossible",
    source=rfc(1035, "4.1.4"),
    drops="application",
    example=breaking(DNS_QUERY, ((60, 61),), (60, "47")),
)
def label_reserved(dns: Layer, view: View) -> Iterator[Breach]:
    """A label begins with 00 and its length, a pointer with 11; 01 and 10 are reserved."""
    for found in faults(dns, view):
        if found.kind == "label":
            octet = view.part(found.span.start, found.span.stop)[0]
            yield Breach((found.span,), octet, None, found.says)


@rule(
    "dns-name-too-long",
    layer="dns",
    certainty="impossible",
    source=rfc(1035, "2.3.4"),
    drops="application",
    example=breaking(
        over_udp("123401000001000000000000" + ("3f" + "61" * 63) * 4 + "0000010001", 49152, 53),
        ((54, 247),),
    ),
)
def name_too_long(dns: Layer, view: View) -> Iterator[Breach]:
    """A name has at most 255 octets, its length octets and its pointers' targets counted."""
    for found in faults(dns, view):
        if found.kind == "long":
            yield Breach((found.span,), None, 255, found.says)


@rule(
    "dns-pointer",
    layer="dns",
    certainty="impossible",
    source=rfc(1035, "4.1.4"),
    drops="application",
    example=breaking(DNS_ANSWER, ((81, 83),), (81, "c027")),
)
def pointer(dns: Layer, view: View) -> Iterator[Breach]:
    """A pointer leads to a prior place in the message, behind its header.

    One that leads forward, or to itself, would let a reader go round for ever.
    """
    for found in faults(dns, view):
        if found.kind == "pointer":
            digits = view.part(found.span.start, found.span.stop).hex()
            yield Breach((found.span,), digits, None, found.says)


@rule(
    "dns-counts-unfilled",
    layer="dns",
    certainty="impossible",
    source=rfc(1035, "4.1"),
    drops="application",
    example=breaking(DNS_ANSWER, ((48, 50),), (48, "0002")),
)
def counts_unfilled(dns: Layer, view: View) -> Iterator[Breach]:
    """Each section has as many items as its count says.

    A message that was truncated, and says so, is left alone.
    """
    short = unfilled(dns)
    if short is None or lacks(view) or dns.number("tc"):
        return
    if all(found.kind == "end" for found in faults(dns, view)):
        count, wanted, found_there = short
        says = f"{count} is {wanted}, {found_there} can be read"
        yield at(dns[count], found_there, says)


@rule(
    "dns-octets-left-over",
    layer="dns",
    certainty="suspicious",
    source=rfc(1035, "4.1"),
    lenient="common hosts, which read what the counts say",
    example=breaking(over_udp(DNS_QUERY[42:].hex() + "a5a5", 49152, 53), ((81, 83),)),
)
def octets_left_over(dns: Layer, view: View) -> Iterator[Breach]:
    """The message ends where its last record does."""
    rest = dns.get("unparsed")
    if rest is not None and filled(dns) and not dns.number("tc"):
        left = many((rest.stop - rest.start) // 8)
        yield Breach((rest.span,), rest.raw[:32].hex(), None, f"{left} behind the last record")


@rule(
    "dns-long-without-extension",
    layer="dns",
    certainty="suspicious",
    source=rfc(1035, "4.2.1"),
    lenient="common hosts, which take what fits their buffer",
    example=breaking(
        over_udp(
            "123481800001001f00000000"
            + DNS_QUERY[54:].hex()
            + "c00c0001000100000e100004c000024d" * 31,
            53,
            49152,
        ),
        ((42, 577),),
    ),
)
def long_without_extension(dns: Layer, view: View) -> Iterator[Breach]:
    """Over UDP a message has at most 512 octets, unless both ends know EDNS (RFC 6891)."""
    span = there(dns, view)
    size = (span.stop - span.start) // 8
    plain = filled(dns) and all(g.code != OPT for g in records(dns))
    if size > _MOST_PLAIN and plain and _port(dns, view) == _PORT:
        says = f"{size} octets without EDNS, {_MOST_PLAIN} can be"
        yield Breach((span,), size, _MOST_PLAIN, says)


@rule(
    "dns-multicast-hops",
    layer="dns",
    certainty="unusual",
    source=memory("RFC 6762", "11"),
    example=breaking(
        over_udp("000000000001000000000000" + DNS_QUERY[54:].hex(), 5353, 5353),
        ((22, 23),),
        (0, "01005e0000fb"),
        (30, "e00000fb"),
    ),
)
def multicast_hops(dns: Layer, view: View) -> Iterator[Breach]:
    """What is said to the link's own group has a time to live of 255, and was not forwarded."""
    udp = view.below(dns)
    ip = carrier(udp, view) if udp is not None else None
    if ip is None or udp is None or udp.number("destination_port") != _MULTICAST_PORT:
        return
    name = "time_to_live" if ip.kind == "ipv4" else "hop_limit"
    number = ip.number(name)
    if number is not None and number != 255:
        yield at(ip[name], 255, f"the {name.replace('_', ' ')} is {number}, not 255")
