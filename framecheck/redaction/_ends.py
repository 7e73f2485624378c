"""What a device left in front of a frame and behind it, as it is to be printed.

Words of a known shape stay, for they are lengths and a status. All else may be of another frame.
"""

from __future__ import annotations

from collections.abc import Sequence

from framecheck.core.frame import Envelope, Frame
from framecheck.core.shelf import shelf
from framecheck.core.span import runs
from framecheck.damage import Fill
from framecheck.framing import Shape
from framecheck.redaction._fills import left_there
from framecheck.redaction._standins import Standins
from framecheck.redaction._sums import carried_fcs, carried_fcs16, change_of

_ADDRESS = slice(6, 12)
"""Where a pseudo link header has the sender's hardware address, padded (common practice)."""
_LOOSE = ("head", "align", "virtual")
"""Kinds of octets in front that may as well be old ones: their names begin like this."""
_FLAGS = (0, 1, 10, 11)
"""Octets of a virtual device's header by which it is known."""
_LEAST = 4
"""Octets of an old text in a row that may tell something."""
_LEFT = ("behind-length", "behind-fcs", "rounding")


def front(frame: Frame, standins: Standins, fills: Sequence[Fill]) -> bytes:
    """What stands in front of the frame, with its private parts exchanged."""
    out = b""
    for envelope in frame.envelopes:
        if envelope.side == "head":
            out += _front(envelope, standins, fills)
    return out


def _front(envelope: Envelope, standins: Standins, fills: Sequence[Fill]) -> bytes:
    octets = envelope.octets
    if envelope.kind == "pseudo16":
        address = standins.address("mac", octets[_ADDRESS])
        return octets[: _ADDRESS.start] + address + octets[_ADDRESS.stop :]
    if not envelope.kind.startswith(_LOOSE):
        return octets
    new = bytearray(standins.text(octets))
    stay = [*left_there(octets, fills, 0)]
    if envelope.kind.startswith("virtual"):
        stay += _FLAGS
    for i in stay:
        if i < len(new):
            new[i] = octets[i]
    return bytes(new)


def back(frame: Frame, new: bytes, standins: Standins) -> bytes:
    """What stands behind the frame: an FCS carried along, old octets exchanged.

    ``new``: the frame's octets as they will be printed.
    """
    out = b""
    for envelope in frame.envelopes:
        if envelope.side == "tail":
            out += _back(frame, envelope, new, standins)
    return out


def _back(frame: Frame, envelope: Envelope, new: bytes, standins: Standins) -> bytes:
    if envelope.kind == "fcs":
        carry = carried_fcs16 if frame.starts_at in ("ppp", "hdlc") else carried_fcs
        return carry(envelope.octets, frame.octets, new)
    return standins.text(envelope.octets) if envelope.kind in _LEFT else envelope.octets


def old_text(sent: bytes, octets: bytearray, came: bytes, standins: Standins) -> None:
    """Exchange, in place, octets that came as they are where zeros were sent: an old frame's.

    What they add up to stays, word by word, for a sum is off by that (RFC 1071 1).
    """
    left = (i for i, o in enumerate(octets) if o and o == came[i] and not any(sent[i : i + 1]))
    for start, stop in runs(left):
        old, first = bytes(octets[start:stop]), start % 2
        new = bytearray(standins.substitution.of(old))
        if stop - start < _LEAST or new == old:
            continue
        grown = change_of(bytes(first) + old, bytes(first) + bytes(new))
        for at in range(first, len(new) - 1, 2):
            word = (int.from_bytes(new[at : at + 2], "big") - grown) % 0xFFFF
            if word >> 8 and word & 0xFF:
                new[at : at + 2] = word.to_bytes(2, "big")
                octets[start:stop] = new
                break


def apart(frame: Frame, octets: bytes, tail: bytes, guard: Standins, standins: Standins) -> bytes:
    """The octets behind a frame with others in status words that complete an address of the log.

    The length beside them stays what it is; what would read as another shape is let be.
    """
    last = next((e for e in reversed(frame.envelopes) if e.side == "tail"), None)
    shapes = {s.name: s for s in shelf("framecheck.framing.shapes", Shape)}
    if last is None or last.kind not in shapes:
        return tail
    new, first = bytearray(tail), len(tail) - len(last.octets)
    for start, stop in guard.left(octets + tail, names=True):
        for i in range(max(first, start - len(octets)), stop - len(octets)):
            was, new[i] = new[i], standins.substitution.table[new[i]]
            if not shapes[last.kind].fits(bytes(new[first:]), len(octets) + first):
                new[i] = was
    return bytes(new)
