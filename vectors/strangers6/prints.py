"""What boards, monitors and loggers print row by row."""

from __future__ import annotations

from _frames import lossy, plain, rare, six, tagged
from _page import Page, characters, rows


def address_ranges() -> Page:
    """A boot monitor names the first and the last address of each row."""
    page = Page("first and last address joined by two dots, 16 a row, capitals, characters")
    page.say("OK boot rev 7", "mon> stop", "mon> see 8200 +4A")
    frame = page.frame(plain(175))
    for start, stop in rows(frame.octets, 16):
        page.put(f"{0x8200 + start:04X}..{0x8200 + stop - 1:04X}  ")
        begin = page.column
        frame.run(start, stop, form="02X")
        page.pad(begin + 50)
        page.end(characters(frame.octets[start:stop], "_"))
    page.say("mon> leave", "starting at 00040000")
    return page


def offset_between_halves() -> Page:
    """The offset stands in the middle of a row."""
    page = Page("eight octets, the offset in angle brackets, eight octets")
    page.say("frost 7 / panel / key 12", "telegram:")
    frame = page.frame(plain(153))
    for start, stop in rows(frame.octets, 16):
        begin = page.column
        frame.run(start, min(start + 8, stop))
        page.pad(begin + 24)
        page.put(f"<{start:04x}>")
        page.put(" " if stop > start + 8 else "")
        frame.run(start + 8, stop)
        page.end()
    page.say("panel closed")
    return page


def two_loggers() -> Page:
    """The bench's logger puts its clock before what the board's logger wrote."""
    page = Page("clock of the bench, then seconds, level and module of the board, offset, 16 a row")
    page.say(
        "04:12:06.998 < [  7.1020] I/phy: reg 00 = 1140 01 = 796d", "04:12:07.002 > ping 192.0.2.1",
    )  # fmt: skip
    second = 7.4481
    for way, octets in (("out", plain(100)), ("in", plain(101))):
        frame = page.frame(octets)
        page.say(f"04:12:07.112 < [{second:8.4f}] D/net: {way} {len(octets)}")
        for start, stop in rows(octets, 16):
            page.put(f"04:12:07.{113 + start // 16} < [{second:8.4f}] D/net: {start:04x}: ")
            frame.run(start, stop)
            page.end()
            second += 0.0011
    page.say("04:12:07.391 < [  7.7002] I/phy: reg 1f = 0000")
    return page


def newest_first() -> Page:
    """A log viewer shows the newest line on top, so the rows run upwards."""
    page = Page("newest line first: rows of 16 with their offsets downwards, stamp in front")
    frame_octets = plain(152)
    frame = page.frame(frame_octets)
    page.say("Nov 26 04:12:09 alarm7 bud 0.4", "Nov 26 04:12:08 alarm7 end of frame")
    for start, stop in reversed(list(rows(frame_octets, 16))):
        page.put(f"Nov 26 04:12:08 alarm7 {start:04x}: ")
        frame.run(start, stop)
        page.end()
    page.say(
        f"Nov 26 04:12:08 alarm7 received {len(frame_octets)}:", "Nov 26 04:12:05 alarm7 bud 0.5"
    )
    return page


def length_in_front() -> Page:
    """Length in hex, then the frame, on a line."""
    page = Page("port and length, both in hex, before a frame without gaps, a line a frame")
    page.say("; port len octets", "; bud 0.2")
    for port, octets in ((1, plain(120)), (2, six(16)), (1, plain(157))):
        frame = page.frame(octets)
        page.put(f"{port:02x} {len(octets):02x} ")
        frame.run(0, len(octets), "")
        page.end()
    page.say("; bud 0.1")
    return page


def word_behind_rows() -> Page:
    """Each row ends with a word."""
    page = Page("index in brackets, 12 a row, the word ok behind each row")
    page.say("reading frame 4 from the card, 98 octets")
    frame = page.frame(rare(30))
    for number, (start, stop) in enumerate(rows(frame.octets, 12)):
        page.put(f"[{number:02d}] ")
        begin = page.column
        frame.run(start, stop, form="02X")
        page.pad(begin + 36)
        page.end("ok")
    page.say("reading done", "card removed")
    return page


def pager() -> Page:
    """A pager stops the output every few rows."""
    page = Page("offset, 16 a row, characters; a pager's line between every four rows")
    page.say("row7> net show last", f"length {255}")
    frame = page.frame(plain(192))
    for number, (start, stop) in enumerate(rows(frame.octets, 16), 3):
        if number % 5 == 0:
            page.say("-- more, blank goes on, q ends --")
        page.put(f"{start:5x}: ")
        begin = page.column
        frame.run(start, stop)
        page.pad(begin + 49)
        page.end(characters(frame.octets[start:stop]))
    page.say("row7> exit")
    return page


def dotted_triples() -> Page:
    """Words of two octets joined by dots, three at a time, as addresses are written."""
    page = Page("words of 2 octets, three joined by dots, then a blank; 24 octets a row, offset")
    page.say("switch in the shed, port 7, mirror on", "peer 0000.5e00.5307", "frame follows")
    frame = page.frame(tagged(37))
    for start, stop in rows(frame.octets, 24):
        page.put(f" {start:4d}  ")
        for part in range(start, stop, 6):
            page.put(" " if part > start else "")
            frame.groups(part, min(part + 6, stop), 2, ".")
        page.end()
    page.say("mirror off")
    return page


def out_and_in() -> Page:
    """A serial bus: what went out and what came in, octet by octet."""
    page = Page("a line an octet: time, what went out (always ff), what came in")
    page.say("0.000000 select", "0.000004 out 03 in 00", "0.000008 out 3c in 00")
    frame = page.frame(plain(44))
    for at in range(len(frame.octets)):
        page.put(f"{(12 + 4 * at) / 1e6:.6f} out ff in ")
        frame.octet(at)
        page.end()
    page.say("0.000300 release")
    return page


def sevens() -> Page:
    """Seven a row without an offset."""
    page = Page("7 a row, capitals, two blanks between, no offset; CR alone ends a line")
    page.newline = "\r"
    page.say("PANEL 3 TEST", "FRAME OUT")
    frame = page.frame(plain(86))
    for start, stop in rows(frame.octets, 7):
        frame.run(start, stop, "  ", "02X")
        page.end()
    page.say("TEST END")
    return page


def short_with_colons() -> Page:
    """No leading zeros, colons between."""
    page = Page("digits without a leading zero, joined by colons, 16 a row, no offset")
    page.say("iface em0, last unknown frame:")
    frame = page.frame(plain(112))
    for start, stop in rows(frame.octets, 16):
        page.put("\t")
        frame.run(start, stop, ":", "x")
        page.end()
    page.say("iface em0, 1 frame dropped")
    return page


def count_before_rows() -> Page:
    """Each row begins with the count of its octets."""
    page = Page("the count of octets in decimal before each row, 16 a row")
    page.say("loader: block 12 ok", "loader: stray frame", "")
    frame = page.frame(lossy(22))
    for start, stop in rows(frame.octets, 16):
        page.put(f"{stop - start:2d}: ")
        frame.run(start, stop)
        page.end()
    page.say("", "loader: block 13 ok")
    return page


def octets_left() -> Page:
    """Each row begins with the count of the octets that are left."""
    page = Page("octets that are left, in decimal, before each row, 16 a row")
    page.say("printer port log", "job 3: strange data")
    frame = page.frame(plain(122 + 8))
    for start, stop in rows(frame.octets, 16):
        page.put(f"left {len(frame.octets) - start:4d} | ")
        frame.run(start, stop, form="02X")
        page.end()
    page.say("job 3: dropped", "job 4: bud table")
    return page


def counted_from_one() -> Page:
    """The offset of the first octet is one."""
    page = Page("decimal offset that counts from one, 20 a row, words of 2 octets")
    page.say("RECORD 000412 TYPE LAN", "BYTES 82")
    frame = page.frame(plain(108))
    for start, stop in rows(frame.octets, 20):
        page.put(f"{start + 1:05d}  ")
        frame.groups(start, stop, 2, " ", "02X")
        page.end()
    page.say("RECORD 000413 TYPE BUD", "VALUE +0.4")
    return page


def lanes() -> Page:
    """A simulation prints the eight lanes of its bus, the highest lane first."""
    page = Page("offset, 8 a row from lane 7 down to lane 0, the last beat with dashes")
    page.say("sim: 1200 ns", "sim: beat  lanes 7 to 0")
    frame = page.frame(plain(54))
    for start, stop in rows(frame.octets, 8):
        page.put(f"sim: {start:04x} ")
        for at in reversed(range(start, start + 8)):
            page.put(" ")
            if at < stop:
                frame.octet(at)
            else:
                page.put("--")
        page.end()
    page.say("sim: 1328 ns", "sim: last")
    return page


LAYOUTS = {
    "address-ranges": address_ranges,
    "offset-between-halves": offset_between_halves,
    "two-loggers": two_loggers,
    "newest-first": newest_first,
    "length-in-front": length_in_front,
    "word-behind-rows": word_behind_rows,
    "pager": pager,
    "dotted-triples": dotted_triples,
    "out-and-in": out_and_in,
    "sevens": sevens,
    "short-with-colons": short_with_colons,
    "count-before-rows": count_before_rows,
    "octets-left": octets_left,
    "counted-from-one": counted_from_one,
    "lanes": lanes,
}
