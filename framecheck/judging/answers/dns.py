"""A response of DNS repeats the identifier and the question (RFC 1035 4.1, RFC 5452 9.1)."""

from __future__ import annotations

from collections.abc import Iterator

from framecheck.core.finding import rfc
from framecheck.core.layer import Layer
from framecheck.core.view import View
from framecheck.judging._answers import Answer, Repeated, ends
from framecheck.judging._measure import carrier
from framecheck.judging.memory.questions import Questions, ends_of


def _repeats(dns: Layer, view: View) -> Iterator[Repeated]:
    if view.past is None or dns.number("qr") != 1 or not dns.whole("id"):
        return
    udp, between = view.below(dns), ends_of(dns, view)
    asked = view.past.of(Questions).asked(between, dns["id"].raw) if between is not None else None
    ip = carrier(udp, view) if udp is not None else None
    if asked is None or udp is None or ip is None:
        return
    yield from ends(ip)
    yield udp.start // 8, view.octets[udp.start // 8 : udp.start // 8 + 4]
    yield dns.start // 8, dns["id"].raw
    question = [g for g in dns.groups if g.name == "question"]
    if question:
        yield question[0].start // 8, asked[1]


DNS = Answer(rfc(5452, "9.1"), _repeats)
