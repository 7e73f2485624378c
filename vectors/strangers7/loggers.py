"""What loggers, relays, modems and people's own pastes make of a dump."""

from __future__ import annotations

from _frames import plain, six, tagged
from _page import Page, Shown, characters, rows


def relayed() -> Page:
    """A relay that writes a line end inside a message as its number."""
    page = Page("a whole dump in one line, its line ends written as #012, offset and colon")
    page.say(
        "Nov 25 04:12:51 alarm-7 frostd[214]: probe 3: 2.9 C",
        "Nov 25 04:12:52 alarm-7 netd[198]: link up",
    )
    for second, number in ((53, 83), (54, 84)):
        frame = page.frame(plain(number))
        page.put(f"Nov 25 04:12:{second} alarm-7 netd[198]: rx {len(frame.octets)} octets:")
        for start, stop in rows(frame.octets, 16):
            page.put(f"#012{start:04x}: ")
            frame.run(start, stop)
        page.end()
    page.say("Nov 25 04:12:55 alarm-7 frostd[214]: probe 3: 2.8 C, fan 1 on")
    return page


def modem() -> Page:
    """A network module that tells of a packet in pieces of 32 octets."""
    page = Page("a named result with offset, count and a quoted string of 32 octets")
    page.newline = "\r\n"
    page.say("ATE0", "OK", "+LINK: 1", "AT+RXMODE=1", "OK")
    for number in (28, 34, 35):
        frame = page.frame(plain(number))
        page.say(f"+RXPKT: {len(frame.octets)}")
        for start, stop in rows(frame.octets, 32):
            page.put(f'+RXDATA: {start},{stop - start},"')
            frame.run(start, stop, "", "02X")
            page.end('"')
    page.say("AT+FROST?", "+FROST: 3,-0.5", "OK")
    return page


def quoted_bars() -> Page:
    """A forum's quotation, sixteen octets in two halves, characters in single quotes."""
    page = Page("bars in front, hex offset with plus and 0x, two halves, characters in quotes")
    page.say("grower7 wrote:", "| My alarm gets no lease. It shows this and goes on asking:", "|")
    frame = page.frame(plain(21))
    for start, stop in rows(frame.octets, 16):
        page.put(f"| +0x{start:03x}  ")
        frame.run(start, min(start + 8, stop))
        if start + 8 < stop:
            page.put("  ")
            frame.run(start + 8, stop)
        page.pad(62)
        page.end(f"'{characters(frame.octets[start:stop])}'")
    page.say("|", "| What is wrong with it?", "", "Nothing that I see. Is the filter on?")
    return page


def boxed() -> Page:
    """A program with frames of lines around everything."""
    page = Page("rows in a box of lines, offset, 8 octets, characters; a heading in the box")
    page.say("netmon 0.4 on frost-alarm-7", "┌──────┬─────────────────────────┬──────────┐")
    page.say("│ at   │ +0 +1 +2 +3 +4 +5 +6 +7 │ text     │")
    page.say("├──────┼─────────────────────────┼──────────┤")
    frame = page.frame(six(18))
    for start, stop in rows(frame.octets, 8):
        page.put(f"│ {start:04X} │ ")
        frame.run(start, stop, " ", "02X")
        page.put("   " * (8 - stop + start) + " │ ")
        page.end(f"{characters(frame.octets[start:stop], '·'):8} │")
    page.say("└──────┴─────────────────────────┴──────────┘", " 1 frame, 0 dropped")
    return page


def four_ways() -> Page:
    """Arrows and times above rows of 24; the redirection wrote UTF-16."""
    page = Page("arrow, time and length above, 24 a row, no offset, UTF-16, CRLF")
    page.encoding, page.mark, page.newline = "utf-16-le", True, "\r\n"
    page.say("log opened 04:12:50", "")
    scenes = (("<<<", 50, 4), (">>>", 51, 7), ("<<<", 51, 8), (">>>", 52, 9))
    for arrow, second, number in scenes:
        frame = page.frame(tagged(number))
        page.say(f"{arrow} 04:12:{second}.{number * 37 % 1000:03d} ({len(frame.octets)} bytes)")
        for start, stop in rows(frame.octets, 24):
            frame.run(start, stop)
            page.end()
        page.end()
    page.say("log closed 04:13:10")
    return page


def latin() -> Page:
    """A console of Latin-1 that prints whatever its font has."""
    page = Page("16 a row, offset, the character column in Latin-1 as it is")
    page.encoding = "latin-1"
    page.say("Fühler 1: 3,5 °C", "Fühler 2: 2,9 °C", "Empfang:")
    frame = page.frame(plain(174))
    for start, stop in rows(frame.octets, 16):
        page.put(f"{start:04x}: ")
        frame.run(start, stop)
        page.pad(56)
        printed = frame.octets[start:stop]
        page.end("".join(chr(o) if 32 <= o < 127 or o > 160 else "." for o in printed))
    page.say("Lüfter 2 läuft")
    return page


def between_noise() -> Page:
    """Somebody changes the console's rate between two frames; each row has a stamp."""
    page = Page("stamp, level and four octets a row with colons, noise between the frames")
    page.say("[00:01:20.004] INF: frost alarm, 115200 baud")
    for second, number in ((22, 115), (41, 122)):
        frame = page.frame(plain(number))
        page.say(f"[00:01:{second}.118] DBG: rx, {len(frame.octets)}")
        for start, stop in rows(frame.octets, 4):
            page.put(f"[00:01:{second}.{119 + start // 4}] DBG: ")
            frame.run(start, stop, ":")
            page.end()
        if second == 22:
            page.say("[00:01:30.500] INF: console to 57600")
            page.say("\ufffd\ufffd\x00x\ufffd\x1e\ufffd\ufffdf\ufffd~\ufffd\x06\ufffd\ufffd")
            page.say("\x18\ufffdf\ufffd\ufffd\x00\ufffd\ufffdx\ufffd\x7f")
    page.say("[00:01:44.201] INF: probe 5: 0.2 C, sprinkler on")
    return page


def _part(page: Page, frame: Shown, at: int, stop: int) -> None:
    """Five words of one line, less at the end."""
    frame.groups(at, min(at + 20, stop), 4, " ", "02x")
    page.end()


def parts_of() -> Page:
    """A logger that says which part of how many each line is."""
    page = Page(
        "level, milliseconds, name and part of parts in front, 5 big-endian words of 4 a row"
    )
    page.say("I (31021) frost: probe 2: 3.1 C", "I (31337) emac: got a frame")
    for clock, number in ((31338, 46), (32418, 280)):
        frame = page.frame(plain(number))
        parts = -(-len(frame.octets) // 20)
        for part in range(parts):
            page.put(f"D ({clock + part}) emac: {part + 1}/{parts} ")
            _part(page, frame, part * 20, len(frame.octets))
        page.say(f"I ({clock + 40}) frost: probe 2: 3.0 C")
    page.say("W (33000) frost: row 14 below 1 C")
    return page


LAYOUTS = {
    "relayed": relayed,
    "modem-strings": modem,
    "quoted-with-bars": quoted_bars,
    "boxed": boxed,
    "arrows-and-times": four_ways,
    "latin-characters": latin,
    "between-noise": between_noise,
    "parts-of-parts": parts_of,
}
