"""IPv6 fragments against those that came before (RFC 8200 4.5, RFC 5722)."""

from __future__ import annotations

from collections.abc import Iterator

from framecheck.core.finding import Breach, practice, rfc, rule
from framecheck.core.layer import Layer
from framecheck.core.view import View
from framecheck.judging._examples import UDP_LONG_IPV6, UDP_SHORTER_IPV6, behind, fragment
from framecheck.judging._fragments import other_end, overlaps

_FIRST = fragment(UDP_LONG_IPV6, 0, 24)


@rule(
    "ipv6-fragment-overlap",
    layer="ipv6-fragment",
    certainty="forbidden",
    source=rfc(8200, "4.5"),
    drops="reassembly",
    example=behind((_FIRST,), fragment(UDP_LONG_IPV6, 16), ((62, 70),)),
)
def overlap(header: Layer, view: View) -> Iterator[Breach]:
    """The fragments of a datagram do not overlap.

    A sender must not make such (RFC 5722 4, from memory). A host gives the datagram up in silence,
    all its fragments with it, also those that come later. A copy of a fragment, octet for octet,
    does no harm: a network may double it.
    """
    yield from overlaps(header, view)


@rule(
    "ipv6-fragment-end",
    layer="ipv6-fragment",
    certainty="impossible",
    source=practice("a datagram has one end"),
    drops="reassembly",
    example=behind((fragment(UDP_SHORTER_IPV6, 24),), fragment(UDP_LONG_IPV6, 40, 48), ((56, 58),)),
)
def end(header: Layer, view: View) -> Iterator[Breach]:
    """All fragments of a datagram agree where it ends.

    The last one says it: nothing can stand behind, and there is one such place only. A host never
    gets such a datagram together.
    """
    yield from other_end(header, view)
