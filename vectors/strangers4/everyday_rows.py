"""Layouts of every day: rows with an offset or an address."""

from __future__ import annotations

from _frames import lossy, plain, rare, six, tagged
from _page import Page, Shown, characters, rows


def _shown(frame: Shown, start: int, stop: int) -> str:
    """The character column of a row."""
    return characters(frame.octets[start:stop])


def bracketed_address() -> Page:
    """Words of four octets behind an address in brackets."""
    page = Page("address in brackets, four words of 4 octets in the order of the wire")
    page.say(
        "Frost alarm monitor 2.4, row 7", "monitor> status", "  fans: off  valve: closed  bud 1.8 C"
    )
    for octets, address in ((plain(5), 0x20001A40), (lossy(23), 0x20002080)):
        frame = page.frame(octets)
        page.say(f"monitor> show buffer {len(octets)}")
        for start, stop in rows(octets, 16):
            page.put(f"[{address + start:08x}] ")
            frame.groups(start, stop, 4, " ")
            page.end()
    page.say("monitor> go", "leaving the monitor")
    return page


def level_tick_task() -> Page:
    """A level, a tick and a task before each row."""
    page = Page("level, tick and task before the offset, 16 a row")
    page.say(
        "I 0048090 frost    bud sensor 3: 0.7 C, falling",
        "W 0048102 frost    threshold 0.5 C in about 12 min",
    )
    tick = 48213
    for octets in (plain(108), plain(83)):
        frame = page.frame(octets)
        page.say(f"D {tick:07d} net_rx   got {len(octets)} octets")
        for start, stop in rows(octets, 16):
            page.put(f"D {tick:07d} net_rx   {start:04x}  ")
            frame.run(start, stop)
            page.end()
            tick += start % 32 // 16
        page.say(f"I {tick + 3:07d} frost    bud sensor 3: 0.6 C")
        tick += 905
    return page


def seconds_in_brackets() -> Page:
    """Seconds since the start, the device, the direction; bare characters at the end."""
    page = Page("seconds in brackets, device, offset of 8 digits, characters without a border")
    page.say(
        "[    0.000000] frost alarm, board revision C", "[    2.104417] emac0: link up, 100 full"
    )
    seconds = 12.481932
    for way, octets in (("tx", six(20)), ("rx", six(21))):
        frame = page.frame(octets)
        for start, stop in rows(octets, 16):
            page.put(f"[{seconds:12.6f}] emac0: {way} {start:08x}: ")
            begin = page.column
            frame.run(start, stop)
            page.pad(begin + 16 * 3)
            page.end(" " + _shown(frame, start, stop))
            seconds += 0.000119
    page.say("[   13.000871] frost: fan 2 speed 640 rpm")
    return page


def plus_offset() -> Page:
    """Eight a row with a dash in the middle and the characters between quotes."""
    page = Page("offset behind a plus, 8 a row, a dash in the middle, characters in quotes")
    page.say("frost> net peek", "oldest first:", "")
    for octets in (rare(13), rare(42)):
        frame = page.frame(octets)
        for start, stop in rows(octets, 8):
            page.put(f"  +{start:03X}  ")
            begin = page.column
            frame.run(start, min(start + 4, stop), form="02X")
            page.put("-" if stop > start + 4 else "")
            frame.run(start + 4, stop, form="02X")
            page.pad(begin + 25)
            page.end(f"'{_shown(frame, start, stop)}'")
        page.say("")
    page.say("2 frames, 0 dropped", "frost>")
    return page


def debugger_words() -> Page:
    """A debugger shows words of the little-endian memory beside the symbol."""
    page = Page("debugger: address, symbol, tab, four 0x words of 4 octets, lowest octet last")
    page.say(
        "stopped in valve_task, valve.c line 118",
        "118\t    if (bud_temperature < limit)",
        "(debug) x 64 of rx_pool",
    )
    frame = page.frame(tagged(4))
    for start, stop in rows(frame.octets, 16):
        symbol = f"rx_pool+{start}" if start else "rx_pool"
        page.put(f"0x{0x20004C00 + start:08x} <{symbol}>:")
        for word in range(start, stop, 4):
            page.put("\t0x")
            for at in reversed(range(word, word + 4)):
                frame.octet(at)
        page.end()
    page.say("(debug) go on", "running")
    return page


def monitor_words() -> Page:
    """A boot monitor: address with a colon, words, four spaces, characters."""
    page = Page("address and colon, four words of 4 octets in wire order, 4 spaces, characters")
    page.say("Press space to stay here: 2 1", "board# net last", "board# memory 8ff01000 404")
    frame = page.frame(rare(20))
    for start, stop in rows(frame.octets, 16):
        page.put(f"{0x8FF01000 + start:08x}: ")
        begin = page.column
        frame.groups(start, stop, 4, " ")
        page.pad(begin + 39)
        page.end(_shown(frame, start, stop))
    page.say("board# start", "frost alarm starts at 80008000")
    return page


def swapped_halfwords() -> Page:
    """Two frames with octal offsets and words of the little-endian machine, back to back."""
    page = Page("octal offset of 7 digits, swapped words of 2 octets, end offset; two back to back")
    page.say("alarm7:/var/spool/net$ ls", "1.bin  2.bin", "alarm7:/var/spool/net$ show-all *.bin")
    for octets in (plain(83), plain(46)):
        frame = page.frame(octets)
        for start, stop in rows(octets, 16):
            page.put(f"{start:07o}")
            for word in range(start, stop, 2):
                page.put(" ")
                frame.octet(word + 1)
                frame.octet(word)
            page.end()
        page.say(f"{len(octets):07o}")
    page.say("alarm7:/var/spool/net$ exit")
    return page


def quoted_mail() -> Page:
    """An answer in a mail that quotes the question."""
    page = Page("mail with CRLF, quoted twice, offset and colon, 16 a row in two halves")
    page.newline = "\r\n"
    page.say(
        "Subject: Re: Re: sprinkler of row 7 starts late",
        "",
        "Which name does it ask for? See below.",
        "",
        "> On Tuesday the grower wrote:",
        "> > The box by the pump sends this at 04:10, then nothing:",
        "> >",
    )
    frame = page.frame(tagged(34))
    for start, stop in rows(frame.octets, 16):
        page.put(f"> > {start:04x}: ")
        frame.run(start, min(start + 8, stop))
        page.put("  " if stop > start + 8 else "")
        frame.run(start + 8, stop)
        page.end()
    page.say("> >", "> > Frost began at 04:25.", "> Thanks, we look into it.", "", "Regards")
    return page


def table_in_ticket() -> Page:
    """A table with bars in a ticket."""
    page = Page("ticket: table of bars, offset with 0x, 16 a row, characters in the last column")
    page.say(
        "### Alarm 7 does not find the server", "", "1. switch on", "2. wait for the tone", "",
        "Last frame (60 octets):", "", "| offset | octets | text |", "| ------ | ------ | ---- |",
    )  # fmt: skip
    frame = page.frame(plain(15))
    for start, stop in rows(frame.octets, 16):
        page.put(f"| 0x{start:04x} | ")
        frame.run(start, stop)
        page.end(f" | {_shown(frame, start, stop)} |")
    page.say("", "Expected: an answer. Seen: none within 5 s.")
    return page


def tabs_and_footer() -> Page:
    """Tabs, words of two octets, a header and a footer with the length."""
    page = Page("tab, offset, tab, words of 2 octets; header and footer with the length")
    page.say("fan 1 ok", "fan 2 ok", "valve ok")
    for number, octets in enumerate((lossy(18), lossy(62)), 31):
        frame = page.frame(octets)
        page.say(f"--- frame {number} out, length {len(octets)} ---")
        for start, stop in rows(octets, 16):
            page.put(f"\t{start:04x}\t")
            frame.groups(start, stop, 2, " ")
            page.end()
        page.say(f"--- end of frame {number} ({len(octets)} octets) ---", "bud 1.1 C")
    return page


def parentheses_and_colons() -> Page:
    """Offset in parentheses, capital digits with colons."""
    page = Page("offset in parentheses, 16 a row, capital digits joined by colons")
    page.say("[alarm7] pump pressure 3.1 bar", "[alarm7] unexpected frame, please report:")
    frame = page.frame(six(26))
    for start, stop in rows(frame.octets, 16):
        page.put(f"    (0x{start:04X}) ")
        frame.run(start, stop, ":", "02X")
        page.end()
    page.say("[alarm7] counter 1 of 5 before restart")
    return page


def decimal_offset() -> Page:
    """Ten a row, the offset in decimal, a head with the numbers of the columns."""
    page = Page("decimal offset and colon, 10 a row, a head of column numbers")
    page.say("SELF TEST", "relay A closed", "relay B open", "LAST RECEIVED (60):", "")
    frame = page.frame(plain(39))
    page.say("        " + "".join(f"{column:3d}" for column in range(10)))
    for start, stop in rows(frame.octets, 10):
        page.put(f"  {start:4d}:  ")
        frame.run(start, stop)
        page.end()
    page.say("", "SELF TEST DONE, 0 ERRORS")
    return page


def ruler_and_bars() -> Page:
    """A head with the columns in hex, a line beneath, bars on both sides of the octets."""
    page = Page("head of column numbers and a line beneath; bars around octets and characters")
    page.say("web console of alarm 7, page 'wire'", "")
    frame = page.frame(rare(5))
    head = " ".join(f"{column:02x}" for column in range(16))
    page.say(f"       | {head} |", "-------+" + "-" * 49 + "+" + "-" * 18 + "+")
    for start, stop in rows(frame.octets, 16):
        page.put(f" {start:05x} | ")
        begin = page.column
        frame.run(start, stop)
        page.pad(begin + 48)
        page.end(f"| {_shown(frame, start, stop):16} |")
    page.say("-------+" + "-" * 49 + "+" + "-" * 18 + "+", f"{len(frame.octets)} octets", "")
    return page


def middle_bar() -> Page:
    """A bar between the halves and the characters in angle brackets, offset without leading 0x."""
    page = Page("offset and an angle, halves parted by a bar, characters in angle brackets")
    page.say("t=04:12:07 bud=-0.2 fan=on", "t=04:12:08 bud=-0.2 fan=on")
    for octets in (plain(54), plain(60)):
        frame = page.frame(octets)
        page.say(f"t=04:12:09 frame of {len(octets)}")
        for start, stop in rows(octets, 16):
            page.put(f"  {start:x}h> ".rjust(8))
            begin = page.column
            frame.run(start, min(start + 8, stop))
            page.put(" | " if stop > start + 8 else "")
            frame.run(start + 8, stop)
            page.pad(begin + 50)
            page.end(f"<{_shown(frame, start, stop)}>")
    page.say("t=04:12:10 bud=-0.3 fan=on")
    return page


def collected_log() -> Page:
    """A collector's stamp, host and program before each row; three frames back to back."""
    page = Page(
        "stamp, host and program, offset in angle brackets, words of 2 octets; 3 back to back"
    )
    stem = "Nov 26 04:12:{:02d} alarm7 netwatch[212]: "
    page.say(stem.format(7) + "watch started on emac0")
    for second, octets in enumerate((plain(4), plain(5), plain(84)), 9):
        frame = page.frame(octets)
        for start, stop in rows(octets, 16):
            page.put(stem.format(second) + f"<{start:04x}> ")
            frame.groups(start, stop, 2, " ")
            page.end()
    page.say(stem.format(14) + "watch stopped, 3 frames")
    return page


LAYOUTS = {
    "bracketed-address": bracketed_address,
    "level-tick-task": level_tick_task,
    "seconds-in-brackets": seconds_in_brackets,
    "plus-offset": plus_offset,
    "debugger-words": debugger_words,
    "monitor-words": monitor_words,
    "swapped-halfwords": swapped_halfwords,
    "quoted-mail": quoted_mail,
    "table-in-ticket": table_in_ticket,
    "tabs-and-footer": tabs_and_footer,
    "parentheses-and-colons": parentheses_and_colons,
    "decimal-offset": decimal_offset,
    "ruler-and-bars": ruler_and_bars,
    "middle-bar": middle_bar,
    "collected-log": collected_log,
}
