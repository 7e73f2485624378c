"""Writes ``vectors/layouts``: one log for each layout, and beside it what it holds.

``python -m tests.reading.make_layouts`` writes them anew; the frames are invented, with
documentation addresses. ``NAME.json`` gives for each dump its octets in hex and, for each octet,
line, column and end column.
"""

from __future__ import annotations

import json
import random
from collections.abc import Iterator
from pathlib import Path

from tests.reading.writers import WRITERS, Page, Place, Writer, rows
from tests.reading.writers_headers import HEADERS
from tests.reading.writers_pasted import PASTED
from tests.reading.writers_texts import TEXTS
from tests.strategies_layouts import Layout, Truth, frame, printed

FOLDER = Path(__file__).resolve().parents[2] / "vectors" / "layouts"
QUIET = Layout(offset="", header="")

LAYOUTS: dict[str, Layout] = {
    "offset8-words16-gutter-one-blank": Layout(
        group=2, offset="{:08x}: ", upper=True, gutter=" {}"
    ),
    "offset-0x-words16": Layout(group=2, offset="\t0x{:04x}:  "),
    "offset-0x-words16-gutter": Layout(group=2, offset="0x{:04x}:  ", gutter="  {}"),
    "offset4-pairs-gutter-gap": Layout(
        offset="{:04x}  ", middle="  ", gutter="   {}", gutter_gap=True
    ),
    "offset4-one-blank": Layout(offset="{:04x} ", upper=True),
    "offset-0x-three-digits": Layout(offset=" 0x{:03x}:  ", upper=True),
    "offset8-two-blanks-stamp": Layout(
        per_row=8,
        between="  ",
        offset="{:08x}  ",
        upper=True,
        prefix="2001-02-03 04:05:{s:02d},{m:03d} # ",
    ),
    "address-bars": Layout(
        offset="0x{:08x}   ",
        base=0x20001F40,
        middle="  ",
        gutter="  |{}|",
        prefix="D ({t:.0f}) rx: ",
    ),
    "offset-bar-pairs-bar": Layout(offset="  {:04x} | ", upper=True, middle="  ", gutter="  |  {}"),
    "offset-starts-at-14": Layout(offset="{:04x}: ", base=14, gutter="    {}"),
    "kernel-clock": Layout(offset="{:08x}: ", prefix="[   {t:.6f}] buf data: "),
    "indented-one-bar": Layout(
        offset="",
        prefix="             ",
        middle="  ",
        gutter=" |{}",
        header="[00:00:01.000,000] <dbg> eth.rx: packet",
    ),
    "bare-words16-title": Layout(group=2, offset="", header="Reply"),
    "bare-pairs": QUIET,
    "packed-groups-clock": Layout(group=8, offset="", upper=True, prefix="01:02:{s:02d}.{m:03d}> "),
    "one-line-length": Layout(per_row=2000, offset="", header="got packet, len {n}"),
    "one-line-packed": Layout(per_row=2000, group=2000, offset="", prefix="Data: ", trailer="..."),
    "one-line-quoted": Layout(per_row=2000, group=2000, offset="", prefix='frame = "', trailer='"'),
    "prose": Layout(per_row=2000, offset="", prefix="I get ", trailer=" .... and then nothing"),
    "c-array": Layout(
        per_row=8,
        offset="",
        mark="0x",
        between=", ",
        prefix="  ",
        trailer=",",
        header="uint8_t seen[] = {{",
    ),
    "constants32": Layout(group=4, offset="", mark="0x"),
    "hardware-array": Layout(per_row=8, offset="", between='", ', mark='x"', trailer='",'),
    "escapes": Layout(per_row=2000, offset="", between="", mark="\\x", prefix='"', trailer='"'),
    "colons": Layout(between=":", offset="{:04x}: "),
    "dashes": Layout(between="-", offset="", header="RX {n} octets:"),
    "commas": Layout(between=",", offset="{:04x}: "),
    "tabs": Layout(between="\t", offset=""),
    "decimal-offset": Layout(per_row=10, offset="{:04d}: "),
    "word-offset": Layout(group=2, unit=2, offset="{:04x}: "),
    "little16": Layout(group=2, little=True, offset="{:04x}: "),
    "little32-gutter": Layout(group=4, little=True, offset="{:04x}: ", gutter="  {}"),
    "little64": Layout(group=8, little=True, offset="{:08x}: ", header="eth rx {n} bytes"),
    "mail-quote": Layout(prefix="> ", offset="{:04x}  ", gutter="  {}"),
    "blank-line-after-every-line": Layout(offset="{:04x}: ", blank_lines=True),
    "wide-rows": Layout(per_row=32, offset="{:04x}  ", middle="  ", gutter="  {}"),
    "task-names": Layout(prefix="netTask: ", offset="+{:04x}  ", header="netTask: RX {n} octets"),
    "middle-dash": Layout(middle=" - ", offset="{:04x}  "),
}


def vector(name: str, layout: Layout) -> tuple[str, list[Truth]]:
    """A log with three frames of different lengths between chatter, and its truth."""
    rng = random.Random(name)
    text = "orchard frost alarm, row 7\n"
    truths = []
    for number in range(3):
        made, truth = printed(frame(rng)[:600], layout, text.count("\n") + 1, 12 + number)
        text += made + "\nvalve 3 open\n"
        truths.append(truth)
    return text, truths


def beside(rng: random.Random, line: int) -> tuple[str, list[Truth]]:
    """Two frames beside each other."""
    sides = [frame(rng)[:60] for _ in range(2)]
    page = Page(line)
    page.put("pair 34, 60 in, 60 out\n")
    found: list[dict[int, Place]] = [{}, {}]
    for first in rows(sides[0], 8):
        page.put(f"  {first:02d}  ")
        for number, octets in enumerate(sides):
            page.places = found[number]
            page.row(octets, first, 8)
            page.put("   " * (8 - len(octets[first : first + 8])))
            page.put("\n" if number else "  ||  ")
    truths = [
        Truth(octets, tuple(places[i] for i in range(len(octets))))
        for octets, places in zip(sides, found, strict=True)
    ]
    return page.text, truths


def written(
    name: str, write: Writer, most: int = 300, *, whole: int = 0
) -> tuple[str, list[Truth]]:
    """A log of three frames of so many octets at most, in a layout that a function writes.

    ``whole``: only frames that have so few octets, and all of them, or 0.
    """
    rng = random.Random(name)
    text = "orchard frost alarm, row 7\n"
    truths = []
    for _ in range(3):
        octets = frame(rng)[:most]
        while whole and len(octets) > whole:
            octets = frame(rng)
        page = Page(text.count("\n") + 1)
        write(octets, page)
        text += page.text + "valve 3 open\n"
        octets = octets[: len(page.places)]
        truths.append(Truth(octets, tuple(page.places[i] for i in range(len(octets)))))
    return text, truths


def logs() -> Iterator[tuple[str, str, list[Truth]]]:
    """Name, text and truth of every log."""
    for name, layout in LAYOUTS.items():
        yield (name, *vector(name, layout))
    for name, write in WRITERS.items():
        yield (name, *written(name, write))
    for name, write in {**TEXTS, **PASTED}.items():
        yield (name, *written(name, write, 140))
    for name, write in HEADERS.items():
        yield (name, *written(name, write, whole=140))
    yield ("two-beside", *beside(random.Random(5), 1))


def main() -> None:
    """Write all vectors."""
    FOLDER.mkdir(parents=True, exist_ok=True)
    for name, text, truths in logs():
        (FOLDER / f"{name}.log").write_text(text)
        dumps = [{"octets": t.octets.hex(), "places": t.places} for t in truths]
        (FOLDER / f"{name}.json").write_text(json.dumps(dumps) + "\n")


if __name__ == "__main__":
    main()
