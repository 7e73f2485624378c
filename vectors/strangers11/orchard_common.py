"""Layouts 1 to 15: variations of everyday forms."""

from __future__ import annotations

import zlib

from _frames import arp_question, datagram, lossy, neighbour, plain, rare, six, tagged
from _page import Page, Shown, characters, rows


def with_sum(octets: bytes) -> bytes:
    """The frame with its check sequence behind it, as an adapter leaves it in memory."""
    return octets + zlib.crc32(octets).to_bytes(4, "little")


def halves(shown: Shown, start: int, stop: int, middle: int, joint: str, form: str) -> None:
    """A row in two halves with ``joint`` between them."""
    shown.run(start, min(middle, stop), form=form)
    if stop > middle:
        shown.page.put(joint)
        shown.run(middle, stop, form=form)


def logger_prefix() -> Page:
    """A logger puts level, time and module before each row."""
    page = Page("level, time and module before each row, + hex offset, two halves, quoted gutter")
    now = 41_220
    page.say(
        "<5>0000.000 main/--: frost-ctl 4.6 (row 7), reset by watch dog: no",
        "<6>0000.012 clk/--: core 120 MHz, bus 60 MHz, 32k crystal good",
        "<6>0000.015 mem/--: heap 48 KiB at 20004000, 3 pools",
        "<6>0000.233 probe/0: found, 12 bits, -1.31 C",
        "<6>0000.471 probe/1: found, 12 bits, -0.94 C",
        "<4>0000.702 probe/2: no answer, left out",
        "<6>0001.118 emac/--: phy 1 id 0f0a:0511, 100 full",
    )
    for word, octets in ("rx", plain(152)), ("tx", plain(4)), ("rx", plain(5)), ("tx", plain(56)):
        shown = page.frame(octets)
        page.say(f"<7>{now // 1000:04d}.{now % 1000:03d} emac/{word}: frame, {len(octets)} octets")
        for start, stop in rows(octets, 16):
            page.put(f"<7>{now // 1000:04d}.{now % 1000:03d} emac/{word}: +{start:03x}  ")
            halves(shown, start, stop, start + 8, "  ", "02x")
            page.pad(78)
            page.end(f"'{characters(octets[start:stop])}'")
            now += 1
        now += 817
        page.say(
            f"<6>{now // 1000:04d}.{now % 1000:03d} fan/a: {now % 7 + 890} rpm, wanted 900",
            f"<6>{now // 1000:04d}.{now % 1000:03d} probe/0: -1.{now % 90 + 10} C",
        )
        now += 2_204
    page.say("<5>0054.000 alarm/--: level -2.0 C not reached, quiet")
    return page


def twenty_bare() -> Page:
    """Twenty a row, capitals, no offset; a word and a count before, a word behind."""
    page = Page("no offset, 20 capitals a row under 'TX 60:', 'ok' behind")
    page.newline = "\r\n"
    page.say(
        "FROST ALARM 7  FW 3.9",
        "RAM OK  FLASH OK  RTC 04:11:58",
        "ETH UP 100F",
        "",
        "> watch eth 6",
        "watching 6 frames, any key stops",
    )
    frames = (
        ("TX", plain(9)),
        ("RX", plain(22)),
        ("TX", plain(55)),
        ("RX", plain(97)),
        ("RX", datagram(b"fan A 900, fan B 0, level -2.0", 0x1107)),
        ("TX", plain(165)),
    )
    for number, (word, octets) in enumerate(frames):
        shown = page.frame(octets)
        page.say(f"{word} {len(octets)}:")
        for start, stop in rows(octets, 20):
            shown.run(start, stop, form="02X")
            page.end()
        page.say("ok")
        if number % 2:
            page.say(f"T1 -1.{number}2  T2 -0.9{number}  W 2.{number} m/s  FAN A OFF  FAN B OFF")
    page.say("> stat", "rx 3 tx 3 err 0 drop 0", "q 0/8  irq 6  idle 97 %", "> ")
    return page


def test_array() -> Page:
    """A failing test of the driver prints what it got as an array to be kept."""
    page = Page(
        "array of C, 0x and commas, 10 a row, the hex offset of the row in a comment behind"
    )
    page.say(
        "== test_emac: 9 cases",
        "[ 1/9] reset_leaves_fifo_empty ............ pass",
        "[ 2/9] station_address_is_written ......... pass   (00:00:5e:00:53:07)",
        "[ 3/9] link_comes_up ...................... pass   (412 ms)",
        "[ 4/9] answer_to_question ................. FAIL",
        "  test_emac.c:188: lengths differ, wanted 42, got 60",
        "  wanted, for copying:",
        "",
    )
    for name, octets in ("wanted", arp_question()), ("got", plain(31)):
        shown = page.frame(octets)
        page.say(f"static const unsigned char {name}[{len(octets)}] = {{")
        for start, stop in rows(octets, 10):
            page.put("    0x")
            shown.run(start, stop, ", 0x")
            page.put(",")
            page.pad(66)
            page.end(f"/* {start:04X} */")
        page.say("};", "")
    page.say(
        "[ 5/9] long_frame_is_refused .............. pass",
        "[ 6/9] short_frame_is_filled .............. pass",
        "[ 7/9] ring_wraps ......................... pass   (head 0x0f -> 0x00)",
        "[ 8/9] overrun_is_counted ................. pass",
        "[ 9/9] probe_task_is_not_starved .......... pass   (worst 1.9 ms)",
        "== 8 passed, 1 failed, 0 skipped, seed 0x5b12",
    )
    return page


def quoted_twice() -> Page:
    """A dump quoted twice in an exchange of mails."""
    page = Page("quoted twice in a mail, 'offset -' and 16 a row, gutter between slashes")
    page.say(
        "Date: Mon, 3 Feb 2025 08:14:02 +0000",
        "From: bench@orchard.example",
        "To: firmware@orchard.example",
        "Subject: Re: Re: alarm of row 7 is late",
        "",
        "Looks fine to me up to the addresses. Could the text be the trouble?",
        "",
        "firmware wrote on Sunday:",
        "> Sorry, here is the other direction too. Board 3, build 1182:",
        ">",
    )
    texts = b'{"row":7,"t":[-2.1,-1.8],"fan":"a"}', b"ok row 7, 900 s"
    for word, number, text in zip(("Sent", "Received"), (0x21, 0x7F02), texts, strict=True):
        octets = datagram(text, number)
        shown = page.frame(octets)
        page.say(f"> > {word} at 04:31:0{number % 10}, {len(octets)} bytes", "> >")
        for start, stop in rows(octets, 16):
            page.put(f"> >   {start:02x} - ")
            shown.run(start, stop)
            page.pad(61)
            page.end(f"/{characters(octets[start:stop])}/")
        page.say("> >", f"> > temp0=-2.1 temp1=-1.8 wind={number % 7}.4 queue=0", "> >")
    page.say(
        "> > And the counters afterwards: rx_ok=118 rx_bad=0 tx_ok=121 tx_bad=0",
        ">",
        "> The lamp at the gate went on four seconds later.",
        "",
        "-- ",
        "Bench, packing house, second floor",
    )
    return page


def absolute_words() -> Page:
    """A monitor's memory command; the words are shown as they lie in memory."""
    page = Page("absolute address and colon, four groups of 4 octets, gutter in angle brackets")
    page.say(
        "mon 1.4 (row 7) ready",
        "mon> bd rx",
        "bd  state     len  buffer",
        " 0  own       1536 30040000",
        " 1  done        98 30040600",
        " 2  done       346 30040c00",
        " 3  own       1536 30041200",
    )
    for number, octets in enumerate((plain(56), tagged(2)), 1):
        shown = page.frame(octets)
        base = 0x3004_0000 + 0x600 * number
        page.say(f"mon> show {base:08x} {len(octets)}")
        for start, stop in rows(octets, 16):
            page.put(f"{base + start:08x}: ")
            shown.groups(start, stop, 4, " ")
            page.pad(47)
            page.end(f"<{characters(octets[start:stop])}>")
    page.say(
        "mon> reg emac",
        "CTRL 0000a00c  STAT 00000011  RXH 00000002  RXT 00000000",
        "IRQ  00000040  MASK 000000c1  MIIA 00000821  MIID 0000786d",
        "mon> go",
        "frost-ctl: probes 2, fans 2, level -2.0",
    )
    return page


def one_line() -> Page:
    """Each frame as one run of digits between counters."""
    page = Page("a whole frame as one run of digits in one line, the count with B before it")
    page.say("frost7 boot 0x12 ok", "cal 1024 1031 1019", "phy 0511 up")
    frames = (
        ("rx", plain(48)),
        ("tx", plain(49)),
        ("rx", plain(151)),
        ("rx", plain(108)),
        ("tx", plain(190)),
        ("rx", lossy(31)),
    )
    for number, (word, octets) in enumerate(frames, 17):
        shown = page.frame(octets)
        page.say(
            f"adc {2180 + number * 3} {2177 - number} {1990 + number}",
            f"tick {number * 1000} free {18432 - number * 8} q {number % 3}",
        )
        page.put(f"{word}#{number} {len(octets)}B ")
        shown.run(0, len(octets), "")
        page.end()
        page.say(f"sensor a={-14 - number % 4} b={-9 - number % 3} (tenths)")
    page.say("fan a on", "fan a 900/900", "tick 23000 free 18248 q 0")
    return page


def system_log() -> Page:
    """The system log of the board that sits beside the alarm."""
    page = Page(
        "date, host and process before each row, 0x offset and colon, pairs of octets; "
        "the frame's check sequence is the last four octets"
    )
    second = 7

    def said(who: str, text: str = "") -> None:
        page.put(f"2025-02-03T04:31:{second:02d}Z frost-7 {who} {text}")

    said("kern[0]", "eth: watch on, lengths count the check sequence")
    page.end()
    for number, octets in enumerate((plain(30), plain(31), plain(153), six(6)), 1):
        octets = with_sum(octets)
        shown = page.frame(octets)
        said("probed[88]", f"probe 1 = -1.{number}4, probe 2 = -0.{90 + number}")
        page.end()
        said("ethwatch[212]", f"frame {number} in, length {len(octets)} (0x{len(octets):x})")
        page.end()
        for start, stop in rows(octets, 16):
            said("ethwatch[212]", f"  0x{start:04x}: ")
            shown.groups(start, stop, 2, " ")
            page.end()
        second += 3
        said("ethwatch[212]", f"frame {number} good, status 0x0000{0x20 + number:02x}80")
        page.end()
        said("fand[90]", f"a {890 + number} b 0")
        page.end()
    said("alarmd[91]", "nothing to do")
    page.end()
    return page


def searched() -> Page:
    """Rows that a search printed, with file and line before each."""
    page = Page("file name and line number before each row, five-digit decimal offset, colons")
    page.say("$ search -n eth cold.log noon.log")
    for name, line, frames in (
        ("cold.log", 112, (("in", plain(58)), ("out", plain(57)))),
        ("noon.log", 48, (("in", six(19)), ("out", plain(178)))),
    ):
        page.say(f"{name}:{line - 9}:eth: link 100 full after 1.2 s")
        page.say(f"{name}:{line - 4}:eth: address 192.0.2.77 from 192.0.2.1, 3600 s")
        for word, octets in frames:
            shown = page.frame(octets)
            page.say(f"{name}:{line}:eth: {word} {len(octets)} ->")
            for start, stop in rows(octets, 16):
                line += 1
                page.put(f"{name}:{line}:eth:   {start:05d}  ")
                shown.run(start, stop, ":")
                page.end()
            line += 6
            page.say(f"{name}:{line}:eth: {word} done, ring {line % 16}/16")
            line += 11
        page.say(f"{name}:{line}:eth: sums rx {line * 3} tx {line * 2} bad 0")
    page.say("$ date", "Mon Feb  3 12:02:11 2025")
    return page


def ruled() -> Page:
    """A ruler of column numbers above the rows."""
    page = Page("a ruler of column digits, then offset, bar, 16 capitals, bar, characters, bar")
    page.say("+++ orchard controller / frost watch / rev C +++", "self test: cpu ok, ram ok, nv ok")
    for n, text in enumerate(("row sensors", "gate lamp", "sprinkler", "ethernet")):
        page.say(f"  task {n} '{text}' stack {256 << (n % 2)} prio {4 - n}")
    for word, octets in ("RECEIVE", rare(20)), ("TRANSMIT", plain(39)):
        shown = page.frame(octets)
        page.say("", f"--- {word} --- size: {len(octets)}")
        page.say("      |  0  1  2  3  4  5  6  7  8  9  A  B  C  D  E  F |")
        page.say("------+-------------------------------------------------+-----------------")
        for start, stop in rows(octets, 16):
            page.put(f" {start:04X} | ")
            shown.run(start, stop, form="02X")
            page.pad(57)
            page.end(f"| {characters(octets[start:stop], '_'):16s}")
        page.say("------+-------------------------------------------------+-----------------")
    page.say("", "task 0: 3 probes, mean -1.07 C", "task 2: valve shut, 0 l/min")
    return page


def ranges() -> Page:
    """The first and last decimal place of each row in brackets."""
    page = Page("decimal range of the row in brackets, 16 a row in fours with a bar between")
    page.say(
        "frostd: start, settings page 2",
        "frostd: level -2.0 C, hold 900 s",
        "frostd: watching emac0 (00:00:5e:00:53:07)",
    )
    frames = ("<=", plain(101)), ("=>", plain(61)), ("<=", plain(42))
    for number, (word, octets) in enumerate(frames):
        shown = page.frame(octets)
        page.say(f"frostd: emac0 {word} {len(octets)} byte(s), slot {number + 3}")
        for start, stop in rows(octets, 16):
            page.put(f"    [{start:03d}..{stop - 1:03d}]  ")
            for at in range(start, stop, 4):
                page.put(" | " if at > start else "")
                shown.run(at, min(at + 4, stop))
            page.end()
        page.say(f"frostd: probes -1.{number}8 -0.{95 - number}, leaf 0.{31 + number}")
        page.say(f"frostd: free 0x{0x5A80 - number * 64:04x}, oldest timer {number * 40} ms")
    page.say("frostd: night report written (412 bytes)")
    return page


def same_rows() -> Page:
    """Rows of zeros are left out and counted."""
    page = Page("dotted offset, 16 a row, equal rows replaced by a line that counts them")
    page.say(
        "dhcp: state INIT, xid kept in ram",
        "dhcp: try 1, wait 4 s",
        "emac: queue 1 of 8",
    )
    for word, octets in ("sent", plain(0)), ("got", plain(1)), ("sent", rare(8)):
        shown = page.frame(octets)
        page.say(f"emac: {word} ({len(octets)} octets)")
        skipped = 0
        for start, stop in rows(octets, 16):
            row = octets[start:stop]
            if start and row == octets[start - 16 : start] and stop < len(octets):
                shown.fold(start, stop)
                skipped += 1
                continue
            if skipped:
                plural = "s" if skipped > 1 else ""
                page.say(f"emac:        (same, {skipped} row{plural})")
                skipped = 0
            page.put(f"emac: {start:04x}.. ")
            shown.run(start, stop)
            page.pad(63)
            page.end(characters(row))
        page.say(f"emac: {word}, status 0x{len(octets):08x}")
        page.say(f"probe: {-1.25 - len(octets) % 7 / 16:.4f} C, gate shut")
    page.say("dhcp: state BOUND, renew in 1800 s", "resolver: 192.0.2.1")
    return page


def boxed() -> Page:
    """A table of box characters as a bench tool draws it."""
    page = Page("a drawn box, three columns: offset, 8 and 8 octets with a middle dot, characters")
    page.say("bench 2.1 · board row-7 · port open", "", "▶ power on", "  3.31 V  84 mA", "▶ wait")
    for word, octets in (
        ("from board", plain(170)),
        ("to board", plain(160)),
        ("from board", six(2)),
    ):
        shown = page.frame(octets)
        page.say(f"▶ {word} · {len(octets)} octets", "┌──────┬" + "─" * 51 + "┬" + "─" * 18 + "┐")
        for start, stop in rows(octets, 16):
            page.put(f"│ {start:04x} │ ")
            halves(shown, start, stop, start + 8, " · ", "02x")
            page.pad(60)
            page.end(f"│ {characters(octets[start:stop], '·'):16s} │")
        page.say("└──────┴" + "─" * 51 + "┴" + "─" * 18 + "┘")
    page.say("▶ probes", "  1  −1.4 °C", "  2  −0.9 °C", "▶ power off", "done in 12.4 s")
    return page


def labelled() -> Page:
    """The link header has labels, the rest has offsets that go on counting from there."""
    page = Page("to, from and type on a line of their own, then rows of 16 with offsets from 14 on")
    page.say(
        "EMAC driver selftest, trace level 3",
        "  ring 16 x 1536, sum unit off",
        "  phy reset 300 ms, link in 1.6 s",
    )
    frames = (
        (1, "RX", plain(117)),
        (2, "TX", plain(105)),
        (3, "RX", datagram(b"set level=-2.5;hold=600;fan=both", 0x44)),
        (4, "TX", datagram(b"set ok", 0x9045)),
    )
    for number, word, octets in frames:
        shown = page.frame(octets)
        page.say(f"{word} frame no. {number}, {len(octets)} octets in all")
        page.put("  to ")
        shown.run(0, 6, "-")
        page.put("  from ")
        shown.run(6, 12, "-")
        page.put("  type ")
        shown.run(12, 14, "")
        page.end()
        for start in range(14, len(octets), 16):
            page.put(f"  {start:4d}  ")
            shown.run(start, min(start + 16, len(octets)))
            page.end()
        page.say(f"  ({'taken' if word == 'RX' else 'sent'} in {number * 11 % 7 + 4} us)", "")
        page.say(f"frost: T1=-1.{number}  T2=-0.{number}  dew=-3.{number}")
    page.say("trace off, 4 frames, 0 lost")
    return page


def two_tasks() -> Page:
    """The rows of what was received and of what was sent come in turns."""
    page = Page("rows of two tasks in turns, the task's name in braces before each, hex offset")
    page.say("{init } frost 4.1", "{init } start rxd txd probe", "{rxd  } up", "{txd  } up")
    pairs = ((plain(159), plain(50)), (plain(84), neighbour()))
    for turn, (first, second) in enumerate(pairs):
        taken, sent = page.frame(first), page.frame(second)
        page.say(f"{{rxd  }} begin seq={turn + 40} len={len(first)}")
        ways = (
            ("{{rxd  }}   {:03x}: ", taken, list(rows(first, 16))),
            ("{{txd  }}   {:03x}: ", sent, list(rows(second, 16))),
        )
        for step in range(max(len(ways[0][2]), len(ways[1][2]) + 1)):
            if step == 1:
                page.say(f"{{txd  }} begin seq={turn + 90} len={len(second)}")
            for way, (head, shown, spans) in enumerate(ways):
                if 0 <= step - way < len(spans):
                    page.put(head.format(spans[step - way][0]))
                    shown.run(*spans[step - way])
                    page.end()
            if step == 3:
                page.say(f"{{probe}} -1.{turn}7 -0.9{turn} ok")
        page.say(f"{{rxd  }} end seq={turn + 40}", f"{{txd  }} end seq={turn + 90}")
        page.say(f"{{probe}} sleep {500 + turn} ms")
    page.say("{init } idle 96 %, worst latency 1.9 ms", "{probe} -1.20 -0.95 ok")
    return page


def relayed() -> Page:
    """A script relays the port and stamps each line."""
    page = Page("time and arrows before each line, 8 a row without offset, size in a line before")
    now = 14_02_11_384

    def stamp() -> str:
        nonlocal now
        now += 4
        text = f"{now:09d}"
        return f"{text[:2]}:{text[2:4]}:{text[4:6]}.{text[6:]} "

    page.say("# relay of port b, 115200 8n1, lines to the board >>, from the board <<")
    page.say(stamp() + ">> eth trace 1", stamp() + "<< trace on")
    for word, octets in ("out", arp_question()), ("in", plain(46)), ("out", plain(167)):
        shown = page.frame(octets)
        page.say(stamp() + f"<< {word} size={len(octets)}")
        for start, stop in rows(octets, 8):
            page.put(stamp() + "<< ")
            shown.run(start, stop)
            page.end()
        page.say(stamp() + "<< --")
        page.say(stamp() + f"<< t1 -1.{len(octets) % 10} t2 -0.{len(octets) % 9} fan off")
    page.say(stamp() + ">> eth trace 0", stamp() + "<< trace off", "# port closed")
    return page


LAYOUTS = {
    "logger-prefix": logger_prefix,
    "twenty-bare": twenty_bare,
    "test-array": test_array,
    "quoted-twice": quoted_twice,
    "absolute-words": absolute_words,
    "one-line": one_line,
    "system-log": system_log,
    "searched": searched,
    "ruled": ruled,
    "ranges": ranges,
    "same-rows": same_rows,
    "boxed": boxed,
    "labelled": labelled,
    "two-tasks": two_tasks,
    "relayed": relayed,
}
