"""One trial: a log with one fault, what framecheck says of it, and what that is worth."""

from __future__ import annotations

import random
from collections import Counter
from typing import NamedTuple

import framecheck
from framecheck.core.sheet import FrameRecord, InputRecord
from tests.trials.faults import FAULTS
from tests.trials.logs import (
    LAYOUTS,
    WRITTEN,
    Cell,
    Label,
    Plan,
    plan,
    render,
    text_of,
    with_steps,
)

PAIRS = [(fault, layout) for fault in FAULTS for layout in LAYOUTS]
WRITTEN_PAIRS = [(fault, layout) for fault in FAULTS for layout in WRITTEN]
WORDS = ("exact", "healed", "doubted", "reported", "no trace", "blamed", "lost", "wrong")
"""Outcomes of a frame:

exact: every octet right and at its place, and no doubt that decides.
healed: every octet right; it is said that some are doubtful.
doubted: not every octet right, and a word says so.
reported: the text is, character for character, what an unbroken console prints of the octets that
    were read, so that no reader could know better; and the frame is called damaged. Or the log ends
    behind the frame's own octets, and a finding says that its padding is not there: the same frame
    from a sender that does not pad, in a log that was pasted without its last line end.
no trace: the same, but nothing in the frame speaks against these octets either: no sum, length or
    rule is violated, so that nobody could know (a digit changed into another where no sum covers
    it and nothing repeats it; a frame whose link header was cut off with all that was above it).
blamed: every octet right, but the frame is called damaged.
lost: no frame found, nothing wrong said.
wrong: octets that are not the truth, or a frame that is none, without a word.
"""
CLAIMED = "device-claimed-length"
"""A finding that states two lengths, but not that the text is at fault."""
UNPADDED = "ethernet-frame-unpadded"
"""A finding that states that a frame lacks its padding."""
LEAST = 14
"""Octets that have to be left of a frame for it to be looked for: those of a header."""


class Trial(NamedTuple):
    """A log and its fault."""

    number: int
    fault: str
    plan: Plan
    clean: str
    cells: list[Cell]


class Outcome(NamedTuple):
    """What became of one frame (None: of something that is no frame)."""

    word: str
    frame: int | None
    why: str
    records: tuple[FrameRecord, ...] = ()


def trial(number: int, seed: int, *, written: bool = False) -> Trial:
    """The trial of this number: the same number and seed give the same log.

    ``written``: in a layout that no table of traits describes.
    """
    pairs = WRITTEN_PAIRS if written else PAIRS
    fault, layout = pairs[number % len(pairs)]
    random_ = random.Random(seed * 1_000_003 + number)
    given = plan(layout, random_, 2 if fault == "interleaved" else 1)
    log = render(given)
    return Trial(number, fault, given, text_of(log.cells), FAULTS[fault](log, random_))


def outcomes(given: Trial) -> list[Outcome]:
    """The outcome of each frame that is left in the log, and of each that is none."""
    text = text_of(given.cells)
    sheet = framecheck.check(text)
    labels = _by_line(given.cells)
    left = {x for _, x in given.cells if x}
    owned: dict[int | None, list[FrameRecord]] = {}
    touching: dict[int, list[FrameRecord]] = {}
    for record in sheet.frames:
        count = Counter(x[0] for xs in _labels(record, labels) for x in xs if x)
        owned.setdefault(count.most_common(1)[0][0] if count else None, []).append(record)
        for frame in count:
            touching.setdefault(frame, []).append(record)
    found = [
        Outcome("doubted" if says(r, None) else "wrong", None, "a frame of no digit of one", (r,))
        for r in owned.get(None, ())
    ]
    for frame, truth in enumerate(given.plan.octets):
        if len({x[1] for x in left if x[0] == frame}) < min(LEAST, len(truth)):
            continue
        records = tuple(owned.get(frame, ()))
        if records:
            found.append(_judged(given, text, frame, records, labels))
            continue
        lines = [n for n, xs in enumerate(labels, 1) if any(x and x[0] == frame for x in xs)]
        said = _said_near(sheet.totals.inputs[0], lines) or any(
            says(r, None) for r in touching.get(frame, ())
        )
        found.append(Outcome("doubted" if said else "lost", frame, "not found"))
    return found


def _judged(
    given: Trial,
    text: str,
    frame: int,
    records: tuple[FrameRecord, ...],
    labels: list[list[Label]],
) -> Outcome:
    truth = given.plan.octets[frame]
    record = records[0]
    dump = record.frame.dump
    if len(records) == 1 and dump.octets == truth:
        if not _in_place(record, frame, labels, given.plan.octets):
            return Outcome("wrong", frame, "an octet at another's place", records)
        if record.state == "damaged":
            return Outcome("blamed", frame, ", ".join(f.rule for f in record.findings), records)
        sure = record.state == "sound" and not record.doubtful
        sure = sure and not any(d.decides for d in record.doubts)
        return Outcome("exact" if sure else "healed", frame, record.state, records)
    if all(says(r, truth) for r in records):
        return Outcome("doubted", frame, record.state, records)
    if given.fault == "cut at its end" and len(records) == 1 and _unpadded(record, truth):
        return Outcome("reported", frame, UNPADDED, records)
    if len(records) == 1 and _as_printed(given, text, frame, dump.octets):
        word = "reported" if record.state == "damaged" else "no trace"
        return Outcome(word, frame, record.state, records)
    return Outcome("wrong", frame, _cause(records, truth), records)


def _unpadded(record: FrameRecord, truth: bytes) -> bool:
    """Whether zeros behind the frame's own octets are all that is not there, and that is said."""
    read = record.frame.dump.octets
    own = not any(x.kind == "padding" for x in record.layers)
    only = truth.startswith(read) and not any(truth[len(read) :])
    return own and only and any(f.rule == UNPADDED for f in record.findings)


def says(record: FrameRecord, truth: bytes | None) -> bool:
    """Whether a word stands at a frame whose octets are not all right."""
    if record.state in ("cut", "cannot tell") or any(d.decides for d in record.doubts):
        return True
    if truth is None:
        return False
    dump = record.frame.dump
    read = dump.octets
    unsure = {i for a, b in dump.doubtful for i in range(a, b)}
    wrong = {i for i, (a, b) in enumerate(zip(read, truth, strict=False)) if a != b}
    return len(read) == len(truth) and wrong <= unsure


def _as_printed(given: Trial, text: str, frame: int, read: bytes) -> bool:
    """Whether a console without a fault prints this very text of the octets that were read.

    Of a log that is cut it prints the same lines: from one line's start on, or up to a line's end,
    and that end is there.
    """
    octets = (*given.plan.octets[:frame], read, *given.plan.octets[frame + 1 :])
    again = with_steps(text_of(render(given.plan, octets).cells))
    text = with_steps(text)
    if given.fault == "cut at its start":
        return again.endswith("\n" + text)
    if given.fault == "cut at its end":
        return text.endswith("\n") and again.startswith(text)
    return again == text or _dotted(again, text, read)


def _dotted(again: str, text: str, read: bytes) -> bool:
    """Whether only the gutter differs, as that of a printer that shows every blank as a dot."""
    if len(again) != len(text):
        return False
    differ = [(a, b) for a, b in zip(again, text, strict=True) if a != b]
    return len(differ) == read.count(0x20) and set(differ) == {(" ", ".")}


def _cause(records: tuple[FrameRecord, ...], truth: bytes) -> str:
    if len(records) > 1:
        return f"{len(records)} frames of one"
    read = records[0].frame.dump.octets
    if len(read) == len(truth):
        what = "octets changed"
    elif truth.startswith(read):
        what = "the end is missing"
    elif truth.endswith(read):
        what = "the start is missing"
    elif len(read) < len(truth):
        what = "octets are missing"
    else:
        what = "octets too many"
    said = any(f.rule == CLAIMED for f in records[0].findings)
    return f"{what}, {records[0].state}" + (", but for the claimed length" if said else "")


def _by_line(cells: list[Cell]) -> list[list[Label]]:
    lines: list[list[Label]] = [[]]
    for character, label in cells:
        lines[-1].append(label)
        if character in "\n\r":
            lines.append([])
    return lines


def _labels(record: FrameRecord, labels: list[list[Label]]) -> list[list[Label]]:
    """For each octet of the dump, the labels of the characters at its place."""
    found = []
    for row in record.frame.dump.places.rows:
        line = labels[row.line - 1]
        found += [line[a - 1 : b - 1] for a, b in zip(row.columns, row.ends, strict=True)]
    return found


def _in_place(
    record: FrameRecord, frame: int, labels: list[list[Label]], octets: tuple[bytes, ...]
) -> bool:
    """Whether each octet that is not doubtful stands where its own digits are.

    Of two frames with the same octets in a row nobody can know which row is whose. A repeat marker
    is the place of many octets, and bears the label of one.
    """
    dump = record.frame.dump
    unsure = {i for a, b in dump.doubtful for i in range(a, b)}
    places = [(row.line, column) for row in dump.places.rows for column in row.columns]
    shared = {place for place, times in Counter(places).items() if times > 1}
    return all(
        octet in unsure
        or any(
            x and (x[1] == octet or place in shared) and octets[x[0]][x[1]] == octets[frame][octet]
            for x in at
        )
        for octet, (place, at) in enumerate(zip(places, _labels(record, labels), strict=True))
    )


def _said_near(log: InputRecord, lines: list[int]) -> bool:
    return any(d.line and lines[0] - 1 <= d.line <= lines[-1] + 1 for d in log.doubts)
