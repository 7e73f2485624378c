"""More layouts that people paste: of monitors, debuggers, languages, tables, loggers and mails."""

from __future__ import annotations

import json
import pprint
from collections.abc import Callable

from tests.reading.writers import WRITERS, Page, Writer, rows, shown

PASTED: dict[str, Writer] = {}
"""The layouts of this page by name."""


def pasted(function: Writer) -> Writer:
    """Put a layout on the list, by its name."""
    PASTED[function.__name__.replace("_", "-")] = function
    return function


class _Words:
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


PASTED.update(
    {
        "underscored-address": _Words("2000_{o:04x}: ", " ", group=2, base=0x1280),
        "segment-and-offset": _Words(
            "2000:{o:04X}  ", " ", group=1, base=0x0100, upper=True, gutter=True
        ),
        "label-plus-decimal": _Words(
            "0x20001f4{r:x}0 <rx_buf+{o}>:\t0x", "\t0x", group=1, size=8, head="(dbg) examine\n"
        ),
        "label-words": _Words(
            "0x{o:08x} <rx+{r}>:\t0x", "\t0x", group=4, little=True, base=0x20001F40
        ),
        "monitor-equals": _Words(
            "{o:08x} = ", " ", group=4, base=0x20001F40, head="mon> show rx\n"
        ),
        "monitor-colon-gutter": _Words(
            "{o:08x}: ", " ", group=4, base=0x80100000, gutter=True, head="=> show 80100000 {n}\n"
        ),
        "monitor-little-gutterless": _Words(
            "[{o:08X}] ", " ", group=4, little=True, base=0x20001F40, upper=True, head="{n}\n"
        ),
        "monitor-halfwords-dash": _Words("{o:06X}- ", " ", group=2, upper=True, base=0x1000),
        "row-counter": _Words("#{r:02d}: ", " ", group=1, size=10),
        "row-counter-hex": _Words("{r:02x}: ", " ", group=1),
        "row-word": _Words("row {r}: ", " ", group=1),
        "line-of": _Words("line {r:3d} | ", " ", group=1, size=20),
        "decimal-range": _Words("bytes {o}.. : ", " ", group=1, size=20),
        "end-offset": _Words("{o:07o} ", " ", group=1, head="", tail="{o:07o}\n"),
        "end-offset-hex": _Words("{o:08x}  ", " ", group=1, head="", tail="{o:08x}\n"),
        "syslog": _Words("Jan 10 12:34:56 alarm7 ethd[312]: {o:04x}: ", " ", group=1, head=""),
        "syslog-angle": _Words(
            "<6>Jan 10 12:34:56 alarm7 kernel: [   12.3456{r:02d}] {o:08x}: ", " ", group=1, head=""
        ),
        "log-level-file": _Words("DEBUG eth_rx.c:214: ", " ", group=1),
        "log-pipe": _Words("net-1  | ", " ", group=1),
        "iso-stamp-level": _Words("2001-02-03T04:05:06.78{r:02d}Z DEBUG [net] ", " ", group=1),
        "remark-at": _Words("  .byte 0x", ", 0x", "  @ 0x{o:02x}", group=1, size=8),
        "remark-semicolon-h": _Words("    DB ", "h,", "h ; {o:04X}h", group=1, size=8, upper=True),
        "remark-number-sign": _Words("\t.byte\t0x", ", 0x", "\t# {o}", group=1, size=8),
        "remark-slashes": _Words("  0x", ", 0x", ", // {o:03x}", group=1, size=12),
        "remark-stars": _Words("  0x", ", 0x", ", /* {o:d} */", group=1, size=8),
        "remark-percent": _Words("  ", " ", " % {o:d}", group=1, size=8),
        "remark-dashes-text": _Words("  0x", ", 0x", ", -- octets from {o}", group=1, size=8),
        "words-half-le": _Words("  0x", " 0x", group=2, little=True, head="u16 rx[] {n} bytes\n"),
        "rust-vector": _Words(
            "    0x", ", 0x", ",", group=1, head="let frame: Vec<u8> = vec![\n", tail="];\n"
        ),
        "go-slice": _Words(
            "\t0x", ", 0x", ",", group=1, size=8, head="rx := []byte{{\n", tail="}}\n"
        ),
        "dash-octets": _Words("", "-", group=1, size=16),
        "dash-octets-offset": _Words("{o:04X}: ", "-", group=1, size=16, upper=True),
        "comma-no-blank": _Words("  ", ",", ",", group=1),
        "table-bars": _Words(
            "| {o:04x} | ",
            " | ",
            " |",
            group=1,
            size=8,
            head="| at |0|1|2|3|4|5|6|7|\n|---|---|---|---|---|---|---|---|---|\n",
        ),
        "table-plus": _Words("+ {o:3d} + ", " ", " +", group=1),
        "quoted-twice": _Words("> > {o:04x}: ", " ", group=1),
        "quoted-bars": _Words("| | ", " ", group=1),
        "block-code": _Words("    {o:04x}  ", " ", group=1, head="```text\n", tail="```\n"),
        "dollar-address": _Words("${o:04X}: $", " $", group=1, size=8, upper=True),
        "at-address": _Words("@{o:08x} ", " ", group=1, base=0x20001F40),
        "h-address": _Words("{o:08X}h  ", " ", group=1, base=0x20001F40, upper=True),
        "parens-address": _Words("({o:04x}) ", " ", group=1),
        "address-slash": _Words("{o:x}/ ", " ", group=2, base=0x1000),
        "hash-comment-rows": _Words("# {o:04x}: ", " ", group=1),
        "slash-comment-rows": _Words("// ", " ", group=1),
        "star-comment-rows": _Words(" * {o:04x}: ", " ", group=1, head="/*\n", tail=" */\n"),
        "tag-colon-rows": _Words("RX: ", " ", group=1, head=""),
        "tag-remaining": _Words("data: ", ":", group=1, size=16, head="eth: in, {n} bytes\n"),
        "word-tabs": _Words("{o:04x}\t", "\t", group=4),
        "three-octets": _Words("{o:04x}: ", " ", group=3, size=15),
        "six-octets": _Words("{o:04x}: ", " ", group=6, size=12),
        "packed-offset": _Words("{o:04x}: ", "", group=16, size=16),
        "packed-little-words": _Words("", "", group=4, size=16, little=True),
        "packed-gutter": _Words("{o:04x}: ", "", group=1, size=16, gutter=True),
        "no-blank-offset": _Words("{o:04X}:", " ", group=1, upper=True),
        "offset-equals-arrow": _Words("{o:04x} => ", " ", group=1),
        "offset-behind": _Words("", " ", " <- {o}", group=1, size=12),
        "offset-behind-hex": _Words("", " ", "  :{o:04x}", group=1, size=16),
        "count-of": _Words("", " ", "  ({n})", group=1, size=16),
    }
)


@pasted
def literal_rows(octets: bytes, page: Page) -> None:
    page.put(f"rx {len(octets)} octets\n")
    for first in rows(octets, 16):
        page.put("    ")
        _literal(octets, first, min(len(octets), first + 16), page)
        page.put("\n")


@pasted
def literal_offset_rows(octets: bytes, page: Page) -> None:
    for first in rows(octets, 16):
        page.put(f"{first:04x}  ")
        _literal(octets, first, min(len(octets), first + 16), page)
        page.put("\n")


def _literal(octets: bytes, start: int, stop: int, page: Page) -> None:
    text = repr(octets[start:stop])
    page.put(text[:2])
    quote = text[1]
    for k in range(start, stop):
        one = octets[k]
        digits = repr(bytes([one]))[2:-1]
        if one == ord("'"):
            digits = "\\'" if quote == "'" else "'"
        if digits.startswith("\\x"):
            page.put("\\x")
            digits = digits[2:]
        page.octet(k, digits)
    page.put(quote)


@pasted
def c_string_rows(octets: bytes, page: Page) -> None:
    page.put("const char *rx =\n")
    for first in rows(octets, 12):
        page.put('  "')
        for k in range(first, min(len(octets), first + 12)):
            page.put("\\x")
            page.octet(k, f"{octets[k]:02x}")
        page.put('"\n')
    page.put(";\n")


@pasted
def list_open_in_first_row(octets: bytes, page: Page) -> None:
    page.put(f"# len {len(octets)}\nrx0 = [0x")
    for first in rows(octets, 14):
        page.put("       0x" if first else "")
        page.row(octets, first, 14, "{:x}", ", 0x")
        page.put("]\n" if first + 14 >= len(octets) else ",\n")


@pasted
def decimal_open_in_first_row(octets: bytes, page: Page) -> None:
    page.put(f"rx frame {len(octets)} = {{ ")
    for first in rows(octets, 18):
        page.put("    " if first else "")
        page.row(octets, first, 18, "{}", ", ")
        page.put(" }\n" if first + 18 >= len(octets) else ",\n")


@pasted
def go_printed_list(octets: bytes, page: Page) -> None:
    page.put("rx frame [")
    page.row(octets, 0, len(octets), "{}", " ")
    page.put("]\n")


@pasted
def json_members(octets: bytes, page: Page) -> None:
    page.put('{"event":"rx","len":' + str(len(octets)) + ',"data":[')
    page.row(octets, 0, len(octets), "{}", ",")
    page.put('],"ok":true}\n')


@pasted
def json_numbered(octets: bytes, page: Page) -> None:
    page.put("{\n")
    for k, octet in enumerate(octets):
        page.put(f'  "{k}": ')
        page.octet(k, str(octet))
        page.put(",\n" if k + 1 < len(octets) else "\n")
    page.put("}\n")


@pasted
def json_type_and_data(octets: bytes, page: Page) -> None:
    page.put('{"type": "Buffer", "data": [')
    page.row(octets, 0, len(octets), "{}", ", ")
    page.put("]}\n")


@pasted
def octet_lines_stamped(octets: bytes, page: Page) -> None:
    for k, octet in enumerate(octets):
        page.put(f"[{12.5 + k / 1000:12.6f}] spi rx: 0x")
        page.octet(k, f"{octet:02x}")
        page.put("\n")


@pasted
def octet_lines_clocked(octets: bytes, page: Page) -> None:
    page.put(f"reading {len(octets)} octets of the frame\n")
    for k, octet in enumerate(octets):
        page.put(f"04:05:06.{100 + k:03d} data=")
        page.octet(k, f"{octet:02X}")
        page.put("\n")


@pasted
def octal_one_line(octets: bytes, page: Page) -> None:
    page.put(f"rx {len(octets)} octets: ")
    page.row(octets, 0, len(octets), "{:03o}", " ")
    page.put("\n")


@pasted
def octal_rows_unpadded(octets: bytes, page: Page) -> None:
    page.put(f"rx {len(octets)} octets\n")
    for first in rows(octets, 16):
        page.put(f"{first:06o}")
        for k in range(first, min(len(octets), first + 16)):
            digits = f"{octets[k]:o}"
            page.put(" " * (4 - len(digits)))
            page.octet(k, digits)
        page.put("\n")


@pasted
def hex_aligned_unpadded(octets: bytes, page: Page) -> None:
    page.put(f"rx {len(octets)} octets\n")
    for first in rows(octets, 16):
        page.put(f"{first:04x}:")
        for k in range(first, min(len(octets), first + 16)):
            digits = f"{octets[k]:x}"
            page.put(" " * (3 - len(digits)))
            page.octet(k, digits)
        page.put("\n")


@pasted
def decimal_columns(octets: bytes, page: Page) -> None:
    page.put(f"rx {len(octets)} octets\n")
    for first in rows(octets, 16):
        for k in range(first, min(len(octets), first + 16)):
            digits = str(octets[k])
            page.put(" " * (3 - len(digits)))
            page.octet(k, digits)
        page.put("\n")


@pasted
def signed_octets(octets: bytes, page: Page) -> None:
    page.put(f"rx {len(octets)} bytes: [")
    for k, octet in enumerate(octets):
        page.put(", " if k else "")
        page.octet(k, str(octet - 256 if octet > 127 else octet))
    page.put("]\n")


@pasted
def headers_apart(octets: bytes, page: Page) -> None:
    page.put(f"received, whole length {len(octets)}\n")
    at = 0
    for name, size in (("mac", 14), ("ip", 20), ("rest", 16)):
        page.put(f"  {name:5}{size}: ")
        page.row(octets[: at + size], at, size)
        page.put("\n")
        at += size
    for first in range(at, len(octets), 16):
        page.put("  rest ..: ")
        page.row(octets, first, 16)
        page.put("\n")


@pasted
def header_and_payload(octets: bytes, page: Page) -> None:
    page.put("eth header: ")
    page.row(octets[:14], 0, 14)
    page.put("\nip header : ")
    page.row(octets[:34], 14, 20)
    page.put("\npayload   : ")
    page.row(octets, 34, len(octets))
    page.put("\n")


@pasted
def short_first_group(octets: bytes, page: Page) -> None:
    page.put(f"rx {len(octets)} octets\n")
    size = len(octets) % 4
    at = 0
    while at < len(octets):
        step = size or 4
        page.put(" " if at else "")
        page.octet(at, octets[at : at + step].hex(), step)
        at += step
        size = 0
    page.put("\n")


@pasted
def two_columns_offsets(octets: bytes, page: Page) -> None:
    for first in rows(octets, 16):
        page.put(f"{first:04x}: ")
        page.row(octets[: first + 8], first, 8)
        if first + 8 < len(octets):
            page.put(f"    {first + 8:04x}: ")
            page.row(octets, first + 8, 8)
        page.put("\n")


@pasted
def pretty_list(octets: bytes, page: Page) -> None:
    page.put(f"frame, {len(octets)} octets:\n")
    _by_order(octets, pprint.pformat(list(octets), compact=True) + "\n", page)


@pasted
def json_indented(octets: bytes, page: Page) -> None:
    _by_order(octets, json.dumps({"frame": list(octets)}, indent=2) + "\n", page)


def _by_order(octets: bytes, text: str, page: Page) -> None:
    """Text whose only numbers are the octets, in their order."""
    rest = text
    for k, octet in enumerate(octets):
        front, found, rest = rest.partition(str(octet))
        assert found
        page.put(front)
        page.octet(k, found)
    page.put(rest)


@pasted
def elixir_binary(octets: bytes, page: Page) -> None:
    page.put("<<")
    page.row(octets, 0, len(octets), "{}", ", ")
    page.put(">>\n")


@pasted
def bits_rows(octets: bytes, page: Page) -> None:
    page.put(f"rx frame of {len(octets)}\n")
    for first in rows(octets, 8):
        page.row(octets, first, 8, "{:08b}")
        page.put("\n")


@pasted
def hex_index_pairs(octets: bytes, page: Page) -> None:
    for first in rows(octets, 8):
        for k in range(first, min(first + 8, len(octets))):
            page.put(f"[{k:02d}]")
            page.octet(k, f"{octets[k]:02x}")
            page.put(" ")
        page.put("\n")


@pasted
def assignment_lines(octets: bytes, page: Page) -> None:
    for k, octet in enumerate(octets):
        page.put(f"frame[{k}] = 0x")
        page.octet(k, f"{octet:02x}")
        page.put(";\n")


@pasted
def register_words(octets: bytes, page: Page) -> None:
    page.put(f"fifo, {len(octets)} octets\n")
    for first in rows(octets, 4):
        part = octets[first : first + 4]
        page.put(f"RXDATA[{first // 4}] = 0x")
        page.octet(first, part.hex(), len(part))
        page.put("\n")


WRITERS.update({name.replace("_", "-"): write for name, write in PASTED.items()})
