"""DHCP: the fixed part of the message (RFC 2131 2, RFC 951)."""

from __future__ import annotations

from collections.abc import Iterator

from framecheck.core.finding import Breach, memory, practice, rfc, rule
from framecheck.core.layer import Layer
from framecheck.core.view import View
from framecheck.judging._dhcp import NAK, options
from framecheck.judging._examples import DISCOVER, OFFER, breaking
from framecheck.judging._measure import lacks
from framecheck.judging._shapes import too_few
from framecheck.judging._tools import at, there

_FIXED = 240
_LEAST = 300


@rule(
    "dhcp-incomplete",
    layer="dhcp",
    certainty="impossible",
    source=rfc(2131, "2"),
    drops="application",
    example=breaking(DISCOVER, ((42, 142),), (16, "0080"), (38, "006c"), stop=142),
)
def incomplete(dhcp: Layer, view: View) -> Iterator[Breach]:
    """A message has 236 octets of fixed fields and 4 of the cookie."""
    yield from too_few(dhcp, view, _FIXED, "the shortest message has")


@rule(
    "dhcp-message-short",
    layer="dhcp",
    certainty="unusual",
    source=memory("RFC 1542", "2.1"),
    lenient="most; some servers and relays silently drop it",
    example=breaking(DISCOVER, ((42, 302),), (16, "0120"), (38, "010c"), stop=302),
)
def message_short(dhcp: Layer, view: View) -> Iterator[Breach]:
    """A message has at least 300 octets, as BOOTP's had; the rest is padded with zeros."""
    if _FIXED <= dhcp.room < _LEAST and not lacks(view):
        says = f"the message has {dhcp.room} octets, at least {_LEAST} are usual"
        yield Breach((there(dhcp, view),), dhcp.room, _LEAST, says)


@rule(
    "dhcp-operation",
    layer="dhcp",
    certainty="forbidden",
    source=rfc(2131, "4.1"),
    drops="application",
    example=breaking(OFFER, ((42, 43), (36, 38)), (42, "01")),
)
def operation(dhcp: Layer, view: View) -> Iterator[Breach]:
    """1 asks and goes to port 67; 2 answers and goes to port 68.

    An answer for a relay (giaddr is set) goes to port 67. Nothing but 1 and 2 is defined.
    """
    op, udp = dhcp.number("op"), view.below(dhcp)
    port = udp.number("destination_port") if udp is not None and udp.kind == "udp" else None
    if op is None or udp is None or port is None:
        return
    relayed = bool(dhcp.number("giaddr"))
    if (op, port) in ((1, 67), (2, 68)) or (op == 2 and port == 67 and relayed):
        return
    spans = (dhcp["op"].span, udp["destination_port"].span)
    yield Breach(spans, op, {67: 1, 68: 2}.get(port), f"op is {op} in a message to port {port}")


@rule(
    "dhcp-hardware-type",
    layer="dhcp",
    certainty="suspicious",
    source=rfc(2131, "2"),
    example=breaking(DISCOVER, ((43, 45),), (43, "06")),
)
def hardware_type(dhcp: Layer, view: View) -> Iterator[Breach]:
    """On Ethernet the hardware type is 1 and its addresses have 6 octets."""
    kind, length = dhcp.number("htype"), dhcp.number("hlen")
    if kind is None or length is None or view.find("ethernet") is None:
        return
    if (kind, length) != (1, 6):
        span = dhcp["htype"].span._replace(stop=dhcp["hlen"].stop)
        says = f"hardware type {kind} with addresses of {length} octets, not 1 with 6"
        yield Breach((span,), f"{kind:02x}{length:02x}", "0106", says)


@rule(
    "dhcp-flags-reserved",
    layer="dhcp",
    certainty="forbidden",
    source=rfc(2131, "2"),
    example=breaking(DISCOVER, ((52, 54),), (52, "8001")),
)
def flags_reserved(dhcp: Layer, view: View) -> Iterator[Breach]:
    """Of the flags only the first is defined (answer by broadcast); the other 15 must be zero."""
    flags = dhcp.number("flags")
    if flags is not None and flags & 0x7FFF:
        yield at(dhcp["flags"], flags & 0x8000, f"the flags are {flags:04x}")


@rule(
    "dhcp-client-given-address",
    layer="dhcp",
    certainty="suspicious",
    source=rfc(2131, "4.4.1 table 5"),
    example=breaking(DISCOVER, ((58, 62),), (58, "c000024d")),
)
def client_given_address(dhcp: Layer, view: View) -> Iterator[Breach]:
    """A client leaves yiaddr, the address that is given to it, zero."""
    if dhcp.number("op") == 1 and dhcp.number("yiaddr"):
        yield at(dhcp["yiaddr"], "00000000", "yiaddr is set in a client's message")


@rule(
    "dhcp-refusal-with-address",
    layer="dhcp",
    certainty="suspicious",
    source=rfc(2131, "4.3.1 table 3"),
    example=breaking(
        OFFER, ((58, 62),), (30, "ffffffff"), (282, "350106"), (291, "ff" + "00" * 30)
    ),
)
def refusal_with_address(dhcp: Layer, view: View) -> Iterator[Breach]:
    """A refusal (NAK) gives no address: yiaddr is zero."""
    if options(dhcp).message_type == NAK and dhcp.number("yiaddr"):
        yield at(dhcp["yiaddr"], "00000000", "yiaddr is set in a refusal")


@rule(
    "dhcp-hardware-address-tail",
    layer="dhcp",
    certainty="unusual",
    source=practice("no standard says what stands behind the address"),
    example=breaking(DISCOVER, ((76, 86),), (76, "a5a5")),
)
def hardware_address_tail(dhcp: Layer, view: View) -> Iterator[Breach]:
    """Behind a hardware address of 6 octets, chaddr is filled up with zeros."""
    field = dhcp.get("chaddr")
    if field is None or not field.whole or dhcp.number("hlen") != 6 or not any(field.raw[6:]):
        return
    span = field.span._replace(start=field.start + 48)
    says = f"chaddr goes on with {field.raw[6:].hex()} behind the address"
    yield Breach((span,), field.raw[6:].hex(), "00" * 10, says)


@rule(
    "dhcp-cookie",
    layer="dhcp",
    certainty="forbidden",
    source=rfc(2131, "3"),
    drops="application",
    example=breaking(OFFER, ((278, 282),), (278, "82636353")),
)
def cookie(dhcp: Layer, view: View) -> Iterator[Breach]:
    """The options begin with the cookie 63 82 53 63.

    82 63 63 53 is the cookie with the octets of each 16-bit word exchanged, 63 53 82 63 that of
    each 32-bit word.
    """
    field = dhcp.get("magic_cookie")
    if field is not None and field.whole and field.raw != b"\x63\x82\x53\x63":
        turned = {b"\x82\x63\x63\x53": 16, b"\x63\x53\x82\x63": 32}.get(field.raw)
        more = f": its octets are exchanged in each {turned}-bit word" if turned else ""
        yield at(field, 0x63825363, f"the cookie is {field.raw.hex()}, not 63825363{more}")
