"""Sound frames that lost their end to the log's edge, or kept their FCS, are still sound."""

from __future__ import annotations

import zlib

import pytest
from recordings import FOLDER, SOUND, frames

from framecheck.core.view import View
from framecheck.judging import fate, judge
from framecheck.layers import decode_frame


def loud(view: View) -> list[str]:
    verdicts, findings = judge(view)
    said = [f"{f.rule}: {f.says}" for f in findings if f.certainty != "unusual"]
    return said + [v.name for v in verdicts if v.outcome == "mismatch"]


@pytest.mark.parametrize("name", SOUND)
def test_a_frame_that_the_edge_cuts_is_not_accused(name):
    """What needs the lost octets is not verifiable, and rules about it rest."""
    accused = []
    for number, octets in enumerate(frames(name)):
        inside = range(1, len(octets)) if len(octets) < 100 else range(1, len(octets), 37)
        for stop in inside:
            part = octets[:stop]
            said = loud(View(part, decode_frame(part), cut=True))
            accused += [(number, stop, what) for what in said]
    assert accused == []


@pytest.mark.parametrize("name", SOUND)
def test_a_frame_with_its_fcs_is_sound(name):
    """FCS by zlib: CRC-32, least significant octet first (IEEE 802.3 3.2.9)."""
    for number, octets in enumerate(frames(name)):
        fcs = zlib.crc32(octets).to_bytes(4, "little")
        view = View(octets, decode_frame(octets), fcs=fcs)
        assert loud(view) == [], number
        assert [v.outcome for v in view.verdicts if v.name == "fcs"] == ["match"]
        assert fate(view, judge(view)[1]).outcome != "dropped"


@pytest.mark.parametrize("name", SOUND)
def test_any_flipped_bit_under_an_fcs_is_located(name):
    for number, octets in enumerate(frames(name)[::9]):
        fcs = zlib.crc32(octets).to_bytes(4, "little")
        at, bit = number * 37 % len(octets), number % 8
        damaged = octets[:at] + bytes((octets[at] ^ 1 << bit,)) + octets[at + 1 :]
        verdicts, findings = judge(View(damaged, decode_frame(damaged), fcs=fcs))
        verdict = next(v for v in verdicts if v.name == "fcs")
        assert verdict.outcome == "mismatch"
        assert [s.octets for s in verdict.blamed] == [(at, at + 1)]
        assert "ethernet-fcs" in {f.rule for f in findings}


def test_the_readme_counts_what_is_there():
    text = (FOLDER / "README.md").read_text("utf-8")
    for path in FOLDER.glob("*.pcap*"):
        assert f"| `{path.name}` | {len(frames(path.name))} |" in text
