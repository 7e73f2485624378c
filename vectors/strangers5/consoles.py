"""What boards, monitors and debuggers print."""

from __future__ import annotations

from _frames import lossy, plain, rare, six
from _page import Page, characters, rows


def ticks_and_arrows() -> Page:
    """A small kernel's trace: tick, module, arrow and length; eight octets a row."""
    page = Page("tick and module in brackets before each row, hex offset of 3 digits, 8 a row")
    page.say("[0011871][FAN ] set 640 rpm", "[0011902][BUD ] 3: 0x1F 0x22 0x20 -> 0.8 C")
    tick = 12033
    for arrow, octets in (("->", plain(47)), ("<-", plain(56))):
        frame = page.frame(octets)
        page.say(f"[{tick:07d}][NET ] {arrow} {len(octets)} B")
        for start, stop in rows(octets, 8):
            page.put(f"[{tick:07d}][NET ]   {start:03x} ")
            frame.run(start, stop)
            page.end()
            tick += start % 16 // 8
        tick += 311
    page.say(f"[{tick:07d}][BUD ] 3: 0x1E 0x21 0x20 -> 0.7 C")
    return page


def thread_numbers() -> Page:
    """A hexadecimal thread number before each line, nothing else; no offset."""
    page = Page("thread number in hex before a bar on every line; 16 a row, no offset")
    page.say("7f3a | valve 2 closed", "1c04 | queue depth 3", f"7f3a | frame in, {98} octets")
    frame = page.frame(plain(85))
    for start, stop in rows(frame.octets, 16):
        page.put("7f3a | ")
        frame.run(start, stop)
        page.end()
    page.say("7f3a | checked", "1c04 | queue depth 2", "1c04 | sleep 250")
    return page


def memory_window() -> Page:
    """A debugger's memory window: bars between fours; letters of either case."""
    page = Page("0x address, four times 4 octets between bars, digits of mixed case, characters")
    page.say("core 0 halted, pc = 0x08004F2C", "window 1: 0x2001A000", "")
    frame = page.frame(lossy(25))
    for start, stop in rows(frame.octets, 16):
        page.put(f"0x{0x2001A000 + start:08X} ")
        begin = page.column
        for piece in range(start, stop, 4):
            page.put("| ")
            frame.run(piece, min(piece + 4, stop), form="02X" if piece % 8 else "02x")
            page.put(" ")
        page.pad(begin + 56)
        page.end(f"| {characters(frame.octets[start:stop])}")
    page.say("", "core 0 running")
    return page


def receive_queue() -> Page:
    """A driver that prints each word it takes from the receive queue."""
    page = Page("one 32-bit word a line as read on a little-endian machine, with a running count")
    page.say("emac: isr 0x00000040", "emac: rx status 0x003C0120", "emac: drain 15 words")
    frame = page.frame(plain(58))
    for start, stop in rows(frame.octets, 4):
        page.put(f"emac: rxd({start // 4}) = 0x")
        for at in reversed(range(start, stop)):
            frame.octet(at, "02X")
        page.end()
    page.say("emac: isr 0x00000000", "emac: rx status 0x00000000")
    return page


def word_numbers() -> Page:
    """Words of two octets behind their running number in decimal."""
    page = Page("decimal number of the first word, words of 2 octets in wire order, 8 words a row")
    page.say("Sprinkler unit, service console", "Select: 4", "LAST TELEGRAM, 49 WORDS")
    frame = page.frame(plain(83))
    for start, stop in rows(frame.octets, 16):
        page.put(f" w{start // 2:03d}:")
        for word in range(start, stop, 2):
            page.put(" ")
            frame.run(word, word + 2, "", "02X")
        page.end()
    page.say("Select: 0", "Bye")
    return page


def short_words() -> Page:
    """A signal processor's memory of 24 bits a word."""
    page = Page("address that counts words of 3 octets, six words a row in wire order")
    page.say("dsp: overrun at 0x0003f1", "dsp: dump y:000400 n=32")
    frame = page.frame(plain(277))
    for start, stop in rows(frame.octets, 18):
        page.put(f"y:{0x400 + start // 3:06x}")
        for word in range(start, stop, 3):
            page.put(" ")
            frame.run(word, min(word + 3, stop), "")
        page.end()
    page.say("dsp: restart")
    return page


def date_in_pairs() -> Page:
    """A clock chip's date and time, in pairs of digits, before each row."""
    page = Page("date and time as six pairs of digits before a semicolon; 16 a row, no offset")
    page.say("26 11 26 04 12 05; bud 07 08 07", "26 11 26 04 12 06; rx")
    frame = page.frame(six(14))
    for start, stop in rows(frame.octets, 16):
        page.put("26 11 26 04 12 06; ")
        frame.run(start, stop)
        page.end()
    page.say("26 11 26 04 12 07; bud 06 08 07", "26 11 26 04 12 09; bud 06 07 07")
    return page


def parts_by_name() -> Page:
    """Lines of different lengths, each a part of the frame behind its name."""
    page = Page("a line a part with its name: 6, 6, 2, 20, 8 octets and the rest in sixteens")
    page.say("alarm7: frame handler, verbose", "alarm7: length 97")
    frame = page.frame(plain(54))
    at = 0
    for name, count in (("to", 6), ("from", 6), ("type", 2), ("network", 20), ("message", 8)):
        page.put(f"  {name:8} ")
        frame.run(at, at + count)
        page.end()
        at += count
    for start in range(at, len(frame.octets), 16):
        page.put(f"  {'data' if start == at else '':8} ")
        frame.run(start, min(start + 16, len(frame.octets)))
        page.end()
    page.say("alarm7: passed up", "alarm7: bud 1.1 C")
    return page


def bare_x() -> Page:
    """An x without a zero before each octet, ten a row."""
    page = Page("x before each octet, ten a row, no offset")
    page.say("BUD 1.2 0.9 1.1", "GOT FRAME:")
    frame = page.frame(rare(42))
    for start, stop in rows(frame.octets, 10):
        page.put("x")
        frame.run(start, stop, " x")
        page.end()
    page.say("END FRAME", "BUD 1.2 0.8 1.0")
    return page


LAYOUTS = {
    "ticks-and-arrows": ticks_and_arrows,
    "thread-numbers": thread_numbers,
    "memory-window": memory_window,
    "receive-queue": receive_queue,
    "word-numbers": word_numbers,
    "short-words": short_words,
    "date-in-pairs": date_in_pairs,
    "parts-by-name": parts_by_name,
    "bare-x": bare_x,
}
