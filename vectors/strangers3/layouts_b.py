"""Layouts 16 to 30."""

from __future__ import annotations

from _frames import arp_question, plain, rare, six, tagged
from _page import Page, characters, rows


def two_ports() -> Page:
    """Two receivers print at the same time, row by row in turn."""
    page = Page("two frames printed at once, their rows in turn, each row with its port and offset")
    page.say("mux: p0 = house switch, p1 = row 9", "p0 link 100", "p1 link 10")
    shown = page.frame(plain(56)), page.frame(six(20))
    page.say(f"p0 take {len(shown[0].octets)}", f"p1 take {len(shown[1].octets)}")
    for start in range(0, len(shown[1].octets), 16):
        for port, frame in enumerate(shown):
            stop = min(start + 16, len(frame.octets))
            if start < stop:
                page.put(f"p{port} {start:04x}  ")
                frame.run(start, stop)
                page.end()
    page.say("p0 done", "p1 done", "p1 frost switch 1", "p0 take 66")
    alone = page.frame(plain(177))
    for start, stop in rows(alone.octets, 16):
        page.put(f"p0 {start:04x}  ")
        alone.run(start, stop)
        page.end()
    page.say("p0 done")
    return page


def slice_in_brackets() -> Page:
    """The whole frame in brackets in the middle of a message."""
    page = Page("a frame in one line, in brackets with commas, in the middle of a message")
    page.say("04:11:58.120 INFO  alarm::boot   row 7, two probes, hash 4b1e90c7")
    page.say("04:11:58.402 INFO  alarm::link   address 2001:db8::77")
    for number in 30, 31, 33:
        octets = six(number)
        shown = page.frame(octets)
        page.put(f"04:12:{number:02d}.007 TRACE alarm::emac   took frame [")
        shown.run(0, len(octets), ", ")
        page.end(f"] of {len(octets)} octets in slot {number & 3}")
        page.say(f"04:12:{number:02d}.008 DEBUG alarm::probe  pair [-14, -9] tenths")
    page.say("04:12:40.000 WARN  alarm::fan    fan A slow, pulses [17, 16, 0, 16]")
    return page


def element_tree() -> Page:
    """A debugger's list of the elements of an array."""
    page = Page("an element a line: index, octet and its character; UTF-8 with mark, CRLF")
    page.mark, page.newline = True, "\r\n"
    octets = arp_question()
    shown = page.frame(octets)
    page.say("Stopped in send_frame, line 88", "▾ locals", "│  ▸ self        0x20001C40")
    page.say(f"│    used        {len(octets)}", "│  ▾ tx_frame    octet array")
    for at, octet in enumerate(octets):
        page.put(f"│  {'└' if at == len(octets) - 1 else '├'}─ [{at}]".ljust(12) + "0x")
        shown.octet(at, "02X")
        page.end(f"  '{chr(octet) if 0x20 <= octet < 0x7F else '·'}'")
    page.say("│    probe_1     -14", "│    probe_2     0xFFFFFFF7", "▸ globals")
    return page


def stamp_behind() -> Page:
    """Every line of the console carries its core and time at its end."""
    page = Page("16 a row in two halves, no offset; core and time behind every line")
    now = 851_200

    def end(core: int) -> None:
        nonlocal now
        now += 13
        minutes, thousandths = divmod(now, 60_000)
        page.pad(58)
        page.end(f";core{core} 00:{minutes:02d}:{thousandths // 1000:02d}.{thousandths % 1000:03d}")

    for line in "frost-ctl 4.2, two cores", "emac up, 100 full", "probe pair -14 -9":
        page.put(line)
        end(0)
    for octets in plain(65), plain(39):
        shown = page.frame(octets)
        page.put(f"emac took {len(octets)}")
        end(1)
        for start, stop in rows(octets, 16):
            shown.run(start, min(start + 8, stop))
            if stop > start + 8:
                page.put("  ")
                shown.run(start + 8, stop)
            end(1)
        page.put("emac gave it to the stack")
        end(0)
    page.put("fan A on, relay word 0x0013")
    end(0)
    return page


def characters_first() -> Page:
    """The character column stands before the octets."""
    page = Page("characters first, then 16 octets a row in groups of four; no offset")
    page.say("web pages of the frost alarm, as they went over the wire", "")
    for octets in plain(192), plain(178):
        shown = page.frame(octets)
        page.say(f"<{len(octets)} octets>")
        for start, stop in rows(octets, 16):
            page.put("  " + characters(octets[start:stop], "_").ljust(16) + "   ")
            shown.groups(start, stop, 4, " ")
            page.end()
        page.say("<end>", "")
    page.say("served 2 pages, 404 octets of text, frost level -2")
    return page


def characters_beneath() -> Page:
    """Each row of octets has its characters on the line beneath."""
    page = Page("16 a row, the characters on the line beneath, each under its octet")
    page.say("ROW 7 TERMINAL   TRACE ON", "PROBE 1  -1.4   PROBE 2  -0.9", "")
    for octets in plain(286), plain(287):
        shown = page.frame(octets)
        page.say(f"TAKEN {len(octets)}")
        for start, stop in rows(octets, 16):
            page.put(f"@{start:02X}  ")
            shown.run(start, stop, " ", "02X")
            page.end()
            page.end("     " + " ".join(f" {x}" for x in characters(octets[start:stop])))
        page.say("")
    page.say("TRACE OFF", "FAN A ON   FAN B OFF")
    return page


def coloured() -> Page:
    """A terminal log with the colours left in: zeros dim, printable octets blue."""
    page = Page(
        "16 a row, decimal offset; colour escapes around the offset and around runs of octets"
    )
    off = "\x1b[0m"
    page.say(f"\x1b[1;33mwarn{off}  fan \x1b[1mA{off} slow", f"\x1b[32mgood{off}  link 100 full")
    for octets in plain(180), tagged(18):
        shown = page.frame(octets)
        page.say(f"\x1b[36mtake{off}  {len(octets)} octets from \x1b[4memac0{off}")
        for start, stop in rows(octets, 16):
            page.put(f"\x1b[2m{start:04d}{off} ")
            colour = off
            for at in range(start, stop):
                octet = octets[at]
                wanted = "\x1b[2m" if not octet else "\x1b[34m" if 32 <= octet < 127 else off
                page.put(" " + ("" if wanted == colour else wanted))
                colour = wanted
                shown.octet(at)
            page.end(off)
    page.say(f"\x1b[32mgood{off}  probes \x1b[34m-1.4{off} \x1b[34m-0.9{off}", off)
    return page


def wrapped_terminal() -> Page:
    """One long row without separators that the terminal broke at its edge."""
    page = Page("a frame in one row without separators, broken at 76 columns by the terminal")
    page.say("frost-7 console, 76 columns", "log level 4")
    for octets in rare(59), plain(146):
        shown = page.frame(octets)
        page.put(f"[rx/0] {len(octets):04d} octets: ")
        for at in range(len(octets)):
            if page.column > 75:
                page.end()
            shown.octet(at)
        page.end()
        page.say("[rx/0] free slots 7", "[adc] 03e9 03db")
    page.say("log level 1")
    return page


def indexed() -> Page:
    """Each octet behind its own index."""
    page = Page("8 a row, each octet behind its own index and an equals sign")
    page.say("start", "dhcp bound 192.0.2.77", "a0=1001 a1=987")
    for octets in plain(87), plain(5):
        shown = page.frame(octets)
        page.say(f"len={len(octets)}")
        for start, stop in rows(octets, 8):
            for at in range(start, stop):
                page.put(f"#{at}=")
                shown.octet(at, "02X")
                page.put("; ")
            page.end()
        page.say("len=0", "a0=1000 a1=985")
    page.say("stop")
    return page


def structured_data() -> Page:
    """System messages whose structured part holds a row of the frame (RFC 5424, 6.3)."""
    page = Page("16 octets a message in a quoted parameter, decimal offset in another")
    count = 0

    def tell(severity: int, process: str, text: str) -> None:
        nonlocal count
        count += 1
        time = f"2025-02-03T04:11:{count // 10:02d}.{count % 10}00Z"
        page.put(f"<{128 + severity}>1 {time} frost-7.example {process} {text}")

    tell(6, "ctl 300 - -", "row 7 armed, level -2")
    page.end()
    octets = rare(20)
    shown = page.frame(octets)
    total = -(-len(octets) // 16)
    for start, stop in rows(octets, 16):
        if start == 160:
            tell(5, "fan 302 SPEED", '[fan@32473 name="A" pulses="16"] fan A at speed')
            page.end()
        tell(7, "emac 301 ROW", f'[row@32473 off="{start}" len="{stop - start}" hex="')
        shown.run(start, stop)
        page.end(f'"] part {start // 16 + 1} of {total}')
    tell(6, "ctl 300 - -", "probes -14 -9, word 0x03e9")
    page.end()
    return page


def searched() -> Page:
    """Lines that a search in a log file found, with the file's name and line before each."""
    page = Page("16 a row in groups of four; file name and line number before each line; CRLF")
    page.newline = "\r\n"
    number = 117

    def begin() -> None:
        nonlocal number
        number += 1
        page.put(f"night/frost-7.txt({number}): ")

    for line in "emac: start of trace", "emac: slot 12":
        begin()
        page.end(line)
    for octets in plain(222), plain(228):
        shown = page.frame(octets)
        for start, stop in rows(octets, 16):
            begin()
            page.put(" ")
            for group in range(start, stop, 4):
                page.put("  " if group > start else "")
                shown.run(group, min(group + 4, stop))
            page.end()
        begin()
        page.end(f"emac: slot {13 if len(octets) > 60 else 14}, wrote {len(octets)}")
    number += 40
    begin()
    page.end("emac: end of trace, 2 frames, sum of lengths 461")
    return page


def word_addresses() -> Page:
    """A signal processor's memory, which counts words of two octets."""
    page = Page("8 words of 2 octets a row; the address counts words, not octets")
    page.say("DSP of the frost camera, halted", "PC 01C3F2  SP 007FE0  ST 0041")
    base = 0x0A480
    for slot, octets in enumerate((plain(1), plain(22))):
        shown = page.frame(octets)
        page.say("", f"ring slot {slot}, {len(octets) // 2} words")
        for start, stop in rows(octets, 16):
            page.put(f"X:{base + start // 2:05X}  ")
            shown.groups(start, stop, 2, " ", "02X")
            page.end()
        base += 0x300
    page.say("", "DSP runs")
    return page


def chat() -> Page:
    """A frame in three messages of a chat, with answers between."""
    page = Page("8 a row with hex offset, one frame spread over three messages of a chat")
    octets = rare(7)
    shown = page.frame(octets)
    page.say("04:12 bench-2", f"an offer of {len(octets)} octets at the new board, in three parts")
    answers = "04:13 orchard-desk\nlooks whole so far, go on", "04:15 row-9\n2 degrees here :-)"
    for part, (start, stop) in enumerate(rows(octets, 128)):
        page.say(f"04:{12 + part} bench-2", "```")
        for row in range(start, stop, 8):
            page.put(f"{row:03x}: ")
            shown.run(row, min(row + 8, stop))
            page.end()
        page.say("```")
        page.say(*(answers[part].split("\n") if part < 2 else ("that was all", "")))
    page.say("04:19 orchard-desk", "router option is missing, thanks")
    return page


def database_rows() -> Page:
    """Statements that put frames into a table."""
    page = Page("one frame a line, a hex literal of a query language among other values")
    page.say("-- frost_log, cut from the night of 3 February", "BEGIN;")
    page.say("INSERT INTO probe (id, tenths) VALUES (1, -14), (2, -9);")
    for number in 105, 106, 107, 113:
        octets = plain(number)
        shown = page.frame(octets)
        page.put(f"INSERT INTO heard (id, port, at, size, octets) VALUES ({number}, 'emac0', ")
        page.put(f"'2025-02-03 04:12:{number % 60:02d}', {len(octets)}, X'")
        shown.run(0, len(octets), "", "02X")
        page.end("');")
    page.say("INSERT INTO fan (id, pulses, state) VALUES (1, 16, X'0013');", "COMMIT;")
    return page


def octal() -> Page:
    """Fifteen octets a row in base eight."""
    page = Page("15 a row in three octal digits, no offset", "octal")
    octets = plain(103)
    shown = page.frame(octets)
    page.say(
        "row 7 old controller, all numbers base 8", "clock 0017 4631, probe 1 1751, probe 2 1733"
    )
    page.say(f"frame of {len(octets):o} from unit 1")
    for start, stop in rows(octets, 15):
        page.put("  ")
        shown.run(start, stop, " ", "03o")
        page.end()
    page.say("frame ends", "probe 1 1750, probe 2 1731", "relay 023")
    return page


LAYOUTS = {
    "two-ports": two_ports,
    "slice-in-brackets": slice_in_brackets,
    "element-tree": element_tree,
    "stamp-behind": stamp_behind,
    "characters-first": characters_first,
    "characters-beneath": characters_beneath,
    "coloured": coloured,
    "wrapped-terminal": wrapped_terminal,
    "indexed": indexed,
    "structured-data": structured_data,
    "searched": searched,
    "word-addresses": word_addresses,
    "chat": chat,
    "database-rows": database_rows,
    "octal": octal,
}
