"""IPv4: version, header length, flags, fragments, time to live (RFC 791)."""

from __future__ import annotations

from collections.abc import Iterator

from framecheck.core.finding import Breach, memory, practice, rfc, rule
from framecheck.core.layer import Layer
from framecheck.core.view import View
from framecheck.judging._examples import ICMP, TCP, UDP, breaking
from framecheck.judging._measure import is_fragment
from framecheck.judging._shapes import too_few
from framecheck.judging._tools import address, at, at_all

_HEADER = 20
_CARRIED = frozenset((1, 2, 6, 17))
_MOST_DATA = 65515
"""Octets of data in the largest datagram: 65535 less the shortest header."""
_START_VALUES = frozenset((1, 32, 60, 64, 128, 255))


@rule(
    "ipv4-version",
    layer="ipv4",
    certainty="impossible",
    source=rfc(1122, "3.2.1.1"),
    drops="ip-version-ihl",
    example=breaking(UDP, ((14, 15),), (14, "65")),
)
def version(ip: Layer, view: View) -> Iterator[Breach]:
    """Behind type 0800 stands version 4.

    A host silently discards any other. 6 would be IPv6, whose type is 86dd.
    """
    number = ip.number("version")
    if number is not None and number != 4:
        yield at(ip["version"], 4, f"the version is {number}, not 4")


@rule(
    "ipv4-header-incomplete",
    layer="ipv4",
    certainty="impossible",
    source=rfc(791, "3.1"),
    drops="ip-version-ihl",
    example=breaking(UDP, ((14, 24),), stop=24),
)
def header_incomplete(ip: Layer, view: View) -> Iterator[Breach]:
    """An IPv4 header has at least 20 octets."""
    yield from too_few(ip, view, _HEADER, "the shortest header has")


@rule(
    "ipv4-ihl-too-small",
    layer="ipv4",
    certainty="impossible",
    source=rfc(791, "3.1"),
    drops="ip-version-ihl",
    example=breaking(UDP, ((14, 15),), (14, "44"), resum=False),
)
def ihl_too_small(ip: Layer, view: View) -> Iterator[Breach]:
    """The header length is at least 5 words of 32 bits."""
    ihl = ip.number("ihl")
    if ihl is not None and ihl < 5:
        yield at(ip["ihl"], 5, f"the header length is {ihl} words, at least 5 are needed")


@rule(
    "ipv4-ihl-beyond-data",
    layer="ipv4",
    certainty="impossible",
    source=rfc(791, "3.1"),
    drops="ip-version-ihl",
    example=breaking(UDP, ((14, 15),), (14, "4f"), stop=60, resum=False),
)
def ihl_beyond_data(ip: Layer, view: View) -> Iterator[Breach]:
    """The header that its length claims must be there."""
    ihl = ip.number("ihl")
    if ihl is not None and ihl * 4 > ip.room >= _HEADER and not view.cut:
        says = f"the header length is {ihl} words, {ip.room} octets are there"
        yield at(ip["ihl"], None, says)


@rule(
    "ipv4-header-checksum-all-ones",
    layer="ipv4",
    certainty="suspicious",
    source=rfc(1624, "3"),
    # The other words of this header sum to FFFF: 0000 is the checksum, FFFF verifies alike.
    example=breaking(UDP, ((24, 26),), (18, "f6c8"), (24, "ffff"), resum=False),
)
def checksum_all_ones(ip: Layer, view: View) -> Iterator[Breach]:
    """A header checksum is never ffff: where the other words sum to ffff, 0000 is sent.

    It verifies all the same. Routers that update checksums by the rule of RFC 1141 leave it.
    """
    if ip.number("header_checksum") == 0xFFFF and _holds(view, ip):
        yield at(ip["header_checksum"], 0, "the header checksum is ffff where 0000 is right")


def _holds(view: View, ip: Layer) -> bool:
    place = ip["header_checksum"].span
    return any(v.field == place and v.outcome == "match" for v in view.verdicts)


@rule(
    "ipv4-reserved-flag",
    layer="ipv4",
    certainty="forbidden",
    source=rfc(791, "3.1"),
    lenient="common hosts, which ignore it",
    example=breaking(UDP, ((20, 21),), (20, "8000")),
)
def reserved_flag(ip: Layer, view: View) -> Iterator[Breach]:
    """The first of the three flags is reserved and must be zero."""
    if ip.number("reserved_flag"):
        yield at(ip["reserved_flag"], 0, "the reserved flag is set")


@rule(
    "ipv4-fragment-contradiction",
    layer="ipv4",
    certainty="suspicious",
    source=rfc(791, "3.1"),
    example=breaking(ICMP, ((20, 21),), (20, "6000")),
)
def fragment_contradiction(ip: Layer, view: View) -> Iterator[Breach]:
    """What must not be fragmented is no fragment.

    "Don't fragment" together with "more fragments" or an offset contradicts itself.
    """
    if not ip.number("dont_fragment") or not ip.whole("fragment_offset"):
        return
    for name in ("more_fragments", "fragment_offset"):
        if ip.number(name):
            span = ip["dont_fragment"].span._replace(stop=ip[name].stop)
            says = f'"don\'t fragment" is set, and so is {name.replace("_", " ")}'
            yield Breach((span,), ip[name].value, 0, says)
            return


@rule(
    "ipv4-fragment-length",
    layer="ipv4",
    certainty="impossible",
    source=rfc(791, "3.2"),
    drops="reassembly",
    example=breaking(UDP, ((16, 18), (20, 21)), (20, "2000")),
)
def fragment_length(ip: Layer, view: View) -> Iterator[Breach]:
    """The data of every fragment but the last is a multiple of 8 octets.

    Offsets count in units of 8, so that nothing could follow it without a gap.
    """
    total, ihl = ip.number("total_length"), ip.number("ihl")
    if total is None or ihl is None or not ip.number("more_fragments"):
        return
    data = total - ihl * 4
    if data % 8 and data > 0:
        says = f"more fragments follow {data} octets of data, which is no multiple of 8"
        yield at_all((ip["total_length"], ip["more_fragments"]), data, None, says)


@rule(
    "ipv4-fragment-beyond-end",
    layer="ipv4",
    certainty="impossible",
    source=rfc(791, "3.2"),
    drops="reassembly",
    example=breaking(ICMP, ((16, 18), (20, 22)), (20, "1fff")),
)
def fragment_beyond_end(ip: Layer, view: View) -> Iterator[Breach]:
    """A fragment ends within the largest datagram there is, 65535 octets with its header."""
    total, ihl, offset = (ip.number(n) for n in ("total_length", "ihl", "fragment_offset"))
    if total is None or ihl is None or not offset:
        return
    end = offset * 8 + max(0, total - ihl * 4)
    if end > _MOST_DATA:
        says = f"the fragment ends at octet {end} of the data, at most {_MOST_DATA} can be"
        yield at_all((ip["total_length"], ip["fragment_offset"]), end, _MOST_DATA, says)


@rule(
    "ipv4-time-to-live-zero",
    layer="ipv4",
    certainty="forbidden",
    source=rfc(1122, "3.2.1.7"),
    lenient="hosts, which must not drop a datagram for it",
    example=breaking(UDP, ((22, 23),), (22, "00")),
)
def time_to_live_zero(ip: Layer, view: View) -> Iterator[Breach]:
    """A datagram must not be sent with a time to live of 0."""
    if ip.number("time_to_live") == 0:
        yield at(ip["time_to_live"], None, "the time to live is 0")


@rule(
    "ipv4-time-to-live-unusual",
    layer="ipv4",
    certainty="unusual",
    source=practice("start values of common stacks"),
    example=breaking(UDP, ((22, 23),), (22, "3f")),
)
def time_to_live_unusual(ip: Layer, view: View) -> Iterator[Breach]:
    """Between neighbours the time to live is still a start value: 1, 32, 60, 64, 128 or 255.

    Only looked at where both addresses agree in their first three numbers.
    """
    number = ip.number("time_to_live")
    source, target = address(ip, "source_address"), address(ip, "destination_address")
    if not number or number in _START_VALUES or source is None or target is None:
        return
    if source[:3] == target[:3]:
        yield at(ip["time_to_live"], None, f"the time to live is {number}, between neighbours")


@rule(
    "ipv4-congestion-experienced",
    layer="ipv4",
    certainty="unusual",
    source=rfc(3168, "5"),
    example=breaking(UDP, ((15, 16),), (15, "03")),
)
def congestion_experienced(ip: Layer, view: View) -> Iterator[Breach]:
    """A router on the way marked the datagram: it saw congestion. Rare on a quiet bench."""
    if ip.number("explicit_congestion_notification") == 3:
        says = "both bits of the congestion notification are set"
        yield at(ip["explicit_congestion_notification"], None, says)


@rule(
    "ipv4-code-point-local",
    layer="ipv4",
    certainty="unusual",
    source=rfc(2474, "6"),
    example=breaking(UDP, ((15, 16),), (15, "0c")),
)
def code_point_local(ip: Layer, view: View) -> Iterator[Breach]:
    """Code points that end in 1 are for experiments and local use; no standard assigns them."""
    number = ip.number("differentiated_services_code_point")
    if number is not None and number & 1:
        says = f"the code point is {number}, which no standard assigns"
        yield at(ip["differentiated_services_code_point"], None, says)


@rule(
    "ipv4-protocol-absent",
    layer="ipv4",
    certainty="impossible",
    source=rfc(791, "3.1"),
    drops="transport-length",
    example=breaking(UDP, ((16, 18), (23, 24)), (16, "0014"), (34, "00" * 26)),
)
def protocol_absent(ip: Layer, view: View) -> Iterator[Breach]:
    """What the protocol field announces begins within the total length."""
    total, ihl, number = (ip.number(n) for n in ("total_length", "ihl", "protocol"))
    empty = total is not None and ihl is not None and total == ihl * 4 == (ip.stop - ip.start) // 8
    if empty and number in _CARRIED and not is_fragment(ip, view):
        says = f"protocol {number} is announced, and the total length leaves no octet for it"
        yield at_all((ip["total_length"], ip["protocol"]), total, None, says)


@rule(
    "ipv4-protocol-unassigned",
    layer="ipv4",
    certainty="suspicious",
    source=memory("protocol numbers", "unassigned up to 252, 255 reserved"),
    drops="protocol-demux",
    example=breaking(TCP, ((23, 24),), (23, "c8")),
)
def protocol_unassigned(ip: Layer, view: View) -> Iterator[Breach]:
    """The protocol is one that has been assigned to somebody.

    A host answers an unknown one with ICMP 3/2 (RFC 1122 3.2.2.1), the only drop at this height
    that shows on the wire.
    """
    number = ip.number("protocol")
    if number is not None and (160 <= number <= 252 or number == 255):
        yield at(ip["protocol"], None, f"protocol {number} is assigned to nobody")
