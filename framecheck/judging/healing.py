"""What the arithmetic of a failed checksum tells when another rule agrees (RFC 1624).

A one's complement sum that is off says what any one of its words would have to be, if that word
alone were wrong; it does not say which. A word is named only where a rule speaks of that very
place, where everything that the frame was blamed for falls silent when the word is healed, and
where no other word can say the same. A length is named when a checksum holds with it.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import NamedTuple

from framecheck.core.finding import Finding, Verdict
from framecheck.core.span import Span, runs
from framecheck.core.sums import difference, healed_word
from framecheck.core.view import View
from framecheck.judging._measure import octets_of
from framecheck.judging.judge import examined
from framecheck.layers import decode_frame

_SUMS = frozenset(
    f"{name}-checksum" for name in ("ipv4-header", "icmp", "icmpv6", "igmp", "udp", "tcp")
)
_LENGTHS = frozenset(("ipv4-total-length", "ipv6-payload-length", "udp-length"))
_EXACT = frozenset(
    (
        "dhcp-reply-destination",
        "ipv4-multicast-address",
        "ipv4-total-length",
        "ipv6-multicast-address",
        "ipv6-payload-length",
    )
)
"""Rules that a word taken at random would hardly satisfy: they may vouch for both its octets."""
_MOST_OCTETS = 16
"""A rule that speaks of more octets than this points at no word."""
_MOST_TRIALS = 12
"""Each costs an examination of the whole frame."""


class _Trial(NamedTuple):
    """A frame with one thing changed, and who asks for the change."""

    octets: bytes
    asks: str


def explained(view: View, findings: tuple[Finding, ...]) -> tuple[Finding, ...]:
    """The findings, those of failed sums with what heals them; ``view.verdicts`` likewise."""
    said: dict[str, str] = {}
    for i, verdict in enumerate(view.verdicts):
        if verdict.outcome != "mismatch" or verdict.name not in _SUMS | _LENGTHS:
            continue
        trials = _lengths(view, verdict) if verdict.name in _LENGTHS else None
        healed = _only(view, verdict, trials or _words(view, verdict, findings))
        if healed is not None and not _rivalled(view, verdict, healed):
            blamed, says = _changes(view.octets, healed.octets)
            more = f"{verdict.says}; {says}" if verdict.says else says
            view.verdicts[i] = verdict._replace(says=more, blamed=blamed)
            said[verdict.name] = says
    return tuple(
        f._replace(says=f"{f.says}; {said[f.rule]}") if f.rule in said else f for f in findings
    )


def headers_healed(view: View) -> list[bytes]:
    """The frame with one octet of its IPv4 header changed, each way after which nothing is wrong.

    Of these the sum cannot tell which was sent, unless there is but one. Empty where the sum of
    the header holds. Costs an examination a word of the header. Source: RFC 1624.
    """
    examined(view)
    found = []
    for verdict in view.verdicts:
        if verdict.name == "ipv4-header-checksum" and verdict.outcome == "mismatch":
            first, stop = verdict.covers[-1].octets
            for at in range(first, stop - 1, 2):
                for trial in _one_word(view.octets, at, _off(verdict), "a rival"):
                    if trial.octets != view.octets and _heals(view, verdict, trial):
                        found.append(trial.octets)
    return found


def _only(view: View, verdict: Verdict, trials: Iterator[_Trial]) -> _Trial | None:
    """The frame healed by one change, None when no change, or more than one, would do."""
    tried: dict[bytes, _Trial | None] = {}
    for trial in trials:
        if trial.octets in tried or trial.octets == view.octets:
            continue
        if len(tried) == _MOST_TRIALS:
            return None
        tried[trial.octets] = trial if _heals(view, verdict, trial) else None
    found = [trial for trial in tried.values() if trial is not None]
    return found[0] if len(found) == 1 else None


def _rivalled(view: View, verdict: Verdict, healed: _Trial) -> bool:
    """Whether another word that some table reads, healed instead, would silence everything too.

    A rule names the place that breaks it, and often two places can be at fault: a source that
    does not go with its destination may be right, and the destination wrong. A rule that says
    which value must stand there needs no such question.
    """
    if not healed.asks or healed.asks in _EXACT:
        return False
    off, (first, stop) = _off(verdict), verdict.covers[-1].octets
    read = [x for x in view.layers if x.kind not in ("payload", "padding")]
    return any(
        trial.octets != healed.octets and _heals(view, verdict, trial)
        for at in range(first, stop - 1, 2)
        if any(x.start < at * 8 + 16 and at * 8 < x.stop for x in read)
        for trial in _one_word(view.octets, at, off, "a rival")
    )


def _off(verdict: Verdict) -> int:
    """The other words sum to the complement of what should stand in the field."""
    return difference((verdict.carried or 0) + 0xFFFF - (verdict.computed or 0))


def _words(view: View, verdict: Verdict, findings: Sequence[Finding]) -> Iterator[_Trial]:
    """Frames with one word changed to what the sum, or a rule at that word, says it was."""
    own, off = verdict.covers[-1], _off(verdict)
    for finding in findings:
        if finding.rule in _SUMS or finding.certainty == "unusual":
            continue
        spans = [s for s in finding.spans if own.start <= s.start < s.stop <= own.stop]
        if sum(s.stop - s.start for s in spans) > _MOST_OCTETS * 8:
            continue
        for span in spans:
            wanted = _number(finding.expected, span)
            if wanted is not None:
                yield _Trial(_with(view.octets, span, wanted), "")
            yield from _healed(view.octets, own, span, off, finding.rule)


def _healed(octets: bytes, own: Span, span: Span, off: int, asks: str) -> Iterator[_Trial]:
    """Each word that a rule's span touches, healed."""
    first, stop = own.octets
    low, high = span.octets
    for at in range(low - (low - first) % 2, min(high, stop - 1), 2):
        yield from _one_word(octets, at, off, asks)


def _one_word(octets: bytes, at: int, off: int, asks: str) -> Iterator[_Trial]:
    """The word at an octet healed: one value, or both where 0000 and FFFF heal alike."""
    healed = healed_word(int.from_bytes(octets[at : at + 2], "big"), off)
    for word in (healed,) if healed else (0x0000, 0xFFFF):
        yield _Trial(_with(octets, Span.of_octets(at, at + 2), word), asks)


def _lengths(view: View, verdict: Verdict) -> Iterator[_Trial]:
    """The length that the octets which are there would have."""
    if verdict.field is not None and verdict.computed is not None:
        yield _Trial(_with(view.octets, verdict.field, verdict.computed), "")


def _number(expected: object, span: Span) -> int | None:
    """What a rule says should stand at a span: its number, or its hex digits of that width."""
    if isinstance(expected, int):
        return expected
    if isinstance(expected, str) and len(expected) * 4 == span.stop - span.start:
        try:
            return int(expected, 16)
        except ValueError:
            return None
    return None


def _with(octets: bytes, span: Span, number: int) -> bytes:
    """The octets with a number at some bits (cut to their width)."""
    width, behind = span.stop - span.start, len(octets) * 8 - span.stop
    mask = ((1 << width) - 1) << behind
    whole = int.from_bytes(octets, "big") & ~mask | (number << behind & mask)
    return whole.to_bytes(len(octets), "big")


def _heals(view: View, verdict: Verdict, trial: _Trial) -> bool:
    """Whether nothing speaks against the changed frame any more, and a sum newly speaks for it."""
    changed = sum(a != b for a, b in zip(view.octets, trial.octets, strict=True))
    if trial.asks and changed > 1 and trial.asks not in _EXACT:
        return False
    after = View(
        trial.octets,
        decode_frame(trial.octets, view.layers[0].kind),
        cut=view.cut,
        on_wire=view.on_wire,
        host=view.host,
    )
    left = examined(after)
    if any(f.certainty in ("impossible", "forbidden") for f in left):
        return False
    if any(f.certainty == "suspicious" and _within(f, verdict) for f in left):
        return False
    held = {(v.name, v.field) for v in view.verdicts if v.outcome == "match"}
    return any(
        v.outcome == "match" and v.name in _SUMS and (v.name, v.field) not in held
        for v in after.verdicts
    )


def _within(finding: Finding, verdict: Verdict) -> bool:
    own = verdict.covers[-1]
    return any(own.start <= s.start < own.stop for s in finding.spans)


def _changes(before: bytes, after: bytes) -> tuple[tuple[Span, ...], str]:
    """Where two frames of one length differ, and that in words."""
    wrong = runs(i for i, (a, b) in enumerate(zip(before, after, strict=True)) if a != b)
    first, stop = wrong[0][0], wrong[-1][1]
    flipped = int.from_bytes(before, "big") ^ int.from_bytes(after, "big")
    one = "one flipped bit: " if flipped.bit_count() == 1 else ""
    change = f"from {before[first:stop].hex()} to {after[first:stop].hex()}"
    says = f"{one}{octets_of(first, stop)} {change} heals it, and another rule agrees"
    return tuple(Span.of_octets(a, b) for a, b in wrong), says
