"""Logs with known damage, from text to sheet."""

from __future__ import annotations

import pytest
from damage_logs import LAYOUTS, make

import framecheck

SEEDS = range(60)


def test_the_seeds_hold_every_layout_and_every_damage():
    logs = [make(seed) for seed in SEEDS]
    assert {log.layout for log in logs} == set(LAYOUTS)
    assert {f.damage for log in logs for f in log.frames} == {"none", "tail", "flip", "cut"}


@pytest.mark.parametrize("seed", SEEDS)
def test_every_frame_is_read_as_it_is_printed(seed):
    log = make(seed)
    dumps = framecheck.read(log.text)
    assert [d.octets.hex() for d in dumps] == [f.received.hex() for f in log.frames]
    for dump, truth in zip(dumps, log.frames, strict=True):
        first = dump.places.at(0)
        assert first is not None
        assert (first.line, first.column) == (truth.line, truth.column)


@pytest.mark.parametrize("seed", SEEDS)
def test_every_damage_is_found_where_it_is(seed):
    log = make(seed)
    sheet = framecheck.check(log.text, fill="letters")
    assert len(sheet.frames) == len(log.frames)
    for record, truth in zip(sheet.frames, log.frames, strict=True):
        assert record.octets == truth.received
        state = {"none": "sound", "cut": "cut"}.get(truth.damage, "damaged")
        assert record.state == state, (record.number, truth.damage, record.findings)
        if truth.damage == "none":
            assert record.residue == ()
        elif truth.damage == "tail":
            assert record.residue == (truth.bad,)
        elif truth.damage == "flip":
            octet = truth.bad[0]
            spans = [s.octets for f in record.findings for s in f.spans]
            assert any(a <= octet < b for a, b in spans)
