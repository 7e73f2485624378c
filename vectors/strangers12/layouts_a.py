"""Everyday layouts: offset, octets and characters with a prefix, header or width of their own."""

from __future__ import annotations

import json

from _frames import arp_question, datagram, lossy, neighbour, plain, rare, six, tagged
from _page import Page, characters, rows
from _sums import check_sequence


def mail_quoted() -> Page:
    """A mail that answers a mail in which the dump stood."""
    page = Page("16 a row, hex offset with a colon, bars about the characters, quoted twice")
    page.say("Subject: Re: Re: fans start late after cold start", "")
    page.say("Hello,", "", "the resolver question goes out, see below. Is the answer whole?", "")
    page.say("On Tuesday at 06:40 the bench wrote:", "> Can you print both, please? Like this:")
    page.say("> ", "> On Monday at 17:12 row 7 wrote:", "> > frost-ctl 5.0 (slot a) starting")
    page.say("> > clk 120 MHz, ram 192 K, reset cause 0x04", "> > phy 0007:c0f1 up, 100 full")
    for word, number in ("out", 153), ("in", 154):
        octets = plain(number)
        shown = page.frame(octets)
        page.say("> > ", f"> > eth0 {word}, {len(octets)} bytes:")
        for start, stop in rows(octets, 16):
            page.put(f"> > {start:04x}:  ")
            shown.groups(start, min(start + 8, stop), 1, " ")
            if stop > start + 8:
                page.put("  ")
                shown.groups(start + 8, stop, 1, " ")
            page.pad(63)
            page.end(f"|{characters(octets[start:stop])}|")
    page.say("> > ", "> > probe 1 -0.8, probe 2 -1.1, fan 0", "> ", "> Thanks", "")
    page.say(
        "The answer looks good to me. The fan waits for probe 3 then.", "", "Regards,", "row 7"
    )
    return page


def stamped_rows() -> Page:
    """A logger stamps each row, and another task speaks between two rows."""
    page = Page("seconds, unit and level before each row, hex offset with a plus, no characters")
    now = 12.402311

    def stamp(unit: str, level: str) -> str:
        nonlocal now
        now += 0.000217
        return f"{now:11.6f} {unit:<6s}{level:<5s}"

    page.say(stamp("core", "info") + "frost-ctl 5.1, board rev c")
    page.say(stamp("core", "info") + "watchdog 8000 ms, reason 0x00000024")
    page.say(stamp("emac", "info") + "link up 100/full, mac 00:00:5e:00:53:07")
    page.say(stamp("probe", "info") + "4 probes found on bus 0")
    for word, octets in ("tx", arp_question()), ("rx", plain(5)), ("rx", plain(151)):
        shown = page.frame(octets)
        now += 0.81
        page.say(stamp("emac", "dbg") + f"{word} frame, {len(octets)} octets")
        for start, stop in rows(octets, 16):
            page.put(stamp("emac", "dbg") + f"+0x{start:03x}  ")
            shown.run(start, stop)
            page.end()
            if start == 16:
                page.say(stamp("fan", "info") + "rpm 0 target 0")
                page.say(stamp("probe", "warn") + "p3 crc 5c wanted 5d, again")
        page.say(stamp("emac", "dbg") + "done")
    for turn in range(8):
        now += 1
        page.say(stamp("probe", "info") + f"p1 {-0.5 - turn / 16:.2f} p2 {-0.7 - turn / 16:.2f}")
    return page


def wide_quads() -> Page:
    """Thirty-two octets a row in groups of four, without any offset."""
    page = Page("32 a row in groups of four, two spaces before, length in the header, no offset")
    page.say("FROST CTL  build 7714  (row 3)", "self test .... ok", "eeprom ....... ok, page 2")
    page.say("switch id 0x9477, ports 3, cpu port 2", "")
    for turn, octets in enumerate((plain(97), plain(99), plain(161), plain(162))):
        shown = page.frame(octets)
        page.say(f"RX port {turn % 2} {len(octets)} bytes q{turn % 4} st=0x{0x0320 + turn:04x}")
        for start, stop in rows(octets, 32):
            page.put("  ")
            shown.groups(start, stop, 4, " ")
            page.end()
        page.say(f"rx ok {turn + 41} drop 0 crc 0 align 0", f"air {-6 - turn} ddeg, wet 71 %", "")
    page.say("port 1 down", "port 1 up 10/half", "polling every 250 ms")
    page.say(*(f"tick {n:5d} heap {18240 - 16 * (n % 3)} min 17904" for n in range(90, 104)))
    return page


def bracket_decimal() -> Page:
    """Ten a row behind a decimal offset in brackets."""
    page = Page("10 a row, decimal offset in brackets, capitals, between arrows with the length")
    page.say("*** ORCHARD NODE 12 ***", "NVS OK", "ADC CAL 0x7F3 0x801 0x7FC", "MAC 00005E005307")
    for number in (22, 23, 58, 39, 40):
        octets = plain(number)
        shown = page.frame(octets)
        page.say(f"<<< FRAME IN, {len(octets)} OCTETS, CH 0 >>>")
        for start, stop in rows(octets, 10):
            page.put(f"[{start:04d}] ")
            shown.run(start, stop, " ", "02X")
            page.end()
        page.say("<<< END >>>", f"BATT {12680 - number} MV  SUN {number * 3} MA")
        page.say(f"ADC 0x{0x700 + number:03X} 0x{0x710 + number:03X}")
    page.say("SLEEP 30 S")
    return page


def absolute_address() -> Page:
    """The row begins with the address in memory, without a mark behind it."""
    page = Page(
        "16 a row behind the address of the buffer, a dash in the middle, quoted characters"
    )
    page.say("ring: 8 slots of 0x600 at 20009B40", "rx irq on, vector 61, prio 5", "")
    base = 0x2000A340
    for slot, octets in (3, lossy(21)), (4, tagged(35)), (5, lossy(6)):
        shown = page.frame(octets)
        at = base + (slot - 3) * 0x600
        page.say(f"slot {slot}: buf={at:08X} len={len(octets)} flags=8000 (own cleared)")
        for start, stop in rows(octets, 16):
            page.put(f"{at + start:08X}  ")
            shown.run(start, min(start + 8, stop), " ", "02X")
            if stop > start + 8:
                page.put(" - ")
                shown.run(start + 8, stop, " ", "02X")
            page.pad(62)
            page.end(f"'{characters(octets[start:stop])}'")
        page.say(f"slot {slot}: given back", f"valve {slot}: 0x{slot * 17:02X} -> closed", "")
    page.say("DMA status 00660404", "DMA mode    00002906", "missed      00000000")
    page.say(*(f"20:0{n}:13 row temp {-1.5 + n / 8:.2f}" for n in range(9)))
    return page


def joined_dash() -> Page:
    """An old habit: a dash instead of the ninth space, six-digit offset."""
    page = Page(
        "16 a row, six-digit hex offset, a dash between the eighth and ninth, no characters"
    )
    page.say(
        "eth_init(): ok", "eth_start(): speed 100", "snmp_init(): ok", "valve_init(): 4 valves"
    )
    octets = datagram(b"row=7;t1=-1.8;t2=-2.1;fan=1;water=0;seq=", 0x2210)
    for turn, (word, one) in enumerate(
        (("eth_tx", octets), ("eth_rx", six(20)), ("eth_rx", six(3)))
    ):
        shown = page.frame(one)
        page.say(f"{word}(): len 0x{len(one):x}, queue {turn}")
        for start, stop in rows(one, 16):
            page.put(f"{start:06x} ")
            shown.run(start, min(start + 8, stop))
            if stop > start + 8:
                page.put("-")
                shown.run(start + 8, stop)
            page.end()
        page.say(f"{word}(): return 0", f"task_sleep(): {turn * 20 + 10} ms")
    for turn in range(12):
        page.say(f"valve_poll(): v{turn % 4} adc 0x{0x3A0 + turn * 5:03x}, open 0")
    return page


def json_lines() -> Page:
    """A logger that writes one object a line; the frame is a member of it."""
    page = Page("one object of JSON a line, the frame's octets joined in a string member")

    def line(stamp: float, **members: object) -> str:
        return json.dumps({"t": stamp, **members}, separators=(",", ":"))

    page.say(line(0.004, lvl="info", task="boot", msg="frost-ctl", version="5.2", slot="b"))
    page.say(line(0.051, lvl="info", task="emac", msg="phy found", id="0x00221560", at=1))
    page.say(line(1.722, lvl="info", task="emac", msg="link", mbit=100, full=True))
    for turn, (word, octets) in enumerate(
        (("rx", plain(15)), ("tx", plain(163)), ("rx", plain(164)), ("tx", neighbour()))
    ):
        shown = page.frame(octets)
        now = 2.125 + turn * 0.75
        page.put(f'{{"t":{now},"lvl":"trace","task":"emac","msg":"{word}","len":{len(octets)},')
        page.put('"octets":"')
        shown.run(0, len(octets), "")
        page.end(f'","slot":{turn + 5}}}')
        for probe in range(3):
            page.say(
                line(now + 0.125, lvl="info", task="probe", n=probe, c=-1.5 - probe / 4, raw=65512)
            )
        page.say(line(now + 0.25, lvl="debug", task="fan", pwm="0x00ff", state="off"))
    page.say(line(9.0, lvl="warn", task="time", msg="no answer", server="198.51.100.20"))
    return page


def system_log() -> Page:
    """The system log of a small board: the daemon's name and number before each row."""
    page = Page("8 a row behind the prefix of a system log and an offset in brackets")
    clock = 4 * 3600 + 12 * 60 + 31

    def head(who: str) -> str:
        return f"Nov 14 {clock // 3600:02d}:{clock // 60 % 60:02d}:{clock % 60:02d} frost-7 {who}: "

    page.say(head("frostd[312]") + "started, settings /etc/frost.conf, 41 keys")
    page.say(head("frostd[312]") + "probe bus open, 6 devices")
    page.say(head("netmon[318]") + "watching emac0, level 7")
    for word, octets in ("got", rare(30)), ("sent", plain(104)):
        clock += 7
        shown = page.frame(octets)
        page.say(head("netmon[318]") + f"{word} {len(octets)} octets on emac0")
        for start, stop in rows(octets, 8):
            page.put(head("netmon[318]") + f"  ({start:3x}) ")
            shown.run(start, stop)
            page.pad(79)
            page.end(characters(octets[start:stop], "_"))
            if start == 40:
                page.say(head("frostd[312]") + "probe 4: -2.25 C, falling")
        page.say(head("netmon[318]") + f"  check sequence {check_sequence(octets).hex()}")
    for turn in range(9):
        clock += 60
        page.say(head("frostd[312]") + f"cycle {turn + 118}, low {-2.0 - turn / 10:.1f} C")
    return page


LAYOUTS = {
    "mail-quoted": mail_quoted,
    "stamped-rows": stamped_rows,
    "wide-quads": wide_quads,
    "bracket-decimal": bracket_decimal,
    "absolute-address": absolute_address,
    "joined-dash": joined_dash,
    "json-lines": json_lines,
    "system-log": system_log,
}
