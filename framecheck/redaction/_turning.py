"""Addresses that stand where a frame is read to have numbers: a lost octet made one a code.

Such octets can neither be exchanged like an address, because the frame could be read otherwise,
nor stay, because the address would. The address's stand-in, or else another number, takes their
place where the same rules say the same then.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from framecheck.core.layer import Layer
from framecheck.core.view import View
from framecheck.judging.judge import examined
from framecheck.layers import decode_frame
from framecheck.redaction._standins import Standins

_MOST = 8
"""Addresses of one frame that are turned."""
_MOST_VALUES = 96
"""Values that are tried for one octet."""


def turned(
    octets: bytearray,
    layers: Sequence[Layer],
    starts_at: str,
    guard: Standins,
    standins: Standins,
) -> None:
    """Change numbers, in place, until no address or name of the log is left.

    Args:
        octets: the frame with its parts exchanged; what its rules say of it, alone, stays.
        layers: what it is read to have.
        starts_at: what its first octet is the first one of.
        guard: knows what must not be left.
        standins: what takes the place of an address.

    What cannot be changed is let be.
    """
    for turn in range(_MOST):
        left = next(guard.left(bytes(octets), names=True), None)
        if left is None:
            return
        if not turn:
            said = _said(octets, starts_at)
        many = _many(octets, guard)
        for changed in _changes(octets, layers, range(*left), standins):
            if _many(changed, guard) < many and _said(changed, starts_at) == said:
                octets[:] = changed
                break
        else:
            return


def _changes(
    octets: bytearray, layers: Sequence[Layer], span: range, standins: Standins
) -> Iterator[bytearray]:
    """The octets with the address in the span exchanged, then with single numbers of it changed."""
    changed = bytearray(octets)
    old = bytes(octets[span.start : span.stop])
    changed[span.start : span.stop] = standins.exchanged(old)
    yield changed
    for at in _numbers(layers, span):
        for value in standins.order(at)[:_MOST_VALUES]:
            changed = bytearray(octets)
            changed[at] = value
            yield changed


def _many(octets: bytearray, guard: Standins) -> int:
    return sum(1 for _ in guard.left(bytes(octets), names=True))


def _numbers(layers: Sequence[Layer], span: range) -> Iterator[int]:
    """Octets of the span that are numbers of their own."""
    for layer in layers:
        for field in layer.fields:
            if field.stop - field.start == 8 and not isinstance(field.value, bytes):
                at = field.start // 8
                if at in span and not field.start % 8:
                    yield at


def _said(changed: bytearray, starts_at: str) -> object:
    octets = bytes(changed)
    layers = decode_frame(octets, starts_at)
    findings = examined(View(octets, layers))
    return (
        [(x.kind, x.octets) for x in layers],
        sorted((f.rule, f.certainty, f.spans) for f in findings),
    )
