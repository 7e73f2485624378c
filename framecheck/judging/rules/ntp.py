"""NTP: version, mode, length, and times that cannot be (RFC 5905 7.3, from memory)."""

from __future__ import annotations

from collections.abc import Iterator

from framecheck.core.finding import Breach, memory, rule
from framecheck.core.layer import Layer
from framecheck.core.view import View
from framecheck.judging._examples import breaking, over_udp
from framecheck.judging._measure import lacks
from framecheck.judging._shapes import too_few
from framecheck.judging._tools import at, at_all, many, there

_HEADER, _CONTROL_HEADER = 48, 12
_CLIENT, _SERVER, _BROADCAST, _CONTROL, _PRIVATE = 3, 4, 5, 6, 7
_LAST_VERSION, _LAST_STRATUM = 4, 16
_SHORTEST_FIELD = 16
_ASKS = over_udp("23" + "00" * 39 + "ec00000000000000", 123, 123)
_ANSWERS = over_udp("240106ec" + "00" * 8 + "47505300" + "ec00000000000000" * 4, 123, 123)


@rule(
    "ntp-incomplete",
    layer="ntp",
    certainty="impossible",
    source=memory("RFC 5905", "7.3"),
    drops="application",
    example=breaking(over_udp("23" + "00" * 30, 123, 123), ((42, 73),)),
)
def incomplete(ntp: Layer, view: View) -> Iterator[Breach]:
    """A message has at least 48 octets, one that controls a server 12 (RFC 9327)."""
    mode = ntp.number("mode")
    if mode != _PRIVATE:
        least = _CONTROL_HEADER if mode == _CONTROL else _HEADER
        yield from too_few(ntp, view, least, "a message has at least")


@rule(
    "ntp-version",
    layer="ntp",
    certainty="suspicious",
    source=memory("RFC 5905", "7.3"),
    drops="application",
    example=breaking(_ASKS, ((42, 43),), (42, "3b")),
)
def version(ntp: Layer, view: View) -> Iterator[Breach]:
    """The version is one from 1 to 4."""
    number = ntp.number("version_number")
    if number is not None and not 1 <= number <= _LAST_VERSION:
        yield at(ntp["version_number"], None, f"the version is {number}")


@rule(
    "ntp-mode-reserved",
    layer="ntp",
    certainty="suspicious",
    source=memory("RFC 5905", "7.3"),
    drops="application",
    lenient="old servers of version 1, which knew no mode",
    example=breaking(_ASKS, ((42, 43),), (42, "20")),
)
def mode_reserved(ntp: Layer, view: View) -> Iterator[Breach]:
    """Mode 0 is reserved; in version 1 there were no modes."""
    if ntp.number("mode") == 0 and ntp.number("version_number") != 1:
        yield at(ntp["mode"], None, "the mode is 0")


@rule(
    "ntp-stratum-reserved",
    layer="ntp",
    certainty="suspicious",
    source=memory("RFC 5905", "7.3"),
    drops="application",
    example=breaking(_ANSWERS, ((43, 44),), (43, "11")),
)
def stratum_reserved(ntp: Layer, view: View) -> Iterator[Breach]:
    """A stratum is at most 16, which is one that is not synchronized."""
    number = ntp.number("stratum")
    if number is not None and number > _LAST_STRATUM:
        yield at(ntp["stratum"], None, f"the stratum is {number}")


@rule(
    "ntp-answer-without-time",
    layer="ntp",
    certainty="suspicious",
    source=memory("RFC 5905", "8"),
    drops="application",
    example=breaking(_ANSWERS, ((82, 90),), (82, "00" * 8)),
)
def answer_without_time(ntp: Layer, view: View) -> Iterator[Breach]:
    """A server that answers says what time it is.

    One that refuses to (stratum 0) may leave it out.
    """
    field = ntp.get("transmit_timestamp")
    says_time = ntp.number("mode") in (_SERVER, _BROADCAST) and ntp.number("stratum")
    if says_time and field is not None and field.whole and not field.number:
        yield at(field, None, "the time at which the answer was sent is 0")


@rule(
    "ntp-leap-and-stratum",
    layer="ntp",
    certainty="unusual",
    source=memory("RFC 5905", "7.3"),
    example=breaking(_ANSWERS, ((42, 43), (43, 44)), (42, "e4")),
)
def leap_and_stratum(ntp: Layer, view: View) -> Iterator[Breach]:
    """A clock that is not synchronized has no stratum of its own, 1 to 15."""
    leap, stratum = ntp.number("leap_indicator"), ntp.number("stratum")
    serves = ntp.number("mode") in (_SERVER, _BROADCAST)
    if serves and leap == 3 and stratum is not None and 1 <= stratum < _LAST_STRATUM:
        fields = (ntp["leap_indicator"], ntp["stratum"])
        yield at_all(fields, stratum, None, f"not synchronized, and of stratum {stratum}")


@rule(
    "ntp-message-length",
    layer="ntp",
    certainty="suspicious",
    source=memory("RFC 7822", "3"),
    example=breaking(over_udp(_ANSWERS[42:].hex() + "0000", 123, 123), ((42, 92),)),
)
def message_length(ntp: Layer, view: View) -> Iterator[Breach]:
    """Whatever follows the header, a message is a multiple of 4 octets."""
    span = there(ntp, view)
    size = (span.stop - span.start) // 8
    tells_time = ntp.number("mode") not in (_CONTROL, _PRIVATE)
    if tells_time and size > _HEADER and size % 4 and not lacks(view):
        yield Breach((span,), size, None, f"{many(size)}, which is no multiple of 4")


@rule(
    "ntp-extension-length",
    layer="ntp",
    certainty="impossible",
    source=memory("RFC 7822", "3"),
    drops="application",
    example=breaking(
        over_udp(_ANSWERS[42:].hex() + "01040022" + "00" * 28, 123, 123), ((90, 122),)
    ),
)
def extension_length(ntp: Layer, view: View) -> Iterator[Breach]:
    """An extension field has at least 16 octets, a multiple of 4, and ends within the message."""
    for field in ntp.groups if not lacks(view) else ():
        length = field.get("length")
        if length is None or not length.whole:
            continue
        if field.missing or length.number < _SHORTEST_FIELD or length.number % 4:
            says = f"an extension field of {length.number} octets"
            yield Breach((field.span,), length.number, None, says)
