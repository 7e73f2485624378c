"""Each log of ``vectors/console``: what its one fault broke is put right or doubted."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

import framecheck
from tests.trials.faults import FAULTS
from tests.trials.judge import says
from tests.trials.make_damaged import FOLDER, WORDS

LOGS = sorted(FOLDER.glob("*.log"))


@pytest.mark.parametrize("path", LOGS, ids=lambda p: p.stem)
def test_what_the_console_broke_is_put_right_or_doubted(path: Path) -> None:
    told = json.loads(path.with_suffix(".json").read_text())
    text = path.read_bytes().decode()
    records = {r.frame.dump.places.rows[0].line: r for r in framecheck.check(text).frames}

    assert sorted(records) == sorted(f["line"] for f in told["frames"])
    for frame in told["frames"]:
        record, truth = records[frame["line"]], bytes.fromhex(frame["truth"])
        decides = any(d.decides for d in record.doubts)
        if frame["says"] == "doubted":
            assert says(record, truth)
            assert record.state in ("cut", "cannot tell")
            continue
        assert record.frame.dump.octets == truth
        if frame["says"] == "exact":
            assert (record.state, record.doubtful, decides) == ("sound", (), False)
        else:
            assert record.state in ("sound", "cannot tell")
            assert record.doubts
            assert record.doubtful or decides


def test_each_fault_has_a_log_of_both_kinds_where_there_can_be_one() -> None:
    """A lost line or an end that was cut off can be doubted only: nothing repeats what went."""
    once = {"lost line", "cut at its end", "cut at its start"}
    names = {p.stem for p in LOGS}
    for fault in set(FAULTS) - {"none"}:
        for word in WORDS[1:] if fault in once else WORDS:
            assert f"{fault.replace(' ', '-')}-{word}" in names
