"""What rules share: breaches made from fields, and numbers as people read them."""

from __future__ import annotations

from typing import Any

from framecheck.core.finding import Breach
from framecheck.core.layer import Field, Layer
from framecheck.core.span import Span
from framecheck.core.view import View


def at(field: Field, expected: Any, says: str) -> Breach:
    """A breach at one field; octets are observed as hex digits."""
    observed = field.value.hex() if isinstance(field.value, bytes) else field.value
    return Breach((field.span,), observed, expected, says)


def at_all(fields: tuple[Field, ...], observed: Any, expected: Any, says: str) -> Breach:
    """A breach at several fields that contradict each other."""
    return Breach(tuple(f.span for f in fields), observed, expected, says)


def span_of(layer: Layer) -> Span:
    """Where a layer's own fields stand."""
    return Span(layer.start, layer.stop)


def there(layer: Layer, view: View) -> Span:
    """From the layer's start to the last octet that is left to it."""
    return Span(layer.start, max(layer.stop, min(layer.limit, len(view.octets) * 8)))


def filled(octets: bytes, start: int) -> tuple[Span, int] | None:
    """From the first to the last octet that is not zero, and how many are not; None when all are.

    ``start``: bit of the frame at which the octets begin.
    """
    lead = len(octets) - len(octets.lstrip(b"\0"))
    if lead == len(octets):
        return None
    stop = len(octets.rstrip(b"\0"))
    return Span(start + lead * 8, start + stop * 8), len(octets) - octets.count(0)


def many(count: int) -> str:
    """A count of octets in words."""
    return "1 octet" if count == 1 else f"{count} octets"


def dotted(address: bytes) -> str:
    """An IPv4 address in dotted decimal."""
    return ".".join(map(str, address))


def is_group(address: bytes) -> bool:
    """Whether an IPv4 or IPv6 address is that of a group."""
    return address[:1] == b"\xff" if len(address) == 16 else 224 <= address[0] <= 239


def printed(address: bytes) -> str:
    """An IPv4 or IPv6 address as people write it (RFC 5952 4)."""
    if len(address) == 4:
        return dotted(address)
    from ipaddress import IPv6Address

    return str(IPv6Address(address)) if len(address) == 16 else address.hex()


def colons(address: bytes) -> str:
    """A hardware address in hex with colons."""
    return address.hex(":")


def address(layer: Layer, name: str) -> bytes | None:
    """An address field's octets, None when the layer lacks it or the end cuts it off."""
    field = layer.get(name)
    return field.raw if field is not None and field.whole and field.wanted else None


def tags(view: View) -> int:
    """How many VLAN tags the frame carries."""
    return sum(x.kind == "vlan" for x in view.layers)


def in_loopback(view: View) -> bool:
    """Whether the frame was seen on a loopback device: both hardware addresses are zero."""
    return view.layers[0].kind == "ethernet" and view.octets[:12] == bytes(12)
