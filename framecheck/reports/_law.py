"""The law for a person: one sentence, then its evidence, what else it could be, what helps."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from itertools import zip_longest
from typing import Any

from framecheck.core.report import Report, ReportOptions
from framecheck.core.sheet import FrameRecord, Totals
from framecheck.reports._page import INDENT, Ink, safe, wrap
from framecheck.reports._words import counted, name_of, no_frame

_MOST_ROWS = 12
_MOST_RIVALS = 5
_MOST_FRAMES = 6
_MOST_FOLDED = 16
"""Rows of the fold that are shown of one frame."""
_LEGEND = {
    "=": "as sent",
    "~": "old octets, as the law says",
    "x": "against the law",
    "?": "not known",
}


def write(
    frames: Iterable[FrameRecord], totals: Callable[[], Totals], options: ReportOptions
) -> Iterator[str]:
    """The report of the law in lines; the frames themselves are what ``check`` shows."""
    for _ in frames:
        pass
    ink = Ink(options.colour)
    yield "".join(f"{line}\n" for line in _report(totals(), options, ink))


def sentence(law: Mapping[str, Any]) -> str:
    """The law in one sentence, with how sure it is."""
    said = safe(str(law["says"]))
    return said if law["certain"] else f"probably, but not for certain: {said}"


def _report(end: Totals, options: ReportOptions, ink: Ink) -> Iterator[str]:
    width = options.width
    for i in end.inputs:
        if i.error:
            yield from wrap(safe(i.error), width, "", "  ")
        elif not i.dumps:
            yield from wrap(no_frame(i), width, "", "  ")
    if end.laws:
        yield from _first(end, options, ink)
    elif end.tally.frames:
        yield ink.bold("no law can be told")
    for note in end.law_notes:
        yield ""
        yield from _part("note", safe(note), width)


def _first(end: Totals, options: ReportOptions, ink: Ink) -> Iterator[str]:
    law, width, seen = end.laws[0], options.width, end.picture or {}
    for line in wrap(sentence(law), width, "", "  "):
        yield ink.bold(line)
    yield ""
    yield from _part("evidence", _evidence(law), width)
    for kind, word in (("fails", "against"), ("untested", "untested")):
        if law[kind]["count"]:
            yield from _part(word, _frames(law[kind]), width)
    yield from _table(seen.get("rows", ()), width, ink)
    yield from _side_by_side(seen.get("pair"), width)
    yield from _fold(seen, width, ink)
    yield from _rivals(law, end.laws[1:], width)
    if law["next"]:
        yield from _part("next", safe(law["next"]["says"]), width)
    yield from _help(law["workaround"], width)


def _part(label: str, text: str, width: int) -> Iterator[str]:
    yield from wrap(text, width, f"{label:<10}", INDENT)


def _evidence(law: Mapping[str, Any]) -> str:
    holds, fails = law["holds"]["count"], law["fails"]["count"]
    said = f"holds in {holds:,} of {counted(holds + fails, 'frame')}"
    if law["margin"] is None:
        return said
    sure = "certain" if law["certain"] else "not certain"
    # What is certain is the family and its numbers; where its count starts may be open.
    sure += ", but for where its count starts" if law["certain"] and law["rivals"] else ""
    return f"{said}; {law['margin']:g} bits ahead of the next law that says otherwise: {sure}"


def _frames(tally: Mapping[str, Any]) -> str:
    named = [_named(str(i), n) for i, n in tally["examples"][:_MOST_FRAMES]]
    more = tally["count"] - len(named)
    return ", ".join(named) + (f" and {more:,} more" if named and more > 0 else "") or counted(
        tally["count"], "frame"
    )


def _named(name: str, number: int) -> str:
    """A frame of an input, or a probe that never came."""
    return f"probe {number}" if name == "probe" else f"{name_of(name)} frame {number}"


def _table(rows: Sequence[Mapping[str, Any]], width: int, ink: Ink) -> Iterator[str]:
    """Frames by length: how many, what came, which octets are not what was sent."""
    if not rows:
        return
    yield ""
    yield ink.dim("  octets  frames    came  not as sent                against the law")
    for row in _some(rows):
        if row is None:
            yield ink.dim("      ..")
            continue
        came = str(row["received"]) if row["came"] else "no"
        yield (
            f"  {row['length']:>6}  {row['frames']:>6}  {came:>6}  {_wrong(row):<26} "
            f"{row['against'] or '':>4}"
        ).rstrip()


def _some(rows: Sequence[Mapping[str, Any]]) -> list[Mapping[str, Any] | None]:
    if len(rows) <= _MOST_ROWS:
        return list(rows)
    half = _MOST_ROWS // 2
    return [*rows[:half], None, *rows[-half:]]


def _wrong(row: Mapping[str, Any]) -> str:
    if not row["wrong"] and row["came"] and row["received"] != row["length"] + row["behind"]:
        more = row["received"] - row["length"]
        return f"{more} more" if more > 0 else f"{-more} absent"
    if not row["wrong"]:
        return "-" if not row["unwritten"] else f"{row['unwritten']} from 0x{row['from']:x}, old"
    first, last, number = row["wrong"]
    some = f" (in {row['in']})" if row["in"] < row["frames"] else ""
    return f"{number} in 0x{first:x} to 0x{last:x}{some}"


def _side_by_side(pair: Mapping[str, Any] | None, width: int) -> Iterator[str]:
    if not pair:
        return
    yield ""
    for label, side, what in (
        ("last good", pair["good"], "came whole"),
        ("first bad", pair["bad"], "did not"),
    ):
        yield from wrap(
            f"{name_of(side['input'])} frame {side['number']}, {side['length']} octets, {what}",
            width,
            f"{label:<10}",
            INDENT,
        )
        at, sent, read = f"{side['at']:#05x}", side["sent"], side["received"]
        if side is pair["bad"]:
            yield f"{INDENT}sent  {at}  {sent.hex(' ')}"
        if read is not None:
            yield f"{INDENT}read  {at}  {read.hex(' ')}"
            marks = " ".join("  " if a == b else "^^" for a, b in zip_longest(sent, read))
            if marks.strip():
                yield f"{INDENT}{'':6}{'':5}  {marks}".rstrip()


def _fold(seen: Mapping[str, Any], width: int, ink: Ink) -> Iterator[str]:
    """Octets by offset, folded at the law's width, one character a state."""
    folded = [f for f in seen.get("fold", ()) if set(f[1]) - {"="}]
    if not folded:
        return
    at = min(int(seen["width"]), max(8, width - len(INDENT)))
    used: set[str] = set()
    yield ""
    yield ink.dim(f"  fold    {at} octets a row, one character an octet")
    for length, states in folded[:3]:
        used |= set(states)
        # Octet 0 is moved to where it stands in the law's count, so that the stripes line up.
        before = int(seen["indent"]) % at
        rows = [(" " * before + states)[i : i + at] for i in range(0, before + len(states), at)]
        yield f"  {length:>6}"
        for i, row in enumerate(rows):
            if len(rows) > _MOST_FOLDED and _MOST_FOLDED // 2 <= i < len(rows) - _MOST_FOLDED // 2:
                if i == _MOST_FOLDED // 2:
                    yield ink.dim("      ..")
                continue
            yield f"  {max(0, i * at - before):>#6x}  {row}"
    said = ", ".join(f"{c} {_LEGEND[c]}" for c in _LEGEND if c in used)
    yield from wrap(said, width, INDENT)


def _rivals(
    law: Mapping[str, Any], others: Sequence[Mapping[str, Any]], width: int
) -> Iterator[str]:
    # Loads numpy: only where a law is reported.
    from framecheck.laws.foretold import brief

    rivals = law["rivals"]
    if not rivals:
        return
    yield ""
    for n, rival in enumerate(rivals[:_MOST_RIVALS]):
        yield from wrap(safe(brief(rival)), width, "or else   " if not n else INDENT, INDENT + "  ")
    if len(rivals) > _MOST_RIVALS:
        yield f"{INDENT}and {len(rivals) - _MOST_RIVALS} more"


def _help(workaround: Mapping[str, Any] | None, width: int) -> Iterator[str]:
    if not workaround:
        return
    yield ""
    yield from _part("change", safe(workaround["says"]), width)
    if workaround["octets_a_frame"] is not None:
        low, high = workaround["lengths"]
        yield from _part(
            "costs",
            f"{workaround['octets_a_frame']:g} octets a frame, {workaround['percent']:g} % of "
            f"what these frames of {_range(low, high)} octets hold",
            width,
        )
    if workaround["code"]:
        yield f"{INDENT}{safe(workaround['code'])}"
    if workaround["stays"]:
        yield from _part("danger", safe(workaround["stays"]), width)


def _range(low: int, high: int) -> str:
    return f"{low}" if low == high else f"{low} to {high}"


LAW = Report("law", "the law behind the damage, for a person", write, tells=True)
"""What ``framecheck law`` writes for a person; it is not on the shelf of reports of a sheet."""
