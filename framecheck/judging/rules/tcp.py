"""TCP: the data offset, reserved bits, flags that contradict each other (RFC 9293)."""

from __future__ import annotations

from collections.abc import Iterator

from framecheck.core.finding import Breach, practice, rfc, rule
from framecheck.core.layer import Layer
from framecheck.core.view import View
from framecheck.judging._examples import TCP, breaking
from framecheck.judging._measure import carrier, lacks
from framecheck.judging._shapes import too_few
from framecheck.judging._tools import at, at_all, is_group, printed

_HEADER = 20


@rule(
    "tcp-header-incomplete",
    layer="tcp",
    certainty="impossible",
    source=rfc(9293, "3.1"),
    drops="transport-length",
    example=breaking(TCP, ((34, 46),), (16, "0020"), (46, "00" * 28)),
)
def header_incomplete(tcp: Layer, view: View) -> Iterator[Breach]:
    """A TCP header has at least 20 octets."""
    yield from too_few(tcp, view, _HEADER, "the shortest header has")


@rule(
    "tcp-data-offset-too-small",
    layer="tcp",
    certainty="impossible",
    source=rfc(9293, "3.1"),
    drops="transport-length",
    example=breaking(TCP, ((46, 47),), (46, "40")),
)
def data_offset_too_small(tcp: Layer, view: View) -> Iterator[Breach]:
    """The data offset is at least 5 words of 32 bits."""
    offset = tcp.number("data_offset")
    if offset is not None and offset < 5:
        yield at(tcp["data_offset"], 5, f"the data offset is {offset} words, at least 5 are needed")


@rule(
    "tcp-data-offset-beyond-segment",
    layer="tcp",
    certainty="impossible",
    source=rfc(9293, "3.1"),
    drops="transport-length",
    example=breaking(TCP, ((46, 47),), (46, "f0")),
)
def data_offset_beyond_segment(tcp: Layer, view: View) -> Iterator[Breach]:
    """The header that the data offset claims must be there.

    A host discards the segment without counting anything.
    """
    offset = tcp.number("data_offset")
    if offset is not None and offset * 4 > tcp.room >= _HEADER and not lacks(view):
        says = f"the data offset is {offset} words, the segment has {tcp.room} octets"
        yield at(tcp["data_offset"], None, says)


@rule(
    "tcp-reserved-bits",
    layer="tcp",
    certainty="suspicious",
    source=rfc(9293, "3.1"),
    lenient="all hosts: the bits are ignored when received",
    example=breaking(TCP, ((46, 47),), (46, "a8")),
)
def reserved_bits(tcp: Layer, view: View) -> Iterator[Breach]:
    """The reserved bits are zero when sent.

    The lowest of the four is left alone: stacks that count congestion marks exactly set it
    (from memory: RFC 3540, later RFC 9768).
    """
    bits = tcp.number("reserved")
    if bits is not None and bits & 0b1110:
        yield at(tcp["reserved"], 0, f"the reserved bits are {bits:04b}")


@rule(
    "tcp-flags-contradict",
    layer="tcp",
    certainty="suspicious",
    source=practice("follows from RFC 9293 3.10.7"),
    drops="port",
    lenient="small stacks, which open a connection for SYN with FIN",
    example=breaking(TCP, ((47, 48),), (47, "03")),
)
def flags_contradict(tcp: Layer, view: View) -> Iterator[Breach]:
    """No stack opens and closes at once, or sends data or an end without acknowledging.

    SYN with FIN or RST, no flag at all, and FIN, PSH or URG without ACK are met with silence.
    """
    names = ("cwr", "ece", "urg", "ack", "psh", "rst", "syn", "fin")
    if not tcp.whole("fin"):
        return
    on = {n for n in names if tcp.number(n)}
    if "syn" in on and on & {"fin", "rst"}:
        what = " and ".join(n.upper() for n in names if n in on & {"syn", "fin", "rst"})
    elif not on:
        what = "no flag"
    elif "ack" not in on and "syn" not in on and on & {"fin", "psh", "urg"}:
        what = " and ".join(n.upper() for n in names if n in on) + " without ACK"
    else:
        return
    span = tcp["cwr"].span._replace(stop=tcp["fin"].stop)
    yield Breach((span,), what, None, f"the flags say {what}")


@rule(
    "tcp-opening-pushes",
    layer="tcp",
    certainty="suspicious",
    source=practice("stacks open with SYN alone, and its marks of congestion"),
    lenient="common hosts, which accept",
    example=breaking(TCP, ((47, 48),), (47, "0a")),
)
def opening_pushes(tcp: Layer, view: View) -> Iterator[Breach]:
    """The first segment of a connection has nothing to push, and nothing urgent."""
    if (
        tcp.number("syn")
        and tcp.number("ack") == 0
        and not (tcp.number("fin") or tcp.number("rst"))
    ):
        on = [n for n in ("urg", "psh") if tcp.number(n)]
        if on:
            what = " and ".join(n.upper() for n in on)
            yield at_all(tuple(tcp[n] for n in on), what, None, f"SYN comes with {what}")


@rule(
    "tcp-acknowledgment-stale",
    layer="tcp",
    certainty="unusual",
    source=rfc(9293, "3.1"),
    example=breaking(TCP, ((42, 46),), (42, "05060708")),
)
def acknowledgment_stale(tcp: Layer, view: View) -> Iterator[Breach]:
    """Without ACK the acknowledgment number says nothing, and is usually zero."""
    if tcp.number("ack") == 0 and tcp.number("acknowledgment_number"):
        field = tcp["acknowledgment_number"]
        yield at(field, 0, f"ACK is clear, the acknowledgment number is {field.number}")


@rule(
    "tcp-urgent-pointer-stale",
    layer="tcp",
    certainty="unusual",
    source=rfc(9293, "3.1"),
    example=breaking(TCP, ((52, 54),), (52, "0009")),
)
def urgent_pointer_stale(tcp: Layer, view: View) -> Iterator[Breach]:
    """Without URG the urgent pointer says nothing, and is usually zero."""
    if tcp.number("urg") == 0 and tcp.number("urgent_pointer"):
        field = tcp["urgent_pointer"]
        yield at(field, 0, f"URG is clear, the urgent pointer is {field.number}")


@rule(
    "tcp-opening-to-many",
    layer="tcp",
    certainty="forbidden",
    source=rfc(9293, "MUST-57"),
    drops="source-destination-address",
    example=breaking(TCP, ((30, 34), (47, 48)), (0, "01005e000005"), (30, "e0000005")),
)
def opening_to_many(tcp: Layer, view: View) -> Iterator[Breach]:
    """Nobody opens a connection to a broadcast or a group.

    A host must silently discard such a SYN (also RFC 1122 4.2.3.10).
    """
    ip = carrier(tcp, view)
    target = ip.get("destination_address") if ip is not None else None
    if target is None or not target.whole or not tcp.number("syn"):
        return
    if is_group(target.raw) or target.raw == b"\xff" * 4:
        says = f"a SYN goes to {printed(target.raw)}"
        yield at_all((target, tcp["syn"]), target.raw.hex(), None, says)
