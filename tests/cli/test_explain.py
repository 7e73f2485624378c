"""Every rule can be explained, and what is marked in its example is what the rule names."""

from __future__ import annotations

import pytest

from framecheck.cli import run
from framecheck.core.finding import Rule
from framecheck.judging import all_rules


@pytest.mark.parametrize("rule", all_rules(), ids=lambda r: r.name)
def test_a_rule_is_explained_from_its_own_declaration(
    rule: Rule, capsys: pytest.CaptureFixture[str]
) -> None:
    assert run(["explain", rule.name]) == 0
    out = capsys.readouterr().out
    words = " ".join(out.split())
    assert " ".join(rule.what.split()) in words
    assert str(rule.source) in words
    assert rule.certainty in words
    assert max(map(len, out.splitlines())) <= 80
    if not rule.example.spans:  # what stands around the frame breaks it, no octet of the frame
        assert f"with {rule.example.head} left in front of it" in words
        return
    first = rule.example.spans[0][0]
    lines = out.splitlines()
    row = next(i for i, line in enumerate(lines) if line.startswith(f"  {first & ~15:#06x}   "))
    octets = bytes.fromhex(rule.example.octets)
    if first < len(octets):
        at = 11 + 3 * (first % 16)
        assert lines[row][at : at + 2] == f"{octets[first]:02x}"
        assert lines[row + 1][at : at + 2] == "^^"


def test_all_rules_are_listed_by_layer(capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["explain"]) == 0
    out = capsys.readouterr().out
    lines = out.splitlines()
    assert lines[0].startswith(f"{len(all_rules())} rules")
    for rule in all_rules():
        assert f"  {rule.name}   {rule.certainty}" in lines
        assert rule.layer in lines
    assert max(map(len, lines)) <= 80


def test_an_unknown_rule_gets_a_hint(capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["explain", "udp-cheksum"]) == 2
    assert "did you mean udp-checksum" in capsys.readouterr().err
    assert run(["explain", "\x1b[2J"]) == 2
    err = capsys.readouterr().err
    assert "\x1b" not in err
    assert err == "framecheck: no rule \\x1b[2J; framecheck explain lists all\n"
