"""A probe says itself what it should be: which one was sent where these octets came."""

from __future__ import annotations

from collections.abc import Sequence

from framecheck.core.finding import Verdict

TYPE = b"\x88\xb5"
"""IEEE 802: local experimental EtherType 1."""
_ARP = b"\x08\x06"
_LONGEST = 16384
"""Octets beyond which no probe is looked for: no frame is so long."""
_LONG_ARP = 60
"""Octets beyond which an ARP frame holds more than its packet and its padding."""


def probed(
    octets: bytes, verdicts: Sequence[Verdict], suspicious: bool
) -> tuple[bytes, int] | tuple[None, None]:
    """The probe that was sent and its number (modulo 64), or None twice.

    Looked for where no sum vouches for all octets: in frames of the probes' type, in ARP with much
    behind it, and where something is wrong (``suspicious``).
    """
    plain = octets[12:14] == TYPE or (octets[12:14] == _ARP and len(octets) > _LONG_ARP)
    vouched = any(v.name == "fcs" and v.outcome == "match" for v in verdicts)
    if vouched or len(octets) > _LONGEST or not (plain or suspicious):
        return None, None
    from framecheck.damage.probes import tell

    found = tell(octets)
    if found is None or found.frame is None or not found.sure:
        return None, None
    return found.frame, found.number
