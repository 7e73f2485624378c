"""Echo requests and their data, to hold the replies against."""

from __future__ import annotations

from framecheck.core.frame import Doubt
from framecheck.core.layer import Layer
from framecheck.core.view import View
from framecheck.judging._measure import carrier
from framecheck.judging._memory import Subject, put

MOST_REQUESTS = 64
_REQUEST, _REPLY = {"icmp": 8, "icmpv6": 128}, {"icmp": 0, "icmpv6": 129}
Key = tuple[bytes, bytes, bytes]
"""Who asks, who is asked, identifier and sequence number."""


class Echoes:
    """The newest requests whose own sum holds."""

    def __init__(self) -> None:
        self._asked: dict[Key, tuple[tuple[int, bytes], ...]] = {}

    def asked(self, echo: Layer, view: View) -> tuple[tuple[int, bytes], ...]:
        """Requests that a reply could be the answer to: frame and data of each, newest last."""
        key = _key(echo, view, _REPLY)
        return self._asked.get(key, ()) if key is not None else ()

    def note(self, number: int, view: View) -> None:
        """Keep a request."""
        for layer in view.layers:
            if layer.kind in _REQUEST and not layer.quoted:
                key = _key(layer, view, _REQUEST)
                name = f"{layer.kind}-checksum"
                holds = any(v.name == name and v.outcome == "match" for v in view.verdicts)
                if key is not None and holds:
                    same = (*self._asked.get(key, ()), (number, data_of(layer, view)))
                    put(self._asked, key, same[-2:], MOST_REQUESTS)

    def doubts(self) -> tuple[Doubt, ...]:
        """A request without a reply is no doubt."""
        return ()


def data_of(echo: Layer, view: View) -> bytes:
    """What follows the header of an echo, up to the end that IP gives."""
    return view.octets[echo.stop // 8 : min(echo.limit // 8, len(view.octets))]


def _key(echo: Layer, view: View, kinds: dict[str, int]) -> Key | None:
    """The ends and numbers of a request, or those that a reply answers; None for any other."""
    ip = carrier(echo, view)
    if echo.number("type") != kinds[echo.kind] or ip is None or echo.quoted:
        return None
    if not echo.whole("identifier", "sequence_number") or not ip.whole("destination_address"):
        return None
    numbers = echo["identifier"].raw + echo["sequence_number"].raw
    source, target = ip["source_address"].raw, ip["destination_address"].raw
    return (source, target, numbers) if kinds is _REQUEST else (target, source, numbers)


ECHOES = Subject(f"the newest {MOST_REQUESTS} echo requests with their data", Echoes)
