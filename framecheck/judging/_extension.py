"""What rules of IPv6 extension headers share: lengths of headers and of the options in them."""

from __future__ import annotations

from collections.abc import Iterator

from framecheck.core.finding import Breach, Rule, memory, rfc, rule
from framecheck.core.layer import Group, Layer
from framecheck.core.span import Span
from framecheck.core.view import View
from framecheck.judging._examples import ECHO_IPV6, breaking, over_ipv6
from framecheck.judging._tools import at, many, span_of

PAD1, PADN = 0, 1
_MOST_PADDING = 7
_SIZES = {"ipv6-hop-by-hop": {5: 2, 0xC2: 4}, "ipv6-destination-options": {0xC9: 16}}
"""Octets of router alert and jumbo payload; of the home address."""
_KNOWN = frozenset(
    (0, 1, 4, 5, 7, 8, 0x11, 0x1E, 0x23, 0x26, 0x30, 0x31, 0x3E, 0x5E, 0x63, 0x6D, 0x7E)
) | frozenset((0x8A, 0x8B, 0x8C, 0x9E, 0xBE, 0xC2, 0xC9, 0xDE, 0xEE, 0xFE))


def claimed(header: Layer) -> int | None:
    """Octets of an extension header as its length says: eights, the first not counted."""
    length = header.number("hdr_ext_len")
    return None if length is None else length * 8 + 8


def too_long(header: Layer, view: View) -> Iterator[Breach]:
    """The breach that an extension header is whose length leads past the payload."""
    size = claimed(header)
    if view.cut:
        return
    if size is None:
        says = f"{many(header.room)}, an extension header has at least 8"
        yield Breach((span_of(header),), header.room, 8, says)
    elif size > header.room:
        says = f"the header claims {size} octets, {header.room} are there"
        yield at(header["hdr_ext_len"], None, says)


def options(header: Layer) -> tuple[Group, ...]:
    """The options of a header that is all there, none of any other."""
    size = claimed(header)
    return header.groups if size is not None and size <= header.room else ()


def _bad_lengths(header: Layer) -> Iterator[Breach]:
    """Options whose length leads past the end of their header."""
    for option in options(header):
        if option.missing:
            left = many(sum(f.stop - f.start for f in option.fields) // 8)
            says = f"option {option.code} leads past the end of its header, {left} can be its own"
            yield Breach((option.span,), option.code, None, says)


def _bad_sizes(header: Layer) -> Iterator[Breach]:
    """Options of a known kind whose length is another's."""
    for option in options(header):
        wanted, size = _SIZES[header.kind].get(option.code), len(option.data)
        if wanted is not None and size != wanted and not option.missing:
            says = f"option {option.code} has {many(size)}, it can only have {wanted}"
            yield Breach((option.span,), size, wanted, says)


def _unknown(header: Layer) -> Iterator[Breach]:
    """Options that no standard names and that tell who does not know them to discard."""
    for option in options(header):
        if option.code >> 6 and option.code not in _KNOWN and not option.missing:
            says = f"option {option.code:02x} is unknown, and is to be discarded where it is"
            yield Breach((option.span,), option.code, None, says)


def _bad_padding(header: Layer) -> Iterator[Breach]:
    """Padding among the options that is not zero."""
    for option in options(header):
        value = option.value
        if option.code == PADN and value is not None and any(value.raw):
            says = f"{value.raw.hex()} stands in the padding of the options"
            yield Breach((value.span,), value.raw.hex(), 0, says)


def _long_padding(header: Layer) -> Iterator[Breach]:
    """Padding among the options that is longer than any option needs, wherever it ends."""
    run: list[Group] = []
    for option in (*options(header), None):
        if option is not None and option.code in (PAD1, PADN) and not option.missing:
            run.append(option)
            continue
        size = (run[-1].stop - run[0].start) // 8 if run else 0
        if size > _MOST_PADDING:
            says = f"{size} octets of padding in a row, {_MOST_PADDING} are always enough"
            yield Breach((Span(run[0].start, run[-1].stop),), size, _MOST_PADDING, says)
        run = []


def example_with(number: int, options: str) -> bytes:
    """A frame with a header of eight octets before an echo request; ``options``: six, in hex."""
    return over_ipv6(f"3a00{options}{ECHO_IPV6[54:].hex()}", number, 64)


def option_rules(kind: str, number: int, where: str) -> tuple[Rule, ...]:
    """The rules of a header that holds options: its length; of an option length, size, kind, pad.

    ``number``: the next header number that announces it; ``where``: its section in RFC 8200.
    """
    sized = f"{next(iter(_SIZES[kind])):02x}"

    @rule(
        f"{kind}-length",
        layer=kind,
        certainty="impossible",
        source=rfc(8200, where),
        drops="options",
        example=breaking(
            example_with(number, "010400000000"), ((55, 56),), (55, "09"), resum=False
        ),
    )
    def length(header: Layer, view: View) -> Iterator[Breach]:
        """The header that its length claims is all in the payload.

        The length counts units of 8 octets, the first not counted.
        """
        yield from too_long(header, view)

    @rule(
        f"{kind}-option-length",
        layer=kind,
        certainty="impossible",
        source=rfc(8200, "4.2"),
        drops="options",
        lenient="small stacks, which step over all options",
        example=breaking(example_with(number, "010500000000"), ((56, 62),)),
    )
    def option_length(header: Layer, view: View) -> Iterator[Breach]:
        """An option ends within its header.

        Its length counts what stands behind code and length.
        """
        yield from _bad_lengths(header)

    @rule(
        f"{kind}-option-size",
        layer=kind,
        certainty="impossible",
        source=memory("RFC 2711, RFC 2675, RFC 6275"),
        drops="options",
        lenient="small stacks, which step over all options",
        example=breaking(example_with(number, f"{sized}0100010100"), ((56, 59),)),
    )
    def option_size(header: Layer, view: View) -> Iterator[Breach]:
        """Each kind of option has its own length.

        Router alert 2 and jumbo payload 4 among hop-by-hop options, home address 16 among those
        for the destination.
        """
        yield from _bad_sizes(header)

    @rule(
        f"{kind}-option-unknown",
        layer=kind,
        certainty="suspicious",
        source=rfc(8200, "4.2"),
        drops="options",
        example=breaking(example_with(number, "920400000000"), ((56, 62),)),
    )
    def option_unknown(header: Layer, view: View) -> Iterator[Breach]:
        """The first two bits of an option tell what a host does that does not know it.

        00 skips it. With any others the datagram is discarded; 10 and 11 are answered with
        ICMPv6 4/2.
        """
        yield from _unknown(header)

    @rule(
        f"{kind}-option-padding",
        layer=kind,
        certainty="suspicious",
        source=rfc(8200, "4.2"),
        drops="options",
        lenient="many hosts, which do not look; common server kernels drop it",
        example=breaking(example_with(number, "0104a5000000"), ((58, 62),)),
    )
    def option_padding(header: Layer, view: View) -> Iterator[Breach]:
        """Padding among the options is octets of zero."""
        yield from _bad_padding(header)

    @rule(
        f"{kind}-option-padding-long",
        layer=kind,
        certainty="suspicious",
        source=memory("RFC 4942", "2.1.9.5"),
        drops="options",
        lenient="small stacks, which skip padding of any length",
        example=breaking(
            over_ipv6(f"3a01010c{'00' * 12}{ECHO_IPV6[54:].hex()}", number, 64), ((56, 70),)
        ),
    )
    def option_padding_long(header: Layer, view: View) -> Iterator[Breach]:
        """Padding among the options has 7 octets at the most, in one option or in several.

        Nothing needs more to end on a multiple of 8. More is room for what should not be seen;
        common server kernels drop such a datagram.
        """
        yield from _long_padding(header)

    return length, option_length, option_size, option_unknown, option_padding, option_padding_long
