"""Ten layouts, as unlike those of the other logs as they could be made."""

from __future__ import annotations

from _frames import lossy, plain, rare, six, tagged
from _page import Page, characters, rows


def numbered_lines() -> Page:
    """A viewer that numbers the lines of the file that it shows."""
    page = Page("line numbers and a tab in front, hex offset with 0x, 16 a row in quarters")
    shown = [0]

    def begin() -> None:
        shown[0] += 1
        page.put(f"{shown[0]:6d}\t")

    def tell(text: str) -> None:
        begin()
        page.end(text)

    tell("frost alarm row 7, console of 25 November")
    tell("fan 2: start refused, 11.2 V")
    for number in (87, 89):
        frame = page.frame(plain(number))
        tell(f"emac: in, {len(frame.octets)}")
        for start, stop in rows(frame.octets, 16):
            begin()
            page.put(f"0x{start:04x}: ")
            for quarter in range(start, stop, 4):
                page.put("  " if quarter > start else "")
                frame.run(quarter, min(quarter + 4, stop))
            page.end()
        tell("")
    tell("fan 2: started")
    return page


def ruled_table() -> Page:
    """A table with a heading that comes again, as for paper."""
    page = Page("offset with h, bar, 16 a row in halves, bar, characters; headings in between")
    page.say("LAST PACKET", "")
    frame = page.frame(rare(5))
    for start, stop in rows(frame.octets, 16):
        if start % 128 == 0:
            page.say("       | 0  1  2  3  4  5  6  7   8  9  A  B  C  D  E  F | 0123456789ABCDEF")
            page.say("-------+--------------------------------------------------+-----------------")
        page.put(f" {start:04X}h | ")
        frame.run(start, min(start + 8, stop), " ", "02X")
        if start + 8 < stop:
            page.put("  ")
            frame.run(start + 8, stop, " ", "02X")
        page.pad(59)
        page.end(f"| {characters(frame.octets[start:stop])}")
    page.say("", "PRESS ANY KEY")
    return page


def joined_by_lines() -> Page:
    """A board of a language that writes long numbers with underscores."""
    page = Page(
        "octets joined by underscores in groups of 4, four groups a row, no offset, capitals"
    )
    page.say("Orchard_Alarm started", "Port_1.Receive: 98 octets")
    frame = page.frame(plain(85))
    for start, stop in rows(frame.octets, 16):
        for group in range(start, stop, 4):
            page.put("  " if group == start else " ")
            frame.run(group, min(group + 4, stop), "_", "02X")
        page.end()
    page.say("Port_1.Receive: done", "Probe_3: 2.75 C")
    return page


def bracketed_and_continued() -> Page:
    """Angles around a frame, a plus where a line goes on."""
    page = Page("angles around the frame, 20 octets a line, a plus before each further line")
    page.say("> stat", "rx 118 tx 97 err 0", "> last 2")
    for number in (36, 42):
        frame = page.frame(tagged(number))
        for start, stop in rows(frame.octets, 20):
            page.put("+  " if start else "RX<")
            frame.run(start, stop)
            page.end(">" if stop == len(frame.octets) else "")
    page.say("> temp", "3.25")
    return page


def timed_octets() -> Page:
    """A tap on the line between controller and radio: a time, a way and an octet a line."""
    page = Page("a time, a way, an octet and its character a line")
    page.say("tap on radio line, 921600 baud", "0.000000 -- start")
    frame = page.frame(plain(53))
    for at, octet in enumerate(frame.octets):
        page.put(f"{0.183742 + at * 0.0000108:.6f} <- ")
        frame.octet(at)
        page.end(f" '{chr(octet)}'" if 32 <= octet < 127 else "")
    page.say("2.000000 -- stop")
    return page


def carried_on() -> Page:
    """A variable of a script, each line carried on by a backslash."""
    page = Page("an assignment, 16 octets a line, a backslash where it goes on, no offset")
    page.say("# saved by the alarm at 04:12", "row=14", "level=2", "fans='1 2'")
    frame = page.frame(six(33))
    page.put('frame="')
    for start, stop in rows(frame.octets, 16):
        page.put("       " if start else "")
        frame.run(start, stop)
        page.end(" \\" if stop < len(frame.octets) else '"')
    page.say("port=1", "export frame port")
    return page


def descriptor_first() -> Page:
    """Memory from the descriptor on: four words of it, then the frame."""
    page = Page("big-endian words of 4 at absolute addresses; a descriptor of 16 octets in front")
    page.say("emac: rx ring at 0x20004000", "emac: slot 2 done, dump:")
    frame = page.frame(plain(180))
    total = len(frame.octets)
    front = bytes.fromhex(f"8000{total:04x}200041002000408000000000")
    memory = front + frame.octets + bytes(-total % 4)
    for start, stop in rows(memory, 16):
        page.put(f"{0x20004040 + start:08X} ")
        for at in range(start, stop):
            page.put(" " if at % 4 == 0 else "")
            if 16 <= at < 16 + total:
                frame.octet(at - 16, "02X")
            else:
                page.put(f"{memory[at]:02X}")
        page.end()
    page.say("emac: slot 2 given back")
    return page


def escaped_messages() -> Page:
    """A collector that writes each line of a console as an object, its tab as an escape."""
    page = Page("an object a line; offset, an escaped tab and 16 octets inside its message")
    clock = [1764043971.12]

    def begin(unit: str) -> None:
        clock[0] += 0.01
        page.put(f'{{"time":{clock[0]:.2f},"unit":"{unit}","msg":"')

    def tell(unit: str, text: str) -> None:
        begin(unit)
        page.end(text + '"}')

    tell("frostd", "probe 4: 1.5 C")
    frame = page.frame(lossy(30))
    tell("netd", f"rx\\t{len(frame.octets)} octets")
    for start, stop in rows(frame.octets, 16):
        begin("netd")
        page.put(f"{start:04x}\\t")
        frame.run(start, stop)
        page.end('"}')
    tell("frostd", "probe 4: 1.5 C, fan 1 on")
    return page


def bars_inside() -> Page:
    """Rows in brackets with a bar in the middle and the row's number behind."""
    page = Page("16 a row in brackets, a bar in the middle, number of the row behind")
    page.say("link 1: 10 Mbit/s", "link 1: in")
    frame = page.frame(rare(31))
    for start, stop in rows(frame.octets, 16):
        page.put("[")
        frame.run(start, min(start + 8, stop))
        if start + 8 < stop:
            page.put("|")
            frame.run(start + 8, stop)
        page.end(f"] #{start // 16}")
    page.say("link 1: idle")
    return page


def pages_of_memory() -> Page:
    """A controller whose memory has pages of 256 octets: page and place in it."""
    page = Page("page of 256 and place in it, both in hex, 16 a row, capitals")
    page.say("NIC PAGES 46-7F", "CURR 4A BNRY 46", "READ 46,256")
    frame = page.frame(plain(61))
    page.put("")
    for start, stop in rows(frame.octets, 16):
        page.put(f"46:{start:02X}  " if start < 256 else f"47:{start - 256:02X}  ")
        frame.run(start, stop, " ", "02X")
        page.end()
    page.say("BNRY 48", "OK")
    return page


LAYOUTS = {
    "numbered-lines": numbered_lines,
    "ruled-table": ruled_table,
    "joined-by-lines": joined_by_lines,
    "angles-and-plus": bracketed_and_continued,
    "timed-octets": timed_octets,
    "carried-on": carried_on,
    "descriptor-first": descriptor_first,
    "escaped-messages": escaped_messages,
    "bars-inside": bars_inside,
    "pages-of-memory": pages_of_memory,
}
