"""What small boards print: driver loops, memory displays, monitors, shells."""

from __future__ import annotations

from _frames import lossy, plain, six, tagged
from _page import Page, Shown, characters, rows


def blank_padded() -> Page:
    """The loop of a driver whose format pads with blanks instead of zeros."""
    page = Page("hex padded with blanks, decimal offset with colon, 16 a row")
    page.say(
        "frost alarm 7, firmware 3.1.0",
        "probe 0: 3.5 C",
        "probe 1: 2.9 C",
        "link up, 10 half",
    )
    for number in (96, 97):
        frame = page.frame(plain(number))
        page.say(f"rx {len(frame.octets)}")
        for start, stop in rows(frame.octets, 16):
            page.put(f"{start:4d}:")
            for at in range(start, stop):
                page.put("  " if frame.octets[at] < 16 else " ")
                frame.octet(at, "x")
            page.end()
        page.say("rx done")
    page.say("probe 0: 3.4 C", "fan 1 on")
    return page


def kernel_ring() -> Page:
    """A kernel's ring with stamp and core in front, another core's messages in between."""
    page = Page("stamp, core, driver and offset in front, 16 a row, characters between bars")
    clock = [41.208113]

    def stamp(core: int) -> None:
        clock[0] += 0.000347
        page.put(f"[{clock[0]:12.6f}] c{core} ")

    def tell(core: int, text: str) -> None:
        stamp(core)
        page.end(text)

    tell(0, "emac0: carrier, 100 Mbit/s full duplex")
    tell(1, "frostd: sprinkler valve 2 closed")
    for number in (21, 23):
        frame = page.frame(lossy(number))
        tell(0, f"emac0: rx len={len(frame.octets)} flags=0x0003")
        for start, stop in rows(frame.octets, 16):
            stamp(0)
            page.put(f"emac0: {start:04x}  ")
            frame.run(start, stop)
            page.put("   " * (16 - stop + start) + "  |")
            page.end(characters(frame.octets[start:stop]) + "|")
            if start == 48:
                tell(1, "frostd: probe 3 answers late (27 ms)")
    tell(0, "emac0: rx budget spent, polling")
    return page


def monitor_words() -> Page:
    """A boot monitor shows memory; the driver has left two octets free for alignment."""
    page = Page("little-endian words of 4 at absolute addresses, two octets before the frame")
    page.say("Boot monitor of the frost alarm", "SDRAM 32 MB", "=> show 80410020 10c")
    frame = page.frame(lossy(23))
    memory = 2 + len(frame.octets)
    memory += -memory % 4
    for row in range(0, memory, 16):
        page.put(f"{0x80410020 + row:08x}:")
        shown = ""
        for word in range(row, min(row + 16, memory), 4):
            page.put(" ")
            for place in (word + 3, word + 2, word + 1, word):
                if 2 <= place < 2 + len(frame.octets):
                    frame.octet(place - 2)
                else:
                    page.put("00")
            for place in range(word, word + 4):
                inside = 2 <= place < 2 + len(frame.octets)
                shown += characters(frame.octets[place - 2 : place - 1]) if inside else "."
        page.pad(50)
        page.end(shown)
    page.say("=> go 80008000", "Starting the alarm ...")
    return page


def monitor_eights() -> Page:
    """An assembler's monitor, eight a row, what is not there filled with dashes."""
    page = Page("angle, address, 8 a row with a dash in the middle, missing octets as --, capitals")
    page.say("MON 2.3 READY", "*R", "PC=81A2 A=00 X=3F SP=01F4", "*M 4000,403B")
    for base, number in ((0x4000, 38), (0x4600, 99)):
        frame = page.frame(plain(number))
        if base > 0x4000:
            page.say("*M 4600,463B")
        for start, stop in rows(frame.octets, 8):
            page.put(f">{base + start:04X}  ")
            for at in range(start, start + 8):
                page.put({0: "", 4: "-"}.get(at - start, " "))
                if at < stop:
                    frame.octet(at, "02X")
                else:
                    page.put("--")
            page.end()
    page.say("*G 8000")
    return page


def stale_behind() -> Page:
    """Words of eight octets; the last holds what an earlier frame has left."""
    page = Page("little-endian words of 8 with 0x, two a row, hex offset in brackets, stale tail")
    page.say("net: ring 4 of 32", "net: irq 17")
    octets = plain(88)
    frame = page.frame(octets)
    stale = bytes.fromhex("3f404142434445")
    page.say(f"net: len={len(octets)} status=0x80000000")
    memory = octets + stale[: -len(octets) % 8]
    for start, stop in rows(memory, 16):
        page.put(f"  [0x{start:02x}]")
        for word in range(start, stop, 8):
            page.put(" 0x")
            for at in range(word + 7, word - 1, -1):
                if at < len(octets):
                    frame.octet(at)
                else:
                    page.put(f"{memory[at]:02x}")
        page.end()
    page.say("net: refill 4", "sensor: bus 1 scanned, 6 probes")
    return page


def port_words() -> Page:
    """A driver empties its receive port and says what is left."""
    page = Page("big-endian words of 4, one a line, with the count of words left behind")
    page.say("emac: reset", "emac: up", "emac: irq 0x00000040")
    for number in (162, 39):
        frame = page.frame(plain(number))
        page.say(f"emac: packet, {len(frame.octets) // 4} words")
        for start, _ in rows(frame.octets, 4):
            page.put("  port -> ")
            frame.run(start, start + 4, "", "02X")
            page.end(f"  ({len(frame.octets) // 4 - start // 4 - 1} left)")
        page.say("emac: port empty")
    page.say("alarm: 2.1 C at row 14, fan 2 on")
    return page


def elevens() -> Page:
    """Rows of eleven, because that is what fits the display."""
    page = Page("11 a row, decimal offset in brackets, characters apart from each other")
    page.say("FROST ALARM ROW 14", "T1 02.4  T2 02.9  H 88%", "NET RX:")
    frame = page.frame(plain(178))
    for start, stop in rows(frame.octets, 11):
        page.put(f"[{start:03d}] ")
        frame.run(start, stop)
        page.put("   " * (11 - stop + start) + "   ")
        page.end(" ".join(characters(frame.octets[start:stop])))
    page.say("T1 02.3  T2 02.9  H 88%")
    return page


def folded() -> Page:
    """Rows that hold what the row before held are counted only."""
    page = Page("16 a row in pairs, hex offset of 3, equal rows folded with their number")
    page.say("leases: asked, waiting", "leases: offer?")
    for number in (1, 3):
        frame = page.frame(plain(number))
        page.say(f"  frame of {len(frame.octets)}:")
        pending = 0
        for start, stop in rows(frame.octets, 16):
            last = stop == len(frame.octets)
            if start and not last and frame.octets[start:stop] == frame.octets[start - 16 : start]:
                pending += 1
                frame.fold(start, stop)
                continue
            if pending:
                page.say(f"    ({pending} more of these)")
                pending = 0
            page.put(f"  {start:03x}  ")
            frame.groups(start, stop, 2, " ")
            page.end()
    page.say("leases: bound")
    return page


def filled_with_nul() -> Page:
    """An old console that waits for the carriage with NULs; words of a small machine."""
    page = Page("NULs in front of each line, address and slash, little-endian words of 2, CRLF")
    page.newline = "\r\n"

    def line(text: str) -> None:
        page.end("\0\0" + text)

    line("FROST WATCH 11 READY")
    line("@IN")
    frame = page.frame(lossy(22))
    line(f"PACKET {len(frame.octets)}")
    for start, stop in rows(frame.octets, 16):
        page.put(f"\0\0{0x4000 + start:04X}/")
        for word in range(start, stop, 2):
            page.put(" ")
            frame.octet(word + 1, "02X")
            frame.octet(word, "02X")
        page.end()
    line("@GO")
    line("FAN 3 STARTED")
    return page


def bus_of_two_ways() -> Page:
    """A controller on a serial bus: what goes out, and what comes back in the same clocks."""
    page = Page(
        "lines of two ways by turns, the frame in those that come back, a dummy octet first"
    )
    page.say("spi0: 8 MHz, mode 0", "eth: int, rx size 66")
    frame = page.frame(plain(177))
    page.say("mosi: 3a" + " 00" * 15)
    page.put("miso: ff ")
    frame.run(0, 15)
    page.end()
    for start, stop in rows(frame.octets[15:], 16):
        page.say("mosi:" + " 00" * (stop - start))
        page.put("miso: ")
        frame.run(start + 15, stop + 15)
        page.end()
    page.say("eth: int cleared", "alarm: horn test passed")
    return page


def named_fields() -> Page:
    """Field by field where the program knows the name, then what is left."""
    page = Page("named fields, one a line, blank between octets; the rest 12 a row")
    page.say("> rx show", "last received:")
    frame = page.frame(plain(152))
    edges = (
        ("to", 0, 6), ("from", 6, 12), ("kind", 12, 14), ("ip start", 14, 26),
        ("ip from", 26, 30), ("ip to", 30, 34), ("ports", 34, 38), ("length", 38, 40),
        ("sum", 40, 42),
    )  # fmt: skip
    for name, start, stop in edges:
        page.put(f"  {name:9}: ")
        frame.run(start, stop)
        page.end()
    for start, stop in rows(frame.octets[42:], 12):
        page.put("  data     : " if not start else "             ")
        frame.run(start + 42, stop + 42)
        page.end()
    page.say("> probes", "  0 3.2 C   1 3.0 C   2 -0.4 C ALARM")
    return page


def _slot(page: Page, frame: Shown, start: int) -> None:
    """Eight octets of one slot, or the blanks of them."""
    stop = min(start + 8, len(frame.octets))
    if start < stop:
        frame.run(start, stop)
    page.put("   " * (8 - max(0, stop - start)))


def two_slots() -> Page:
    """Two slots of a ring beside each other, one offset for both."""
    page = Page("two frames side by side behind one offset, 8 octets each, of different lengths")
    page.say("ring> cmp 3 4", "off    slot 3                     slot 4")
    left, right = page.frame(tagged(37)), page.frame(six(20))
    for start in range(0, len(left.octets), 8):
        page.put(f"{start:03x}    ")
        _slot(page, left, start)
        page.put("   ")
        _slot(page, right, start)
        page.end()
    page.say("ring> quit")
    return page


LAYOUTS = {
    "blank-padded": blank_padded,
    "kernel-ring": kernel_ring,
    "monitor-words": monitor_words,
    "monitor-eights": monitor_eights,
    "stale-behind": stale_behind,
    "port-words": port_words,
    "elevens": elevens,
    "folded-and-counted": folded,
    "filled-with-nul": filled_with_nul,
    "bus-of-two-ways": bus_of_two_ways,
    "named-fields": named_fields,
    "two-slots": two_slots,
}
