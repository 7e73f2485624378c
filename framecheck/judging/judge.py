"""Verdicts first, then rules, layer by layer; what is loaded is what the frame's layers need."""

from __future__ import annotations

from functools import cache

from framecheck.core.finding import Breach, Finding, Rule, Verdict
from framecheck.core.layer import Layer
from framecheck.core.shelf import load, modules, shelf
from framecheck.core.view import View
from framecheck.judging import host
from framecheck.judging._measure import Measure

_RULES = "framecheck.judging.rules"
_VERDICTS = "framecheck.judging.verdicts"
MOST_BREACHES = 16
"""Findings of one rule about one layer: what breaks it more often is one damage, not many."""


def layer_of(module: str) -> str:
    """The kind of layer that a module speaks of: it is named by it, or by it and a subject.

    ``ipv6_fragment_order`` speaks of ``ipv6-fragment``, not of ``ipv6``: the longest name counts.
    """
    words = module.split("_")
    layers = modules("framecheck.layers")
    for count in range(len(words), 1, -1):
        if "_".join(words[:count]) in layers:
            return "-".join(words[:count])
    return words[0]


def _files(package: str, kind: str) -> tuple[str, ...]:
    """The modules that speak of a kind of layer."""
    return tuple(m for m in modules(package) if layer_of(m) == kind)


@cache
def _measures(kind: str) -> tuple[Measure, ...]:
    files = _files(_VERDICTS, kind)
    found = (m for f in files for m in load(_VERDICTS, f, Measure))
    return tuple(m for m in found if m.layer == kind)


@cache
def _rules(kind: str) -> tuple[Rule, ...]:
    sums = (r for f in _files(_VERDICTS, kind) for r in load(_VERDICTS, f, Rule))
    rules = (r for f in _files(_RULES, kind) for r in load(_RULES, f, Rule))
    return tuple(r for r in (*sums, *rules) if r.layer == kind)


def judge(view: View) -> tuple[tuple[Verdict, ...], tuple[Finding, ...]]:
    """All verdicts and findings of one frame, in the order of its layers.

    Quoted copies inside an ICMP error are not judged: they are cut short there by design, and
    routers on the way may have changed them. Never raises, whatever the octets.
    """
    findings = examined(view)
    if any(v.outcome == "mismatch" for v in view.verdicts):
        # Loaded only for frames that have something to heal.
        from framecheck.judging.healing import explained

        findings = explained(view, findings)
    if view.past is not None and any(x.kind in ("ipv4", "ipv6-fragment") for x in view.layers):
        from framecheck.judging._reassembly import together

        findings += together(view, examined, findings)
    return tuple(view.verdicts), findings


def examined(view: View) -> tuple[Finding, ...]:
    """What every rule says; ``view.verdicts`` is filled. Nothing is healed here."""
    layers = [x for x in view.layers if not x.quoted]
    view.verdicts[:] = [
        verdict
        for layer in layers
        for measure in _measures(layer.kind)
        if (verdict := measure.take(layer, view)) is not None
    ]
    _left_to_the_adapter(view.verdicts)
    return tuple(f for layer in layers for f in _broken(layer, view))


def _left_to_the_adapter(verdicts: list[Verdict]) -> None:
    """A header checksum of 0000 is unfinished too where the transport's shows who was to do it."""
    if any(v.outcome == "partial" for v in verdicts):
        verdicts[:] = [
            v._replace(outcome="partial", says="left to the adapter to fill in")
            if v.name == "ipv4-header-checksum" and v.outcome == "mismatch" and v.carried == 0
            else v
            for v in verdicts
        ]


def _broken(layer: Layer, view: View) -> list[Finding]:
    findings: list[Finding] = []
    for rule in _rules(layer.kind):
        most = len(findings) + MOST_BREACHES
        # A plain loop: nearly all rules say nothing, and whatever counts costs as much as they do.
        for breach in rule.breaks(layer, view):
            findings.append(finding_of(rule, breach))
            if len(findings) == most:
                break
    return findings


def finding_of(rule: Rule, breach: Breach) -> Finding:
    """The finding that a breach of a rule is."""
    return Finding(
        rule.name,
        rule.certainty,
        rule.layer,
        breach.spans,
        breach.observed,
        breach.expected,
        str(rule.source),
        breach.says,
    )


@cache
def _named() -> dict[str, Rule]:
    from framecheck.judging import device  # which judges dumps as they are printed, through here

    everything = (*shelf(_VERDICTS, Rule), *shelf(_RULES, Rule), *host.RULES, *device.RULES)
    found = {r.name: r for r in everything}
    if len(found) < len(everything):
        raise LookupError("two rules have one name")
    return dict(sorted(found.items()))


def all_rules() -> tuple[Rule, ...]:
    """Every rule there is, sorted by name: those of findings, of sums and of the host."""
    return tuple(_named().values())


def rule_named(name: str) -> Rule:
    """The rule of that name. KeyError when there is none."""
    return _named()[name]


@cache
def rule_of(name: str, kind: str) -> Rule | None:
    """A rule of one kind of layer, without loading all the others; None for what is no rule."""
    return next((r for r in _rules(kind) if r.name == name), None)
