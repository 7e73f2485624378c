"""What the rules of LCP and IPCP share (RFC 1661 5 and 6, from memory)."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from framecheck.core.finding import Breach, Rule, memory, rule
from framecheck.core.layer import Layer
from framecheck.core.view import View
from framecheck.judging._examples import breaking, over_ethernet
from framecheck.judging._tools import at, many, there

_HEADER = 4
Bounds = Mapping[int, tuple[int, int]]
"""Least and most octets of an option, code and length counted; a most of 0: no bound."""


def in_session(protocol: int, packet: str) -> bytes:
    """A frame with a packet of PPP in a session; it begins at octet 22."""
    size = 2 + len(packet) // 2
    return over_ethernet(0x8864, f"11000007{size:04x}{protocol:04x}{packet}")


def packet_rules(
    kind: str, name: str, protocol: int, last_code: int, sizes: Bounds, example: str
) -> tuple[Rule, Rule, Rule, Rule]:
    """The rules of a control protocol: its length, its code, its options' lengths and sizes.

    ``name``: the protocol in a sentence; ``protocol``: its number in PPP; ``last_code``: the
    largest code that it has; ``sizes``: of options; ``example``: an option of 6 octets that it
    has, in hex.
    """
    base = in_session(protocol, "0101000a" + example)

    @rule(
        f"{kind}-length",
        layer=kind,
        certainty="impossible",
        source=memory("RFC 1661", "5"),
        drops="application",
        example=breaking(base, ((24, 26),), (24, "0040")),
    )
    def length(packet: Layer, view: View) -> Iterator[Breach]:
        """The length counts the whole packet, its four first octets included, and that is there.

        A host silently discards any other.
        """
        number = packet.number("length")
        if view.cut:
            return
        if number is None:
            says = f"{many(packet.room)}, the shortest packet of {name} has {_HEADER}"
            yield Breach((there(packet, view),), packet.room, _HEADER, says)
        elif not _HEADER <= number <= packet.room:
            says = f"the length is {number}, {packet.room} octets are there"
            yield at(packet["length"], packet.room, says)

    @rule(
        f"{kind}-code-unknown",
        layer=kind,
        certainty="suspicious",
        source=memory("RFC 1661", "5"),
        drops="application",
        example=breaking(base, ((22, 23),), (22, "63")),
    )
    def code_unknown(packet: Layer, view: View) -> Iterator[Breach]:
        """The code is one that the protocol has; any other is answered with a code-reject."""
        number = packet.number("code")
        if number is not None and not 1 <= number <= last_code:
            yield at(packet["code"], None, f"{name} has no code {number}")

    @rule(
        f"{kind}-option-length",
        layer=kind,
        certainty="impossible",
        source=memory("RFC 1661", "6"),
        drops="application",
        example=breaking(base, ((26, 32),), (27, "09")),
    )
    def option_length(packet: Layer, view: View) -> Iterator[Breach]:
        """An option's length counts its two first octets and ends within the packet."""
        for option in packet.groups if not view.cut else ():
            number = option.length.number if option.length and option.length.whole else None
            if option.missing or number is None or number < 2:
                left = many((option.stop - option.start) // 8)
                says = f"option {option.code} has a length of {number}, {left} can be its own"
                yield Breach((option.span,), number, None, says)

    @rule(
        f"{kind}-option-size",
        layer=kind,
        certainty="impossible",
        source=memory("RFC 1661 6, RFC 1662 7, RFC 1332 3, RFC 1877"),
        lenient="hosts, which refuse the option",
        example=breaking(in_session(protocol, "01010009" + f"{example[:2]}05000000"), ((26, 31),)),
    )
    def option_size(packet: Layer, view: View) -> Iterator[Breach]:
        """Each kind of option has its own length."""
        for option in packet.groups:
            number = option.length.number if option.length and option.whole else None
            least, most = sizes.get(option.code, (2, 0))
            if number is not None and number >= 2 and not least <= number <= (most or 255):
                says = f"option {option.code} has a length of {number}, which it cannot have"
                yield Breach((option.span,), number, None, says)

    return length, code_unknown, option_length, option_size
