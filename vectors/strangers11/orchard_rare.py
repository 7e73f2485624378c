"""Layouts 16 to 30: rarer forms."""

from __future__ import annotations

import zlib

from _frames import arp_question, datagram, lossy, neighbour, plain, rare, six, six_datagram, tagged
from _page import Page, Shown, characters, rows


def turned(shown: Shown, start: int, size: int) -> None:
    """One word of ``size`` octets, its last octet first."""
    for at in reversed(range(start, start + size)):
        shown.octet(at, "02x")


def core_words() -> Page:
    """Words of 32 bits as a little-endian core reads them."""
    page = Page("words of 32 bits, least octet first in memory, by absolute address, 4 a row")
    page.say(
        "stop at 0800c1f4 (breakpoint 2: take_frame+0x14)",
        "core: 32 bits, little endian",
        "  r0  20011400  r1  0000003c  r2  00000000  r3  e000e100",
        "  r4  20010040  r5  00000002  r6  00000000  r7  2001ff88",
        "",
    )
    frames = (0x2001_1400, plain(38)), (0x2001_1A00, plain(162)), (0x2001_2000, plain(154))
    for base, octets in frames:
        shown = page.frame(octets)
        page.say(f"dbg) words 0x{base:08x} {len(octets) // 4}    ; frame of {len(octets)} octets")
        for start, stop in rows(octets, 16):
            page.put(f"0x{base + start:08x}:")
            for at in range(start, stop, 4):
                page.put("  ")
                turned(shown, at, 4)
            page.end()
        page.say(
            "dbg) continue", f"stop at 0800c1f4 (breakpoint 2), {len(octets) % 9 + 3} ms later"
        )
    page.say("dbg) probes", "  -1.31  -0.94  -1.02", "dbg) detach")
    return page


def tens() -> Page:
    """Everything in decimal, ten a row, as a script of a small board prints it."""
    page = Page("decimal octets right-aligned, 10 a row, decimal offset and colon", "decimal")
    page.say(
        "frost.scr line 10: start",
        "probe 1 ist -1.4, soll > -2.0",
        "probe 2 ist -0.9, soll > -2.0",
        "net: 192.0.2.77 / 24 via 192.0.2.1",
    )
    for word, octets in ("read", plain(54)), ("write", plain(55)), ("read", plain(158)):
        shown = page.frame(octets)
        page.say(f"net.{word}: {len(octets)} values")
        for start, stop in rows(octets, 10):
            page.put(f"{start:5d}:")
            for at in range(start, stop):
                page.put(" " * (4 - len(str(octets[at]))))
                shown.octet(at, "d")
            page.end()
        page.say(f"net.{word}: done", f"loop {len(octets) * 3}  heap {41200 - len(octets)}")
    page.say("frost.scr line 90: sleep 60000")
    return page


def eights() -> Page:
    """Octal, as an old machine in the packing house likes it."""
    page = Page("octal octets of three digits, 8 a row, octal offset with a slash", "octal")
    page.say(
        "PACKING HOUSE MONITOR 11  (ALL NUMBERS OCTAL)",
        "CORE 000000-157777  OK",
        "LINE UNIT 3 CSR 174440 VEC 000120",
        "FROST LEVEL 177776",
        "",
    )
    for name, octets in ("IN", plain(35)), ("OUT", arp_question()), ("IN", six(18)):
        shown = page.frame(octets)
        page.say(f"{name} BUFFER, {len(octets):o} BYTES")
        for start, stop in rows(octets, 8):
            page.put(f"{start:06o}/ ")
            shown.run(start, stop, "  ", "03o")
            page.end()
        page.say(f"CSR 1000{len(octets) % 8}0  SUM 017{len(octets):o}", "")
    page.say("PROBE 1 177776  PROBE 2 177777", "*")
    return page


def stream_beats() -> Page:
    """A gate-level test bench prints the beats of the receive stream."""
    page = Page("beats of 64 bits, the first octet at the right, a mask of the lanes that count")
    page.say(
        "# tb_frost_mac: seed 5151, period 8 ns",
        "# data is 8 lanes, lane 0 (bits 7:0) goes first on the wire",
        "#      0 ns  rst   1",
        "#    160 ns  rst   0",
        "#    488 ns  note  link up",
    )
    now = 1200
    for number, octets in enumerate((plain(164), plain(122), datagram(b"dry run", 3)), 1):
        shown = page.frame(octets)
        page.say(f"# {now:6d} ns  note  packet {number} starts, {len(octets)} octets expected")
        for start, stop in rows(octets, 8):
            now += 8
            page.put(f"# {now:6d} ns  beat  data=")
            page.put("00" * (8 - (stop - start)))
            turned(shown, start, stop - start)
            mask = (1 << (stop - start)) - 1
            page.end(f" keep={mask:08b} last={int(stop == len(octets))}")
        page.say(f"# {now + 8:6d} ns  note  packet {number} compared, good")
        now += 1112
    page.say("# 3 packets, 0 errors, 0 warnings", f"# stopped at {now} ns")
    return page


def window_reads() -> Page:
    """A driver that reads the frame through a window of the chip, one word each time."""
    page = Page("one 32-bit word a line, read from a window register; the check sequence comes too")
    page.say(
        "eth: chip id reg[0x04] = 0x0f0500a1",
        "eth: reset reg[0x08] = 0x00000001 .. 0x00000000 after 3 reads",
        "eth: big endian order set, data port is reg[0x20]",
    )
    for frame in plain(36), plain(149), datagram(b"probe 3 absent, retry.", 0x105):
        octets = frame + zlib.crc32(frame).to_bytes(4, "little")
        shown = page.frame(octets)
        words = len(octets) // 4
        page.say(
            "eth: irq reg[0x0c] = 0x00000008 (rx)",
            f"eth: rx status reg[0x28] = 0x{len(octets) << 16:08x}: {len(octets)} octets",
            f"eth: draining {words} words",
        )
        for at in range(0, len(octets), 4):
            page.put("eth:   reg[0x20] -> 0x")
            shown.run(at, at + 4, "")
            page.end()
            if at == 32:
                page.say("wdt: kicked by idle", "probe: t1=-1.4 t2=-0.9")
        page.say("eth: drained, reg[0x2c] used = 0x00000000")
    page.say("eth: irq reg[0x0c] = 0x00000000", "fan: a=off b=off")
    return page


def two_pieces() -> Page:
    """Frames that lie in two or three pieces of memory, each counted from 0."""
    page = Page("a frame in pieces of 64 octets, offsets begin anew with each piece")
    page.say(
        "emac: 16 buffers of 64 octets at 0x30000000, frames go over several",
        "emac: link 10 half",
        "frost: probes 2, fans 2",
    )
    slot = 3
    for octets in plain(154), six(20), plain(152):
        shown = page.frame(octets)
        count = -(-len(octets) // 64)
        page.say(f"emac: frame of {len(octets)} octets in {count} buffers, first is {slot}")
        for part, (first, last) in enumerate(rows(octets, 64), 1):
            page.say(f"emac:  buffer {slot} (part {part} of {count}, {last - first} octets)")
            for start in range(first, last, 16):
                page.put(f"emac:   {start - first:02X}: ")
                shown.run(start, min(start + 16, last), form="02X")
                page.end()
            slot = (slot + 1) % 16
        page.say(f"emac: buffers given back, next is {slot}", f"frost: dew point -3.{slot} C")
    page.say("emac: taken 3, broken 0, no buffer 0")
    return page


def forth_commas() -> Page:
    """A threaded interpreter on the board prints a buffer so that it can be typed in again."""
    page = Page("capitals each followed by 'C,' after HEX, 12 a row, no offset")
    page.say(
        "frost forth 1.1  dict 3A40  free 21C0",
        "probes? -1.4 -0.9  ok",
        ": night  -2.0 level!  fans off ;  ok",
        "link? 100 full  ok",
    )
    frames = (("rx-last", plain(44)), ("tx-last", plain(51)), ("rx-big", six_datagram(b"cold")))
    for name, octets in frames:
        shown = page.frame(octets)
        page.say(f"{name} .words", f"\\ {len(octets)} octets", f"HEX CREATE {name}")
        for start, stop in rows(octets, 12):
            shown.run(start, stop, " C, ", "02X")
            page.end(" C,")
        page.say("DECIMAL", " ok", "queue? 0  ok")
    page.say("night  ok", "fans? off off  ok")
    return page


def wiki_table() -> Page:
    """A table in the project's wiki."""
    page = Page(
        "a table with a cell for each octet, a heading row of digits, code marks on offsets"
    )
    page.say(
        "# Row 7, cold start of 3 February",
        "",
        "The board was at -1.4 C, build 1182. Steps:",
        "",
        "1. power off for ten minutes",
        "2. power on, `watch 2`",
        "3. copied from the terminal and put into a table",
        "",
    )
    frames = (
        ("First (60 octets, received)", plain(32)),
        ("Second (78 octets, received)", plain(113)),
    )
    for title, octets in frames:
        shown = page.frame(octets)
        page.say(f"## {title}", "")
        page.say("| at | " + " | ".join(f"+{n:X}" for n in range(16)) + " |", "|---" * 17 + "|")
        for start, stop in rows(octets, 16):
            page.put(f"| `{start:02X}` | ")
            shown.run(start, stop, " | ", "02X")
            page.end(" |" + "  |" * (16 - (stop - start)))
        page.say("")
    page.say(
        "## What we saw",
        "",
        "| probe | before | after |",
        "|---|---|---|",
        "| 1 | -1.4 | -1.6 |",
        "| 2 | -0.9 | -1.1 |",
    )
    return page


def with_index() -> Page:
    """Every octet with its index."""
    page = Page("each octet behind its decimal index, [0]=00, eight a row")
    page.say("ALARM CTL V2 (C) ORCHARD WORKS", "NV PAGE 1 SUM OK", "ETH0 INIT.. LINK.. OK", "")
    frames = ("rxbuf", plain(104)), ("txbuf", plain(105)), ("rxbuf", plain(127))
    for name, octets in frames:
        shown = page.frame(octets)
        page.say(f"{name}: n={len(octets)}")
        for start, stop in rows(octets, 8):
            page.put("  ")
            for at in range(start, stop):
                page.put(f"[{at}]=")
                shown.octet(at)
                page.put(" " if at < stop - 1 else "")
            page.end()
        page.say(
            f"{name}: free", f"adc[0]=0x{0x884 + len(octets):03x} adc[1]=0x881 adc[2]=0x7c6", ""
        )
    page.say("ETH0 RX 2 TX 1 ERR 0", "FANS 0 0")
    return page


def record_lines() -> Page:
    """One record of names and values a line, the data an array of numbers."""
    page = Page("records in braces, one a line, the frame an array of decimal numbers", "decimal")
    page.say(
        '{"t":0.004,"who":"boot","say":"frost 5.0","slot":"a"}',
        '{"t":0.019,"who":"nv","pages":[0,1,3],"sum":23314}',
        '{"t":1.602,"who":"eth","link":true,"speed":100,"own":"00:00:5e:00:53:07"}',
    )
    now = 2.118
    for way, octets in ("tx", plain(25)), ("rx", plain(26)), ("rx", plain(155)), ("tx", rare(41)):
        shown = page.frame(octets)
        for probe in range(3):
            now += 0.031
            page.say(f'{{"t":{now:.3f},"who":"probe{probe}","raw":{2184 - probe},"c":-1.{probe}}}')
        now += 0.007
        page.put(f'{{"t":{now:.3f},"who":"eth","way":"{way}","len":{len(octets)},"data":[')
        shown.run(0, len(octets), ",", "d")
        page.end("]}")
        now += 0.4
        page.say(f'{{"t":{now:.3f},"who":"fan","rpm":[{890 + len(octets) % 9},0]}}')
    page.say(f'{{"t":{now + 1:.3f},"who":"idle","share":[97,2,1]}}')
    return page


def half_words() -> Page:
    """Halfwords in wire order, the place of the row counted in halfwords behind it."""
    page = Page("halfwords of 4 digits, 8 a row; the row's place in halfwords behind a semicolon")
    page.say(
        "; frost mac, 16-bit bus, network order",
        "; dump of packet memory after 3 frames, halfword places at the right",
        "boot  : v1.7 strap 0x3",
        "probe : 0xfe9a 0xff0f",
        "",
    )
    for slot, octets in (1, plain(56)), (2, lossy(25)), (3, tagged(40)):
        shown = page.frame(octets)
        page.say(f"slot {slot} : used, {len(octets)} octets")
        for start, stop in rows(octets, 16):
            page.put("    ")
            shown.groups(start, stop, 2, " ")
            page.pad(48)
            page.end(f"; hw {start // 2:3d}")
        page.say(f"slot {slot} : end", "")
    page.say("slot 4 : free", "slot 5 : free", "fan   : 0x0000 0x0000")
    return page


def narrow_screen() -> Page:
    """A screen of 64 columns breaks the rows inside their character column."""
    page = Page("rows of a dump on a screen of 64 columns: the characters go on in the next line")
    page.newline = "\r\n"
    wide = 64

    def wrapped(rest: str) -> None:
        """End the line; what does not fit on the screen stands on the next one."""
        room = wide - page.column + 1
        page.put(rest[:room])
        page.end()
        if rest[room:]:
            page.say(rest[room:])

    page.say(
        "frost-7 login: bench",
        "Last login: Sun Feb  2 22:14:40 on port a",
        "bench@frost-7 > uptime",
        " 04:31 up 6 h, load 0.02",
    )
    for number, octets in (7, plain(87)), (8, plain(88)):
        shown = page.frame(octets)
        page.say(f"bench@frost-7 > eth show {number}", f"frame {number}: {len(octets)} octets")
        for start, stop in rows(octets, 16):
            page.put(f"{start:06x}  ")
            shown.run(start, stop)
            page.pad(59)
            wrapped(characters(octets[start:stop]))
    page.say(
        "bench@frost-7 > probe",
        "1: -1.44 C",
        "2: -0.97 C",
        "bench@frost-7 > exit",
        "logout",
    )
    return page


def beside_counters() -> Page:
    """The screen of a monitor: a frame at the left, counters at the right."""
    page = Page("12 a row at the left, named counters at the right of a double bar")
    counters = (
        "RXOK    00000076",
        "RXCRC   00000000",
        "RXOVR   00000000",
        "TXOK    00000079",
        "TXCOL   00000002",
        "TXUND   00000000",
        "HEAD    00000005",
        "TAIL    00000005",
        "MODE    0000a00c",
        "TEMP1   0000fea1",
        "TEMP2   0000ff0f",
        "WIND    0000011b",
    )
    page.say("F1 frames  F2 probes  F3 fans  F10 leave", "")
    for number, octets in enumerate((plain(161), six(26), plain(39)), 1):
        shown = page.frame(octets)
        title = f"FRAME {number}/3   {len(octets)} OCTETS"
        page.say(f"{title:46s}|| COUNTERS", "-" * 46 + "++" + "-" * 19)
        for row, (start, stop) in enumerate(rows(octets, 12)):
            page.put(f"{start:03X}   ")
            shown.run(start, stop, form="02X")
            page.pad(47)
            page.end("|| " + (counters[row] if row < len(counters) else ""))
        page.say("-" * 46 + "++" + "-" * 19, "")
    page.say("row 7   level -2.0 C   quiet", "04:31:52")
    return page


def data_lines() -> Page:
    """A listing whose numbered lines hold the frame as data."""
    page = Page("numbered DATA lines of a listing, &H before each octet, 8 a line")
    page.say(
        "READY",
        "LOAD ROW7",
        "LIST",
        "100 REM FROST ALARM ROW 7, FRAMES OF LAST NIGHT",
        "110 LEVEL=-2.0 : HOLD=900",
        "120 DIM P(3)",
        "130 FOR I=1 TO 3 : READPROBE I,P(I) : NEXT I",
        "140 IF P(1)<LEVEL THEN FAN 1,900",
    )
    line = 1000
    for word, octets in ("SENT", plain(94)), ("RECEIVED", plain(95)), ("RECEIVED", plain(109)):
        shown = page.frame(octets)
        page.say(f"{line} REM {word}, {len(octets)} OCTETS")
        for start, stop in rows(octets, 8):
            line += 10
            page.put(f"{line} DATA &H")
            shown.run(start, stop, ",&H", "02X")
            page.end()
        line += 10
        page.say(f"{line} REM END", f"{line + 10} GOSUB 8000")
        line += 990 - line % 1000 + 10
    page.say("8000 REM SHOW", '8010 PRINT "T1=";P(1)', "8020 RETURN", "READY", "RUN", "T1=-1.4")
    return page


def coloured() -> Page:
    """The capture of a terminal keeps the colours: addresses, type and the rest."""
    page = Page("escape sequences colour the addresses and the type; 16 a row, offset with >")
    green, amber, blue, off = "\x1b[32m", "\x1b[33m", "\x1b[34m", "\x1b[0m"
    page.say(
        f"{blue}frostd{off} 4.8 on row 7",
        f"{blue}frostd{off} probes {green}ok{off} fans {green}ok{off}",
        f"{blue}frostd{off} link {green}up{off} 100 full",
    )
    for word, octets in ("rx", plain(158)), ("tx", neighbour()), ("rx", six(14)):
        shown = page.frame(octets)
        page.say(f"{blue}eth{off} {word} {amber}{len(octets)}{off} octets")
        for start, stop in rows(octets, 16):
            page.put(f"{start:04x}> ")
            for at in range(start, stop):
                page.put(" " if at > start else "")
                page.put({0: green, 6: amber, 12: blue, 14: off}.get(at, ""))
                shown.octet(at)
            page.end()
        page.say(f"{blue}eth{off} {word} {green}good{off}")
        page.say(f"{blue}probe{off} 1 {amber}-1.{len(octets) % 9}{off} 2 {amber}-0.9{off}")
    page.say(f"{blue}frostd{off} night report in 3600 s")
    return page


LAYOUTS = {
    "core-words": core_words,
    "tens": tens,
    "eights": eights,
    "stream-beats": stream_beats,
    "window-reads": window_reads,
    "two-pieces": two_pieces,
    "forth-commas": forth_commas,
    "wiki-table": wiki_table,
    "with-index": with_index,
    "record-lines": record_lines,
    "half-words": half_words,
    "narrow-screen": narrow_screen,
    "beside-counters": beside_counters,
    "data-lines": data_lines,
    "coloured": coloured,
}
