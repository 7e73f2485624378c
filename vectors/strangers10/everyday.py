"""Layouts 1 to 20: everyday forms, each with a header, prefix, width or gutter of its own."""

from __future__ import annotations

import zlib

from _frames import arp_question, datagram, lossy, neighbour, plain, rare, six, six_datagram, tagged
from _page import Page, Shown, characters, rows


def with_fcs(octets: bytes) -> bytes:
    """The frame with the sum that goes over the wire behind it."""
    return octets + zlib.crc32(octets).to_bytes(4, "little")


def right(shown: Shown, at: int, width: int = 3) -> None:
    """Octet ``at`` in decimal at the right of a field; the place is that of the digits."""
    shown.page.put(" " * (width - len(str(shown.octets[at]))))
    shown.octet(at, "d")


def source_lines() -> Page:
    """A logger that puts time, level, file and line before all it prints."""
    page = Page("16 a row behind time, level and source line; gutter in square brackets")

    def log(time: float, level: str, where: str) -> None:
        page.put(f"{time:09.3f} {level} {where:<14}| ")

    for time, where, text in (
        (0.004, "main.c:58", "frost-ctl 5.0 row 3, reset by button"),
        (0.011, "clock.c:120", "core 96 MHz, bus 48 MHz"),
        (0.019, "emac.c:77", "dma rings: rx 8 x 1536, tx 4 x 1536"),
        (1.862, "phy.c:203", "link up, 100 full, bmsr 0x782d"),
        (1.870, "probe.c:41", "4 probes, first -1.4 C"),
    ):
        log(time, "I", where)
        page.end(text)
    now = 12.402
    for word, octets, line in ("tx", plain(54), 311), ("rx", plain(55), 274), ("rx", plain(4), 274):
        shown = page.frame(octets)
        log(now, "D", f"emac.c:{line}")
        page.end(f"{word} frame, {len(octets)} octets, buffer 0x2000{0xC000 + line:04x}")
        for start, stop in rows(octets, 16):
            log(now, "D", f"emac.c:{line + 3}")
            page.put(f"{start:04x}  ")
            shown.run(start, stop)
            page.pad(87)
            page.end(f"[{characters(octets[start:stop])}]")
        now += 0.118
        log(now, "I", "fan.c:19")
        page.end(f"fan A duty {int(now * 3)} %, tacho {int(now * 90)}")
        now += 0.41
    log(now, "W", "probe.c:96")
    page.end("probe 2 slow, 3 tries")
    return page


def halves() -> Page:
    """Decimal offsets, two halves, nothing at the right."""
    page = Page("16 a row in two halves, decimal offset of five places and a bar")
    page.say("Frost alarm, row 5, monitor 1.9", "type ? for help", "", "* net show on", "showing")
    page.say("", "water tank 81 %, pump idle", "")
    for sign, octets in ("--> sent", six(0)), ("<-- got", six(1)), ("<-- got", six(16)):
        shown = page.frame(octets)
        page.say(f"{sign} {len(octets)} octets")
        for start, stop in rows(octets, 16):
            page.put(f"{start:5d} | ")
            shown.run(start, min(start + 8, stop))
            if stop > start + 8:
                page.put("   ")
                shown.run(start + 8, stop)
            page.end()
        page.say("", f"water tank {81 - len(octets) % 7} %, pump idle", "")
    page.say("* net show off", "not showing", "* stat", "in 2  out 1  bad 0  lost 0", "*")
    return page


def array_of_c() -> Page:
    """A routine that prints a buffer so that it can be pasted into a test."""
    page = Page("12 a row as an array of C with the offset in a comment before the row")
    page.say("[boot] frost-ctl 5.1-rc2", "[boot] crystal 25 MHz, pll locked", "[emac] up, 100 full")
    page.say("[ctl ] level -2.0 C, hold 900 s", "[ctl ] dump-as-source is on")
    for number, (word, octets) in enumerate(
        (("tx", arp_question()), ("rx", plain(5)), ("tx", lossy(23))), 7
    ):
        shown = page.frame(octets)
        page.say(f"static const uint8_t {word}_{number:04d}[{len(octets)}] = {{")
        for start, stop in rows(octets, 12):
            page.put(f"    /* {start:04x} */ ")
            for at in range(start, stop):
                page.put("0x")
                shown.octet(at)
                page.put("," if at < len(octets) - 1 else "")
                page.put(" " if at < stop - 1 else "")
            page.end()
        page.say("};", f"[ctl ] probe {number % 4}: -0.{number} C")
    page.say("[emac] rx ring 1 of 8 used", "[ctl ] idle 93 %", "[wdg ] fed", "[ctl ] idle 94 %")
    return page


def one_line_each() -> Page:
    """Whole frames on one line each, as digits without a gap."""
    page = Page("a whole frame on one line, digits without a gap behind direction and length")
    page.say("12:40:29.870 boot: frost-ctl 4.9.1, row 11", "12:40:29.904 flash: settings sound")
    page.say("12:40:30.012 net: link 100/full", "12:40:30.013 net: address 192.0.2.77/24")
    frames = plain(14), plain(4), plain(5), plain(56), plain(57), plain(60), plain(52), plain(53)
    for number, octets in enumerate(frames):
        shown = page.frame(octets)
        second = 31 + number
        page.put(f"12:40:{second}.{402 + number * 13} net{'<>'[number % 2]} {len(octets):4d} : ")
        shown.run(0, len(octets), "")
        page.end()
        page.say(f"12:40:{second}.{790 + number} leaf -1.{number} air 0.{9 - number} wet 8{number}")
        if number % 3 == 2:
            page.say(f"12:40:{second}.911 heap: 0x{0x5A80 - number * 24:04x} free")
    page.say("12:40:39.118 fan: A on", "12:40:39.120 fan: B on")
    return page


def upper_fours() -> Page:
    """Thirty-two a row in words of four octets."""
    page = Page("32 a row, upper case in groups of four octets, offset behind $, quoted gutter")
    page.say("FROST CONTROLLER ROW 2", "ROM 3.3  RAM 64K  EMAC OK  CLOCK OK", "READY", "")
    for word, octets in ("OUT", plain(19)), ("IN", plain(59)):
        shown = page.frame(octets)
        page.say(f"PACKET {word}  LENGTH {len(octets)} (${len(octets):X})")
        for start, stop in rows(octets, 32):
            page.put(f"${start:04X}  ")
            shown.groups(start, stop, 4, " ", "02X")
            page.pad(80)
            page.end(f'"{characters(octets[start:stop], " ")}"')
        page.say("DONE", "", "TEMP 1  -1.2", "TEMP 2  -0.7", "WIND    0.4", "")
    page.say("ALARM ARMED", "READY")
    return page


def tens() -> Page:
    """Decimal values, ten a row."""
    page = Page(
        "10 a row, decimal values right-aligned, decimal offset and a parenthesis", "decimal"
    )
    page.say("orchard node 12 starting", "eeprom ok", "radio off, wire on", "asking for an address")
    for word, octets in ("Transmit", rare(42)), ("Receive", rare(43)), ("Transmit", rare(45)):
        shown = page.frame(octets)
        page.say(f"{word} buffer, {len(octets)} bytes in decimal:")
        for start, stop in rows(octets, 10):
            page.put(f"{start:4d})")
            for at in range(start, stop):
                page.put(" ")
                right(shown, at)
            page.end()
        page.say(f"End of buffer. Bud temperature {-len(octets) / 50:.1f}")
    page.say("valve closed", "valve open 12 s", "valve closed", "node 12 sleeping 30 s")
    return page


def characters_first() -> Page:
    """The characters stand at the left of the octets."""
    page = Page("16 a row, characters at the left between bars, octets in upper case at the right")
    page.say("## frost box, gate B ##", "self test: relay pass, horn pass, wire pass", "")
    for number, octets in enumerate((neighbour(), six_datagram(b"row 9 leaf=-2.1 fan=A horn=0"))):
        shown = page.frame(octets)
        page.say(f"eth: {'took' if number else 'gave'} {len(octets)} bytes, port 0, queue {number}")
        for start, stop in rows(octets, 16):
            page.put(f"  {start:03X} |{characters(octets[start:stop]):16}| ")
            shown.run(start, stop, " ", "02X")
            page.end()
        page.say(f"eth: queue {number} empty", f"lux {410 + number}  dew -3.{number}")
    page.say(
        "horn: test at noon", "gate: closed", "gate: open", "gate: closed", "lux 409  dew -3.3"
    )
    return page


def slashes() -> Page:
    """One value that goes on over several lines with a backslash."""
    page = Page("20 a row with colons, each line but the last goes on with a colon and a backslash")
    page.say("$ ./relay --port tty3 --show", "relay: port open at 115200", "board: hello, row 8")
    page.say("board: probes 1 2 3 4", "board: mdio 1 = 0x796d")
    for number, octets in enumerate((plain(9), rare(30), tagged(41)), 1):
        shown = page.frame(octets)
        page.say(f"board: seq={number} dir={'io'[number % 2]} len={len(octets)}")
        for start, stop in rows(octets, 20):
            page.put("data = " if not start else "       ")
            shown.run(start, stop, ":")
            page.end(":\\" if stop < len(octets) else "")
        page.say(f"board: seq={number} end", f"board: tank={70 + number}% lid=shut")
    page.say("relay: 3 seen, 0 lost", "^C", "relay: port closed")
    return page


def addresses_and_words() -> Page:
    """Words in memory order behind the address where the buffer lies."""
    page = Page("four groups of four octets behind an absolute address; the last group is short")
    page.say("frost-ctl monitor, ring walk", "cause: watchdog, task emac late 212 ms", "")
    page.say("pc 0800c1f4  lr 0800a04b  sp 2001ff48", "")
    for number, (base, octets) in enumerate(
        ((0x2000C1E0, plain(53)), (0x2000C7E0, tagged(34)), (0x2000CDE0, lossy(25)))
    ):
        shown = page.frame(octets)
        page.say(f"rx slot {number}: buffer {base:08x}, {len(octets)} used, owner cpu")
        for start, stop in rows(octets, 16):
            page.put(f"    {base + start:08x}  ")
            shown.groups(start, stop, 4, "  ")
            page.end()
        page.say("")
    page.say("rx slot 3: buffer 2000d3e0, owner dma", "rx slot 4: buffer 2000d9e0, owner dma")
    page.say("tx slot 0: empty", "tx slot 1: empty", "", "cold start in 5 s")
    return page


def quoted_mail() -> Page:
    """A mail that answers a mail: the log has two marks before it."""
    page = Page("8 pairs a row behind two marks of a quoted mail and an offset with a colon")
    page.say(
        "Subject: Re: Re: Row 6 does not get its address", "Date: Mon, 3 Feb 2025 08:12:40 +0100"
    )
    page.say("", "Thanks. The offer is there, so the alarm does not like it. More below.", "")
    page.say("> On Friday the bench wrote:", "> > here is the first minute after power on:")
    page.say("> >", "> > frost-ctl 4.2 row 6", "> > emac: up", "> > lease: asking")
    for word, octets in ("sent", plain(10)), ("came", plain(12)):
        shown = page.frame(octets)
        page.say("> >", f"> > lease: {word}, {len(octets)} octets")
        for start, stop in rows(octets, 16):
            page.put(f"> > {start:04x}: ")
            shown.groups(start, stop, 2, " ")
            page.end()
    page.say("> > lease: no answer for 4 s", "> >", "> Does the server look right to you?", "")
    page.say("It does. Which probe was on port 2?", "", "-- ", "packing house, bench 2")
    return page


def two_tasks() -> Page:
    """Two tasks print at the same time, each row names its task."""
    page = Page("16 a row; the rows of two dumps stand in turn, each behind the tag of its task")
    page.say("[init ] rtos 2.0, 6 tasks", "[init ] row 14", "[probe] 4 found", "[rx   ] waiting")
    for octets, other in (plain(56), plain(57)), (six(18), tagged(24)):
        ends = {"rx": page.frame(octets), "tx": page.frame(other)}
        for tag, shown in ends.items():
            page.say(f"[{tag:5}] begin {len(shown.octets)} bytes")
        spans = {tag: list(rows(shown.octets, 16)) for tag, shown in ends.items()}
        for turn in range(max(map(len, spans.values()))):
            for tag, shown in ends.items():
                if turn < len(spans[tag]):
                    start, stop = spans[tag][turn]
                    page.put(f"[{tag:5}] {start:03x}: ")
                    shown.run(start, stop)
                    page.end()
            if turn == 2:
                page.say(f"[probe] 1={-len(octets) / 40:.2f} 2={-len(other) / 60:.2f}")
        for tag in ends:
            page.say(f"[{tag:5}] end")
    page.say("[fan  ] A 40 %", "[fan  ] A 60 %", "[idle ] 88 %")
    return page


def quoted_strings() -> Page:
    """A script prints its list of strings, folded by its printer."""
    page = Page("a list of quoted strings, 14 a row, in square brackets over several lines")
    page.say(
        ">>> board.reset()", "'frost-ctl 4.4'", ">>> board.probes()", "[-1.4, -0.9, -1.1, 0.2]"
    )
    page.say(">>> board.counters()", "{'good': 18, 'short': 0, 'sum': 0}")
    for number, octets in enumerate((plain(22), lossy(31)), 1):
        shown = page.frame(octets)
        page.say(
            f">>> f = board.take(timeout={number})", ">>> len(f)", str(len(octets)), ">>> f.hexes()"
        )
        for start, stop in rows(octets, 14):
            page.put(" '" if start else "['")
            shown.run(start, stop, "', '")
            page.end("'," if stop < len(octets) else "']")
        page.say(">>> board.fan('A')", ("'off'", "'on'")[number - 1])
    page.say(
        ">>> board.take(timeout=9)", ">>> board.counters()", "{'good': 20, 'short': 0, 'sum': 0}"
    )
    return page


def assembler() -> Page:
    """Lines of an assembler with the offset behind a semicolon at the right."""
    page = Page("8 a row as 0FFh literals behind db, decimal offset in a comment at the right")
    page.say("; taken from the frost box at row 4 by the bench monitor", "; monitor 0.8, 9600 8n1")
    page.say("; probe 1 at -1.6 C, probe 2 at -1.1 C", "")
    for name, octets in ("asked", plain(6)), ("told", rare(44)), ("asked2", six(33)):
        shown = page.frame(octets)
        page.say(f"{name}_len  equ {len(octets)}", f"{name}:")
        for start, stop in rows(octets, 8):
            page.put("        db      ")
            for at in range(start, stop):
                page.put(",0" if at > start else "0")
                shown.octet(at, "02X")
                page.put("h")
            page.pad(60)
            page.end(f"; +{start}")
        page.say("", "; tank 66 %", "")
    page.say("; carrier lost 0, sum errors 0", "        end")
    return page


def boxed() -> Page:
    """A table drawn with lines."""
    page = Page("16 a row in a table of drawn lines: offset, octets, characters")
    line = "─" * 6, "─" * 49, "─" * 18
    page.say("Frostwächter Reihe 10 · Prüfstand", "Versorgung 12,1 V · Strom 0,31 A", "")
    for word, octets in ("Empfang", plain(52)), ("Senden", datagram(b"reihe 10 blatt -1.8", 77, 7)):
        shown = page.frame(octets)
        page.say(f"{word}: {len(octets)} Oktette", "┌" + "┬".join(line) + "┐")
        for start, stop in rows(octets, 16):
            page.put(f"│ {start:04x} │ ")
            shown.run(start, stop)
            page.pad(59)
            page.end(f"│ {characters(octets[start:stop], '·'):16} │")
        page.say("└" + "┴".join(line) + "┘", f"Fühler 1: −{len(octets) % 9},4 °C", "")
    page.say("Ventil zu", "Lüfter A an", "Lüfter B aus", "Ende der Prüfung")
    return page


def wiki_table() -> Page:
    """Cells of a wiki table."""
    page = Page("8 a row in cells of a wiki table, each octet in a cell, offset in the first")
    page.say("== Row 15 after the thaw ==", "Seen on the bench on the third try:", "")
    page.say("----", "frost-ctl 4.6, row 15", "emac: link 10 half", "----", "")
    for word, octets in ("first", arp_question()), ("second", lossy(20)), ("third", six(30)):
        shown = page.frame(octets)
        page.say(f"The {word} frame, {len(octets)} octets:")
        page.say("|| at || " + " || ".join(f"+{n}" for n in range(8)) + " ||")
        for start, stop in rows(octets, 8):
            page.put(f"| 0x{start:02x} | ")
            shown.run(start, stop, " | ")
            page.end(" |")
        page.say("", "Then {{probe 3: -0.4 C}} and quiet for a minute.", "")
    page.say("== Open ==", "* why half duplex?", "* who has the spare relay?")
    return page


def same_rows() -> Page:
    """Rows that are as the one before are counted."""
    page = Page("16 a row with gutter; rows like the row before are replaced by their count")
    page.say("frost-ctl 5.2 row 1", "lease task: no address yet", "lease task: state 1 -> 2")
    for word, octets in ("out", plain(11)), ("in", rare(1)):
        shown = page.frame(octets)
        page.say(f"-- {word} {len(octets)} --")
        spans, last, same = list(rows(octets, 16)), b"", 0
        for start, stop in spans:
            row = octets[start:stop]
            if row == last and stop < len(octets):
                shown.fold(start, stop)
                same += 1
                continue
            if same:
                page.say(f"      ({same} more row{'s' if same > 1 else ''} the same)")
            last, same = row, 0
            page.put(f"{start:04x}  ")
            shown.run(start, stop)
            page.pad(56)
            page.end(f"<{characters(row)}>")
        page.say("-- --", f"lease task: state 2 -> {3 if word == 'in' else 2}")
    page.say("lease task: 192.0.2.77 for 3600 s", "probe 1: -1.0", "probe 2: -0.6", "fan A: off")
    return page


def counted_rows() -> Page:
    """Each row says which row of how many it is."""
    page = Page("14 a row behind frame number and row of rows, no offset; a dash after the seventh")
    page.say("BOOT row 16 build 771", "PHY id 0f57 1a07", "PHY link", "TASK start x5")
    for number, octets in enumerate((plain(0), plain(15), plain(58)), 3):
        shown = page.frame(octets)
        spans = list(rows(octets, 14))
        page.say(
            f"FRM {number} {'TX' if number % 2 else 'RX'} size {len(octets)} rows {len(spans)}"
        )
        for row, (start, stop) in enumerate(spans, 1):
            page.put(f"FRM {number} row {row:02d}/{len(spans):02d}: ")
            shown.run(start, min(start + 7, stop))
            if stop > start + 7:
                page.put(" - ")
                shown.run(start + 7, stop)
            page.end()
        page.say(f"CTL level {-number / 2:.1f} hold {900 - number}")
    page.say("CTL armed", "TASK idle 91", "TASK idle 92")
    return page


def head_apart() -> Page:
    """The addresses and the type stand on lines of their own before the rest."""
    page = Page("destination, source and type on lines of their own, then 16 a row from offset 14")
    page.say("frost box 7 / shell", "> watch wire 3", "watching, 3 to go", "")
    for left, octets in (2, plain(59)), (1, rare(31)), (0, plain(27)):
        shown = page.frame(octets)
        page.say(f"wire: frame of {len(octets)}")
        for name, start, stop in ("to", 0, 6), ("from", 6, 12), ("type", 12, 14):
            page.put(f"  {name:5} ")
            shown.run(start, stop, " " if name == "type" else ":")
            page.end()
        for start in range(14, len(octets), 16):
            page.put(f"  {start:5d} ")
            shown.run(start, min(start + 16, len(octets)))
            page.end()
        page.say(f"{left} to go", "")
    page.say("> air", "-1.9 C, 88 %", "> fans", "A on B off", ">")
    return page


def records() -> Page:
    """Records with offset, count, octets and a sum, as the monitor's own loader takes them."""
    page = Page("records of up to 16: letter, offset, count, octets without a gap, sum of the row")
    page.say(
        "frost monitor 2: records are D,offset,count,octets,sum (sum = octets added, low 8 bits)"
    )
    page.say("M,row 13,tank 54", "M,probe 1,-2.1", "M,probe 2,-1.7")
    for word, octets in ("T", plain(54)), ("R", plain(24)), ("R", rare(7)):
        shown = page.frame(octets)
        page.say(f"F,{word},{len(octets)}")
        for start, stop in rows(octets, 16):
            page.put(f"D,{start:04X},{stop - start:02d},")
            shown.run(start, stop, "", "02X")
            page.end(f",{sum(octets[start:stop]) & 0xFF:02X}")
        page.say(f"E,{-(-len(octets) // 16)}", f"M,wind,{len(octets) / 100:.1f}")
    page.say("M,tank 53", "M,fan A,1", "M,fan B,0", "M,bye")
    return page


def with_sum() -> Page:
    """The driver shows the descriptor, the frame, and the sum of the wire on a last line."""
    page = Page("16 a row behind +0x offsets, then the FCS on a line of its own; the truth has it")
    page.say(
        "emac: sums are kept in the buffer (KEEP_FCS=1)", "emac: link 100 full", "row 18 armed"
    )
    for number, octets in enumerate((plain(31), tagged(25), six(20))):
        whole = with_fcs(octets)
        shown = page.frame(whole)
        page.say(f"emac: rxd[{number}] ctl=0x{0x80000000 | len(whole):08x} len={len(whole)} good")
        for start, stop in rows(octets, 16):
            page.put(f"emac:  +0x{start:03x}  ")
            shown.run(start, stop)
            page.end()
        page.put("emac:  fcs     ")
        shown.run(len(octets), len(whole))
        page.end(" good")
        page.say(
            f"emac: rxd[{number}] given back", f"leaf -0.{number + 3} C, bud -0.{number + 1} C"
        )
    page.say("fan A 30 %", "fan A 35 %", "emac: 3 good, 0 bad")
    return page


LAYOUTS = {
    "source-lines": source_lines,
    "halves": halves,
    "array-of-c": array_of_c,
    "one-line-each": one_line_each,
    "upper-fours": upper_fours,
    "tens": tens,
    "characters-first": characters_first,
    "slashes": slashes,
    "addresses-and-words": addresses_and_words,
    "quoted-mail": quoted_mail,
    "two-tasks": two_tasks,
    "quoted-strings": quoted_strings,
    "assembler": assembler,
    "boxed": boxed,
    "wiki-table": wiki_table,
    "same-rows": same_rows,
    "counted-rows": counted_rows,
    "head-apart": head_apart,
    "records": records,
    "with-sum": with_sum,
}
