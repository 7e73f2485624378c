"""Answers of DNS against the questions of the same log."""

from __future__ import annotations

from collections.abc import Iterator

from framecheck.core.finding import Breach, rfc, rule
from framecheck.core.layer import Layer
from framecheck.core.span import Span, runs
from framecheck.core.view import View
from framecheck.judging._examples import DNS_ANSWER, DNS_QUERY, behind, edited
from framecheck.judging._near import slip
from framecheck.judging._tools import at
from framecheck.judging.memory.questions import Questions, ends_of, question_of

_TO_CLIENT = edited(
    DNS_ANSWER, (0, DNS_ANSWER[6:12].hex() + DNS_ANSWER[:6].hex()), (26, "c0000202c0000201")
)


@rule(
    "dns-answer-question",
    layer="dns",
    certainty="suspicious",
    source=rfc(1035, "4.1.1"),
    example=behind((DNS_QUERY.hex(),), edited(_TO_CLIENT, (56, "6f")), ((56, 57),)),
)
def answer_question(dns: Layer, view: View) -> Iterator[Breach]:
    """An answer repeats the question that it answers.

    A resolver that compares the two drops any other answer. Letters may change between upper and
    lower case.
    """
    if view.past is None or dns.number("qr") != 1:
        return
    ends, question = ends_of(dns, view), question_of(dns, view)
    asked = view.past.of(Questions).asked(ends, dns["id"].raw) if ends is not None else None
    if asked is None or not question or question.lower() == asked[1].lower():
        return
    frame, wanted = asked
    start = dns.groups[0].start // 8
    both = zip(question.lower(), wanted.lower(), strict=False)
    spans = tuple(
        Span.of_octets(start + a, start + b)
        for a, b in runs(i for i, (a, b) in enumerate(both) if a != b)
    )
    whole = (Span.of_octets(start, start + len(question)),)
    says = f"the answer to frame {frame} repeats another question"
    yield Breach(spans if len(question) == len(wanted) else whole, None, None, says)


@rule(
    "dns-answer-identifier",
    layer="dns",
    certainty="suspicious",
    source=rfc(1035, "4.1.1"),
    example=behind((DNS_QUERY.hex(),), edited(_TO_CLIENT, (42, "3412")), ((42, 44),)),
)
def answer_identifier(dns: Layer, view: View) -> Iterator[Breach]:
    """An answer bears the identifier of its question.

    Said where the log holds this very question under a number that one small slip makes of the
    answer's: a flipped bit, another octet, both octets exchanged.
    """
    if view.past is None or dns.number("qr") != 1:
        return
    ends, question = ends_of(dns, view), question_of(dns, view)
    if ends is None or not question:
        return
    number, asked = dns["id"].raw, view.past.of(Questions).like(ends, question)
    near = [i for i in asked if slip(number, i) is not None]
    if number not in asked and len(near) == 1:
        found = slip(number, near[0])
        how = found.how if found is not None else ""
        says = f"the identifier is {number.hex()}, this was asked under {near[0].hex()}: {how}"
        yield at(dns["id"], near[0].hex(), says)
