"""Sums carried along: a match stays one, a mismatch keeps its difference (RFC 1624 arithmetic)."""

from __future__ import annotations

from collections.abc import Sequence

from framecheck.core.finding import Verdict
from framecheck.core.layer import Layer
from framecheck.core.span import Span
from framecheck.core.sums import fcs, fcs16, ones_sum

_UNSUMMED = ("unverifiable", "absent")
_MOST_SEEN = 10_000
_MOST_ALIKE = 16
"""Datagrams of one number between two hosts: fragments, and those that came twice."""
_MOST_STRUCK = 6
"""Octets of a quote's eight that are others: where some were lost, few stand where they did."""


class Quoted:
    """The first octets of transports, before and after: errors quote them (RFC 792)."""

    def __init__(self) -> None:
        self._seen: dict[bytes, list[tuple[bytes, bytes]]] = {}

    def note(self, layers: Sequence[Layer], old: bytes, new: bytes | bytearray) -> None:
        """Keep how a datagram's header and the eight octets behind it came out."""
        for layer in layers:
            if layer.kind == "ipv4" and not layer.quoted:
                start, stop = _first_octets(layer)
                if len(self._seen) < _MOST_SEEN:
                    known = self._seen.setdefault(_anchor(old, layer), [])
                    known.append((old[start:stop], bytes(new[start:stop])))
                    del known[_MOST_ALIKE:]

    def restore(self, layers: Sequence[Layer], old: bytes, new: bytearray) -> None:
        """Give quoted copies the octets that the quoted datagram got."""
        for layer in layers:
            if layer.kind == "ipv4" and layer.quoted:
                start, stop = _first_octets(layer)
                quote = old[start:stop]
                near = [k for k in self._seen.get(_anchor(old, layer), ()) if _close(k[0], quote)]
                if near and stop <= len(old):
                    # An octet that differs differs as before.
                    was, became = min(near, key=lambda k: _differing(k[0], quote))
                    new[start:stop] = _xor(became, _xor(was, quote))


def _differing(a: bytes, b: bytes) -> int:
    return sum(x != y for x, y in zip(a, b, strict=False))


def _close(seen: bytes, quote: bytes) -> bool:
    return len(seen) == len(quote) and _differing(seen, quote) <= _MOST_STRUCK


def _first_octets(ipv4: Layer) -> tuple[int, int]:
    return ipv4.stop // 8, ipv4.stop // 8 + 8


def _anchor(data: bytes, ipv4: Layer) -> bytes:
    """What tells a datagram: identification and addresses."""
    at = ipv4.start // 8
    return data[at + 4 : at + 6] + data[at + 12 : at + 20]


def carried_along(
    verdicts: Sequence[Verdict], layers: Sequence[Layer], old: bytes, new: bytearray
) -> None:
    """Change the fields of internet checksums in ``new`` as the octets that they cover changed."""
    for layer in layers:
        if layer.kind == "ipv4" and layer.quoted:
            field = layer.get("header_checksum")
            if field is not None and field.whole:
                _shift(new, old, field.span, _change(old, new, (Span(layer.start, layer.stop),)))
    for verdict in sorted(verdicts, key=lambda v: -(v.field.start if v.field else 0)):
        if verdict.field is None or not verdict.name.endswith("checksum"):
            continue
        if verdict.outcome not in _UNSUMMED and verdict.field.stop - verdict.field.start == 16:
            _carry(verdict, old, new)


def _carry(verdict: Verdict, old: bytes, new: bytearray) -> None:
    assert verdict.field is not None
    start, stop = verdict.field.octets
    new[start:stop] = old[start:stop]  # it may have been carried along once already
    change = _change(old, new, verdict.covers)
    if verdict.outcome == "partial" or "pseudo-header" in verdict.says:
        ends = _change(old, new, verdict.covers[:1])
        if "complement" in verdict.says:
            _shift(new, old, verdict.field, ends)
        elif "exchanged" in verdict.says:
            _shift(new, old, verdict.field, -((ends & 0xFF) << 8 | ends >> 8))
        elif verdict.says.startswith("the sum"):
            _shift(new, old, verdict.field, -ends)
    elif "exchanged" in verdict.says:
        _shift(new, old, verdict.field, (change & 0xFF) << 8 | change >> 8)
    else:
        _shift(new, old, verdict.field, change, never_zero=verdict.name == "udp-checksum")


def _change(old: bytes, new: bytes | bytearray, covers: Sequence[Span]) -> int:
    """By how much the one's complement sum of these octets grew, modulo 65535."""
    grown = 0
    for span in covers:
        start, stop = span.octets
        grown += ones_sum(bytes(new[start:stop])) - ones_sum(old[start:stop])
    return grown % 0xFFFF


def off_by(verdict: Verdict, old: bytes, new: bytes) -> int:
    """By how much more an internet checksum is off in new octets than in old ones."""
    assert verdict.field is not None
    grown = _change(old, new, (*verdict.covers, verdict.field))
    inside = any(
        s.start <= verdict.field.start and verdict.field.stop <= s.stop for s in verdict.covers
    )
    return (grown - (_change(old, new, (verdict.field,)) if inside else 0)) % 0xFFFF


def balanced(verdicts: Sequence[Verdict], old: bytes, new: bytearray, free: frozenset[int]) -> None:
    """Keep sums by changing a word that is free to change, where their own field is not."""
    for verdict in sorted(verdicts, key=lambda v: -(v.field.start if v.field else 0)):
        if verdict.field is None or not verdict.name.endswith("checksum"):
            continue
        if verdict.outcome in _UNSUMMED:
            continue
        at = verdict.field.start // 8
        if not {at, at + 1} <= free:
            words = (i for s in verdict.covers for i in range(s.start // 8, s.stop // 8 - 1, 2))
            at = next((i for i in words if {i, i + 1} <= free), at)
        grown = _change(old, new, verdict.covers)
        new[at : at + 2] = ((int.from_bytes(new[at : at + 2], "big") - grown) % 0xFFFF).to_bytes(
            2, "big"
        )


def change_of(old: bytes, new: bytes) -> int:
    """The same for octets at hand."""
    return _change(old, new, (Span(0, len(old) * 8),))


def lower(new: bytearray, old: bytes, field: Span, grown: int) -> None:
    """Take what sums grew by off a checksum that is not zero."""
    _shift(new, old, field, grown, never_zero=True)


def _shift(
    new: bytearray, old: bytes, field: Span, grown: int, *, never_zero: bool = False
) -> None:
    start, stop = field.octets
    carried = int.from_bytes(old[start:stop], "big")
    if not grown % 0xFFFF:
        return
    value = (carried - grown) % 0xFFFF
    if not value and (never_zero or carried == 0xFFFF):
        value = 0xFFFF
    new[start:stop] = value.to_bytes(2, "big")


def carried_fcs(carried: bytes, old: bytes, new: bytes) -> bytes:
    """The FCS behind new octets, off by the same bits as it was behind the old ones.

    CRC-32 is affine: of frames of one length it differs by a function of their difference alone.
    """
    return _xor(carried, _xor(fcs(old), fcs(new)))


def carried_fcs16(carried: bytes, old: bytes, new: bytes) -> bytes:
    """The same for the FCS-16 of PPP (RFC 1662 C.2)."""
    turn = fcs16(old) ^ fcs16(new)
    return _xor(carried, turn.to_bytes(2, "little"))


def _xor(a: bytes, b: bytes) -> bytes:
    return bytes(x ^ y for x, y in zip(a, b, strict=False))
