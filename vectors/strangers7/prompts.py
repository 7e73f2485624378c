"""What somebody types at a prompt: Forth, BASIC, Lua, Python, Scheme, an assembler's source."""

from __future__ import annotations

from _frames import arp_question, lossy, plain, rare, tagged
from _page import Page, characters, rows


def forth() -> Page:
    """A loop over a buffer that prints each octet with the word that prints numbers."""
    page = Page("one line, hex without leading zeros, capitals, ok behind")
    page.say("frost alarm forth, 21480 bytes free", "hex  ok", "rxlen @ . 3C  ok")
    frame = page.frame(plain(40))
    page.put("rxbuf 3C bounds do i c@ . loop ")
    frame.run(0, len(frame.octets), " ", "X")
    page.end("  ok")
    page.say("3 probe@ . 1F  ok", "fan on  ok")
    return page


def basic() -> Page:
    """A loop of PEEK that prints an address, then ten values."""
    page = Page("decimal octets between blanks, decimal address and colon, 10 a row", "decimal")
    page.say("READY.", "310 A=49152:L=PEEK(49150)+256*PEEK(49151)", "RUN 300")
    frame = page.frame(plain(152))
    page.say(f"LEN {len(frame.octets)} ")
    for start, stop in rows(frame.octets, 10):
        page.put(f" {49152 + start} :")
        for at in range(start, stop):
            page.put(" ")
            frame.octet(at, "d")
            page.put(" ")
        page.end()
    page.say("", "READY.", "PRINT PEEK(53280)", " 254 ", "READY.")
    return page


def lua() -> Page:
    """A loop over a string, each octet with its number, which counts from one."""
    page = Page("number in brackets and octet, counted from one, 8 a line")
    page.say("> #pkt", "82", "> for i=1,#pkt do io.write(fmt(i, pkt:byte(i))) end")
    frame = page.frame(plain(163))
    for start, stop in rows(frame.octets, 8):
        for at in range(start, stop):
            page.put(f"[{at + 1}]=")
            frame.octet(at)
            page.put(" ")
        page.end()
    page.say("> probes.mean()", "2.85", "> ")
    return page


def list_of_strings() -> Page:
    """A list of what hex() makes of each octet, as a prompt shows it."""
    page = Page("one line, strings with 0x and no leading zeros between commas, in brackets")
    page.say(">>> import alarm", ">>> alarm.temperature(3)", "2.8125")
    for wait, number in ((500, 59), (800, 114)):
        frame = page.frame(plain(number))
        page.say(f">>> [hex(octet) for octet in nic.receive({wait})]")
        for at in range(len(frame.octets)):
            page.put(", '0x" if at else "['0x")
            frame.octet(at, "x")
            page.put("'")
        page.end("]")
    page.say(">>> nic.status()", "'0x7809'", ">>> ")
    return page


def scheme() -> Page:
    """A vector of octets; the prompt breaks lines at 72 columns."""
    page = Page(
        "decimal octets in a vector, lines filled to 72 columns, indented by four", "decimal"
    )
    page.say("> (alarm-level 14)", "2", "> (nic-last-frame)")
    frame = page.frame(plain(91))
    page.put("#u8(")
    for at, octet in enumerate(frame.octets):
        if at and page.column + len(f" {octet}") > 72:
            page.end()
            page.put("    ")
        elif at:
            page.put(" ")
        frame.octet(at, "d")
    page.end(")")
    page.say("> (fan-on! 2)", "#t", "> (exit)")
    return page


def source_lines() -> Page:
    """Somebody has typed a frame into an assembler's source to send it again."""
    page = Page("dollar signs, commas and a directive, 8 a line, offset and characters in a remark")
    page.say("; replay.s - the offer that the alarm ignores", "        section data", "offer:")
    frame = page.frame(plain(19))
    for start, stop in rows(frame.octets, 8):
        page.put("        dc.b    ")
        for at in range(start, stop):
            page.put(",$" if at > start else "$")
            frame.octet(at)
        page.pad(51)
        page.end(f"; +${start:03x} {characters(frame.octets[start:stop])}")
    page.say("offer_end:", "        even", "send:   lea     offer(pc),a0")
    return page


def json_pretty() -> Page:
    """A service writes its events with indentation; numbers become lines."""
    page = Page("a decimal octet and a comma a line, in an indented JSON list", "decimal")
    page.say("{", '  "event": "frame-dropped",', '  "port": 2,', '  "stamp": 1764100391.25,')
    frame = page.frame(arp_question())
    page.say(f'  "length": {len(frame.octets)},', '  "octets": [')
    for at in range(len(frame.octets)):
        page.put("    ")
        frame.octet(at, "d")
        page.end("," if at < len(frame.octets) - 1 else "")
    page.say("  ],", '  "probes": [', "    3.25,", "    2.75,", "    -0.5", "  ]", "}")
    return page


def table_of_octets() -> Page:
    """A table with a line an octet: its number, hex, decimal, character."""
    page = Page("a line an octet: decimal number, hex, decimal and character between commas")
    page.say("# receive buffer 2, saved at 04:12:55", "n,hex,dec,chr")
    frame = page.frame(tagged(38))
    for at, octet in enumerate(frame.octets):
        page.put(f"{at},")
        frame.octet(at)
        page.end(f",{octet},{characters(frame.octets[at : at + 1])}")
    page.say("# end")
    return page


def tabs_and_tens() -> Page:
    """A shell of a real-time system that likes tabs."""
    page = Page("tabs between octets, decimal offset of 3, 10 a row, capitals")
    page.say("shell> task", "tNet\t50\tPEND", "tFrost\t90\tDELAY", "shell> mbuf 0")
    for buffer, number in enumerate((69, 43, 26)):
        frame = page.frame((tagged, rare, lossy)[buffer](number if buffer else 56))
        if buffer:
            page.say(f"shell> mbuf {buffer}")
        page.say(f"mbuf {buffer}\tlen {len(frame.octets)}\tnext 0")
        for start, stop in rows(frame.octets, 10):
            page.put(f"{start:03d}\t")
            frame.run(start, stop, "\t", "02X")
            page.end()
    page.say("shell> task tFrost", "tFrost\t90\tREADY")
    return page


def screen_of_a_monitor() -> Page:
    """A monitor that places its cursor for each row and never ends a line."""
    page = Page("a cursor movement in front of each row, no line ends, 16 a row, characters")
    page.say("$ netwatch")
    page.put("\x1b[2J\x1b[1;1HNETWATCH   port 1   frost alarm row 7\x1b[K")
    frame = page.frame(rare(30))
    page.put(f"\x1b[2;1Hlast frame: {len(frame.octets)} octets\x1b[K")
    for start, stop in rows(frame.octets, 16):
        page.put(f"\x1b[{4 + start // 16};3H{start:04X}  ")
        frame.run(start, stop, " ", "02X")
        page.put("   " * (16 - stop + start) + "  " + characters(frame.octets[start:stop]))
        page.put("\x1b[K")
    page.end("\x1b[24;1H q quit   n next\x1b[K\x1b[?25h")
    page.say("$ exit")
    return page


LAYOUTS = {
    "forth-loop": forth,
    "basic-peek": basic,
    "numbered-from-one": lua,
    "list-of-strings": list_of_strings,
    "vector-of-octets": scheme,
    "source-lines": source_lines,
    "json-indented": json_pretty,
    "table-of-octets": table_of_octets,
    "tabs-and-tens": tabs_and_tens,
    "cursor-movements": screen_of_a_monitor,
}
