"""Rarer layouts: literals of languages, folded rows, records with sums, cut and coloured text."""

from __future__ import annotations

from _frames import datagram, lossy, neighbour, plain, rare, six, tagged
from _page import Page, rows
from _sums import row_sum


def decimal_binary() -> Page:
    """A gateway's crash report shows the frame as a term."""
    page = Page("decimal numbers with commas in double angle brackets, wrapped", "decimal")
    page.say("=== frost_gate report, 14 Nov, 04:12:31 ===", "node frost@gate up 3 days", "queue 0")
    for word, octets in (
        ("unknown_type", lossy(5)),
        ("late_answer", plain(184)),
        ("late_answer", plain(6)),
    ):
        shown = page.frame(octets)
        page.say("", f"=== frost_gate warning, {word} ===")
        page.put(f"  {{frame,{len(octets)},<<")
        for at in range(len(octets)):
            page.put("," if at else "")
            if page.column > 72:
                page.end()
                page.put(" " * 12)
            shown.octet(at, "d")
        page.end(">>}")
        page.say("  pid <0.412.0>, reductions 88213", "  state {armed,-20,[1,2,4]}")
    page.say("", "=== frost_gate report ===", "probes [-18,-21,-19,-22]", "fans [off,off]")
    page.say(*(f"tick {n} memory {5218304 + n * 64}" for n in range(12)))
    return page


def escaped_string() -> Page:
    """A routine that prints strings with escapes, for the next test case."""
    page = Page("backslash-x escapes in quoted pieces of ten octets, joined by the language")
    page.say(
        "case writer on: paste what follows into cases/", "board row-3, build 0x51c2", "seed 7"
    )
    for number, octets in enumerate((plain(47), rare(2), plain(66)), 14):
        shown = page.frame(octets)
        page.say(
            f"case {number}: ether_input, {len(octets)} octets", f"  const char case_{number}[] ="
        )
        for start, stop in rows(octets, 10):
            page.put('    "\\x')
            shown.run(start, stop, "\\x")
            page.end('"' + (";" if stop == len(octets) else ""))
        page.say(f"case {number}: result 0, {number * 11} us")
    page.say("case writer off", "ctl: probe 2 open", "ctl: probe 2 back, 0x7f1", "ctl: armed")
    return page


def short_literals() -> Page:
    """A gateway in a language that prints 0x0 for nought."""
    page = Page("slice literals on one line, 0x and one or two digits, commas")
    page.say(
        "2026/11/14 04:12:31 gate: serial port 1 open, 921600",
        "2026/11/14 04:12:31 gate: hello 0x5",
    )
    for turn, octets in enumerate((plain(116), six(18), plain(175), rare(63))):
        shown = page.frame(octets)
        page.put(
            f"2026/11/14 04:12:{32 + turn} gate: {'read' if turn % 2 else 'wrote'} n={len(octets)} "
        )
        page.put("buf=[]byte{0x")
        shown.run(0, len(octets), ", 0x", "x")
        page.end("}")
        page.say(f"2026/11/14 04:12:{32 + turn} gate: ack []byte{{0x6, 0x{turn:x}}}")
        page.say(f"2026/11/14 04:12:{32 + turn} gate: temps=[-18 -21 -1{turn}]")
    for turn in range(9):
        page.say(f"2026/11/14 04:13:{turn * 5:02d} gate: beat {turn}, lag {turn * 7 % 5}ms")
    return page


def little_words() -> Page:
    """A signal processor without octets: words of 32 bits, least octet in the low bits."""
    page = Page("32-bit words, first octet in the low bits, offset counted in words, six a row")
    page.say(
        "dsp 2 of 2, words are 32 bits", "frame octet 0 is bits 7..0 of word 0", "sram test passed"
    )
    page.say("taps 00400000 00c80000 01900000 00c80000")
    for word, octets in ("rx", plain(4)), ("tx", plain(12)), ("rx", plain(168)):
        shown = page.frame(octets)
        page.say(f"{word} frame: {len(octets)} octets, {len(octets) // 4} words")
        for start, stop in rows(octets, 24):
            page.put(f"  w{start // 4:03d}: ")
            for first in range(start, stop, 4):
                page.put(" " if first > start else "")
                for at in range(first + 3, first - 1, -1):
                    shown.octet(at)
            page.end()
        page.say("dma count 00000000", f"mic level {len(octets)} of 4096")
    page.say("filter settled", "fan noise 41 dB", "cmd 00000007 done", "cmd 00000008 done")
    page.say(*(f"frame {n:08x} load 3{n} %" for n in range(8)))
    return page


def folded_rows() -> Page:
    """Rows that are like the one before are only counted."""
    page = Page("16 a row; rows equal to the one before are folded into a line with their number")
    page.say(
        "frost-ctl 5.3 throughput mode", "one pattern a burst", "socket 2 to 198.51.100.20", ""
    )
    for number, text in enumerate((b"\xa5" * 300, b"\0" * 90 + b"end", b"\x5a" * 470)):
        octets = datagram(text, 0x4100 + number)
        shown = page.frame(octets)
        page.say(f"burst {number}: {len(octets)} octets")
        before, same, first = b"", 0, 0
        for start, stop in rows(octets, 16):
            row = octets[start:stop]
            if row == before and stop < len(octets):
                first = first if same else start
                same += 1
                continue
            if same:
                shown.fold(first, start)
                page.say(f"        ({same} more like this)")
                same = 0
            page.put(f"  {start:04x}: ")
            shown.run(start, stop)
            page.end()
            before = row
        page.say(f"burst {number}: sent in {len(octets) * 2} us", "")
    page.say("rate 11.2 Mbit/s", "lost 0", "p1 -0.5", "p2 -0.6", "p3 -0.5", "gate 0x0001", "idle")
    page.say(*(f"rate {10.9 + n / 10:.1f} window 0x{0x1000 - n * 16:04x}" for n in range(8)))
    return page


def summed_records() -> Page:
    """Records with a length, an offset and a sum of their own, as the board's loader takes them."""
    page = Page("records: kind, count, offset, joined octets and sum, with colons between")
    page.say("B:frost-boot 9", "I:records are kind:count:offset:octets:sum, sum makes 00", "V:0509")
    for word, octets in ("R", tagged(41)), ("T", tagged(40)), ("R", six(9)):
        shown = page.frame(octets)
        page.say(f"F:{word}:{len(octets)}")
        for start, stop in rows(octets, 20):
            row = octets[start:stop]
            page.put(f"D:{stop - start:02X}:{start:04X}:")
            shown.run(start, stop, "", "02X")
            page.end(f":{row_sum(bytes((stop - start, start >> 8, start & 0xFF)) + row):02X}")
        page.say("E:", "S:p1=FFEE,p2=FFEB,p3=FFF0", f"S:uptime={len(octets) * 91}")
    page.say("I:next frames are not printed", "C:0001:0000:00A4", "S:fan=0,0")
    page.say(*(f"S:p1=FF{0xE8 - n:02X},p2=FF{0xE4 - n:02X},p3=FF{0xEA - n:02X}" for n in range(10)))
    return page


def cut_relay() -> Page:
    """A relay stamps what it has read so far, wherever the row of the board may be."""
    page = Page("rows cut where the relay read them, each piece behind a stamp; length in front")
    page.say(
        "relay: port 2, 57600, stamps are of the reading side", "relay: lines of the board are cut"
    )
    now = 40.0

    def stamp(step: float = 0.031) -> None:
        nonlocal now
        now += step
        page.put(f"{now:8.3f} > ")

    sizes = (7, 11, 4, 11, 9, 11, 11, 6, 3, 11)
    turn = 0
    for word, octets in ("rx", plain(128)), ("tx", plain(176)), ("rx", plain(160)):
        shown = page.frame(octets)
        stamp(1.2)
        page.end("adc 07e2 07dd")
        stamp()
        page.end(f"{word} len {len(octets)} begin")
        at = 0
        while at < len(octets):
            stop = min(at + sizes[turn % len(sizes)], len(octets))
            stamp()
            shown.run(at, stop)
            page.end()
            at, turn = stop, turn + 1
        stamp()
        page.end(f"{word} end")
        stamp()
        page.end("fan a 0 fan b 0")
    for turn in range(10):
        stamp(2.5)
        page.end(f"low -1.{turn} hold {900 - turn}")
    page.say("relay: port 2 closed")
    return page


def coloured() -> Page:
    """The console colours its lines, and the copy kept the escape sequences."""
    page = Page("16 a row; escape sequences colour the offset and the octets")
    green, grey, plain_text = "\x1b[32m", "\x1b[90m", "\x1b[0m"
    page.say(f"{green}I{plain_text} frost-ctl 5.5", f"{green}I{plain_text} 3 probes, 2 fans")
    page.say(f"\x1b[33mW{plain_text} clock chip lost power, 0x80")
    for word, octets in ("rx", rare(32)), ("rx", plain(130)), ("tx", neighbour()):
        shown = page.frame(octets)
        page.say(f"{grey}D{plain_text} emac {word} {len(octets)} octets")
        for start, stop in rows(octets, 16):
            page.put(f"{grey}D {start:04x}{plain_text} {green}")
            shown.run(start, stop)
            page.end(plain_text)
        page.say(f"{green}I{plain_text} emac ring {len(octets) % 8}/8")
    page.say(
        f"{green}I{plain_text} p1 -0.9 p2 -1.1 p3 -1.0", f"\x1b[31mE{plain_text} fan b: code 0x12"
    )
    page.say(*(f"{green}I{plain_text} beat {n:06d}" for n in range(610, 620)))
    return page


LAYOUTS = {
    "decimal-binary": decimal_binary,
    "escaped-string": escaped_string,
    "short-literals": short_literals,
    "little-words": little_words,
    "folded-rows": folded_rows,
    "summed-records": summed_records,
    "cut-relay": cut_relay,
    "coloured": coloured,
}
