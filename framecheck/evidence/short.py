"""A datagram that lacks a few octets behind a header that is right: how many, and roughly where."""

from __future__ import annotations

from framecheck.core.frame import Doubt
from framecheck.evidence._quick import look

_MOST = 8
_UDP = 17


def short(octets: bytes) -> tuple[Doubt, ...]:
    """What the total length of a proven IPv4 header says of octets that are not there.

    Where the header of the transport does not go with it, they were lost there or in front of it;
    what they were, and where exactly they stood, nothing tells.
    """
    seen = look(octets)
    if seen is None or not seen.sums or seen.sums[0].off(octets):
        return ()
    lacking, at = seen.end - len(octets), seen.internet + (octets[seen.internet] & 15) * 4
    if seen.sums[0].name != "ipv4-header-checksum" or not 1 <= lacking <= _MOST:
        return ()
    whole = look(octets + bytes(lacking))
    if whole is None or len(octets) < at + 20:
        return ()
    udp = octets[seen.internet + 9] == _UDP
    agrees = int.from_bytes(octets[at + 4 : at + 6], "big") == seen.end - at if udp else whole.sound
    said = f"{lacking} octets" if lacking > 1 else "1 octet"
    if agrees:
        taken = f"{said} lost behind the header of the transport, at a place that nothing tells"
        return (Doubt("what happened", taken, f"{said} absent at the end"),)
    taken = f"{said} lost in front of octet 0x{at:x}, where the header of the transport begins"
    return (Doubt("what happened", taken, "the same a few octets further on, inside that header"),)
