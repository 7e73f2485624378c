"""From octet ``at`` on all bits come 1 to 7 places later or earlier than they should.

``order``: in which order the bits of an octet follow each other, ``msb`` or ``lsb`` first (on the
wire of Ethernet the least significant comes first). As many octets arrive as were sent. Toward
``later``, ``bits`` foreign bits stand first and the last ones fall off the end. Toward ``earlier``,
the first ``bits`` bits at ``at`` are lost, and as many foreign ones stand at the end.
"""

from __future__ import annotations

from framecheck.core.span import Range
from framecheck.damage._bits import reversed_bits
from framecheck.damage._mechanism import Mechanism


def apply(sent: bytes, bits: int, toward: str, order: str, at: int = 0, foreign: int = 0) -> bytes:
    """What arrives; ``foreign``: the bits that stand where none was sent, as a number."""
    tail = sent[at:]
    if not tail:
        return sent
    return sent[:at] + _shifted(tail, bits, toward == "later", order, foreign)


def undo(received: bytes, bits: int, toward: str, order: str, at: int = 0) -> bytes:
    """What was sent; zero bits where it is lost."""
    tail = received[at:]
    if not tail:
        return received
    return received[:at] + _shifted(tail, bits, toward == "earlier", order, 0)


def lost(length: int, bits: int, toward: str, order: str, at: int = 0) -> tuple[Range, ...]:
    """The one octet of which some bits are gone: the last, or the first that slipped."""
    if at >= length:
        return ()
    return ((length - 1, length),) if toward == "later" else ((at, at + 1),)


def _shifted(octets: bytes, bits: int, later: bool, order: str, foreign: int) -> bytes:
    if order == "lsb":
        octets = reversed_bits(octets)
    size, number = len(octets), int.from_bytes(octets, "big")
    foreign &= (1 << bits) - 1
    if later:
        number = number >> bits | foreign << size * 8 - bits
    else:
        number = (number << bits | foreign) & ((1 << size * 8) - 1)
    octets = number.to_bytes(size, "big")
    return reversed_bits(octets) if order == "lsb" else octets


SLIP = Mechanism("slip", apply, undo, lost)
