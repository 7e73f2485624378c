"""Literals of programs and texts."""

from __future__ import annotations

from _frames import plain, rare, six
from _page import Page, rows


def wide_escapes() -> Page:
    """A string in object notation whose characters are all escapes of four digits."""
    page = Page("object notation, each octet an escape of four digits, a line a frame")
    page.say('{"t":91.20,"bud":0.4}')
    for stamp, octets in ((91.34, plain(116)), (91.37, plain(166))):
        frame = page.frame(octets)
        page.put(f'{{"t":{stamp:.2f},"len":{len(octets)},"raw":"\\u00')
        frame.run(0, len(octets), "\\u00")
        page.end('"}')
    page.say('{"t":92.20,"bud":0.4}')
    return page


def want_and_have() -> Page:
    """A failed test shows the frame it wanted and the frame it has."""
    page = Page("a test's two frames, each a line behind a word, capitals joined by dashes")
    page.say("test 11 of 14: answer to an echo ... FAILED")
    for word, octets in (("want", plain(40)), ("have", plain(42))):
        frame = page.frame(octets)
        page.put(f"    {word}  ")
        frame.run(0, len(octets), "-", "02X")
        page.end()
    page.say("    differ first at 18", "test 12 of 14: no answer to a broadcast ... ok")
    return page


def references() -> Page:
    """A page's source: each octet a character reference."""
    page = Page("character references with hex digits, 16 a row, within a mark-up")
    page.say("<h1>Alarm 7</h1>", "<pre id=last>")
    frame = page.frame(plain(155))
    for start, stop in rows(frame.octets, 16):
        page.put("&#x")
        frame.run(start, stop, ";&#x")
        page.end(";")
    page.say("</pre>", "<p>0.4 &#xb0;C</p>")
    return page


def continued_value() -> Page:
    """A value in a file of settings, continued over lines."""
    page = Page("a setting: commas, a backslash at the end of a line that goes on, 18 a row")
    page.say("[unit]", "name = alarm7", "wake = 04:00", "", "[capture]")
    page.put("last = ")
    frame = page.frame(plain(158))
    for start, stop in rows(frame.octets, 18):
        page.put("       " if start else "")
        frame.run(start, stop, ",")
        page.end(",\\" if stop < len(frame.octets) else "")
    page.say("count = 1", "", "[fan]", "speed = 640")
    return page


def unsigned_words() -> Page:
    """An array of 32-bit numbers that are written as they go onto the wire."""
    page = Page("array of 32-bit literals with a u behind, wire order, 4 a line")
    page.say("static const uint32_t hello[] =", "{")
    frame = page.frame(plain(115))
    for start, stop in rows(frame.octets, 16):
        page.put("  ")
        for word in range(start, stop, 4):
            page.put(", 0x" if word > start else "0x")
            frame.run(word, word + 4, "")
            page.put("u")
        page.end("," if stop < 60 else "")
    page.say("};")
    return page


def capital_prefix() -> Page:
    """A capital X in the prefix."""
    page = Page("0X before each octet, blanks between, 14 a row, no offset")
    page.say("MODUL 2 BEREIT", "EMPFANG 74")
    frame = page.frame(plain(176))
    for start, stop in rows(frame.octets, 14):
        page.put("0X")
        frame.run(start, stop, " 0X", "02X")
        page.end()
    page.say("MODUL 2 PAUSE")
    return page


def call_with_strings() -> Page:
    """A call with strings of hex over several lines, a remark behind each."""
    page = Page("strings of hex without gaps over several lines, a remark behind each, by layers")
    page.say("def test_feed_dead_end(unit):", "    frame = from_digits(")
    frame = page.frame(plain(164))
    at = 0
    remarks = ("face of the unit", "a bad, added head", "dead port", "abc")
    for remark, count in zip(remarks, (14, 20, 8, 82 - 42), strict=True):
        page.put('        "')
        frame.run(at, at + count, "")
        page.end(f'"  # {remark}')
        at += count
    page.say("    )", "    assert unit.feed(frame) == 0xfeed")
    return page


def ticked_bullets() -> Page:
    """A list in a ticket, each row in ticks."""
    page = Page("a bullet and ticks around each row, 16 a row in words of 4 octets, no offset")
    page.say("What I see on the line when the fan starts:", "")
    frame = page.frame(six(31))
    for start, stop in rows(frame.octets, 16):
        page.put("* `")
        frame.groups(start, stop, 4, " ")
        page.end("`")
    page.say("", "Then the alarm is silent. `fan = 0x12`")
    return page


def cells_of_a_page() -> Page:
    """A table in a page's source, one cell an octet."""
    page = Page("mark-up: a row of cells, offset in a head cell, an octet a cell, 8 a row")
    page.say("<table>", "<tr><th>at</th><th colspan=8>octets</th></tr>")
    frame = page.frame(rare(29))
    for start, stop in rows(frame.octets, 8):
        page.put(f"<tr><th>{start:02x}</th><td>")
        frame.run(start, stop, "</td><td>")
        page.end("</td></tr>")
    page.say("</table>")
    return page


def strings_in_a_list() -> Page:
    """Object notation, printed prettily: each octet a string."""
    page = Page("pretty object notation: octets as strings of two digits, 12 a line")
    page.say("{", '  "unit": "alarm7",', '  "bud": [0.4, 0.6],', '  "length": 60,', '  "octets": [')
    frame = page.frame(rare(14))
    for start, stop in rows(frame.octets, 12):
        page.put('    "')
        frame.run(start, stop, '", "')
        page.end('"' if stop == len(frame.octets) else '",')
    page.say("  ],", '  "checked": true', "}")
    return page


def dotted_decimals() -> Page:
    """Decimal numbers joined by dots, as tables of a management station write strings."""
    page = Page("decimal numbers joined by dots, the whole frame behind an equals sign", "decimal")
    page.say("unit.7.name.0 = alarm7", "unit.7.bud.3 = 4")
    frame = page.frame(plain(243))
    page.put("unit.7.frame.1 = ")
    frame.run(0, len(frame.octets), ".", "d")
    page.end()
    page.say("unit.7.address.0 = 192.0.2.77", "unit.7.fan.2 = 640")
    return page


def bracketed_words() -> Page:
    """Each word in brackets."""
    page = Page("words of 4 octets in brackets, wire order, four a row, no offset")
    page.say("pool 2, slot 5, 60 octets")
    frame = page.frame(plain(148))
    for start, stop in rows(frame.octets, 16):
        page.put("[")
        frame.groups(start, stop, 4, "] [", "02X")
        page.end("]")
    page.say("pool 2, slot 6, free")
    return page


LAYOUTS = {
    "wide-escapes": wide_escapes,
    "want-and-have": want_and_have,
    "references": references,
    "continued-value": continued_value,
    "unsigned-words": unsigned_words,
    "capital-prefix": capital_prefix,
    "call-with-strings": call_with_strings,
    "ticked-bullets": ticked_bullets,
    "cells-of-a-page": cells_of_a_page,
    "strings-in-a-list": strings_in_a_list,
    "dotted-decimals": dotted_decimals,
    "bracketed-words": bracketed_words,
}
