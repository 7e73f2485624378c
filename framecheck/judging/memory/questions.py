"""Questions of DNS, to hold the answers against."""

from __future__ import annotations

from framecheck.core.frame import Doubt
from framecheck.core.layer import Layer
from framecheck.core.view import View
from framecheck.judging._measure import carrier
from framecheck.judging._memory import Subject, put

MOST_QUESTIONS = 64
_SERVER = 53
Ends = tuple[bytes, bytes, int]
"""Who asks, who is asked, and from which port."""


class Questions:
    """The newest questions whose own sum holds: by their ends, then by their identifiers."""

    def __init__(self) -> None:
        self._asked: dict[tuple[Ends, bytes], tuple[int, bytes]] = {}

    def asked(self, ends: Ends, identifier: bytes) -> tuple[int, bytes] | None:
        """Frame and question section of the newest question with an identifier, or None."""
        return self._asked.get((ends, identifier))

    def like(self, ends: Ends, question: bytes) -> list[bytes]:
        """The identifiers under which this very question was asked."""
        same = question.lower()
        return [i for (e, i), (_, q) in self._asked.items() if e == ends and q.lower() == same]

    def note(self, number: int, view: View) -> None:
        """Keep a question."""
        dns = view.find("dns")
        if dns is None or dns.number("qr") != 0:
            return
        ends, question = ends_of(dns, view), question_of(dns, view)
        holds = any(v.name == "udp-checksum" and v.outcome == "match" for v in view.verdicts)
        if ends is not None and question and holds:
            put(self._asked, (ends, dns["id"].raw), (number, question), MOST_QUESTIONS)

    def doubts(self) -> tuple[Doubt, ...]:
        """A question without an answer is no doubt."""
        return ()


def ends_of(dns: Layer, view: View) -> Ends | None:
    """The ends of a question, or of the one that an answer is to; None where port 53 is not one."""
    udp = view.below(dns)
    if udp is None or udp.kind != "udp":
        return None
    ip = carrier(udp, view)
    if ip is None or not ip.whole("destination_address"):
        return None
    asks = dns.number("qr") == 0
    near, far = ("source", "destination") if asks else ("destination", "source")
    port = udp.number(f"{near}_port")
    if udp.number(f"{far}_port") != _SERVER or port is None:
        return None
    return ip[f"{near}_address"].raw, ip[f"{far}_address"].raw, port


def question_of(dns: Layer, view: View) -> bytes:
    """The octets of the question section; empty when it is not all there."""
    asked = [g for g in dns.groups if g.name == "question"]
    if not asked or len(asked) != dns.number("qdcount") or not all(g.whole for g in asked):
        return b""
    return view.octets[asked[0].start // 8 : asked[-1].stop // 8]


QUESTIONS = Subject(f"the newest {MOST_QUESTIONS} questions of DNS", Questions)
