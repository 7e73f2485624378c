"""One keyed exchange of octets for all text and payload: each keeps its class, none its value.

Equal octets stay equal and different ones different, so that retransmissions, echoes, repeats and
unchanged octets remain what they are. Zero and FF stay, and the marks by which text is cut into
words; letters and digits become other ones, a letter's case is kept.
"""

from __future__ import annotations

from collections.abc import Collection, Sequence

from framecheck.redaction._key import chance

_KEPT = b"\0\xff\t\n\r ._-:/@"
_DIGITS = range(0x30, 0x3A)
_LOWER = range(0x61, 0x7B)
_CASE = 0x20


class Substitution:
    """The exchange, as a table of 256 octets."""

    def __init__(self, key: bytes, kept: Collection[int] = ()) -> None:
        """``kept``: octets that stand for themselves, a letter in both cases."""
        table = list(range(256))
        free = [o for o in _LOWER if o not in kept and o - _CASE not in kept]
        letters = _cycle(key, "letters", free)
        for old, new in letters.items():
            table[old], table[old - _CASE] = new, new - _CASE
        marks = [o for o in range(0x20, 0x7F) if not chr(o).isalnum() and o not in _KEPT]
        low = [o for o in (*range(1, 0x20), 0x7F) if o not in _KEPT]
        for name, members in (
            ("digits", _DIGITS),
            ("marks", marks),
            ("low", low),
            ("high", range(0x80, 0xFF)),
        ):
            for old, new in _cycle(key, name, [m for m in members if m not in kept]).items():
                table[old] = new
        self.table = bytes(table)

    def of(self, octets: bytes) -> bytes:
        """The octets with each exchanged."""
        return octets.translate(self.table)


def _cycle(key: bytes, name: str, members: Sequence[int]) -> dict[int, int]:
    """Each member's successor in a drawn order: none stands for itself."""
    order = list(members)
    chance(key, "substitution", name).shuffle(order)
    return dict(zip(order, [*order[1:], *order[:1]], strict=True))
