"""Records of DNS: the lengths of their data, their time to live, EDNS (RFC 1035 3.2, RFC 6891)."""

from __future__ import annotations

from collections.abc import Iterator

from framecheck.core.finding import Breach, memory, rfc, rule
from framecheck.core.layer import Layer
from framecheck.core.view import View
from framecheck.judging._dns import OPT, faults, records
from framecheck.judging._examples import DNS_ANSWER, DNS_QUERY, breaking, over_udp
from framecheck.judging._tools import at

_SIZES = {1: 4, 28: 16}
_TEXT = 16
_INTERNET = (1, 0x8001)
_LONGEST_TIME = 0x7FFFFFFF
_HEAD = "123481800001000100000000" + DNS_QUERY[54:].hex() + "c00c"


@rule(
    "dns-address-length",
    layer="dns",
    certainty="impossible",
    source=rfc(1035, "3.4.1"),
    drops="application",
    example=breaking(over_udp(_HEAD + "0001000100000e100005c000024d01", 53, 49152), ((91, 93),)),
)
def address_length(dns: Layer, view: View) -> Iterator[Breach]:
    """An address record has 4 octets, one for IPv6 has 16 (RFC 3596).

    Where a zone is changed there may be none (RFC 2136).
    """
    if dns.number("opcode") == 5:
        return
    for record in records(dns):
        length, wanted = record.get("rdlength"), _SIZES.get(record.code)
        class_ = record.get("class")
        inside = class_ is not None and class_.whole and class_.number in _INTERNET
        if not inside or wanted is None or length is None or not length.whole:
            continue
        if length.number != wanted:
            says = f"an address of {length.number} octets, {wanted} are right"
            yield at(length, wanted, says)


@rule(
    "dns-record-data",
    layer="dns",
    certainty="impossible",
    source=rfc(1035, "3.3"),
    drops="application",
    example=breaking(over_udp(_HEAD + "0005000100000e10000209c0", 53, 49152), ((93, 95),)),
)
def record_data(dns: Layer, view: View) -> Iterator[Breach]:
    """The name, or the strings, in a record's data end with the data."""
    ends = {f.span for f in faults(dns, view) if f.kind == "end"}
    for record in records(dns):
        data = record.get("rdata") or record.get("txt_data")
        if data is None or not data.whole:
            continue
        inside = any(data.start <= s.start and s.stop <= data.stop for s in ends)
        if inside or (record.code == _TEXT and _overruns(data.raw)):
            says = f"data of {len(data.raw)} octets end inside what they hold"
            yield Breach((data.span,), data.raw[:32].hex(), None, says)


def _overruns(strings: bytes) -> bool:
    """Whether the last of some character strings leads past the end (RFC 1035 3.3)."""
    at_ = 0
    while at_ < len(strings):
        at_ += 1 + strings[at_]
    return at_ > len(strings)


@rule(
    "dns-time-to-live",
    layer="dns",
    certainty="suspicious",
    source=memory("RFC 2181", "8"),
    lenient="all hosts: they take it for 0",
    example=breaking(DNS_ANSWER, ((87, 91),), (87, "80")),
)
def time_to_live(dns: Layer, view: View) -> Iterator[Breach]:
    """The first bit of a time to live is zero: 68 years at most."""
    for record in records(dns):
        field = record.get("ttl")
        if record.code == OPT or field is None or not field.whole:
            continue
        if field.number > _LONGEST_TIME:
            yield at(field, None, f"the time to live is {field.number} s")


@rule(
    "dns-extension",
    layer="dns",
    certainty="forbidden",
    source=memory("RFC 6891", "6.1.1 and 6.1.2"),
    drops="application",
    example=breaking(
        over_udp(
            "123401000001000000000002" + DNS_QUERY[54:].hex() + "00002904d0000000000000" * 2,
            49152,
            53,
        ),
        ((92, 103),),
    ),
)
def extension(dns: Layer, view: View) -> Iterator[Breach]:
    """The pseudo-record of EDNS stands at most once, among the additional ones, at the root."""
    seen = False
    for record in records(dns):
        if record.code != OPT or record.get("type") is None:
            continue
        name = record.fields[0]
        if seen or record.name != "additional" or name.raw != b"\0":
            says = "a second record of EDNS" if seen else "a record of EDNS in the wrong place"
            yield Breach((record.span,), None, None, says)
        seen = True
