"""Frames for the tests of judging, and one call from octets to what is judged."""

from __future__ import annotations

import tomllib
from pathlib import Path
from typing import Any, NamedTuple

from framecheck.core.finding import Finding, Host, Verdict
from framecheck.core.sheet import Fate
from framecheck.core.view import View
from framecheck.judging import Past, fate, judge
from framecheck.layers import decode_frame

# Worked out apart from this project: see the head of the file.
REFERENCE = tomllib.loads(
    (Path(__file__).parents[2] / "vectors/reference/frames.toml").read_text("utf-8")
)
NOBODY = Host()
BOARD_IPV6 = Host(
    bytes.fromhex("00005e005302"), bytes.fromhex("fe8000000000000002005efffe005302"), 5001
)
BOARD = Host(bytes.fromhex("00005e005302"), bytes((192, 0, 2, 2)), 5001)


class Judged(NamedTuple):
    verdicts: tuple[Verdict, ...]
    findings: tuple[Finding, ...]
    fate: Fate

    def outcome(self, name: str) -> str | None:
        return next((v.outcome for v in self.verdicts if v.name == name), None)

    def verdict(self, name: str) -> Verdict:
        return next(v for v in self.verdicts if v.name == name)

    @property
    def above_unusual(self) -> list[str]:
        return [f.rule for f in self.findings if f.certainty != "unusual"]

    def spans(self, rule: str) -> list[tuple[tuple[int, int], ...]]:
        return [tuple(s.octets for s in f.spans) for f in self.findings if f.rule == rule]


def reference(name: str) -> bytes:
    return bytes.fromhex(REFERENCE[name]["octets"])


def judged(octets: bytes, starts_at: str = "ethernet", **seen: Any) -> Judged:
    view = View(octets, decode_frame(octets, starts_at), **seen)
    verdicts, findings = judge(view)
    return Judged(verdicts, findings, fate(view, findings))


def judged_in_order(
    *frames: bytes, starts_at: str = "ethernet", past: Past | None = None
) -> list[Judged]:
    """Each frame judged after those before it, as the frames of one log are."""
    past = past or Past()
    found = []
    for number, octets in enumerate(frames, 1):
        view = View(octets, decode_frame(octets, starts_at), past=past.so_far)
        verdicts, findings = judge(view)
        found.append(Judged(verdicts, findings, fate(view, findings)))
        past.note(number, view)
    return found


def after(before: tuple[str, ...], starts_at: str = "ethernet") -> Past | None:
    """The past that frames, given in hex, leave behind."""
    past = Past()
    judged_in_order(*map(bytes.fromhex, before), starts_at=starts_at, past=past)
    return past.so_far


def changed(octets: bytes, at: int, digits: str) -> bytes:
    new = bytes.fromhex(digits)
    return octets[:at] + new + octets[at + len(new) :]
