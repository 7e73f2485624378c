"""Layouts of every day without an offset column: lists, literals, lines of one octet."""

from __future__ import annotations

from _frames import lossy, plain, rare, six
from _page import Page, rows


def c_array() -> Page:
    """An array for a unit test, printed by the board."""
    page = Page("array of C: 12 a row with 0x and commas, the offset in a comment behind")
    page.say("/* alarm 7, two frames that stopped the fan */", "#include <stdint.h>", "")
    for number, octets in enumerate((rare(43), rare(41)), 17):
        frame = page.frame(octets)
        page.say(f"static const uint8_t frame_{number}[{len(octets)}] = {{")
        for start, stop in rows(octets, 12):
            page.put("    0x")
            frame.run(start, stop, ", 0x")
            page.end(f",  /* {start:3d} */")
        page.say("};", "")
    return page


def decimal_table() -> Page:
    """Decimal numbers in columns."""
    page = Page("decimal numbers in columns of 4, 16 a row, no offset", "decimal")
    page.say("100 REM FROST ALARM", "RUN", "FRAME OF  60", "")
    frame = page.frame(plain(22))
    for start, stop in rows(frame.octets, 16):
        for at in range(start, stop):
            page.put(" " * (4 - len(str(frame.octets[at]))))
            frame.octet(at, "d")
        page.end()
    page.say("", "BUD  1.4", "READY")
    return page


def escapes_in_shell() -> Page:
    """A command that writes the frame again."""
    page = Page("shell command: octets as backslash x escapes, 15 a line, continued by a backslash")
    page.say("# send the question of alarm 7 once more", "cd /srv/orchard")
    frame = page.frame(plain(58))
    page.end("printf '%b' \\")
    for start, stop in rows(frame.octets, 15):
        page.put("  '\\x")
        frame.run(start, stop, "\\x")
        page.end("' \\")
    page.say("  > question.bin", "wc -c question.bin")
    return page


def one_line() -> Page:
    """Frames whole in a line behind keys, back to back."""
    page = Page("key and value: the whole frame in a line without gaps; three back to back")
    page.say("ts=1201 ev=bud val=0.4", "ts=1202 ev=fan val=1")
    for tick, octets in enumerate((lossy(24), lossy(25), lossy(26)), 1203):
        frame = page.frame(octets)
        page.put(f"ts={tick} ev=net.rx len={len(octets)} data=")
        frame.run(0, len(octets), "")
        page.end()
    page.say("ts=1206 ev=bud val=0.3")
    return page


def slice_on_a_line() -> Page:
    """A list with commas in square brackets, whole in a line behind level and module."""
    page = Page("list of two-digit octets with commas in square brackets, one line a frame")
    page.say("0.412 INFO  frost::bud > 0.9 C", "0.530 INFO  frost::fan > off")
    for seconds, octets in ((1.004, six(9)), (1.377, six(33))):
        frame = page.frame(octets)
        page.put(f"{seconds:.3f} TRACE frost::net > frame ({len(octets)}): [")
        frame.run(0, len(octets), ", ")
        page.end("]")
        page.say(f"{seconds + 0.1:.3f} INFO  frost::bud > 0.8 C")
    return page


def octet_a_line() -> Page:
    """A loop that prints one octet a line."""
    page = Page("one octet a line: name, decimal index in brackets, 0x and the octet")
    page.say("rx complete, 60 octets", "status = 0x0000A001")
    frame = page.frame(plain(47))
    for at in range(len(frame.octets)):
        page.put(f"rx[{at:03d}] = 0x")
        frame.octet(at, "02X")
        page.end()
    page.say("rx armed again", "bud = 1.2")
    return page


def octal_escapes() -> Page:
    """A string with octal escapes, piece by piece."""
    page = Page("string in octal escapes, 8 a line in double quotes", "octal")
    page.say("const char question[] =")
    frame = page.frame(plain(107))
    for start, stop in rows(frame.octets, 8):
        page.put('    "\\')
        frame.run(start, stop, "\\", "03o")
        page.end('"' if stop < len(frame.octets) else '";')
    page.say(f"/* sizeof question - 1 == {len(frame.octets)} */", "fan 2 ok")
    return page


LAYOUTS = {
    "c-array": c_array,
    "decimal-table": decimal_table,
    "escapes-in-shell": escapes_in_shell,
    "one-line": one_line,
    "slice-on-a-line": slice_on_a_line,
    "octet-a-line": octet_a_line,
    "octal-escapes": octal_escapes,
}
