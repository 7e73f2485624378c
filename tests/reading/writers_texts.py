"""Layouts whose rows differ in their texts only: what stands before, between and behind octets."""

from __future__ import annotations

from collections.abc import Callable

from tests.reading.writers import WRITERS, Page, rows, shown


class _Rows:
    """A layout of rows that differ in their texts only."""

    def __init__(
        self,
        front: str,
        between: str,
        behind: str,
        *,
        size: int = 16,
        form: str = "{:02x}",
        head: str = "",
    ) -> None:
        self.front, self.between, self.behind = front, between, behind
        self.size, self.form, self.head = size, form, head

    def __call__(self, octets: bytes, page: Page) -> None:
        page.put(self.head.format(n=len(octets)))
        for first in rows(octets, self.size):
            page.put(self.front.format(o=first))
            page.row(octets, first, self.size, self.form, self.between)
            page.put(self.behind.format(o=first) + "\n")


WRITERS.update(
    {
        "typed-constants": _Rows("    0x", "u8, 0x", "u8,", head="let rx = [\n"),
        "cast-constants": _Rows("  (byte) 0x", ", (byte) 0x", ",", head="frame of {n} octets\n"),
        "short-constants": _Rows("\t0x", ", 0x", ",", form="{:x}", head="rx frame of {n}:\n"),
        "sized-constants": _Rows("8'h", ", 8'h", ",", head="frame of {n} octets\n"),
        "zero-and-h": _Rows("  DB 0", "h, 0", "h", form="{:02X}", head="frame of {n} bytes\n"),
        "percent-signs": _Rows("rx frame: %", "%", "", size=2000),
        "character-references": _Rows("rx frame: &#x", ";&#x", ";", size=2000),
        "plus-signs": _Rows("rx frame: ", "+", "", size=2000, form="{:02X}"),
        "trailing-colons": _Rows("    ", ":", ":", size=15, head="frame, {n} bytes\n"),
        "table-cells": _Rows("<tr><td>", "</td><td>", "</td></tr>"),
        "row-elements": _Rows('  <row at="{o:04x}">', " ", "</row>"),
        "row-objects": _Rows('{{"off": {o}, "hex": "', " ", '"}}'),
        "named-offset": _Rows("off={o} data=", " ", ""),
        "offset-h": _Rows("{o:04X}h: ", " ", "", form="{:02X}"),
        "ruler": _Rows(
            "{o:04x}: ",
            " ",
            "",
            head="rx {n}\n       0  1  2  3  4  5  6  7  8  9  a  b  c  d  e  f\n",
        ),
        "box": _Rows("│ {o:04x} │ ", " ", " │"),
    }
)


class Words:
    """Rows of words with a front and a back that differ in their texts only."""

    def __init__(
        self,
        front: str,
        between: str,
        behind: str = "",
        *,
        group: int = 4,
        size: int = 16,
        little: bool = False,
        head: str = "rx {n} octets\n",
        base: int = 0,
        step: Callable[[int], int] = lambda o: o,
        upper: bool = False,
        gutter: bool = False,
        tail: str = "",
    ) -> None:
        self.front, self.between, self.behind = front, between, behind
        self.group, self.size, self.little, self.head = group, size, little, head
        self.base, self.step, self.upper, self.gutter, self.tail = base, step, upper, gutter, tail

    def __call__(self, octets: bytes, page: Page) -> None:
        octets_of = len(octets)
        page.put(self.head.format(n=octets_of))
        for first in rows(octets, self.size):
            part = octets[first : first + self.size]
            page.put(self.front.format(o=self.base + self.step(first), r=first // self.size))
            start = page.column
            for at in range(0, len(part), self.group):
                group = part[at : at + self.group]
                page.put(self.between if at else "")
                digits = (group[::-1] if self.little else group).hex()
                column = page.column
                page.put(digits.upper() if self.upper else digits)
                for k in range(len(group)):
                    shift = 2 * (len(group) - 1 - k if self.little else k)
                    place = (page.line, column + shift, column + shift + 2)
                    page.places[first + at + k] = place
            if self.gutter:
                groups = -(-self.size // self.group)
                width = 2 * self.size + (groups - 1) * len(self.between)
                page.put(" " * (width - (page.column - start)) + "  " + shown(part))
            page.put(self.behind.format(o=first, n=min(first + self.size, octets_of)) + "\n")
        page.put(self.tail.format(n=octets_of, o=self.base + octets_of))


TEXTS: dict[str, Words] = {}
"""Such layouts that people paste, by name."""
TEXTS.update(
    {
        "underscored-address": Words("2000_{o:04x}: ", " ", group=2, base=0x1280),
        "segment-and-offset": Words(
            "2000:{o:04X}  ", " ", group=1, base=0x0100, upper=True, gutter=True
        ),
        "label-plus-decimal": Words(
            "0x20001f4{r:x}0 <rx_buf+{o}>:\t0x", "\t0x", group=1, size=8, head="(dbg) examine\n"
        ),
        "label-words": Words(
            "0x{o:08x} <rx+{r}>:\t0x", "\t0x", group=4, little=True, base=0x20001F40
        ),
        "monitor-equals": Words("{o:08x} = ", " ", group=4, base=0x20001F40, head="mon> show rx\n"),
        "monitor-colon-gutter": Words(
            "{o:08x}: ", " ", group=4, base=0x80100000, gutter=True, head="=> show 80100000 {n}\n"
        ),
        "monitor-little-gutterless": Words(
            "[{o:08X}] ", " ", group=4, little=True, base=0x20001F40, upper=True, head="{n}\n"
        ),
        "monitor-halfwords-dash": Words("{o:06X}- ", " ", group=2, upper=True, base=0x1000),
        "row-counter": Words("#{r:02d}: ", " ", group=1, size=10),
        "row-counter-hex": Words("{r:02x}: ", " ", group=1),
        "row-word": Words("row {r}: ", " ", group=1),
        "line-of": Words("line {r:3d} | ", " ", group=1, size=20),
        "decimal-range": Words("bytes {o}.. : ", " ", group=1, size=20),
        "end-offset": Words("{o:07o} ", " ", group=1, head="", tail="{o:07o}\n"),
        "end-offset-hex": Words("{o:08x}  ", " ", group=1, head="", tail="{o:08x}\n"),
        "syslog": Words("Jan 10 12:34:56 alarm7 ethd[312]: {o:04x}: ", " ", group=1, head=""),
        "syslog-angle": Words(
            "<6>Jan 10 12:34:56 alarm7 kernel: [   12.3456{r:02d}] {o:08x}: ", " ", group=1, head=""
        ),
        "log-level-file": Words("DEBUG eth_rx.c:214: ", " ", group=1),
        "log-pipe": Words("net-1  | ", " ", group=1),
        "iso-stamp-level": Words("2001-02-03T04:05:06.78{r:02d}Z DEBUG [net] ", " ", group=1),
        "remark-at": Words("  .byte 0x", ", 0x", "  @ 0x{o:02x}", group=1, size=8),
        "remark-semicolon-h": Words("    DB ", "h,", "h ; {o:04X}h", group=1, size=8, upper=True),
        "remark-number-sign": Words("\t.byte\t0x", ", 0x", "\t# {o}", group=1, size=8),
        "remark-slashes": Words("  0x", ", 0x", ", // {o:03x}", group=1, size=12),
        "remark-stars": Words("  0x", ", 0x", ", /* {o:d} */", group=1, size=8),
        "remark-percent": Words("  ", " ", " % {o:d}", group=1, size=8),
        "remark-dashes-text": Words("  0x", ", 0x", ", -- octets from {o}", group=1, size=8),
        "words-half-le": Words("  0x", " 0x", group=2, little=True, head="u16 rx[] {n} bytes\n"),
        "rust-vector": Words(
            "    0x", ", 0x", ",", group=1, head="let frame: Vec<u8> = vec![\n", tail="];\n"
        ),
        "go-slice": Words(
            "\t0x", ", 0x", ",", group=1, size=8, head="rx := []byte{{\n", tail="}}\n"
        ),
        "dash-octets": Words("", "-", group=1, size=16),
        "dash-octets-offset": Words("{o:04X}: ", "-", group=1, size=16, upper=True),
        "comma-no-blank": Words("  ", ",", ",", group=1),
        "table-bars": Words(
            "| {o:04x} | ",
            " | ",
            " |",
            group=1,
            size=8,
            head="| at |0|1|2|3|4|5|6|7|\n|---|---|---|---|---|---|---|---|---|\n",
        ),
        "table-plus": Words("+ {o:3d} + ", " ", " +", group=1),
        "quoted-twice": Words("> > {o:04x}: ", " ", group=1),
        "quoted-bars": Words("| | ", " ", group=1),
        "block-code": Words("    {o:04x}  ", " ", group=1, head="```text\n", tail="```\n"),
        "dollar-address": Words("${o:04X}: $", " $", group=1, size=8, upper=True),
        "at-address": Words("@{o:08x} ", " ", group=1, base=0x20001F40),
        "h-address": Words("{o:08X}h  ", " ", group=1, base=0x20001F40, upper=True),
        "parens-address": Words("({o:04x}) ", " ", group=1),
        "address-slash": Words("{o:x}/ ", " ", group=2, base=0x1000),
        "hash-comment-rows": Words("# {o:04x}: ", " ", group=1),
        "slash-comment-rows": Words("// ", " ", group=1),
        "star-comment-rows": Words(" * {o:04x}: ", " ", group=1, head="/*\n", tail=" */\n"),
        "tag-colon-rows": Words("RX: ", " ", group=1, head=""),
        "tag-remaining": Words("data: ", ":", group=1, size=16, head="eth: in, {n} bytes\n"),
        "word-tabs": Words("{o:04x}\t", "\t", group=4),
        "three-octets": Words("{o:04x}: ", " ", group=3, size=15),
        "six-octets": Words("{o:04x}: ", " ", group=6, size=12),
        "packed-offset": Words("{o:04x}: ", "", group=16, size=16),
        "packed-little-words": Words("", "", group=4, size=16, little=True),
        "packed-gutter": Words("{o:04x}: ", "", group=1, size=16, gutter=True),
        "no-blank-offset": Words("{o:04X}:", " ", group=1, upper=True),
        "offset-equals-arrow": Words("{o:04x} => ", " ", group=1),
        "offset-behind": Words("", " ", " <- {o}", group=1, size=12),
        "offset-behind-hex": Words("", " ", "  :{o:04x}", group=1, size=16),
        "count-of": Words("", " ", "  ({n})", group=1, size=16),
        "tail-name": Words("", " ", " (eth0)", group=1),
        "ansi": Words("\x1b[32m{o:04x}\x1b[0m: ", " ", group=1),
        "ansi-all": Words("\x1b[1;34m{o:04x}:\x1b[0m \x1b[37m", " ", "\x1b[0m", group=1),
        "nul-end": Words("{o:04x}: ", " ", "\0", group=1),
        "plus-0x": Words("+0x{o:x}: ", " ", group=1),
        "html-br": Words("{o:04x}: ", " ", "<br>", group=1),
        "csv-index": Words("{r},0x", ",0x", group=1),
        "csv-offset": Words("{o};", ";", group=1),
        "upper-0X": Words("0X", ", 0X", ",", group=1, upper=True),
        "four-bars": Words("{o:04x}: ", " | ", group=4),
        "json-hex-rows": Words('    "', "", '",', group=16, head='"frame": [\n', tail="]\n"),
        "colon-words": Words("{o:04x}: ", ":", group=2),
        "dots-words": Words("{o:08x} ", ".", group=2),
        "underscored-words": Words("{o:04x}: 0x", "_", group=2),
        "offset-slash": Words("{o}/{o:x}: ", " ", group=1),
        "of-total": Words("{o:4d}/300: ", " ", group=1),
        "words-8-little": Words("{o:04x}: ", " ", group=8, little=True),
        "word-index": Words("[{o:3d}] ", " ", group=4, step=lambda o: o // 4),
        "word-index-little": Words("[{o:3d}] ", "  ", group=4, step=lambda o: o // 4, little=True),
        "address-tag": Words("RAM:{o:08X} ", " ", group=1, base=0x20001F40, upper=True),
        "i2c-like": Words("rd 0x50 @{o:04x}: ", " ", group=1),
        "long-lines": Words("{o:04x}: ", " ", group=1, size=64),
        "unicode-bar": Words("{o:04x} ┃ ", " ", group=1),
        "nbsp": Words("{o:04x}:\u00a0", "\u00a0", group=1),
    }
)
