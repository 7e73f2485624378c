"""The first octets of what datagrams of IPv4 carried, to hold the quotes of errors against."""

from __future__ import annotations

from framecheck.core.frame import Doubt
from framecheck.core.layer import Layer
from framecheck.core.view import View
from framecheck.judging._memory import Subject, put

MOST_DATAGRAMS = 128
QUOTED = 8
"""Octets behind the header that an error quotes at least (RFC 792)."""
Key = tuple[bytes, bytes, int, int]


class Datagrams:
    """The newest datagrams whose header's sum holds and whose number tells them apart."""

    def __init__(self) -> None:
        self._sent: dict[Key, tuple[int, bytes]] = {}

    def quoted(self, ip: Layer) -> tuple[int, bytes] | None:
        """Frame and first octets of the datagram that a quoted header is of, or None."""
        key = _key(ip)
        return self._sent.get(key) if key is not None else None

    def note(self, number: int, view: View) -> None:
        """Keep the datagram of a frame."""
        ip = view.find("ipv4")
        key = _key(ip) if ip is not None else None
        holds = any(
            v.name == "ipv4-header-checksum" and v.outcome == "match" for v in view.verdicts
        )
        if ip is None or key is None or not holds or ip.number("fragment_offset"):
            return
        at = ip.stop // 8
        put(self._sent, key, (number, view.octets[at : at + QUOTED]), MOST_DATAGRAMS)

    def doubts(self) -> tuple[Doubt, ...]:
        """Nothing is ever open here."""
        return ()


def _key(ip: Layer) -> Key | None:
    """What tells a datagram apart; None for one without a number of its own."""
    number = ip.number("identification")
    if not number or not ip.whole("destination_address"):
        return None
    ends = ip["source_address"].raw, ip["destination_address"].raw
    return (*ends, ip["protocol"].number, number)


DATAGRAMS = Subject(
    f"the newest {MOST_DATAGRAMS} datagrams of IPv4, {QUOTED} octets behind the header of each",
    Datagrams,
)
