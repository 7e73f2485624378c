"""The five logs that were written before the tool: facts and text that must come out."""

import json
from pathlib import Path
from typing import Any

import pytest

from framecheck.cli import run

GOLDEN = Path(__file__).parent / "golden"
NAMES = sorted(p.stem for p in GOLDEN.glob("*.log"))


def lacks(wanted: Any, got: Any, path: str = "") -> list[str]:
    """Where ``got`` does not hold what ``wanted`` says; dicts may hold more, lists may not."""
    if isinstance(wanted, dict):
        return [
            line
            for key, value in wanted.items()
            for line in (
                lacks(value, got[key], f"{path}.{key}") if key in got else [f"{path}.{key}"]
            )
        ]
    if (
        isinstance(wanted, list)
        and isinstance(got, list)
        and wanted
        and isinstance(wanted[0], dict)
    ):
        if len(wanted) != len(got):
            return [f"{path}: {len(got)} where {len(wanted)} are wanted"]
        return [
            x
            for i, (w, g) in enumerate(zip(wanted, got, strict=True))
            for x in lacks(w, g, f"{path}[{i}]")
        ]
    return [] if wanted == got else [f"{path}: {got!r} where {wanted!r} is wanted"]


@pytest.mark.parametrize("name", NAMES)
def test_the_facts_are_found(
    name: str, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.chdir(GOLDEN)
    wanted = json.loads((GOLDEN / f"{name}.json").read_text())
    options = ["--fill", wanted.pop("fill")] if "fill" in wanted else []
    code = wanted.pop("exit")

    left_with = run(["check", "--report", "json", *options, f"{name}.log"])

    sheet = json.loads(capsys.readouterr().out)
    for frame in sheet["frames"]:
        frame["verdicts"].sort(key=lambda v: v["name"])
    assert lacks(wanted, sheet) == []
    assert left_with == code


@pytest.mark.parametrize("name", NAMES)
def test_the_text_reads_as_it_was_wanted(
    name: str, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.chdir(GOLDEN)
    facts = json.loads((GOLDEN / f"{name}.json").read_text())
    options = ["--fill", facts["fill"]] if "fill" in facts else []

    run(["check", *options, f"{name}.log"])

    assert capsys.readouterr().out == (GOLDEN / f"{name}.txt").read_text()
