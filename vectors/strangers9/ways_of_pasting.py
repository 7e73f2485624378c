"""Fifteen ways by which a dump reached somebody's screen: mail, chat, relay, sheet, page."""

from __future__ import annotations

from _frames import lossy, plain, six, tagged
from _page import Page, characters, rows


def initials_that_quote() -> Page:
    """A mail that quotes with the initials of who wrote it."""
    page = Page("initials and an angle in front, offset, groups of 4 octets of pairs, 16 a row")
    octets = plain(154)
    page.say(
        "On Tuesday the valve of row 9 closed by itself. You wrote:",
        "",
        "KL> Here is what came in just before:",
        "KL>",
    )
    shown = page.frame(octets)
    for start, stop in rows(octets, 16):
        page.put(f"KL> {start:04x}  ")
        for at in range(start, stop):
            page.put("" if at == start else ("  " if (at - start) % 4 == 0 else " "))
            shown.octet(at)
        page.end()
    page.say("KL>", "KL> Does it tell you anything?", "", "Not yet. Which firmware is that?")
    return page


def blanks_squeezed_by_chat() -> Page:
    """A chat that lost indentation and made one blank of several."""
    page = Page("offset, 16 a row, characters; leading blanks lost and runs of blanks made one")
    page.say("mira 14:02", "it does it again, node 4", "mira 14:02")
    for octets in (plain(56), plain(158)):
        page.say(f"rx: {len(octets)} bytes on mac0")
        shown = page.frame(octets)
        for start, stop in rows(octets, 16):
            page.put(f"{start:04x} ")
            shown.run(start, stop)
            text = characters(octets[start:stop])
            while "  " in text:
                text = text.replace("  ", " ")
            page.end(" " + text.strip())
    page.say("tomas 14:03", "and the fans?", "mira 14:05", "off, both")
    return page


def wrapped_at_forty_two() -> Page:
    """A narrow terminal wraps each row behind its twelfth octet."""
    page = Page("offset and colon, 16 a row, wrapped by a terminal of 42 columns")
    octets = plain(61)
    page.say("frost> show rx last", f"rx last: {len(octets)} bytes, port 1")
    shown = page.frame(octets)
    for start, stop in rows(octets, 16):
        page.put(f"{start:04x}: ")
        shown.run(start, min(stop, start + 12))
        if stop > start + 12:
            page.put(" ")
            page.end()
            shown.run(start + 12, stop)
        page.end()
    page.say("frost> show fans", "fan1 off  fan2 off  fan3 off")
    return page


def stamps_of_a_screen_logger() -> Page:
    """Every line has the logger's date; other lines come between the rows."""
    page = Page("date and bar in front, decimal offset, 10 a row, other lines between rows")

    def stamp(tenths: int) -> str:
        return f"2026-03-02 06:14:{tenths / 10 + 7:06.3f} | "

    now = 0
    page.say(stamp(0) + "netd: frame in")
    for octets in (plain(52), plain(175)):
        shown = page.frame(octets)
        for start, stop in rows(octets, 10):
            now += 1
            page.put(stamp(now) + f"  {start:3d}: ")
            shown.run(start, stop, " ", "02X")
            page.end()
            if start == 30:
                page.say(stamp(now) + "probe 3: -0.62 C, wind 1.1 m/s")
        page.say(stamp(now) + "netd: frame passed on")
    return page


def relayed_by_a_collector() -> Page:
    """A relay puts priority, date and host before each row; bars around the octets."""
    page = Page("relay's priority, date, host and counter in front, offset, bars around the octets")
    count = 4410
    page.say(f"<14>Mar  2 06:14:06 frost-7 console[{count}]: heater relay closed")
    for octets in (tagged(0), plain(40)):
        page.say(
            f"<15>Mar  2 06:14:07 frost-7 console[{count + 1}]: [net] in, {len(octets)} octets"
        )
        count += 2
        shown = page.frame(octets)
        for start, stop in rows(octets, 16):
            page.put(f"<15>Mar  2 06:14:07 frost-7 console[{count}]: [net] 0x{start:04x} | ")
            shown.run(start, stop)
            page.put("   " * (16 - (stop - start)))
            page.end(f" | {characters(octets[start:stop])}")
            count += 1
        page.say(f"<14>Mar  2 06:14:09 frost-7 console[{count}]: heater relay open")
    return page


def rows_as_json() -> Page:
    """One record a row: time, module, offset and hex without separators."""
    page = Page("a JSON record for each row with decimal offset and unseparated hex, 24 a row")
    octets = six(20)
    page.say('{"t":481.20,"mod":"wx","msg":"dew point -2.1"}')
    page.say(f'{{"t":481.31,"mod":"mac","msg":"rx","len":{len(octets)}}}')
    shown = page.frame(octets)
    for start, stop in rows(octets, 24):
        page.put(f'{{"t":481.3{2 + start // 24},"mod":"mac","off":{start},"hex":"')
        shown.run(start, stop, "")
        page.end('"}')
    page.say('{"t":481.50,"mod":"wx","msg":"dew point -2.2"}')
    return page


def a_row_of_a_table() -> Page:
    """Comma-separated: one row a frame, a column an octet, the rest of the row left empty."""
    page = Page("comma-separated, a row a frame, columns named b0 and up, empty columns behind")
    frames = (plain(4), plain(129), plain(39), plain(151))
    widest = max(len(octets) for octets in frames)
    page.say("seq,time,dir,len," + ",".join(f"b{at}" for at in range(widest)))
    for count, octets in enumerate(frames):
        page.put(f"{count + 31},{48.213 + 1.004 * count:.3f},RX,{len(octets)},")
        page.frame(octets).run(0, len(octets), ",", "02X")
        page.end("," * (widest - len(octets)))
    return page


def cells_without_zeros() -> Page:
    """A spreadsheet took the zeros in front away; tabs between cells, columns named."""
    page = Page("tabs, hex without zeros in front, a heading of column names, 16 a row")
    octets = plain(180)
    page.say(
        f"frame 12\tlength\t{len(octets)}", "off\t" + "\t".join(f"+{at:X}" for at in range(16))
    )
    shown = page.frame(octets)
    for start, stop in rows(octets, 16):
        page.put(f"{start:X}\t")
        shown.run(start, stop, "\t", "X")
        page.end()
    page.say("", "sensor\trow 2\t-0.4")
    return page


def across_a_page_break() -> Page:
    """A manual's appendix: octets counted from one, a page ends within the dump."""
    page = Page("octets counted from one as a range, pairs of octets, a page break in between")
    octets = plain(0)
    page.say("Appendix C. A lease, as node 7 received it", "")
    shown = page.frame(octets)
    for start, stop in rows(octets, 16):
        if start == 160:
            page.say(
                "",
                "Orchard Frost Alarm, Field Notes                                 37",
                "",
                "Appendix C",
                "",
            )
        page.put(f"octets {start + 1:03d}-{stop:03d}  ")
        shown.groups(start, stop, 2, " ", "02X")
        page.end()
    page.say("", "Note: the lease is for one hour.")
    return page


def dashes_in_a_wide_file() -> Page:
    """A file of sixteen-bit characters: dashes between octets, a bar between halves."""
    page = Page("UTF-16, CRLF, tab, dashes between octets and a bar between halves of 16")
    page.encoding, page.newline, page.mark = "utf-16-le", "\r\n", True
    page.say("Konsole mitgeschnitten, Knoten 4", "")
    for octets in (lossy(18), plain(60)):
        page.say(f"[RX {len(octets)}]")
        shown = page.frame(octets)
        for start, stop in rows(octets, 16):
            page.put("\t")
            for at in range(start, stop):
                page.put("" if at == start else ("|" if at == start + 8 else "-"))
                shown.octet(at, "02X")
            page.end()
        page.say("[OK]")
    return page


def bits_in_fours() -> Page:
    """A student's gate design prints bits: four octets a row with a row number."""
    page = Page("binary, 4 octets a row, a row number in brackets", digits="binary")
    octets = plain(40)
    page.say("UART up", f"frame ready, {len(octets)} octets")
    shown = page.frame(octets)
    for start, stop in rows(octets, 4):
        page.put(f"({start // 4:02d}) ")
        shown.run(start, stop, " ", "08b")
        page.end()
    page.say("frame done")
    return page


def letters_and_equals() -> Page:
    """Addresses and type by letters, then the payload in rows that begin alike."""
    page = Page("D=, S= and T= on one line, payload in rows of 24 behind P=")
    for count, octets in enumerate((plain(4), plain(153))):
        page.say(f"mac: in {count + 1}")
        shown = page.frame(octets)
        for letter, start, stop in (("D=", 0, 6), (" S=", 6, 12), (" T=", 12, 14)):
            page.put(letter)
            shown.run(start, stop, "", "02X")
        page.end(f" L={len(octets) - 14}")
        for start in range(14, len(octets), 24):
            page.put("P=")
            shown.run(start, min(start + 24, len(octets)), "", "02X")
            page.end()
    page.say("pump: pressure 3.1 bar")
    return page


def constants_of_an_assembler() -> Page:
    """A monitor writes labels and constants for an assembler, with bare carriage returns."""
    page = Page("label, directive and dollar constants, 12 a row, carriage returns alone")
    page.newline = "\r"
    octets = plain(54)
    page.say("* FRAME AS RECEIVED", "* VALVE CLOSED, PROBE 2 AT 1 DEGREE")
    shown = page.frame(octets)
    for start, stop in rows(octets, 12):
        page.put(f"RX{start:04X} FCB ")
        for at in range(start, stop):
            page.put(",$" if at > start else "$")
            shown.octet(at, "02X")
        page.end()
    page.say(f"RXEND  EQU *   {len(octets)} OCTETS", " END")
    return page


def arrows_both_ways() -> Page:
    """Each row says by its arrows whether it came or went; pairs of octets, 20 a row."""
    page = Page("arrows in front for the direction, pairs of octets, 20 a row, no offset")
    page.say("-- trace on, port 0")
    for arrows, octets in ((">>", plain(58)), ("<<", plain(59)), (">>", plain(176))):
        page.say(f"{arrows} {len(octets)} bytes")
        shown = page.frame(octets)
        for start, stop in rows(octets, 20):
            page.put(f"{arrows} ")
            shown.groups(start, stop, 2, " ")
            page.end()
        page.say("--")
    page.say("-- trace off, fan 3 started")
    return page


def two_ranges_a_line() -> Page:
    """Two ranges with their octets stand on one line."""
    page = Page("two ranges of hex offsets on each line, 8 octets behind each")
    octets = plain(220)
    page.say("ORCHARD NODE 5 LINK TEST", f"LAST FRAME ({len(octets)}):")
    shown = page.frame(octets)
    for line, _ in rows(octets, 16):
        for start in range(line, min(line + 16, len(octets)), 8):
            stop = min(start + 8, len(octets))
            page.put("    " if start > line else "")
            page.put(f"0x{start:02X}-0x{stop - 1:02X} : ")
            shown.run(start, stop)
        page.end()
    page.say("END OF LINK TEST")
    return page


WAYS = {
    "initials-that-quote": initials_that_quote,
    "blanks-squeezed-by-chat": blanks_squeezed_by_chat,
    "wrapped-at-forty-two": wrapped_at_forty_two,
    "stamps-of-a-screen-logger": stamps_of_a_screen_logger,
    "relayed-by-a-collector": relayed_by_a_collector,
    "rows-as-json": rows_as_json,
    "a-row-of-a-table": a_row_of_a_table,
    "cells-without-zeros": cells_without_zeros,
    "across-a-page-break": across_a_page_break,
    "dashes-in-a-wide-file": dashes_in_a_wide_file,
    "bits-in-fours": bits_in_fours,
    "letters-and-equals": letters_and_equals,
    "constants-of-an-assembler": constants_of_an_assembler,
    "arrows-both-ways": arrows_both_ways,
    "two-ranges-a-line": two_ranges_a_line,
}
