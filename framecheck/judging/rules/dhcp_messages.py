"""DHCP messages: which goes where, and which options it must or must not carry (RFC 2131).

Left out on purpose: option 61 in answers (RFC 6842 reversed what RFC 2131 forbids), and what
table 5 forbids in DECLINE and RELEASE beside the requested address, which common clients send.
"""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise

from framecheck.core.finding import Breach, practice, rfc, rule
from framecheck.core.layer import Layer
from framecheck.core.span import Span
from framecheck.core.view import View
from framecheck.judging._dhcp import (
    ACK,
    DECLINE,
    DISCOVER,
    FIRST_OPTION,
    INFORM,
    MESSAGE_TYPE,
    NAK,
    NAMES,
    OFFER,
    RELEASE,
    REQUEST,
    options,
)
from framecheck.judging._examples import DISCOVER as DISCOVER_FRAME
from framecheck.judging._examples import OFFER as OFFER_FRAME
from framecheck.judging._examples import breaking
from framecheck.judging._measure import lacks
from framecheck.judging._tools import at_all, dotted

_FROM_CLIENT = (DISCOVER, REQUEST, DECLINE, RELEASE, INFORM)
_NOWHERE, _EVERYBODY = bytes(4), b"\xff" * 4
_LEASE, _SERVER, _T1, _T2 = 51, 54, 58, 59
_FOREVER = 0xFFFFFFFF
_MUST_NOT = {
    50: (OFFER, ACK, NAK, INFORM, RELEASE),
    _LEASE: (INFORM, NAK),
    52: (NAK,),
    _SERVER: (DISCOVER, INFORM),
    55: (OFFER, ACK, NAK),
    57: (OFFER, ACK, NAK),
}
_WITHOUT_51 = "3a04000007083b0400000c4e0104ffffff00ff000000000000"


def _readable(dhcp: Layer, view: View) -> bool:
    """Whether all options can be read, so that one that is absent was not sent."""
    return not lacks(view) and options(dhcp).complete


def _options_span(dhcp: Layer) -> Span:
    """The options; where there are none, the cookie behind which they would stand."""
    first = dhcp.start + FIRST_OPTION * 8
    return Span(first, dhcp.stop) if first < dhcp.stop else dhcp["magic_cookie"].span


def _has(dhcp: Layer, code: int) -> bool:
    return code in options(dhcp).together


@rule(
    "dhcp-message-type-absent",
    layer="dhcp",
    certainty="unusual",
    source=rfc(2131, "3"),
    example=breaking(DISCOVER_FRAME, ((282, 342),), (282, "000000")),
)
def message_type_absent(dhcp: Layer, view: View) -> Iterator[Breach]:
    """Without option 53 this is a message of BOOTP, the older protocol."""
    if _readable(dhcp, view) and not _has(dhcp, MESSAGE_TYPE):
        yield Breach((_options_span(dhcp),), None, None, "no option 53: a message of BOOTP")


@rule(
    "dhcp-message-direction",
    layer="dhcp",
    certainty="forbidden",
    source=rfc(2131, "4.3.1 table 3, 4.4.1 table 5"),
    drops="application",
    example=breaking(OFFER_FRAME, ((42, 43), (282, 285)), (284, "03")),
)
def message_direction(dhcp: Layer, view: View) -> Iterator[Breach]:
    """Clients send DISCOVER, REQUEST, DECLINE, RELEASE and INFORM; servers OFFER, ACK and NAK."""
    kind, op = options(dhcp).message_type, dhcp.number("op")
    if kind is None or not 1 <= kind <= INFORM or op not in (1, 2):
        return
    if (op == 1) != (kind in _FROM_CLIENT):
        who = "a client" if op == 1 else "a server"
        spans = (dhcp["op"].span, *(p.group.span for p in options(dhcp).together[MESSAGE_TYPE]))
        yield Breach(spans, kind, None, f"{who} (op {op}) sends {NAMES[kind]}")


@rule(
    "dhcp-client-address",
    layer="dhcp",
    certainty="forbidden",
    source=rfc(2131, "4.1"),
    example=breaking(DISCOVER_FRAME, ((26, 30), (30, 34)), (26, "c0000209")),
)
def client_address(dhcp: Layer, view: View) -> Iterator[Breach]:
    """A client that has no address sends from 0.0.0.0 to 255.255.255.255."""
    ip, kind = view.find("ipv4"), options(dhcp).message_type
    if ip is None or kind not in (DISCOVER, REQUEST) or dhcp.number("op") != 1:
        return
    if dhcp.number("ciaddr") != 0 or dhcp.number("giaddr") != 0:
        return  # it has one, or a relay sends on its behalf
    source, target = ip["source_address"], ip["destination_address"]
    if target.raw != _EVERYBODY and kind == REQUEST:
        return
    if source.raw != _NOWHERE or target.raw != _EVERYBODY:
        ends = f"from {dotted(source.raw)} to {dotted(target.raw)}"
        says = f"{NAMES[kind]} goes {ends}, not from 0.0.0.0 to 255.255.255.255"
        yield at_all((source, target), f"{source.raw.hex()}{target.raw.hex()}", None, says)


@rule(
    "dhcp-reply-destination",
    layer="dhcp",
    certainty="suspicious",
    source=rfc(2131, "4.1"),
    example=breaking(OFFER_FRAME, ((30, 34), (58, 62)), (30, "c0000209")),
)
def reply_destination(dhcp: Layer, view: View) -> Iterator[Breach]:
    """A reply goes to ciaddr, else to everybody if the client asked for that, else to yiaddr.

    A server may always broadcast. A refusal is always broadcast. A stack that cannot take a
    unicast before it has an address must set the broadcast flag; with the flag set, an answer
    by unicast is lost on it.
    """
    ip, udp, kind = view.find("ipv4"), view.below(dhcp), options(dhcp).message_type
    if ip is None or udp is None or dhcp.number("op") != 2 or kind not in (OFFER, ACK, NAK):
        return
    if dhcp.number("giaddr") != 0 or udp.number("destination_port") != 68:
        return  # a relay takes it from there
    target = ip["destination_address"]
    if target.raw == _EVERYBODY or not dhcp.whole("yiaddr", "flags"):
        return
    if kind == NAK:
        name = None
    elif dhcp.number("ciaddr"):
        name = "ciaddr"
    else:
        name = None if (dhcp.number("flags") or 0) & 0x8000 else "yiaddr"
    if name is None:
        field, wanted = dhcp["flags"], _EVERYBODY
    else:
        field, wanted = dhcp[name], dhcp[name].raw
    if target.raw != wanted:
        why = name or ("a refusal" if kind == NAK else "the broadcast flag")
        says = f"sent to {dotted(target.raw)}; {why} asks for {dotted(wanted)}"
        yield at_all((target, field), target.raw.hex(), wanted.hex(), says)


@rule(
    "dhcp-server-identifier-missing",
    layer="dhcp",
    certainty="forbidden",
    source=rfc(2131, "4.3.1 table 3, 4.4.1 table 5"),
    example=breaking(OFFER_FRAME, ((282, 342),), (285, "330400000e10" + _WITHOUT_51)),
)
def server_identifier_missing(dhcp: Layer, view: View) -> Iterator[Breach]:
    """OFFER, DECLINE and RELEASE name the server (option 54)."""
    kind = options(dhcp).message_type
    if kind in (OFFER, DECLINE, RELEASE) and _readable(dhcp, view) and not _has(dhcp, _SERVER):
        says = f"{NAMES[kind]} without option 54, the server"
        yield Breach((_options_span(dhcp),), None, _SERVER, says)


@rule(
    "dhcp-server-identifier-absent",
    layer="dhcp",
    certainty="suspicious",
    source=rfc(2131, "4.3.1 table 3"),
    lenient="clients that go by RFC 2132 9.7, where it is optional",
    example=breaking(OFFER_FRAME, ((282, 342),), (284, "05"), (285, "330400000e10" + _WITHOUT_51)),
)
def server_identifier_absent(dhcp: Layer, view: View) -> Iterator[Breach]:
    """ACK and NAK name the server (option 54); many clients drop them otherwise."""
    kind = options(dhcp).message_type
    if kind in (ACK, NAK) and _readable(dhcp, view) and not _has(dhcp, _SERVER):
        says = f"{NAMES[kind]} without option 54, the server"
        yield Breach((_options_span(dhcp),), None, _SERVER, says)


@rule(
    "dhcp-lease-time-missing",
    layer="dhcp",
    certainty="forbidden",
    source=rfc(2131, "4.3.1 table 3"),
    example=breaking(OFFER_FRAME, ((282, 342),), (291, _WITHOUT_51)),
)
def lease_time_missing(dhcp: Layer, view: View) -> Iterator[Breach]:
    """OFFER and an ACK that gives an address say for how long (option 51)."""
    kind = options(dhcp).message_type
    # An ACK without an address answers INFORM, and has no lease.
    gives = kind == OFFER or (kind == ACK and bool(dhcp.number("yiaddr")))
    if gives and kind is not None and _readable(dhcp, view) and not _has(dhcp, _LEASE):
        says = f"{NAMES[kind]} without option 51, the lease time"
        yield Breach((_options_span(dhcp),), None, _LEASE, says)


@rule(
    "dhcp-requested-address-missing",
    layer="dhcp",
    certainty="forbidden",
    source=rfc(2131, "4.4.1 table 5"),
    example=breaking(DISCOVER_FRAME, ((282, 342),), (284, "04"), (294, "3604c0000202ff")),
)
def requested_address_missing(dhcp: Layer, view: View) -> Iterator[Breach]:
    """DECLINE says which address it declines (option 50)."""
    if options(dhcp).message_type == DECLINE and _readable(dhcp, view) and not _has(dhcp, 50):
        says = "DECLINE without option 50, the address"
        yield Breach((_options_span(dhcp),), None, 50, says)


@rule(
    "dhcp-option-not-allowed",
    layer="dhcp",
    certainty="forbidden",
    source=rfc(2131, "4.3.1 table 3, 4.4.1 table 5"),
    example=breaking(OFFER_FRAME, ((315, 321),), (315, "3204c000024dff")),
)
def option_not_allowed(dhcp: Layer, view: View) -> Iterator[Breach]:
    """Some options must not stand in some messages.

    A client's wishes (50, 55, 57) have no place in an answer, a lease has none in a refusal.
    """
    kind = options(dhcp).message_type
    if kind is None:
        return
    for option in options(dhcp).parts:
        if kind in _MUST_NOT.get(option.code, ()):
            says = f"{NAMES[kind]} carries option {option.code}, which it must not"
            yield Breach((option.group.span,), option.code, None, says)


@rule(
    "dhcp-times-order",
    layer="dhcp",
    certainty="forbidden",
    source=rfc(2131, "4.4.5"),
    example=breaking(OFFER_FRAME, ((291, 297), (297, 303), (303, 309)), (297, "3a0400000d00")),
)
def times_order(dhcp: Layer, view: View) -> Iterator[Breach]:
    """Renewing (option 58) comes before rebinding (59), and that before the lease's end (51).

    Usual are half and seven eighths of the lease.
    """
    times = [(c, t) for c in (_T1, _T2, _LEASE) if (t := options(dhcp).numbers.get(c)) is not None]
    if len(times) < 2 or any(t == _FOREVER for _, t in times):
        return
    if any(a >= b for (_, a), (_, b) in pairwise(times)):
        codes = [c for c, _ in times]
        spans = tuple(p.group.span for p in options(dhcp).parts if p.code in codes)
        shown = ", ".join(f"option {c} is {t} s" for c, t in times)
        yield Breach(spans, shown, None, f"the times are out of order: {shown}")


@rule(
    "dhcp-client-port-source",
    layer="dhcp",
    certainty="unusual",
    source=practice("clients send from port 68, servers and relays from 67"),
    example=breaking(DISCOVER_FRAME, ((34, 36),), (34, "c000")),
)
def client_port_source(dhcp: Layer, view: View) -> Iterator[Breach]:
    """Messages come from port 67 or 68."""
    udp = view.below(dhcp)
    port = udp.number("source_port") if udp is not None and udp.kind == "udp" else None
    if udp is not None and port is not None and port not in (67, 68):
        yield Breach((udp["source_port"].span,), port, None, f"the source port is {port}")
