"""Which lengths to send: what they part, held against laws worked out here once more."""

from __future__ import annotations

import json
from itertools import product

import pytest

from framecheck.cli import run
from framecheck.probes.openings import openings
from framecheck.probes.plan import plan, standing


def granule(n: int, lead: int = 0, trail: int = 0) -> dict:
    return stated("granule", n=n, lead=lead, trail=trail)


def stated(family: str, **parameters: object) -> dict:
    return {"family": family, "parameters": parameters, "rivals": [], "when": None, "then": None}


def left_over(n: int, length: int) -> int:
    return length % n


def test_the_first_opening_names_every_granule_by_what_is_left_over():
    first = openings()[0].lengths
    seen = {tuple(left_over(n, length) for length in first) for n in range(2, 65)}
    assert len(seen) == 63
    # No two of them do it alone.
    for pair in product(first, repeat=2):
        assert len({tuple(left_over(n, length) for length in pair) for n in range(2, 65)}) < 63


def test_the_second_opening_names_every_granule_with_every_start():
    lengths = openings()[1].lengths
    seen = {
        tuple((length + lead) % n for length in lengths) for n in range(1, 65) for lead in range(n)
    }
    assert len(seen) == 2080


def test_what_60_98_and_342_leave_open_is_parted_by_one_frame():
    # Those three lengths leave 16, 24 and 48: 60 % n = 12, 98 % n = 2 and 342 % n = 6 for each.
    laws = [granule(n) for n in (16, 24, 48)]
    found = plan(laws)
    assert len(found.steps) == 1
    assert len({left_over(n, found.steps[0].length) for n in (16, 24, 48)}) == 3
    assert found.steps[0].left == 3


def test_laws_of_different_families_are_parted():
    laws = [stated("tail", k=2), granule(4), stated("swap", width=2, part="keep"), stated("sound")]
    found = plan(laws)
    assert found.steps[-1].left == 4
    assert found.equal == ()


def test_laws_that_no_length_parts_are_said_to_be_equal():
    found = plan([granule(8), granule(8), granule(16)])
    assert found.equal == ((0, 1),)


def test_damage_at_random_is_asked_for_by_repetition():
    assert plan([stated("unrelated"), granule(8)]).repeat == 20


def test_each_step_tells_something_and_the_first_tells_most():
    found = plan([granule(n, lead) for n in (8, 16, 24, 32) for lead in (0, 2, 4, 6)])
    bits = [step.bits for step in found.steps]
    assert bits == sorted(bits, reverse=True)
    assert [step.left for step in found.steps] == sorted({step.left for step in found.steps})
    assert found.steps[-1].left == 16


def test_only_the_first_law_and_its_rivals_stand():
    first = granule(8) | {"rivals": [granule(16)]}
    assert [law["parameters"]["n"] for law in standing([first, granule(32)])] == [8, 16]
    assert standing([]) == ()


def test_the_plan_without_a_log_is_the_opening(capsys):
    assert run(["probe", "plan"]) == 0
    out = capsys.readouterr().out
    assert "63 78 95" in out
    assert "network that you may test" in " ".join(out.split())
    assert max(map(len, out.splitlines())) <= 80


def test_the_plan_as_json(capsys):
    assert run(["probe", "plan", "--report", "json"]) == 0
    value = json.loads(capsys.readouterr().out)
    assert value["format"] == "framecheck-probes"
    assert value["what"] == "plan"
    assert value["steps"][0]["lengths"] == [63, 78, 95]
    assert all(step["decides"] for step in value["steps"])


def test_the_plan_with_a_log_parts_the_laws_that_stand(capsys):
    log = "vectors/demo/orchard.log"
    assert run(["probe", "plan", "--fill", "letters", "--report", "json", log]) == 0
    value = json.loads(capsys.readouterr().out)
    assert {law["family"] for law in value["laws"]} >= {"granule"}
    assert value["steps"]
    assert value["steps"][-1]["apart"] + sum(len(e) - 1 for e in value["equal"]) == len(
        value["laws"]
    )


@pytest.mark.parametrize(
    ("arguments", "says"),
    [
        (["probe", "pan"], "did you mean plan"),
        (["probe", "plan", "no-such.log"], "there is no such file"),
        (["probe", "build", "--lengths", "59"], "'59'|59 is no length from 60 to 1514"),
        (["probe", "build", "--lengths", "63,,95"], "is no length"),
        (["probe", "build", "--lengths", "63", "--sweep"], "not both"),
        (["probe", "build", "--host", "ip=2001:db8::1"], "IPv4"),
        (["probe", "build", "--output", "probes.bin"], "the end says the form"),
        (["probe", "build", "--repeat", "0"], "repeat"),
        (["probe", "build", "--sweep", "--repeat", "9999"], "more than 100000"),
    ],
)
def test_what_a_user_does_wrong_is_one_line(arguments, says, capsys):
    import re

    assert run(arguments) == 2
    error = capsys.readouterr().err
    assert error.count("\n") == 1 or arguments[1] == "plan"
    assert re.search(says, error)
