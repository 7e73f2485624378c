"""TFTP: operations, and strings that end (RFC 1350 5, from memory)."""

from __future__ import annotations

from collections.abc import Iterator

from framecheck.core.finding import Breach, memory, rule
from framecheck.core.layer import Layer
from framecheck.core.view import View
from framecheck.judging._examples import breaking, over_udp
from framecheck.judging._measure import lacks
from framecheck.judging._shapes import too_few
from framecheck.judging._tools import at, span_of

_REQUESTS = (1, 2)
_LAST_OPERATION = 6
_MODES = (b"netascii", b"octet", b"mail")
_BASE = over_udp("0001" + b"orchard.cfg\0octet\0".hex(), 49152, 69)


@rule(
    "tftp-incomplete",
    layer="tftp",
    certainty="impossible",
    source=memory("RFC 1350", "5"),
    drops="application",
    example=breaking(over_udp("000300", 49152, 69), ((42, 45),)),
)
def incomplete(tftp: Layer, view: View) -> Iterator[Breach]:
    """An operation has 2 octets, those of a block 2 more."""
    least = 4 if tftp.number("opcode") in (3, 4, 5) else 2
    yield from too_few(tftp, view, least, "a message of its kind has at least")


@rule(
    "tftp-operation-unknown",
    layer="tftp",
    certainty="suspicious",
    source=memory("RFC 1350", "5"),
    drops="application",
    example=breaking(_BASE, ((42, 44),), (42, "0100")),
)
def operation_unknown(tftp: Layer, view: View) -> Iterator[Breach]:
    """The operation is one from 1 to 6; 0100 is 1 with its octets exchanged."""
    number = tftp.number("opcode")
    if number is not None and not 1 <= number <= _LAST_OPERATION:
        swapped = number >> 8 if number & 0xFF == 0 and number >> 8 <= _LAST_OPERATION else None
        yield at(tftp["opcode"], swapped or None, f"operation {number:04x}")


@rule(
    "tftp-request-unfinished",
    layer="tftp",
    certainty="impossible",
    source=memory("RFC 1350", "5"),
    drops="application",
    example=breaking(over_udp("0001" + b"orchard.cfg".hex(), 49152, 69), ((42, 55),)),
)
def request_unfinished(tftp: Layer, view: View) -> Iterator[Breach]:
    """A request names a file and a mode, and a zero octet ends each."""
    if tftp.number("opcode") not in _REQUESTS or lacks(view):
        return
    strings = view.part(tftp.start, tftp.stop)[2:]
    if strings.count(0) < 2 or strings[-1]:
        yield Breach((span_of(tftp),), None, None, "the strings of the request are not ended")


@rule(
    "tftp-mode",
    layer="tftp",
    certainty="suspicious",
    source=memory("RFC 1350", "1"),
    drops="application",
    example=breaking(_BASE, ((56, 62),), (56, "6f6e746574")),
)
def mode(tftp: Layer, view: View) -> Iterator[Breach]:
    """The mode is netascii, octet or mail, in letters of any case."""
    field = tftp.get("mode")
    if field is not None and field.raw.endswith(b"\0"):
        name = field.raw[:-1]
        if name.lower() not in _MODES:
            yield at(field, None, f"a mode of {len(name)} octets that is none of three")
