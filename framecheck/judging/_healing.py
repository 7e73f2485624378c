"""What the arithmetic of a failed checksum tells when another rule agrees (RFC 1624).

A one's complement sum that is off says what any one of its words would have to be, if that word
alone were wrong; it does not say which. A word is named only where another rule, at that very
place, falls silent when the word is healed, nothing new breaks, and no other word can say the same.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from framecheck.core.finding import Finding, Verdict
from framecheck.core.span import Span, runs
from framecheck.core.sums import difference, healed_word
from framecheck.core.view import View
from framecheck.judging._measure import octets_of
from framecheck.judging.judge import examined
from framecheck.layers import decode_frame

_SUMS = frozenset(("ipv4-header-checksum", "icmp-checksum", "udp-checksum", "tcp-checksum"))
_MOST_OCTETS = 16
"""A rule that speaks of more octets than this points at no word."""
_MOST_CANDIDATES = 12
"""Each costs an examination of the whole frame."""


def explained(view: View, findings: tuple[Finding, ...]) -> tuple[Finding, ...]:
    """The findings, those of failed sums with what heals them; ``view.verdicts`` likewise."""
    said: dict[str, str] = {}
    for i, verdict in enumerate(view.verdicts):
        if verdict.outcome != "mismatch" or verdict.name not in _SUMS:
            continue
        healed = _only_healing(view, verdict, findings)
        if healed is not None:
            blamed, says = _changes(view.octets, healed)
            says = f"{verdict.says}; {says}" if verdict.says else says
            view.verdicts[i] = verdict._replace(says=says, blamed=blamed)
            said[verdict.name] = says
    return tuple(
        f._replace(says=f"{f.says}; {said[f.rule]}") if f.rule in said else f for f in findings
    )


def _only_healing(view: View, verdict: Verdict, findings: Sequence[Finding]) -> bytes | None:
    """The frame with the one word healed, None when no word, or more than one, would do."""
    others = [f for f in findings if f.rule not in _SUMS and f.certainty != "unusual"]
    known = {(f.rule, f.spans) for f in findings}
    found: set[bytes] = set()
    tried: set[bytes] = set()
    for octets, agreeing in _candidates(view, verdict, others):
        if octets in tried:
            continue
        if len(tried) == _MOST_CANDIDATES:
            return None
        tried.add(octets)
        if _heals(view, octets, verdict, agreeing, known):
            found.add(octets)
    return found.pop() if len(found) == 1 else None


def _candidates(
    view: View, verdict: Verdict, findings: Sequence[Finding]
) -> Iterator[tuple[bytes, Finding]]:
    """Frames with one word changed to what the sum, or a rule at that word, says it was."""
    own = verdict.covers[-1]
    first, stop = own.octets
    off = _off(verdict)
    for finding in findings:
        ranges = [s.octets for s in finding.spans if own.start <= s.start < own.stop]
        if not ranges or sum(b - a for a, b in ranges) > _MOST_OCTETS:
            continue
        for a, b in ranges:
            if isinstance(finding.expected, int) and len(finding.spans) == 1:
                yield _with(view.octets, finding.spans[0], finding.expected), finding
            for at in range(a - (a - first) % 2, b, 2):
                if at + 2 <= stop:
                    span = Span.of_octets(at, at + 2)
                    word = int.from_bytes(view.octets[at : at + 2], "big")
                    yield _with(view.octets, span, healed_word(word, off)), finding


def _off(verdict: Verdict) -> int:
    """How far the sum over everything, the field included, is from FFFF."""
    # The other words sum to the complement of what should stand in the field.
    return difference((verdict.carried or 0) + 0xFFFF - (verdict.computed or 0))


def _with(octets: bytes, span: Span, number: int) -> bytes:
    """The octets with a number at some bits (cut to their width)."""
    width, behind = span.stop - span.start, len(octets) * 8 - span.stop
    mask = ((1 << width) - 1) << behind
    whole = int.from_bytes(octets, "big") & ~mask | (number << behind & mask)
    return whole.to_bytes(len(octets), "big")


def _heals(
    view: View,
    octets: bytes,
    verdict: Verdict,
    agreeing: Finding,
    known: set[tuple[str, tuple[Span, ...]]],
) -> bool:
    """Whether the sum holds in the changed frame, the rule is silent and no other speaks up."""
    starts_at = view.layers[0].kind
    trial = View(
        octets, decode_frame(octets, starts_at), cut=view.cut, on_wire=view.on_wire, host=view.host
    )
    left = examined(trial)
    holds = any(
        v.name == verdict.name and v.outcome == "match" and v.field == verdict.field
        for v in trial.verdicts
    )
    new = any(f.certainty != "unusual" and (f.rule, f.spans) not in known for f in left)
    return holds and not new and agreeing.rule not in {f.rule for f in left}


def _changes(before: bytes, after: bytes) -> tuple[tuple[Span, ...], str]:
    """Where two frames of one length differ, and that in words."""
    wrong = runs(i for i, (a, b) in enumerate(zip(before, after, strict=True)) if a != b)
    first, stop = wrong[0][0], wrong[-1][1]
    bits = int.from_bytes(before, "big") ^ int.from_bytes(after, "big")
    what = f"{before[first:stop].hex()} to {after[first:stop].hex()}"
    one = "one flipped bit, " if bits.bit_count() == 1 else ""
    says = f"{one}{octets_of(first, stop)} from {what} heals it, and another rule agrees"
    return tuple(Span.of_octets(a, b) for a, b in wrong), says
