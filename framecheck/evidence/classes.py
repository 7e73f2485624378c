"""What each octet is worth: proven, suspect, or neither.

An octet counts as proven only where something vouches for it: a sum that matches and covers it,
or a reference that it equals. A failing sum makes octets suspect, never wrong: which of them is
wrong, the sum does not say.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import NamedTuple

from framecheck.core.finding import Finding, Verdict
from framecheck.core.layer import Layer
from framecheck.core.span import Range, Span, common, merged, runs, without


class Classes(NamedTuple):
    """Disjoint ranges of octets."""

    proven: tuple[Range, ...]
    suspect: tuple[Range, ...]


def checksums(verdicts: Iterable[Verdict]) -> list[Verdict]:
    """The verdicts that speak of contents: a length vouches for none."""
    return [v for v in verdicts if not v.name.endswith("-length")]


def covered(verdicts: Iterable[Verdict], outcome: str) -> tuple[Range, ...]:
    """The octets that *checksums* with this outcome cover (a length vouches for no content)."""
    wanted = [v for v in verdicts if v.outcome == outcome]
    return merged([span.octets for v in checksums(wanted) for span in v.covers])


def narrowed(verdicts: Iterable[Verdict]) -> tuple[Range, ...]:
    """The octets that failing checksums make suspect, where they agree on them.

    An FCS covers all that another sum covers: what both convict is what they share. Two internet
    checksums that are off by the same difference are off by the same octets, those that both
    cover; by different ones, there is more than one thing wrong, and none clears the other's.
    """
    failing = [v for v in checksums(verdicts) if v.outcome == "mismatch"]
    summed = [v for v in failing if v.name not in _WHOLE] or failing
    areas = [merged(s.octets for s in v.covers) for v in summed]
    if not areas:
        return ()
    if len({_off(v) for v in summed}) == 1:
        shared = areas[0]
        for area in areas[1:]:
            shared = common(shared, area)
        if shared:
            return shared
    return merged(r for area in areas for r in area)


_WHOLE = ("fcs", "hdlc-fcs")


def _off(verdict: Verdict) -> int | None:
    if verdict.carried is None or verdict.computed is None:
        return None
    return (verdict.carried - verdict.computed) % 0xFFFF


def classes(
    octets: bytes,
    verdicts: Sequence[Verdict],
    findings: Sequence[Finding],
    *,
    known_bad: Iterable[Range] = (),
    truth: Sequence[int | None] = (),
    vouched: Iterable[Range] = (),
) -> Classes:
    """Sort a frame's octets by what is known of them.

    ``known_bad``: wrong, extra, residue and doubtful octets: never proven, never merely suspect.
    ``truth``: the sent octet for each received one. ``vouched``: constants of a standard.
    """
    whole, bad = (0, len(octets)), merged(known_bad)
    equal = runs([i for i, t in enumerate(truth) if t == octets[i]])
    proven = without(_inside((*covered(verdicts, "match"), *equal, *vouched), whole), bad)
    blamed = _inside((*narrowed(verdicts), *_impossible(findings)), whole)
    suspect = without(without(blamed, proven), bad) if blamed else ()
    return Classes(proven, suspect)


_CONSTANTS: dict[str, tuple[tuple[str, int], ...]] = {
    "arp": (
        ("hardware_type", 1),
        ("protocol_type", 0x0800),
        ("hardware_length", 6),
        ("protocol_length", 4),
    ),
}
"""Fields with one value in every frame of their kind on Ethernet (RFC 826), under no sum."""


def constants(layers: Iterable[Layer]) -> tuple[Range, ...]:
    """The octets of fields that hold what a standard says they always hold.

    Only layers in which every such field is right: 32 bits and more that agree locate them too.
    """
    found: list[Range] = []
    for layer in layers:
        wanted = () if layer.quoted else _CONSTANTS.get(layer.kind, ())
        if wanted and all(layer.number(name) == value for name, value in wanted):
            found += [layer[name].span.octets for name, _ in wanted]
    return merged(found)


def _impossible(findings: Sequence[Finding]) -> list[Range]:
    spans: list[Span] = []
    for f in findings:
        if f.certainty in ("impossible", "forbidden") and not f.rule.endswith("-checksum"):
            spans.extend(f.spans)
    return [s.octets for s in spans]


def _inside(ranges: Iterable[Range], whole: Range) -> list[Range]:
    return [(max(a, whole[0]), min(b, whole[1])) for a, b in ranges]
