"""PPP over Ethernet: version, code, session, length, tags (RFC 2516, from memory)."""

from __future__ import annotations

from collections.abc import Iterator

from framecheck.core.finding import Breach, memory, rule
from framecheck.core.layer import Layer
from framecheck.core.view import View
from framecheck.judging._examples import breaking, over_ethernet
from framecheck.judging._shapes import too_few
from framecheck.judging._tools import at, at_all, colons

_HEADER = 6
_SESSION, _OFFER, _INITIATION, _REQUEST, _CONFIRMATION, _TERMINATE = 0, 7, 9, 0x19, 0x65, 0xA7
_OTHERS = frozenset((0x0A, 0x0B, 0x0C, 0xD3, 0xD4))
"""Credits of RFC 5578, and messages of older drafts."""
_CODES = frozenset((_SESSION, _OFFER, _INITIATION, _REQUEST, _CONFIRMATION, _TERMINATE))
_DISCOVERY_TYPE, _SESSION_TYPE = 0x8863, 0x8864
_SERVICE, _CONCENTRATOR = 0x0101, 0x0102
_MUST = {_INITIATION: (_SERVICE,), _OFFER: (_SERVICE, _CONCENTRATOR), _REQUEST: (_SERVICE,)}
_BASE = over_ethernet(_DISCOVERY_TYPE, "11090000000401010000", "ffffffffffff")
_DATA = over_ethernet(_SESSION_TYPE, "11000007000ac0210901000800000000")


@rule(
    "pppoe-incomplete",
    layer="pppoe",
    certainty="impossible",
    source=memory("RFC 2516", "4"),
    drops="application",
    example=breaking(_BASE, ((14, 19),), stop=19),
)
def incomplete(pppoe: Layer, view: View) -> Iterator[Breach]:
    """The header has 6 octets."""
    yield from too_few(pppoe, view, _HEADER, "the header has")


@rule(
    "pppoe-version",
    layer="pppoe",
    certainty="forbidden",
    source=memory("RFC 2516", "4"),
    drops="application",
    example=breaking(_BASE, ((14, 15),), (14, "21")),
)
def version(pppoe: Layer, view: View) -> Iterator[Breach]:
    """Version and type are both 1."""
    for name in ("version", "type"):
        number = pppoe.number(name)
        if number is not None and number != 1:
            yield at(pppoe[name], 1, f"the {name} is {number}, not 1")


@rule(
    "pppoe-code-unknown",
    layer="pppoe",
    certainty="suspicious",
    source=memory("RFC 2516", "5"),
    drops="application",
    example=breaking(_BASE, ((15, 16),), (15, "42")),
)
def code_unknown(pppoe: Layer, view: View) -> Iterator[Breach]:
    """The code is one that the standard names."""
    number = pppoe.number("code")
    if number is not None and number not in _CODES | _OTHERS:
        yield at(pppoe["code"], None, f"code {number:02x} is named by no standard")


@rule(
    "pppoe-code-and-type",
    layer="pppoe",
    certainty="forbidden",
    source=memory("RFC 2516", "4"),
    drops="ethertype-demux",
    example=breaking(_DATA, ((12, 14), (15, 16)), (12, "8863")),
)
def code_and_type(pppoe: Layer, view: View) -> Iterator[Breach]:
    """Data of a session (code 0) have type 8864, everything before it 8863."""
    below, code = view.below(pppoe), pppoe.number("code")
    kind = below.number("type") if below is not None else None
    if below is None or code is None or kind not in (_DISCOVERY_TYPE, _SESSION_TYPE):
        return
    right = _SESSION_TYPE if code == _SESSION else _DISCOVERY_TYPE
    if kind != right and code in _CODES:
        says = f"code {code:02x} belongs to type {right:04x}, not {kind:04x}"
        yield at_all((below["type"], pppoe["code"]), kind, right, says)


@rule(
    "pppoe-length",
    layer="pppoe",
    certainty="impossible",
    source=memory("RFC 2516", "4"),
    drops="application",
    example=breaking(_BASE, ((18, 20),), (18, "0040")),
)
def length(pppoe: Layer, view: View) -> Iterator[Breach]:
    """The length counts what stands behind the header, and that is there."""
    number, left = pppoe.number("length"), pppoe.room - _HEADER
    if number is not None and number > left and not view.cut:
        yield at(pppoe["length"], left, f"the length is {number}, {left} octets follow")


@rule(
    "pppoe-session",
    layer="pppoe",
    certainty="forbidden",
    source=memory("RFC 2516", "5.1 to 5.5, 6"),
    drops="application",
    example=breaking(_BASE, ((16, 18),), (16, "0007")),
)
def session(pppoe: Layer, view: View) -> Iterator[Breach]:
    """There is no session (0) before one is confirmed, and none is numbered 0 or ffff."""
    code, number = pppoe.number("code"), pppoe.number("session_id")
    if code is None or number is None:
        return
    before = code in (_INITIATION, _OFFER, _REQUEST)
    # A refusal confirms session 0.
    if (before and number) or number == 0xFFFF or (code in (_SESSION, _TERMINATE) and not number):
        yield at(pppoe["session_id"], 0 if before else None, f"the session is {number:04x}")


@rule(
    "pppoe-initiation-destination",
    layer="pppoe",
    certainty="forbidden",
    source=memory("RFC 2516", "5.1"),
    lenient="concentrators, which answer all the same",
    example=breaking(_BASE, ((0, 6),), (0, "00005e005302")),
)
def initiation_destination(pppoe: Layer, view: View) -> Iterator[Breach]:
    """Who looks for a concentrator asks everybody; nothing else of this protocol is broadcast."""
    link, code = view.find("ethernet"), pppoe.number("code")
    field = link.get("destination") if link is not None else None
    if field is None or code not in _CODES:
        return
    if (code == _INITIATION) != (field.raw == b"\xff" * 6):
        wanted = "ffffffffffff" if code == _INITIATION else None
        yield at(field, wanted, f"a message with code {code:02x} goes to {colons(field.raw)}")


@rule(
    "pppoe-tag-length",
    layer="pppoe",
    certainty="impossible",
    source=memory("RFC 2516", "5"),
    drops="application",
    example=breaking(_BASE, ((20, 24),), (22, "0009")),
)
def tag_length(pppoe: Layer, view: View) -> Iterator[Breach]:
    """A tag ends within the message."""
    for tag in pppoe.groups if not view.cut else ():
        if not tag.whole:
            says = f"tag {tag.code:04x} claims {tag.missing} octets more than are left"
            yield Breach((tag.span,), tag.code, None, says)


@rule(
    "pppoe-tag-missing",
    layer="pppoe",
    certainty="forbidden",
    source=memory("RFC 2516", "5.1 to 5.3"),
    drops="application",
    example=breaking(_BASE, ((15, 16),), (18, "0000")),
)
def tag_missing(pppoe: Layer, view: View) -> Iterator[Breach]:
    """Who asks names a service (or none, which is any), who offers its own name too."""
    code = pppoe.number("code")
    if code not in _MUST or view.cut or not pppoe.whole("length"):
        return
    codes = {tag.code for tag in pppoe.groups}
    lacking = [f"{tag:04x}" for tag in _MUST[code] if tag not in codes]
    if lacking and all(tag.whole for tag in pppoe.groups):
        says = f"code {code:02x} without tag {' and '.join(lacking)}"
        yield at(pppoe["code"], None, says)
