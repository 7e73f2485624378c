"""Addresses that stand where a frame is read to have numbers: a lost octet made one a code.

Such octets can neither be exchanged like an address, because the frame could be read otherwise,
nor stay, because the address would. The address's stand-in, or else another number, takes their
place where the same rules say the same then.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence

from framecheck.core.layer import Layer
from framecheck.core.view import View
from framecheck.judging.judge import examined
from framecheck.layers import decode_frame
from framecheck.redaction._standins import Standins

_MOST = 8
"""Addresses of one frame that are turned."""
_WIDTHS = (8, 16, 32)
"""Bits of a number."""
_MOST_VALUES = 96
"""Values that are tried for one octet."""


def turned(
    octets: bytearray,
    layers: Sequence[Layer],
    starts_at: str,
    guard: Standins,
    standins: Standins,
    held: Callable[[bytes], bytearray] = bytearray,
) -> None:
    """Change numbers, in place, until no address or name of the log is left.

    Args:
        octets: the frame with its parts exchanged; what its rules say of it, alone, stays.
        layers: what it is read to have.
        starts_at: what its first octet is the first one of.
        guard: knows what must not be left.
        standins: what takes the place of an address.
        held: what becomes of octets of which some bits cannot change.

    What cannot be changed is let be.
    """
    for turn in range(_MOST):
        left = next(guard.left(bytes(octets), names=True), None)
        if left is None:
            return
        if not turn:
            before = said(octets, starts_at)
        many = _many(octets, guard)
        for changed in map(held, _changes(octets, layers, range(*left), standins)):
            if _many(changed, guard) < many and said(changed, starts_at) == before:
                octets[:] = changed
                break
        else:
            return


def _changes(
    octets: bytearray, layers: Sequence[Layer], span: range, standins: Standins
) -> Iterator[bytes]:
    """The octets with the address in the span exchanged, then with single numbers of it changed.

    Then with all numbers of that name and value: a rule may say that one comes twice.
    """
    changed = bytearray(octets)
    old = bytes(octets[span.start : span.stop])
    changed[span.start : span.stop] = standins.exchanged(old)
    yield bytes(changed)
    numbers = list(_numbers(layers))
    inside = [(at, name) for at, name in numbers if at in span]
    alike = [
        [other for other, n in numbers if n == name and octets[other] == octets[at]]
        for at, name in inside
    ]
    for places in [*([at] for at, _ in inside), *(a for a in alike if len(a) > 1)]:
        for value in standins.order(places[0])[:_MOST_VALUES]:
            changed = bytearray(octets)
            for at in places:
                changed[at] = value
            yield bytes(changed)


def _many(octets: bytearray, guard: Standins) -> int:
    return sum(1 for _ in guard.left(bytes(octets), names=True))


def _numbers(layers: Sequence[Layer]) -> Iterator[tuple[int, str]]:
    """Octets of numbers that have whole ones, with the name of what they tell."""
    for layer in layers:
        for field in layer.fields:
            whole = field.start % 8 == 0 and field.stop - field.start in _WIDTHS
            if whole and not isinstance(field.value, bytes):
                for at in range(field.start // 8, field.stop // 8):
                    yield at, field.name


def said(changed: bytes | bytearray, starts_at: str) -> object:
    """What its rules say of a frame alone, and what layers it has: to be held against another."""
    octets = bytes(changed)
    layers = decode_frame(octets, starts_at)
    findings = examined(View(octets, layers))
    return (
        [(x.kind, x.octets) for x in layers],
        sorted((f.rule, f.certainty, f.spans) for f in findings),
    )
