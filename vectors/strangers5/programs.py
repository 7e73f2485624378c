"""What stands in sources, tests and machine-readable logs."""

from __future__ import annotations

from _frames import plain, rare, six, tagged
from _page import Page, characters, rows


def short_directives() -> Page:
    """Directives for halfwords of a little-endian machine, with the offset in a comment."""
    page = Page("assembler: .short with 0x, lower octet last, 6 a line, offset in a comment")
    page.say("        .section .rodata", "        .align 2", "probe_frame:")
    frame = page.frame(plain(50))
    for start, stop in rows(frame.octets, 12):
        page.put("        .short  ")
        for word in range(start, stop, 2):
            page.put(", 0x" if word > start else "0x")
            frame.octet(word + 1)
            frame.octet(word)
        page.end(f"    @ {start}")
    page.say("        .size probe_frame, 60", "        .text")
    return page


def decimal_directives() -> Page:
    """Directives for octets with decimal numbers."""
    page = Page("assembler: .byte with decimal numbers, 12 a line", "decimal")
    page.say("; made by tool/frames.py, do not edit", "        .global answer", "answer:")
    frame = page.frame(plain(106))
    for start, stop in rows(frame.octets, 12):
        page.put("        .byte   ")
        frame.run(start, stop, ", ", "d")
        page.end()
    page.say("answer_end:", "        .word answer_end - answer")
    return page


def array_by_parts() -> Page:
    """An array with a comment before each part of the frame."""
    page = Page("C array, lines by parts of the frame with a comment before or behind")
    page.say("#include <stdint.h>", "", "static const uint8_t question[60] = {")
    frame = page.frame(plain(9))
    parts = (
        ("/* to, from */", 12), ("/* kind */", 2), ("/* kinds of address, 6 and 4 */", 6),
        ("/* operation 1 */", 2), ("/* who asks */", 10), ("/* who is asked for */", 10),
    )  # fmt: skip
    at = 0
    for remark, count in parts:
        page.say(f"    {remark}")
        page.put("    0x")
        frame.run(at, at + count, ", 0x")
        page.end(",")
        at += count
    page.put("    0x")
    frame.run(at, 60, ", 0x")
    page.end("  // filled up")
    page.say("};", "", "int main(void) { return send_raw(question, sizeof question); }")
    return page


def indented_document() -> Page:
    """A list of mappings; each row of octets is an item of a list."""
    page = Page("indented mappings, rows as items in quotes, words of 2 octets")
    page.say("unit: alarm7", "events:")
    for second, octets in ((2, plain(97)), (5, plain(98))):
        frame = page.frame(octets)
        page.say(
            f"  - at: 04:12:{second:02d}.120", "    way: in", f"    size: {len(octets)}",
            "    rows:",
        )  # fmt: skip
        for start, stop in rows(octets, 16):
            page.put('      - "')
            frame.groups(start, stop, 2, " ")
            page.end('"')
    page.say("  - at: 04:12:09.002", "    bud: 0.7", "...")
    return page


def marked_rows() -> Page:
    """Elements of a mark-up, one a row, with offset and count as attributes."""
    page = Page("an element a row, offset and count in attributes, 16 a row")
    page.say('<log unit="alarm7">', '  <bud at="04:11:58">0.6</bud>')
    frame = page.frame(tagged(36))
    page.say(f'  <frame at="04:12:01" way="out" octets="{len(frame.octets)}">')
    for start, stop in rows(frame.octets, 16):
        page.put(f'    <row at="0x{start:02x}" n="{stop - start}">')
        frame.run(start, stop)
        page.end("</row>")
    page.say("  </frame>", '  <bud at="04:12:03">0.6</bud>', "</log>")
    return page


def cells_of_a_table() -> Page:
    """Values between commas: number, time, way, length, and the whole frame in a cell."""
    page = Page("comma-separated: number, time, way, length, frame without gaps, remark")
    page.say("number,time,way,length,frame,remark")
    for number, way, octets in ((17, "rx", plain(60)), (18, "tx", plain(113)), (19, "rx", six(30))):
        frame = page.frame(octets)
        page.put(f"{number},04:12:{number}.221,{way},{len(octets)},")
        frame.run(0, len(octets), "", "02X")
        page.end(",late" if number == 18 else ",")
    page.say("20,04:12:21.004,,,,bud 0.4 C")
    return page


def octet_and_character() -> Page:
    """Each octet with its character in quotes behind it."""
    page = Page("8 a row, each octet followed by its character in quotes; decimal offset")
    page.say("$ ./see last.bin", "last.bin has 91 octets")
    frame = page.frame(plain(182))
    for start, stop in rows(frame.octets, 8):
        page.put(f"{start:4d}:")
        for at in range(start, stop):
            page.put("  ")
            frame.octet(at)
            page.put(f" '{characters(frame.octets[at : at + 1])}'")
        page.end()
    page.say("$ ./see next.bin", "next.bin: no such file")
    return page


def octal_commas() -> Page:
    """Octal numbers of three digits between commas."""
    page = Page("octal, 3 digits, commas, 20 a row, no offset", "octal")
    page.say("TERMINAL LOG 26-NOV", "SEND BUFFER (60.):")
    frame = page.frame(plain(80))
    for start, stop in rows(frame.octets, 20):
        frame.run(start, stop, ",", "03o")
        page.end("," if stop < len(frame.octets) else "")
    page.say("DONE", "BUFFER FREE")
    return page


def binary_literals() -> Page:
    """Binary literals in a list, four a line."""
    page = Page("list of binary literals with 0b, 4 a line", "binary")
    page.say("def test_announcement(unit):", "    unit.feed(bytes([")
    frame = page.frame(rare(27))
    for start, stop in rows(frame.octets, 4):
        page.put("        0b")
        frame.run(start, stop, ", 0b", "08b")
        page.end(",")
    page.say("    ]))", "    assert unit.table_size == 1")
    return page


def list_of_strings() -> Page:
    """A list of strings, each a number with 0x and no zero in front."""
    page = Page("list of quoted strings with 0x, digits without a leading zero, one line")
    page.say("INFO:frost:bud 0.9", "INFO:frost:polling")
    frame = page.frame(plain(128))
    page.put("DEBUG:frost:got ['0x")
    frame.run(0, len(frame.octets), "', '0x", "x")
    page.end("']")
    page.say("INFO:frost:61 octets", "INFO:frost:bud 0.9")
    return page


def member_a_line() -> Page:
    """A structure printed prettily: each number on a line of its own."""
    page = Page("structure with an array of decimal numbers, one a line with a comma", "decimal")
    page.say("event received:", "Event {", "    at: 4187,", "    row: 7,", "    octets: [")
    frame = page.frame(plain(42))
    for at in range(len(frame.octets)):
        page.put("        ")
        frame.octet(at, "d")
        page.end(",")
    page.say("    ],", "    checked: false,", "}", "event handled")
    return page


LAYOUTS = {
    "short-directives": short_directives,
    "decimal-directives": decimal_directives,
    "array-by-parts": array_by_parts,
    "indented-document": indented_document,
    "marked-rows": marked_rows,
    "cells-of-a-table": cells_of_a_table,
    "octet-and-character": octet_and_character,
    "octal-commas": octal_commas,
    "binary-literals": binary_literals,
    "list-of-strings": list_of_strings,
    "member-a-line": member_a_line,
}
