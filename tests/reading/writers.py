"""Layouts that no table of traits describes: one function each, which writes a frame on a page.

The page keeps where each octet stands, counted from 1; it shares no code with the reader.
"""

from __future__ import annotations

from collections.abc import Callable

Place = tuple[int, int, int]


class Page:
    """Text that grows, and the places of the octets on it."""

    def __init__(self, line: int) -> None:
        self.text = ""
        self.line = line
        self.column = 1
        self.places: dict[int, Place] = {}

    def put(self, text: str) -> None:
        """Text that is no octet."""
        self.text += text
        self.line += text.count("\n")
        self.column = len(self.text) - self.text.rfind("\n")

    def octet(self, index: int, digits: str, octets: int = 1, *, low: int = 0) -> None:
        """The digits of octet ``index``, in which ``octets`` octets stand one behind another."""
        for k in range(octets):
            at = self.column + low + 2 * k
            stop = at + 2 if octets > 1 else self.column + len(digits)
            self.places[index + k] = (self.line, at, stop)
        self.put(digits)

    def row(
        self, octets: bytes, first: int, size: int, form: str = "{:02x}", between: str = " "
    ) -> None:
        """One row's octets."""
        for k, octet in enumerate(octets[first : first + size]):
            if k:
                self.put(between)
            self.octet(first + k, form.format(octet))


Writer = Callable[[bytes, Page], None]
WRITERS: dict[str, Writer] = {}


def writer(function: Writer) -> Writer:
    """Put a layout on the list, by its name."""
    WRITERS[function.__name__.replace("_", "-")] = function
    return function


def shown(octets: bytes, other: str = ".", blank: str = " ") -> str:
    """The characters of octets."""
    return "".join(blank if o == 32 else chr(o) if 32 < o < 127 else other for o in octets)


def rows(octets: bytes, size: int) -> range:
    """Where rows of this size begin."""
    return range(0, len(octets), size)


@writer
def decimal_offset_padded(octets: bytes, page: Page) -> None:
    page.put("receive:\n")
    for first in rows(octets, 10):
        page.put(f"  {first:4d}: ")
        for k, octet in enumerate(octets[first : first + 10]):
            page.put(" " * (3 - len(str(octet)) + bool(k)))
            page.octet(first + k, str(octet))
        page.put("\n")


@writer
def decimal_commas(octets: bytes, page: Page) -> None:
    page.put(f"frame of {len(octets)} octets = [\n")
    for first in rows(octets, 12):
        page.put("  ")
        page.row(octets, first, 12, "{}", ", ")
        page.put(",\n" if first + 12 < len(octets) else "\n")
    page.put("]\n")


@writer
def decimal_semicolons(octets: bytes, page: Page) -> None:
    page.put(f"packet in, length {len(octets)}\nM ")
    page.row(octets, 0, len(octets), "{}", ";")
    page.put(";\n")


@writer
def decimal_three_digits(octets: bytes, page: Page) -> None:
    for first in rows(octets, 8):
        page.put(f"{first:03d} | ")
        page.row(octets, first, 8, "{:03d}")
        page.put("\n")


@writer
def octal(octets: bytes, page: Page) -> None:
    page.put(f"rx frame, {len(octets)} octets\n")
    for first in rows(octets, 16):
        page.put(f"{first:07o} ")
        page.row(octets, first, 16, "{:03o}")
        page.put("\n")


@writer
def binary(octets: bytes, page: Page) -> None:
    page.put(f"rx frame, {len(octets)} octets\n")
    for first in rows(octets, 6):
        page.put(f"{first:04x}: ")
        page.row(octets, first, 6, "{:08b}")
        page.put("\n")


@writer
def unpadded_hex_rows(octets: bytes, page: Page) -> None:
    page.put(f"rx frame, {len(octets)} octets\n")
    for first in rows(octets, 16):
        page.put(f"{first:4x}: ")
        page.row(octets, first, 16, "{:x}")
        page.put("\n")


@writer
def brackets_running_count(octets: bytes, page: Page) -> None:
    page.put(f"4183ms --> {len(octets)}\n")
    for first in rows(octets, 16):
        page.put("    [")
        page.row(octets, first, 16, "{:02x}", "][")
        page.put(f"] ={min(first + 16, len(octets))}\n")


@writer
def angles(octets: bytes, page: Page) -> None:
    page.put(f"got packet, len {len(octets)}\n<")
    page.row(octets, 0, len(octets), "{:02X}", "> <")
    page.put(">\n")


@writer
def quoted_pairs(octets: bytes, page: Page) -> None:
    page.put('{"length": ' + str(len(octets)) + ', "frame": ["')
    page.row(octets, 0, len(octets), "{:02x}", '", "')
    page.put('"]}\n')


@writer
def dollars(octets: bytes, page: Page) -> None:
    page.put(f"RX {len(octets)}\n")
    for number, first in enumerate(rows(octets, 12)):
        page.put(f" {number + 1:02d} .BYTE $")
        page.row(octets, first, 12, "{:02X}", ",$")
        page.put("\n")


@writer
def letter_h(octets: bytes, page: Page) -> None:
    page.put("frame is:\n")
    for first in rows(octets, 10):
        page.put("    ")
        page.row(octets, first, 10, "{:02X}", "h, ")
        page.put("h,\n" if first + 10 < len(octets) else "h\n")


@writer
def escaped_plus(octets: bytes, page: Page) -> None:
    page.put("last frame = ...\n")
    for first in rows(octets, 8):
        page.put('    "\\x')
        page.row(octets, first, 8, "{:02x}", "\\x")
        page.put('" +\n' if first + 8 < len(octets) else '"\n')


@writer
def escaped_continued(octets: bytes, page: Page) -> None:
    page.put("frame: \\\n")
    for first in rows(octets, 16):
        page.put("\\x")
        page.row(octets, first, 16, "{:02x}", "\\x")
        page.put("\\\n" if first + 16 < len(octets) else "\n")


@writer
def slashes(octets: bytes, page: Page) -> None:
    page.put(f"rx {len(octets)} octets\n")
    page.row(octets, 0, len(octets), "{:02x}", "/")
    page.put("\n")


@writer
def dots(octets: bytes, page: Page) -> None:
    page.put(f"rx {len(octets)} octets\n")
    for first in rows(octets, 20):
        page.row(octets, first, 20, "{:02x}", ".")
        page.put("\n")


@writer
def bars(octets: bytes, page: Page) -> None:
    page.put(f"rx {len(octets)} octets\n")
    for first in rows(octets, 16):
        page.put("|")
        page.row(octets, first, 16, "{:02x}", "|")
        page.put("|\n")


@writer
def one_a_line_bare(octets: bytes, page: Page) -> None:
    page.put(f"received frame, {len(octets)} octets:\n")
    for k, octet in enumerate(octets):
        page.octet(k, f"{octet:02x}")
        page.put("\n")


@writer
def one_a_line_indexed(octets: bytes, page: Page) -> None:
    page.put(f"got packet size={len(octets)} err=0\n")
    for k, octet in enumerate(octets):
        page.put(f"  pkt[{k:3d}] is ")
        page.octet(k, f"{octet:02x}")
        page.put(f" ({octet})\n")


@writer
def one_a_line_constants(octets: bytes, page: Page) -> None:
    page.put(f"frame of {len(octets)} octets\n")
    for k, octet in enumerate(octets):
        page.put(f"b[{k}]=0x")
        page.octet(k, f"{octet:02X}")
        page.put(";\n")


@writer
def one_a_line_columns(octets: bytes, page: Page) -> None:
    page.put("index\tchar\thex\tdec\tchar\n")
    for k, octet in enumerate(octets):
        character = chr(octet) if 33 <= octet < 127 else ""
        page.put(f"{k}\t{character}\t0x")
        page.octet(k, f"{octet:02X}")
        page.put(f"\t{octet}\t{character}\n")


@writer
def one_a_line_words(octets: bytes, page: Page) -> None:
    for k, octet in enumerate(octets):
        character = chr(octet) if 33 <= octet < 127 else " "
        page.put(f"{k}. octet={character}     decimal: {octet:4d}  hexadecimal:   ")
        page.octet(k, f"{octet:02X}")
        page.put(f"  bits: {octet:08b}\n")


@writer
def gutter_left(octets: bytes, page: Page) -> None:
    page.put(f"took {len(octets)} octets from slot 5\n")
    for first in rows(octets, 16):
        characters = shown(octets[first : first + 16], "_", "_")
        page.put(f"    {4236 + first} eth     : {characters:16} | ")
        page.row(octets, first, 16)
        page.put("\n")


@writer
def gutter_left_with_offset(octets: bytes, page: Page) -> None:
    for first in rows(octets, 16):
        page.put(f"{first:04x}  {shown(octets[first : first + 16]):16}  ")
        page.row(octets, first, 16)
        page.put("\n")


@writer
def gutter_back_ticks_table(octets: bytes, page: Page) -> None:
    page.put("Frame, sensor mast 1:\n\n| from | octets | text |\n|---:|:---|:---|\n")
    for first in rows(octets, 10):
        page.put(f"| {first} | ")
        page.row(octets, first, 10)
        page.put(f" | `{shown(octets[first : first + 10], '·')}` |\n")
    page.put("\n")


@writer
def gutter_two_parts(octets: bytes, page: Page) -> None:
    for first in rows(octets, 16):
        part = octets[first : first + 16]
        page.put(f"{first:06x}: ")
        page.row(octets, first, 16)
        page.put("   " * (16 - len(part)))
        page.put(f"   {shown(part[:8], '~')} {shown(part[8:], '~')}".rstrip() + "\n")


@writer
def gutter_blank_differs(octets: bytes, page: Page) -> None:
    for first in rows(octets, 16):
        part = octets[first : first + 16]
        page.put(f"{first:04x}  ")
        page.row(octets, first, 16)
        page.put("   " * (16 - len(part)) + f"  |{shown(part, '.', '_')}|\n")


def _summed(octets: bytes, page: Page, form: str) -> None:
    page.put("dump:\n")
    for first in rows(octets, 16):
        page.put(f"{first:03X}> ")
        page.row(octets, first, 16, "{:02X}")
        page.put(form.format(sum(octets[first : first + 16]) & 0xFF) + "\n")
    page.put("dump done\n")


@writer
def sum_star(octets: bytes, page: Page) -> None:
    _summed(octets, page, " *{:02X}")


@writer
def sum_equals(octets: bytes, page: Page) -> None:
    _summed(octets, page, " ={:02X}")


@writer
def sum_two_blanks(octets: bytes, page: Page) -> None:
    _summed(octets, page, "  {:02X}")


@writer
def sum_brackets(octets: bytes, page: Page) -> None:
    _summed(octets, page, " [{:04x}]")


@writer
def sum_two_blanks_no_offset(octets: bytes, page: Page) -> None:
    page.put(f"rx {len(octets)} octets\n")
    for first in rows(octets, 16):
        page.row(octets, first, 16)
        page.put(f"  {-sum(octets[first : first + 16]) & 0xFF:02x}\n")


@writer
def from_and_to(octets: bytes, page: Page) -> None:
    for first in rows(octets, 32):
        page.put(f"D/HEX Rx: {first:04X}-{min(first + 32, len(octets)) - 1:04X}: ")
        page.row(octets, first, 32, "{:02X}")
        page.put("\n")


@writer
def offset_in_a_comment(octets: bytes, page: Page) -> None:
    page.put(f"frame of {len(octets)} octets\n")
    for first in rows(octets, 8):
        page.put("    0x")
        page.row(octets, first, 8, "{:02x}", ", 0x")
        page.put(f",  // offset 0x{first:04x}\n")


@writer
def running_count(octets: bytes, page: Page) -> None:
    for first in rows(octets, 16):
        page.row(octets, first, 16)
        page.put(f" | {min(first + 16, len(octets))}\n")


@writer
def offset_bare(octets: bytes, page: Page) -> None:
    for first in rows(octets, 16):
        page.put(f"{first:6x}: ")
        page.row(octets, first, 16)
        page.put("\n")


@writer
def offset_in_brackets(octets: bytes, page: Page) -> None:
    for first in rows(octets, 16):
        page.put(f"[{first:x}] ")
        page.row(octets, first, 16)
        page.put("\n")


@writer
def repeat_marker(octets: bytes, page: Page) -> None:
    _with_marker(octets, page, "*")


@writer
def repeat_words(octets: bytes, page: Page) -> None:
    _with_marker(octets, page, "...same...")


def _with_marker(octets: bytes, page: Page, marker: str) -> None:
    page.put(f"rx {len(octets)} octets\n")
    last, marked = b"", False
    for first in rows(octets, 8):
        row = octets[first : first + 8]
        if row == last and first + 8 < len(octets):
            if not marked:
                page.put(marker + "\n")
            marked = True
            place = (page.line - 1, 1, 1 + len(marker))
            page.places.update(dict.fromkeys(range(first, first + 8), place))
            continue
        marked = False
        page.put(f"{first:08x}  ")
        page.row(octets, first, 8)
        page.put("\n")
        last = row


@writer
def address_pairs(octets: bytes, page: Page) -> None:
    for first in rows(octets, 16):
        for at in range(first, min(first + 16, len(octets)), 2):
            page.put(("" if at == first else " ") + f"[0x{at:04x}]:")
            part = octets[at : at + 2]
            page.octet(at, part.hex().upper(), len(part))
        page.put("\n")


@writer
def fields_on_lines(octets: bytes, page: Page) -> None:
    page.put("-- packet 187 at 4163 --\n  dst: ")
    page.row(octets, 0, 6, "{:02x}", ":")
    page.put("\n  src: ")
    page.row(octets, 6, 6, "{:02x}", ":")
    page.put("\n  type: 0x")
    page.octet(12, octets[12:14].hex(), 2)
    page.put("\n  data: ")
    for first in range(14, len(octets), 16):
        page.put("        " if first > 14 else "")
        page.row(octets, first, 16)
        page.put("\n")
    page.put("-- end, queue 3 --\n")


@writer
def fields_on_one_line(octets: bytes, page: Page) -> None:
    page.put("rx dst=")
    page.row(octets, 0, 6, "{:02x}", "-")
    page.put(" src=")
    page.row(octets, 6, 6, "{:02x}", "-")
    page.put(" type=")
    page.octet(12, octets[12:14].hex(), 2)
    page.put(" data=")
    page.row(octets, 14, len(octets))
    page.put("\n")


@writer
def struct_members(octets: bytes, page: Page) -> None:
    page.put("frame = {\n  .destination = { 0x")
    page.row(octets, 0, 6, "{:02x}", ", 0x")
    page.put(" },\n  .source = { 0x")
    page.row(octets, 6, 6, "{:02x}", ", 0x")
    page.put(" },\n  .type = 0x")
    page.octet(12, octets[12:14].hex(), 2)
    page.put(",\n  .data = { 0x")
    page.row(octets, 14, len(octets), "{:02x}", ", 0x")
    page.put(" }\n}\n")


@writer
def element(octets: bytes, page: Page) -> None:
    page.put(f'<frame length="{len(octets)}"><octets>')
    page.row(octets, 0, len(octets), "{:02x}", "")
    page.put("</octets></frame>\n")


@writer
def comma_columns(octets: bytes, page: Page) -> None:
    page.put(f"4163,rx,{len(octets)},")
    page.row(octets, 0, len(octets), "{:02x}")
    page.put(",ok\n")


@writer
def bulleted(octets: bytes, page: Page) -> None:
    page.put(f"rx {len(octets)} octets\n")
    for first in rows(octets, 16):
        page.put("  - ")
        page.row(octets, first, 16)
        page.put("\n")


@writer
def numbered(octets: bytes, page: Page) -> None:
    page.put(f"rx {len(octets)} octets\n")
    for number, first in enumerate(rows(octets, 16)):
        page.put(f"{number + 1}. ")
        page.row(octets, first, 16)
        page.put("\n")


@writer
def mixed_groups(octets: bytes, page: Page) -> None:
    page.put(f"rx {len(octets)} octets\n")
    for first in rows(octets, 16):
        page.put(f"{first:04x}: ")
        at = first
        for size in (4, 2, 2, 4, 4):
            part = octets[at : min(at + size, first + 16)]
            if part:
                page.put(" " if at > first else "")
                page.octet(at, part.hex(), len(part))
            at += size
        page.put("\n")


def _wide(octets: bytes, page: Page, size: int) -> None:
    page.put(f"got packet, len {len(octets)}\n")
    for first in rows(octets, size):
        page.row(octets, first, size)
        page.put("\n")


@writer
def rows_of_five(octets: bytes, page: Page) -> None:
    _wide(octets, page, 5)


@writer
def rows_of_seven(octets: bytes, page: Page) -> None:
    _wide(octets, page, 7)


@writer
def rows_of_fifteen(octets: bytes, page: Page) -> None:
    _wide(octets, page, 15)


@writer
def rows_of_nine_with_offset(octets: bytes, page: Page) -> None:
    for first in rows(octets, 9):
        page.put(f"{first:04x}: ")
        page.row(octets, first, 9)
        page.put("\n")


@writer
def halves_in_wire_order(octets: bytes, page: Page) -> None:
    for first in rows(octets, 32):
        part = octets[first : first + 32]
        page.put(f"0x{first:04x}: ")
        groups = [part[k : k + 4] for k in range(0, len(part), 4)]
        for k, group in enumerate(groups):
            page.put("" if k == 0 else " : " if k == 4 else " ")
            page.octet(first + 4 * k, group.hex(), len(group))
        page.put("\n")


@writer
def directed_groups(octets: bytes, page: Page) -> None:
    page.put("<")
    sizes = [2, 2, 2, 2, 2, 2, 2] + [4] * len(octets)
    at = 0
    for size in sizes:
        part = octets[at : at + size]
        if part:
            page.put(" " if at else "")
            page.octet(at, part.hex().upper(), len(part))
        at += size
    page.put("\n")


@writer
def opening_word(octets: bytes, page: Page) -> None:
    for first in rows(octets, 16):
        page.put("     " if first else "dump(")
        page.row(octets, first, 16)
        part = octets[first : first + 16]
        page.put("   " * (16 - len(part)) + f"  {shown(part)}\n")


@writer
def buffer_object(octets: bytes, page: Page) -> None:
    page.put("<Buffer ")
    page.row(octets, 0, len(octets))
    page.put(">\n")


@writer
def fenced(octets: bytes, page: Page) -> None:
    page.put("```\n")
    for first in rows(octets, 16):
        page.put(f"{first:04x}  ")
        page.row(octets, first, 16)
        page.put("\n")
    page.put("```\n")


@writer
def bold(octets: bytes, page: Page) -> None:
    page.put("I get **")
    page.row(octets, 0, len(octets))
    page.put("** and then nothing\n")
