"""Fifteen boards, each with the habits of the person who wrote its printing routine."""

from __future__ import annotations

from zlib import crc32

from _frames import arp_question, lossy, plain, rare, six, tagged
from _page import Page, rows


def ranges_in_brackets() -> Page:
    """A task's row names the first and the last octet it holds."""
    page = Page("tick, task and a range of hex offsets in brackets, 16 a row")
    page.say("0x0001A2E0 <BOOT> frost alarm 7, node 4 of row B", "0x0001A2E9 <ADC > 3 probes, 3 ok")
    for tick, octets in ((0x1A2F3, plain(56)), (0x1B0C4, plain(151))):
        page.say(f"0x{tick:08X} <NET > rx {len(octets)} bytes")
        shown = page.frame(octets)
        for start, stop in rows(octets, 16):
            page.put(f"0x{tick + 1 + start // 16:08X} <NET > rx[{start:02X}..{stop - 1:02X}] ")
            shown.run(start, stop, " ", "02X")
            page.end()
        page.say(f"0x{tick + 16:08X} <FAN > fan 2 at 1180 rpm")
    return page


def slash_and_angles() -> Page:
    """An assembler monitor shows words of memory with their characters in angles."""
    page = Page("address and slash, four words of 2 octets, characters in angles")
    octets = plain(4)
    page.say("*VALVE MON 1.3", "*R", "A=04 B=10 X=4A00 Y=003C S=7FE2", "*M 4A00 4A3B")
    shown = page.frame(octets)
    for start, stop in rows(octets, 8):
        page.put(f"{0x4A00 + start:04X}/ ")
        shown.groups(start, stop, 2, " ", "02X")
        page.pad(28)
        text = "".join(chr(o) if 0x20 <= o < 0x7F else "." for o in octets[start:stop])
        page.end(f"<{text}>")
    page.say("*G 1000")
    return page


def right_justified_forth() -> Page:
    """A word prints cells to the right of four columns, in base sixteen, without zeros in front."""
    page = Page("hex without zeros in front, right-justified in four columns, 10 a row, no offset")
    octets = plain(108)
    page.say(
        "7 PROBE? 23 11 24  ok",
        f"HEX RXLEN @ . {len(octets):X}  ok",
        ": .FRAME  RXBUF RXLEN @ .CELLS ;  ok",
    )
    page.put(".FRAME ")
    page.end()
    shown = page.frame(octets)
    for start, stop in rows(octets, 10):
        for at in range(start, stop):
            page.put(" " * (4 - len(f"{octets[at]:X}")))
            shown.octet(at, "X")
        page.end()
    page.say(" ok", "DECIMAL 7 PROBE? 23 11 25  ok")
    return page


def data_statements() -> Page:
    """The board's interpreter writes the frame as lines of a program, in decimal."""
    page = Page("numbered DATA statements, decimal, 8 a row", digits="decimal")
    octets = plain(39)
    page.say(
        "READY",
        "RUN",
        "FRAME WAITING, LENGTH 60",
        "SAVED AS LINES 9000 TO 9070",
        "READY",
        "LIST 9000-",
    )
    shown = page.frame(octets)
    for start, stop in rows(octets, 8):
        page.put(f"{9000 + 10 * (start // 8)} DATA ")
        shown.run(start, stop, ",", "d")
        page.end()
    page.say("READY")
    return page


def index_equals_dollar() -> Page:
    """Pascal: each octet with its decimal index, six a row."""
    page = Page("decimal index, equals sign, dollar and hex, six a row")
    octets = arp_question()
    page.say(
        "Frostwacht 2.1", "Sensor 1:  1.5 C", "Sensor 2:  0.5 C", f"Received {len(octets)} bytes:"
    )
    shown = page.frame(octets)
    for start, stop in rows(octets, 6):
        for at in range(start, stop):
            page.put(f"{at:4d} = $")
            shown.octet(at, "02X")
            page.put("  ")
        page.end()
    page.say("Sensor 1:  1.0 C")
    return page


def based_literals() -> Page:
    """Ada: an aggregate of based literals, eight a row."""
    page = Page("aggregate of 16#..# literals, 8 a row, commas")
    for count, octets in enumerate((plain(175), plain(177))):
        page.say(f"Orchard.Link.Receive: entry {count + 12}, Last => {len(octets) - 1}")
        shown = page.frame(octets)
        page.put("(")
        for start, stop in rows(octets, 8):
            page.put(" " if start else "")
            for at in range(start, stop):
                page.put("16#")
                shown.octet(at, "02X")
                page.put("#" + (", " if at + 1 < stop else ("," if stop < len(octets) else ")")))
            page.end()
        page.say("Orchard.Link.Receive: accepted")
    return page


def decimal_escapes() -> Page:
    """Lua: three decimal digits behind a backslash, strings joined by two dots."""
    page = Page("strings of decimal escapes, 14 a row, joined by dots", digits="decimal")
    octets = plain(152)
    page.say(
        "> = link.last()", f"table: 0x20004c8  n={len(octets)}", "> print(quoted(link.last().data))"
    )
    shown = page.frame(octets)
    for start, stop in rows(octets, 14):
        page.put('   "' if start == 0 else '.. "')
        for at in range(start, stop):
            page.put("\\")
            shown.octet(at, "03d")
        page.end('"')
    page.say("> = probe.read(2)", "1.25")
    return page


def list_that_wraps() -> Page:
    """A list of decimal numbers that the terminal wrapped between two of them."""
    page = Page("a list in decimal, wrapped by the terminal between numbers", digits="decimal")
    octets = six(0)
    page.say(
        ">>> import orchard",
        ">>> orchard.temp(3)",
        "0.875",
        ">>> n = nic.recv(buf)",
        ">>> list(buf[:n])",
    )
    shown = page.frame(octets)
    page.put("[")
    for at, octet in enumerate(octets):
        word = f"{octet}" + ("," if at + 1 < len(octets) else "]")
        if page.column + len(word) > 73:
            page.end()
        shown.octet(at, "d")
        page.put(word[-1])
        if at + 1 < len(octets):
            page.put(" ")
    page.end()
    page.say(">>> orchard.temp(3)", "0.8125")
    return page


def debug_of_a_record() -> Page:
    """Rust: a record is printed with its octets as hex between other members."""
    page = Page("one line a frame: a record with a bracketed list of hex among other members")
    page.say("INFO  valve: closed, 0 mA", "DEBUG mac: link up, 100 full")
    frames = (plain(178), plain(5), tagged(4))
    for count, octets in enumerate(frames):
        page.put(f"DEBUG mac: RxFrame {{ slot: {count}, len: {len(octets)}, at: 41.{count + 2}07s")
        page.put(", data: [")
        page.frame(octets).run(0, len(octets), ", ")
        page.end("], crc_ok: true, more: false }")
        page.say(f"INFO  probe: row {count + 1} -0.{count + 2} C")
    return page


def dots_and_backslash() -> Page:
    """A shell script joins octets by dots and goes on behind a backslash."""
    page = Page("hex joined by dots, 18 a row, a backslash at the end of all rows but the last")
    octets = plain(87)
    page.say("# ./lastframe.sh eth0", f"eth0: {len(octets)} octets, 0 errors")
    shown = page.frame(octets)
    for start, stop in rows(octets, 18):
        shown.run(start, stop, ".")
        page.end(" \\" if stop < len(octets) else "")
    page.say("# cat /var/orchard/alarm", "off")
    return page


def registers_of_words() -> Page:
    """A controller's words: register names and based literals, four a row."""
    page = Page("register names with 16-bit words, high octet first, four a row between bars")
    octets = plain(56)
    page.say("CYCLE 000419 11.8 ms", "TASK FROST  RUN", f"RXLEN  %MW999 = 10#{len(octets)}")
    shown = page.frame(octets)
    for start, stop in rows(octets, 8):
        for at in range(start, stop, 2):
            page.put(" | " if at > start else "")
            page.put(f"%MW{1000 + at // 2} = 16#")
            shown.run(at, at + 2, "", "02X")
        page.end()
    page.say("TASK FROST  STOP", "CYCLE 000420 11.9 ms")
    return page


def at_words_low_first() -> Page:
    """A soft core in gates shows words of 32 bits, low octet first; the FCS fills the last word."""
    page = Page("at sign and address, four words of 32 bits, low octet first, FCS behind")
    octets = plain(4)
    # The CRC of IEEE 802.3, low octet first, as an adapter leaves it in memory.
    tail = crc32(octets).to_bytes(4, "little")
    page.say("softcore mon 0.4  72 MHz", "> st", "rxd  0x80000040", "> d 40008000 40008040")
    shown = page.frame(octets)
    for start, stop in rows(octets + tail, 16):
        page.put(f"@{0x40008000 + start:08x}:")
        for at in range(start, stop, 4):
            page.put(" ")
            if at == len(octets):
                page.put(tail[::-1].hex())
                continue
            for place in reversed(range(at, at + 4)):
                shown.octet(place)
        page.end()
    page.say("> st", "rxd  0x00000000")
    return page


def three_ways_a_line() -> Page:
    """One octet a line: address, hex, binary, character."""
    page = Page("one octet a line: address, hex, binary, character")
    octets = plain(5)
    page.say("LOOK 2040 60", "ADDR HX BINARY   C")
    shown = page.frame(octets)
    for at, octet in enumerate(octets):
        page.put(f"{0x2040 + at:04X} ")
        shown.octet(at, "02X")
        page.end(f" {octet:08b} {chr(octet) if 0x20 < octet < 0x7F else '.'}")
    page.say("READY")
    return page


def halfwords_of_a_logger() -> Page:
    """A logger of short messages: each has a number and six halfwords, low octet first."""
    page = Page("time, task, message number, six halfwords of low octet first")
    serial = 211
    for stamp, octets in ((48213, plain(218)), (50876, plain(190)), (50911, rare(4))):
        page.say(f"{stamp / 1000:.3f} N2 {serial:04d} rx len {len(octets)}")
        shown = page.frame(octets)
        for start, stop in rows(octets, 12):
            serial += 1
            page.put(f"{stamp / 1000:.3f} N2 {serial:04d}")
            for at in range(start, stop, 2):
                page.put(" ")
                if at + 1 < stop:
                    shown.octet(at + 1)
                else:
                    page.put("00")
                shown.octet(at)
            page.end()
        serial += 2
        page.say(f"{(stamp + 5) / 1000:.3f} T1 {serial - 1:04d} bud temp -1.4")
    return page


def octal_of_octets() -> Page:
    """A monitor that counts in eights: octal address, octal octets."""
    page = Page("octal address and slash, 8 octets in octal", digits="octal")
    octets = lossy(4)
    page.say(".LINK STATUS", "RECEIVED 000100", ".EXAMINE 014000")
    shown = page.frame(octets)
    for start, stop in rows(octets, 8):
        page.put(f"{0o14000 + start:06o}/ ")
        shown.run(start, stop, " ", "03o")
        page.end()
    page.say(".")
    return page


BOARDS = {
    "ranges-in-brackets": ranges_in_brackets,
    "slash-and-angles": slash_and_angles,
    "right-justified-forth": right_justified_forth,
    "data-statements": data_statements,
    "index-equals-dollar": index_equals_dollar,
    "based-literals": based_literals,
    "decimal-escapes": decimal_escapes,
    "list-that-wraps": list_that_wraps,
    "debug-of-a-record": debug_of_a_record,
    "dots-and-backslash": dots_and_backslash,
    "registers-of-words": registers_of_words,
    "at-words-low-first": at_words_low_first,
    "three-ways-a-line": three_ways_a_line,
    "halfwords-of-a-logger": halfwords_of_a_logger,
    "octal-of-octets": octal_of_octets,
}
