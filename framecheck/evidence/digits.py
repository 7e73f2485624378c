"""A digit that the console lost or changed, put back where the frame's own sums name it.

A sum that fails over one octet whose digits are broken is tried with every octet that one digit
can make of it. If exactly one makes all sums over it hold, that is the octet: the chance that a
wrong one does is one in 65,536 for each sum of sixteen bits and each try.
"""

from __future__ import annotations

from framecheck.core.finding import Verdict
from framecheck.core.frame import BROKEN_DIGITS, OCTETS_ONLY, Doubt, Frame
from framecheck.core.layer import Layer
from framecheck.core.span import common, each, without
from framecheck.core.view import View
from framecheck.evidence.classes import checksums, covered
from framecheck.judging import judge
from framecheck.layers import decode_frame


def put_back(frame: Frame, layers: tuple[Layer, ...]) -> tuple[Frame, tuple[Layer, ...]]:
    """The frame with the octet that its sums prove, and its layers; unchanged without a proof.

    Only a frame that starts with its link header, and of which exactly one octet is in doubt.
    """
    deciding = [d for d in frame.doubts if d.decides]
    if frame.starts_at != "ethernet" or not any(d.about == BROKEN_DIGITS for d in deciding):
        return frame, layers
    if any(d.about not in OCTETS_ONLY for d in deciding):
        return frame, layers
    head, size = frame.head, len(frame.octets)
    doubtful = [
        (a - head, b - head) for a, b in frame.dump.doubtful if head <= a and b <= head + size
    ]
    verdicts = _verdicts(frame.octets, layers)
    open_ = list(each(without(doubtful, covered(verdicts, "match"))))
    failing = _failing(verdicts)
    if len(open_) != 1 or not failing:
        return frame, layers
    at = open_[0]
    if not any(common([(at, at + 1)], [s.octets for s in v.covers]) for v in failing):
        return frame, layers
    found = []
    for value in sorted(_tries(frame.octets[at])):
        octets = frame.octets[:at] + bytes([value]) + frame.octets[at + 1 :]
        tried = decode_frame(octets)
        after = _verdicts(octets, tried)
        names = {v.name for v in checksums(after) if v.outcome == "match"}
        if not _failing(after) and {v.name for v in failing} <= names:
            found.append((octets, tried, sorted(v.name for v in failing)))
    if len(found) != 1:
        return frame, layers
    octets, tried, names_ = found[0]
    dump = frame.dump
    printed = dump.octets[:head] + octets + dump.octets[head + size :]
    doubts = tuple(_said(d, frame.octets[at], octets[at], names_) for d in frame.doubts)
    return frame._replace(dump=dump._replace(octets=printed), octets=octets, doubts=doubts), tried


def _tries(octet: int) -> set[int]:
    """The octets that differ in one digit, or of which one digit was lost."""
    high, low = octet >> 4, octet & 15
    tries = {high << 4 | x for x in range(16)} | {x << 4 | low for x in range(16)}
    if not high:
        tries |= {low << 4 | x for x in range(16)}
    return tries - {octet}


def _verdicts(octets: bytes, layers: tuple[Layer, ...]) -> tuple[Verdict, ...]:
    return judge(View(octets, layers))[0]


def _failing(verdicts: tuple[Verdict, ...]) -> list[Verdict]:
    return [v for v in checksums(verdicts) if v.outcome == "mismatch"]


def _said(doubt: Doubt, was: int, now: int, names: list[str]) -> Doubt:
    if doubt.about != BROKEN_DIGITS or not doubt.decides:
        return doubt
    proof = " and ".join(f"the {n}" for n in names)
    return doubt._replace(
        taken=f"octet {now:02x}, put back: {proof} holds with no other",
        other=f"{was:02x}, the digits that are left",
        decides=False,
    )
