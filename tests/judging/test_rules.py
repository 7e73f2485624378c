"""Every rule: its own example, its papers, its place; and silence on sound frames."""

from __future__ import annotations

import re

import pytest
from judged_frames import BOARD, BOARD_IPV6, REFERENCE, after, judged, judged_in_order, reference

from framecheck.core.finding import Rule
from framecheck.core.shelf import load, modules
from framecheck.core.view import View
from framecheck.judging import STEPS, all_rules, judge, rule_named
from framecheck.judging.device import RULES as DEVICE_RULES
from framecheck.judging.host import RULES as HOST_RULES
from framecheck.judging.judge import layer_of
from framecheck.layers import decode_frame, kinds

RULES = {r.name: r for r in all_rules()}
OF_THE_HOST = {r.name for r in (*HOST_RULES, *DEVICE_RULES)}
OWN = {"ethernet-fcs": "fcs", "hdlc-fcs": "fcs"}
"""Verdicts whose rule has another name."""
SHELVES = ("framecheck.judging.rules", "framecheck.judging.verdicts")


def seen(rule: Rule) -> View:
    octets = bytes.fromhex(rule.example.octets)
    return View(
        octets,
        decode_frame(octets, rule.example.starts_at),
        fcs=bytes.fromhex(rule.example.fcs) or None,
        on_wire=rule.example.on_wire,
        host=BOARD_IPV6 if octets[12:14] == b"\x86\xdd" else BOARD,
        head=bytes.fromhex(rule.example.head),
        claimed=rule.example.claimed,
        past=after(rule.example.before, rule.example.starts_at),
    )


@pytest.mark.parametrize("name", RULES)
def test_its_example_breaks_it_at_exactly_these_octets(name):
    rule, view = RULES[name], seen(RULES[name])
    if name in OF_THE_HOST:
        layer = next(x for x in view.layers if x.kind == rule.layer)
        spans = [b.spans for b in rule.breaks(layer, view)]
    else:
        spans = [f.spans for f in judge(view)[1] if f.rule == name]
    assert [tuple(s.octets for s in found) for found in spans] == [rule.example.spans]


@pytest.mark.parametrize("name", sorted(set(RULES) - OF_THE_HOST))
def test_its_example_breaks_no_sum_but_its_own(name):
    failed = {v.name for v in judged_example(name) if v.outcome == "mismatch"} - {
        name,
        OWN.get(name),
    }
    # A header without addresses or lengths that can be has no sum, or not the one it was sent with.
    allowed = {
        "ethernet-fcs": {"udp-checksum"},
        "ipv4-header-checksum": {"udp-checksum"},
        "ipv4-header-incomplete": {"ipv4-total-length"},
        "ipv4-ihl-beyond-data": {"ipv4-total-length"},
        # These speak only where the sum that would vouch for their octets fails.
        "dhcp-transaction-changed": {"udp-checksum"},
        "ipv4-destination-changed": {"ipv4-header-checksum", "tcp-checksum"},
        "ipv4-identification-run": {"ipv4-header-checksum"},
        "ipv4-source-changed": {"ipv4-header-checksum", "tcp-checksum"},
        "ipv6-destination-changed": {"tcp-checksum"},
        "ipv6-source-changed": {"tcp-checksum"},
        "tcp-acknowledgment-number-run": {"tcp-checksum"},
        "tcp-sequence-number-run": {"tcp-checksum"},
    }
    assert failed <= allowed.get(name, set())


def judged_example(name: str):
    return judge(seen(RULES[name]))[0]


@pytest.mark.parametrize("name", [n for n, r in RULES.items() if r.example.before])
def test_what_came_before_its_example_is_sound_and_needed(name):
    example = RULES[name].example
    before = tuple(map(bytes.fromhex, example.before))
    for found in judged_in_order(*before, starts_at=example.starts_at):
        assert found.above_unusual == []
    alone = judged(bytes.fromhex(example.octets), example.starts_at)
    assert name not in {f.rule for f in alone.findings}


@pytest.mark.parametrize("name", RULES)
def test_its_finding_is_fit_for_a_reader(name):
    rule, view = RULES[name], seen(RULES[name])
    for finding in judge(view)[1]:
        if finding.rule == name:
            assert finding.certainty == rule.certainty
            assert finding.source == str(rule.source)
            assert finding.says
            assert len(finding.says) < 250
            assert isinstance(finding.observed, int | str | None)
            assert isinstance(finding.expected, int | str | None)


@pytest.mark.parametrize("name", RULES)
def test_it_has_its_papers(name):
    rule = RULES[name]
    assert re.fullmatch(r"[a-z0-9]+(-[a-z0-9]+)*", name)
    assert "-" in name
    assert rule.what.endswith((".", "(answer by broadcast); the other 15 must be zero."))
    assert rule.what[0].isupper() or rule.what[0].isdigit()
    assert rule.source.document
    assert rule.source.kind == "practice" or rule.source.where or "RFC" in rule.source.document
    assert rule.drops is None or rule.drops in STEPS
    assert rule.layer in {k.name for k in kinds()} | {"padding", "payload"}
    assert rule.name.startswith((rule.layer, "host-", "device-"))


@pytest.mark.parametrize("shelf", SHELVES)
def test_each_file_is_named_after_the_layer_of_its_rules(shelf):
    for module in modules(shelf):
        for rule in load(shelf, module, Rule):
            assert layer_of(module) == rule.layer


def test_all_rules_are_sorted_and_found_by_name():
    assert list(RULES) == sorted(RULES)
    assert all(rule_named(name) is rule for name, rule in RULES.items())
    with pytest.raises(KeyError):
        rule_named("no-such-rule")


@pytest.mark.parametrize("name", REFERENCE)
def test_a_sound_frame_is_met_with_silence(name):
    found = judged(reference(name))
    assert found.above_unusual == []
    assert {v.outcome for v in found.verdicts} <= {"match"}


@pytest.mark.parametrize("name", REFERENCE)
def test_a_sound_frame_with_its_fcs_is_met_with_silence(name):
    found = judged(reference(name), fcs=bytes.fromhex(REFERENCE[name]["fcs"]))
    assert found.findings == ()
    assert found.outcome("fcs") == "match"


@pytest.mark.parametrize("name", REFERENCE)
def test_an_unpadded_or_cut_frame_is_no_more_than_unusual(name):
    """Lengths and sums that need lost octets rest in a cut frame, wherever it is cut."""
    whole = reference(name)
    for stop in range(len(whole)):
        found = judged(whole[:stop], cut=True)
        assert found.above_unusual == []
        assert {v.outcome for v in found.verdicts} <= {"match", "unverifiable"}


HEADERS = {
    "ethernet-frame-too-short": ("udp-hello", 0, 14),
    "arp-incomplete": ("arp-request", 14, 28),
    "ipv4-header-incomplete": ("udp-hello", 14, 20),
}


@pytest.mark.parametrize("rule", HEADERS)
def test_a_frame_that_ends_inside_a_header_is_named_wherever_it_ends(rule):
    name, start, size = HEADERS[rule]
    for stop in range(start + 1, start + size):
        assert judged(reference(name)[:stop]).spans(rule) == [((start, stop),)]


INNER = {
    "icmp-incomplete": ("icmp-echo", 8),
    "udp-header-incomplete": ("udp-hello", 8),
    "tcp-header-incomplete": ("tcp-syn", 20),
}


@pytest.mark.parametrize("rule", INNER)
def test_a_datagram_that_ends_inside_a_header_is_named_wherever_it_ends(rule):
    name, size = INNER[rule]
    for length in range(1, size):
        octets = bytearray(reference(name))
        octets[16:18] = (20 + length).to_bytes(2, "big")
        assert judged(bytes(octets)).spans(rule) == [((34, 34 + length),)]
