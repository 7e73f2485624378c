"""Logs of known content: frames printed in any combination of layout traits, with the truth.

The writer shares no code with the reader. Its truth is octets, and for each octet the line and
the columns of its digits, both counted from 1.
"""

from __future__ import annotations

import random
from typing import NamedTuple

from hypothesis import strategies as st


class Layout(NamedTuple):
    """The traits of one layout."""

    per_row: int = 16
    group: int = 1
    little: bool = False
    between: str = " "
    middle: str = ""
    """Put in instead of ``between`` after half a row; empty for none."""
    mark: str = ""
    """In front of each group."""
    offset: str = "{:04x}:  "
    """Format of the offset column; empty for none."""
    base: int = 0
    unit: int = 1
    upper: bool = False
    gutter: str = ""
    """Format of the gutter, with ``{}`` for its characters; empty for none."""
    padded: bool = True
    gutter_gap: bool = False
    prefix: str = ""
    """In front of every row; ``{t}`` is a clock that runs on."""
    header: str = ""
    """A line in front; ``{n}`` is the number of octets."""
    trailer: str = ""
    blank_lines: bool = False
    """A blank line behind every row."""


class Truth(NamedTuple):
    """What the log holds: octets, and for each its line, column and end column."""

    octets: bytes
    places: tuple[tuple[int, int, int], ...]


OFFSETS = (
    "{:04x}  ",
    "{:04x}: ",
    "{:04x}:  ",
    "{:08x}: ",
    "{:08x}  ",
    "0x{:04x}:  ",
    "0x{:03x}:  ",
    "{:04X} | ",
    "{:06x} - ",
    "{:04d}: ",
    "[{:04x}] ",
    "+{:04x}  ",
    "{:04x}\t",
)
PREFIXES = (
    "",
    "    ",
    "\t",
    "> ",
    "[   {t:.6f}] ",
    "[   {t:.6f}] eth0: ",
    "2001-02-03 04:05:{s:02d},{m:03d} # ",
    "01:02:{s:02d}.{m:03d}> ",
    "01:02:{s:02d}.{m:03d} -> ",
    "D ({t:.0f}) rx: ",
    "netTask: ",
    "I/orchard.rx: ",
)
GUTTERS = (" {}", "  {}", "   {}", "  |{}|", " |{}", " | {}", "    {}", "  [{}]", "  '{}'", " : {}")
HEADERS = (
    "",
    "",
    "got packet, len {n}",
    "RX {n} octets:",
    "rx frame length={n}",
    "[   12.345678] eth0: received {n} bytes",
    "orchard> show last frame",
    "Reply",
)


def printed(octets: bytes, layout: Layout, line: int = 1, clock: float = 12.0) -> tuple[str, Truth]:
    """The log text of one frame, each line ended by LF, whose first line has number ``line``."""
    out: list[str] = []
    places: list[tuple[int, int, int]] = []
    if layout.header:
        out.append(layout.header.format(n=len(octets)))
    width = _data_width(layout)
    for first in range(0, max(1, len(octets)), layout.per_row):
        row = octets[first : first + layout.per_row]
        clock += 0.0013
        text = layout.prefix.format(t=clock, s=int(clock) % 60, m=int(clock * 1000) % 1000)
        if layout.offset:
            offset = layout.offset.format(layout.base + first // layout.unit)
            text += offset.upper().replace("X", "x") if layout.upper else offset
        start = len(text)
        number = line + len(out)
        for at in range(0, len(row), layout.group):
            group = row[at : at + layout.group]
            shown = group[::-1] if layout.little else group
            if at:
                half = at == layout.per_row // 2
                text += layout.middle if half and layout.middle else layout.between
            text += layout.mark
            column = len(text) + 1
            text += shown.hex().upper() if layout.upper else shown.hex()
            for k in range(len(group)):
                shift = 2 * (len(group) - 1 - k if layout.little else k)
                places.append((number, column + shift, column + shift + 2))
        if layout.gutter:
            characters = "".join(chr(o) if 32 <= o < 127 else "." for o in row)
            if layout.gutter_gap and len(row) > 8:
                characters = characters[:8] + " " + characters[8:]
            if layout.padded:
                text = text.ljust(start + width)
            text += layout.gutter.format(characters)
        out.append(text + layout.trailer)
        if layout.blank_lines:
            out.append("")
    return "".join(t + "\n" for t in out), Truth(octets, tuple(places))


def _data_width(layout: Layout) -> int:
    groups = -(-layout.per_row // layout.group)
    width = groups * len(layout.mark) + 2 * layout.per_row + (groups - 1) * len(layout.between)
    return width + (len(layout.middle) - len(layout.between) if layout.middle else 0)


@st.composite
def layouts(draw: st.DrawFn) -> Layout:
    """Any combination of traits that a person would call a hex dump."""
    return random_layout(random.Random(draw(st.integers(0, 1 << 30))))


def random_layout(rng: random.Random) -> Layout:
    """One combination of traits."""
    group = rng.choice((1, 1, 1, 1, 2, 2, 4, 8))
    per_row = rng.choice((16, 16, 16, 16, 8, 32))
    between = (
        rng.choice((" ", " ", " ", "  ", ":", "-", ", ", ",", "\t", " - ")) if group == 1 else " "
    )
    offset = rng.choice((*OFFSETS, "", "", "", ""))
    if offset and between == "\t":
        between = " "
    gutter = rng.choice((*GUTTERS, "", "", "", "", ""))
    middle = ""
    if between == " " and per_row // 2 % group == 0:
        middle = rng.choice(("", "", "  ", " - " if group == 1 else "  "))
    return Layout(
        per_row=per_row,
        group=group,
        between=between,
        middle=middle,
        mark=rng.choice(("", "", "", "0x")) if between in (" ", ", ") else "",
        offset=offset,
        upper=rng.random() < 0.4,
        gutter=gutter,
        padded=rng.random() < 0.85,
        gutter_gap=rng.random() < 0.2 and per_row == 16,
        prefix=rng.choice(PREFIXES),
        header=rng.choice(HEADERS),
        little=group > 1 and rng.random() < 0.3,
        blank_lines=rng.random() < 0.05,
    )


def frame(rng: random.Random) -> bytes:
    """A plausible frame: ARP, or IPv4 with UDP, TCP or an echo, of any length."""
    own, other = bytes.fromhex("00005e005301"), bytes([0, 0, 0x5E, 0, 0x53, rng.randrange(256)])
    destination = rng.choice((own, b"\xff" * 6, b"\x01\x00\x5e\x00\x00\xfb"))
    tag = rng.choice((b"", b"", b"", bytes([0x81, 0, 0, rng.randrange(256)])))
    if rng.random() < 0.3:
        octets = bytes.fromhex("0001080006040001") + other + bytes([192, 0, 2, 7])
        octets += bytes(6) + bytes([192, 0, 2, rng.randrange(256)])
        octets = destination + other + tag + b"\x08\x06" + octets
        return octets.ljust(60, b"\0") if rng.random() < 0.7 else octets
    size = rng.choice((rng.randrange(8, 64), rng.randrange(8, 600), 1480, 26))
    kind = rng.choice((1, 6, 17))
    text = b"orchard frost alarm: row 7, leaf 0.4 degrees, wind 3 m/s; "
    body = bytes(rng.randrange(256) for _ in range(8))
    if rng.random() < 0.6:
        body += (text * 30)[: size - 8]
    else:
        body += bytes(rng.randrange(256) for _ in range(size - 8))
    head = bytes([0x45, 0]) + (20 + len(body)).to_bytes(2, "big") + bytes([0, 1, 0, 0, 64, kind])
    head += bytes(2) + bytes([192, 0, 2, 7, 192, 0, 2, rng.randrange(256)])
    total = sum(int.from_bytes(head[i : i + 2], "big") for i in range(0, 20, 2))
    total = (total & 0xFFFF) + (total >> 16)
    total = 0xFFFF - ((total & 0xFFFF) + (total >> 16))
    head = head[:10] + total.to_bytes(2, "big") + head[12:]
    return (destination + other + tag + b"\x08\x00" + head + body).ljust(60, b"\0")


@st.composite
def frames(draw: st.DrawFn) -> bytes:
    """Any plausible frame."""
    return frame(random.Random(draw(st.integers(0, 1 << 30))))
