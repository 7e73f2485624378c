"""Eight odd layouts."""

from __future__ import annotations

from _frames import lossy, plain, rare, tagged
from _page import Page, rows


def buffers_of_a_ring() -> Page:
    """A frame that lies in several buffers, each printed with offsets of its own."""
    page = Page("one frame over buffers of 64 octets, a line of chatter and offset 0 at each")
    page.say("ring of emac0: 8 descriptors, head 3", "desc 2: owned by the interface")
    frame = page.frame(tagged(45))
    for number, (start, stop) in enumerate(rows(frame.octets, 64), 3):
        last = ", last" if stop == len(frame.octets) else ""
        first = ", first" if start == 0 else ""
        page.say(f"desc {number}: {stop - start} octets{first}{last}")
        for row in range(start, stop, 16):
            page.put(f"    {row - start:02x}: ")
            frame.run(row, min(row + 16, stop))
            page.end()
    page.say("desc 6: owned by the interface", "frost: bud 0.2 C")
    return page


def assembler() -> Page:
    """Define-byte lines with an H behind; a leading letter takes a zero before it."""
    page = Page("assembler: DB lines, h behind each octet, 0 before a letter, 8 a line")
    page.say("; frost alarm, answer for the test bench", "        ORG     0400h", "answer:")
    frame = page.frame(plain(45))
    for start, stop in rows(frame.octets, 8):
        page.put("        DB      ")
        for at in range(start, stop):
            page.put(", " if at > start else "")
            page.put("0" if frame.octets[at] >= 0xA0 else "")
            frame.octet(at, "02X")
            page.put("h")
        page.end()
    page.say(f"answer_length  EQU  {len(frame.octets)}", "        END")
    return page


def signed_decimals() -> Page:
    """A list of signed numbers on one line; the sign belongs to the number."""
    page = Page("list of signed decimal numbers in a line; the place takes the minus in", "decimal")
    page.say("04:10:02 FanService started", "04:10:05 NetService received:")
    frame = page.frame(plain(75))
    page.put("04:10:05 [")
    for at, octet in enumerate(frame.octets):
        page.put(", " if at else "")
        number = str(octet - 256 if octet > 127 else octet)
        frame.places[at] = (page.line_number, page.column, page.column + len(number))
        page.put(number)
    page.end("]")
    page.say("04:10:06 FanService speed 640")
    return page


def percent() -> Page:
    """The board reports to a server in the query of an address."""
    page = Page("query of a request: each octet behind a percent sign, a line a frame")
    page.say("04:10 report queue: 2", "04:10 GET /alarm?row=7&bud=0.4 -> 204")
    for number, octets in enumerate((rare(47), rare(30)), 1):
        frame = page.frame(octets)
        page.put(f"04:1{number} GET /frame?row=7&n={len(octets)}&d=%")
        frame.run(0, len(octets), "%", "02X")
        page.end(" -> 204")
    page.say("04:14 report queue: 0")
    return page


def eights_of_memory() -> Page:
    """Words of eight octets, lowest octet last, behind an arrow."""
    page = Page("address, arrow, two 0x words of 8 octets, lowest octet last")
    page.say("fault: watchdog of task valve", "sp -> 0x0000000080013fc0", "rx buffer, 96 octets:")
    frame = page.frame(tagged(56))
    for start, stop in rows(frame.octets, 16):
        page.put(f"{0x80014000 + start:012x} ->")
        for word in range(start, stop, 8):
            page.put(" 0x")
            for at in reversed(range(word, word + 8)):
                frame.octet(at)
        page.end()
    page.say("end of report, restart in 3 s")
    return page


def stack_language() -> Page:
    """Numbers without leading zeros, right in a field of three, as an interpreter prints them."""
    page = Page("address, then octets without leading zeros in fields of 3, capital digits")
    page.say("HEX  OK", "RXBUF 3C SHOW")
    frame = page.frame(plain(40))
    for start, stop in rows(frame.octets, 16):
        page.put(f"{0x2F40 + start:X} ")
        for at in range(start, stop):
            page.put("  " if frame.octets[at] < 16 else " ")
            frame.octet(at, "X")
        page.end()
    page.say(" OK", "BUD @ . 1C  OK")
    return page


def offset_lines() -> Page:
    """The offset on a line of its own, the octets beneath."""
    page = Page("offset behind an at sign on a line of its own, 32 octets beneath in fours")
    page.say("// image of the receive memory, two frames", "// bud 0.9 C at the time")
    for base, octets in ((0x000, lossy(31)), (0x600, lossy(40))):
        frame = page.frame(octets)
        page.say(f"// slot at {base:x}, {len(octets)} octets")
        for start, stop in rows(octets, 32):
            page.say(f"@{base + start:08X}")
            frame.groups(start, stop, 4, "_", "02X")
            page.end()
    page.say("// end of image")
    return page


def object_notation() -> Page:
    """A line of object notation with an array of decimal numbers."""
    page = Page("object notation, one object a line, decimal array; two back to back", "decimal")
    page.say('{"at":1201,"kind":"bud","value":0.4}')
    for at, octets in ((1203, plain(6)), (1204, plain(78))):
        frame = page.frame(octets)
        page.put(f'{{"at":{at},"kind":"frame","octets":{{"type":"buffer","data":[')
        frame.run(0, len(octets), ",", "d")
        page.end("]}}")
    page.say('{"at":1209,"kind":"fan","value":1}')
    return page


LAYOUTS = {
    "buffers-of-a-ring": buffers_of_a_ring,
    "assembler": assembler,
    "signed-decimals": signed_decimals,
    "percent": percent,
    "eights-of-memory": eights_of_memory,
    "stack-language": stack_language,
    "offset-lines": offset_lines,
    "object-notation": object_notation,
}
