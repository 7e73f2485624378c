"""Layouts 1 to 15."""

from __future__ import annotations

from html import escape

from _frames import datagram, lossy, neighbour, plain, six, tagged
from _page import Page, characters, rows


def colons_behind_h() -> Page:
    """Twelve a row with colons between, hex offset that ends in h."""
    page = Page("12 a row, colons between the octets, hex offset with h behind it and a bar")
    page.say("frost-ctl 4.2, row 7, cold start", "EMAC clock 25000 kHz, MDIO id 0x0022/0x1619")
    page.say("EMAC link 100 full", "probe 1: -1.4 C   probe 2: -0.9 C", "")
    for word, ago, octets in ("TX", "12.402", plain(151)), ("RX", "12.406", plain(152)):
        shown = page.frame(octets)
        page.say(f"[[ EMAC {word}  len {len(octets)}  t+00:07:{ago} ]]")
        for start, stop in rows(octets, 12):
            page.put(f" {start:03X}h| ")
            shown.run(start, stop, ":")
            page.end()
        page.say(f"[[ end, {'sent' if word == 'TX' else 'taken'} ]]", "")
    page.say("resolver: sprinkler.orchard.example known for 3600 s", "fan A off, fan B off")
    return page


def probe_lines() -> Page:
    """A logic probe's decoder: one octet a line, between commas."""
    page = Page("one octet a line, between commas, behind a time in microseconds and a lane name")
    page.say("# probe export, lane 3 = MII receive, sample 80 ns", "time_us,lane,event,value,note")
    now = 12640.08
    for octets in plain(4), plain(5):
        shown = page.frame(octets)
        page.say(f"{now:.2f},mrx,carrier,,", f"{now + 0.64:.2f},mrx,begin,,after 8 of preamble")
        for at in range(len(octets)):
            page.put(f"{now + 0.72 + at * 0.08:.2f},mrx,octet,")
            shown.octet(at, "02X")
            page.end(",")
        now += 0.72 + len(octets) * 0.08
        page.say(f"{now:.2f},mrx,end,,{len(octets)} octets")
        page.say(f"{now + 3.2:.2f},irq,fall,,line of the frost switch")
        now += 410.96
    page.say("# 2 bursts, 0 symbol errors")
    return page


def spreadsheet() -> Page:
    """Cells copied out of a spreadsheet."""
    page = Page("cells with tabs between and a heading row of letters; UTF-16 with mark, CRLF")
    page.encoding, page.mark, page.newline = "utf-16-le", True, "\r\n"
    page.say("Frost alarm bench\tsheet 2 of 3" + "\t" * 15, "Buffer\tagain after cold start")
    for number, octets in enumerate((plain(0), plain(4)), 1):
        shown = page.frame(octets)
        page.say("", f"Frame {number}\toctets\t{len(octets)}")
        page.say("Row\t" + "\t".join("ABCDEFGHIJKLMNOP"))
        for row, (start, stop) in enumerate(rows(octets, 16), 1):
            page.put(f"{row}\t")
            shown.run(start, stop, "\t", "02X")
            page.end()
    page.say("", "Mean of probe 1\t-1,42", "Mean of probe 2\t-0,97")
    return page


def ticket() -> Page:
    """A ticket's comment as it comes out of the ticket system: entities in the markup."""
    page = Page(
        "8 a row in a pre element: the sign after the offset and the characters are entities"
    )
    page.say("FROST-118   Alarm datagrams reach the server late", "State: open   Component: emac")
    page.say("----- comment 3, bench-2, 2025-02-03 04:31 -----")
    page.say("<p>Taken on row 7 after the cold start, both directions:</p>", "<pre>")
    frames = six(15), datagram(b'row 7 <frost> & "wind": -2.4 C, fan A on', 0x3B07)
    for word, octets in zip(("rx &lt;-", "tx -&gt;"), frames, strict=True):
        shown = page.frame(octets)
        page.say(f"{word} emac0, {len(octets)} octets")
        for start, stop in rows(octets, 8):
            page.put(f"+{start:03d} &gt; ")
            shown.run(start, stop)
            page.pad(34)
            page.end(f" | {escape(characters(octets[start:stop]))}")
    page.say("</pre>", "<p>The neighbour table looks right to me.</p>")
    page.say("----- comment 4, orchard-desk -----", "<p>Seen on row 9 too, 0 of 40 lost.</p>")
    return page


def wrapped_mail() -> Page:
    """Rows of sixteen, quoted twice and broken by the mail program after thirteen."""
    page = Page("16 a row, quoted twice; the mail program broke each row after 13 octets")
    page.say("On Monday the desk wrote:", "> On Sunday bench-2 wrote:")
    page.say("> > The fan relay answers but the server says", "> > unreachable. What I see on the")
    page.say("> > console:")
    for octets in plain(97), plain(130):
        shown = page.frame(octets)
        page.say("> >", f"> > {len(octets)} from the wire:")
        for start, stop in rows(octets, 16):
            page.put(f"> > {start:04x}: ")
            shown.run(start, min(start + 13, stop))
            page.end()
            if stop > start + 13:
                page.put("> > ")
                shown.run(start + 13, stop)
                page.end()
    page.say("> >", "> > and then frost again at 04:40.", ">", "> Which address has the fan?", "")
    page.say("192.0.2.70, but its gateway is wrong.", "")
    return page


def binary() -> Page:
    """Six octets a row, in zeros and ones, behind a decimal index."""
    page = Page("6 a row in binary, decimal index", "binary")
    page.say("teach board 2: octets as the students see them", "switch S1 = 1, switch S2 = 0")
    for name, octets in (
        ("alarm to all", plain(124)),
        ("alarm to the valley", datagram(b"frost at 04:12", 0x0101)),
    ):
        shown = page.frame(octets)
        page.say(f"-- {name}, {len(octets)} x 8 bit --")
        for start, stop in rows(octets, 6):
            page.put(f"{start:4d}: ")
            shown.run(start, stop, " ", "08b")
            page.end()
        page.say("-- lamp: yellow --")
    page.say("thermometer word 0000001111101001, sign 1")
    return page


def string_pieces() -> Page:
    """Test vectors of a C program: escapes in string pieces that stand under each other."""
    page = Page("10 a row as escapes in quoted string pieces, a decimal count as comment")
    page.say("/* row 7, taken at the console on the cold night */", "#define PROBES 2", "")
    for name, octets in ("solicit", six(9)), ("echo", six(16)):
        shown = page.frame(octets)
        page.say(f"static const char {name}[{len(octets)}] =")
        for start, stop in rows(octets, 10):
            page.put('    "\\x')
            shown.run(start, stop, "\\x")
            page.end(f'"{";" if stop == len(octets) else " "} /* {stop} */')
        page.say("")
    page.say("static const int16_t frost_levels[PROBES] = { -14, -9 };")
    return page


def array_of_strings() -> Page:
    """A logger that writes an object a line."""
    page = Page("one frame a line: an array of two-digit strings inside an object")
    page.say('{"t":1041.002,"lvl":"info","src":"main","msg":"frost-ctl 4.2","build":"9f3ac1d"}')
    page.say('{"t":1041.377,"lvl":"info","src":"emac","msg":"link","mbit":100,"lpa":"0x45e1"}')
    for number in 124, 125, 126, 177:
        octets = plain(number)
        shown = page.frame(octets)
        page.put(f'{{"t":{1042 + number / 8:.3f},"lvl":"trace","src":"emac","msg":"')
        page.put(f'{"rx" if number == 125 else "tx"}","n":{len(octets)},"data":["')
        shown.run(0, len(octets), '","')
        page.end('"]}')
        page.say(f'{{"t":{1042.1 + number / 8:.3f},"lvl":"debug","src":"probe","raw":[1001,987]}}')
    return page


def giant_words() -> Page:
    """A debugger's view of a buffer in words of eight octets, least octet first."""
    page = Page("words of 8 octets, least octet first, two a row, behind a symbol and an address")
    page.say("halt: breakpoint 1 in emac_poll, core 0", "  r0 = 2000a600   r1 = 00000058")
    for slot, octets in enumerate((tagged(50), tagged(4))):
        shown = page.frame(octets)
        page.say(f"show rxring slot {slot}, used {len(octets)}")
        for start, stop in rows(octets, 16):
            place = slot * 1536 + start
            page.put(f"  rxring +{place:<5d}(2000{0xA600 + place:04X})  ")
            for word in range(start, stop, 8):
                page.put(" , " if word > start else "")
                for at in reversed(range(word, word + 8)):
                    shown.octet(at, "02X")
            page.end()
    page.say("halt: step, emac_poll line 212", "  r0 = 2000ac00   r1 = 00000040", "go")
    return page


def row_sums() -> Page:
    """A boot monitor with bank and address, dots between octets, and a sum behind each row."""
    page = Page(
        "8 a row, dots between, bank and address before, quoted characters and row sum behind"
    )
    page.say("FM-2 monitor 1.9   ROM 32K   RAM 64K", "*L 9F:01A0", "")
    base = 0x01A0
    for octets in plain(54), plain(175):
        shown = page.frame(octets)
        for start, stop in rows(octets, 8):
            page.put(f"9F:{base + start:04X}- ")
            shown.run(start, stop, ".", "02X")
            page.pad(34)
            row = octets[start:stop]
            page.end(f"'{characters(row)}'".ljust(11) + f"={sum(row) & 0xFF:02X}")
        base += 0x0200
        page.say("", f"*L 9F:{base:04X}" if base < 0x05A0 else "*G 8000", "")
    page.say("FROST 4.2 RUNS", "PROBES 2 FANS 2")
    return page


def unpadded() -> Page:
    """Printed octet by octet without leading zeros."""
    page = Page("20 a row, small octets with a single digit, a space behind the last")
    page.say("frost alarm starts", "got address 192.0.2.77", "temp 3 -1 -1")
    for octets in plain(30), plain(190):
        shown = page.frame(octets)
        page.say(f"rx({len(octets)}):")
        for start, stop in rows(octets, 20):
            shown.run(start, stop, " ", "x")
            page.end(" ")
        page.say("ok", "temp 2 -1 -2")
    page.say("alarm armed")
    return page


def sign_extended() -> Page:
    """Octets of a signed type, printed as if they were whole numbers."""
    page = Page(
        "8 a row, octets above 7f with six f before them (a signed type); places: last two digits"
    )
    page.say("node frost-7 up, stack 2.1", "heap 18432 free")
    for octets in plain(162), plain(15):
        shown = page.frame(octets)
        page.say(f"eth_input() {len(octets)} octets")
        for start, stop in rows(octets, 8):
            page.put("   ")
            for at in range(start, stop):
                page.put(" ffffff" if octets[at] > 0x7F else " ")
                shown.octet(at)
            page.end()
        page.say("eth_input() done, heap 18016 free")
    page.say("probe 2 reads fffffffb, taken as -5")
    return page


def based_literals() -> Page:
    """An array of a language that writes the base before the digits."""
    page = Page(
        "8 a row, each octet a literal with its base before and a sign behind, commas between"
    )
    page.say(
        "--  Seen by the task Receiver, for the regression suite", "Frost_Limit : constant := -2;"
    )
    for name, octets in ("Neighbour", neighbour()), ("Group_Join", plain(147)):
        shown = page.frame(octets)
        page.say("", f"{name} : constant Octets (1 .. {len(octets)}) :=")
        for start, stop in rows(octets, 8):
            page.put("  (" if start == 0 else "   ")
            page.put("16#")
            shown.run(start, stop, "#, 16#", "02X")
            page.end("#);" if stop == len(octets) else "#,")
    page.say("", "--  Task Receiver ended, 2 frames, priority 16#1F#")
    return page


def bus_beats() -> Page:
    """A simulation's receive bus: eight octets a beat, grouped with low lines."""
    page = Page("a beat of 8 octets a line in groups of four digits with low lines between")
    page.say("sim: frost_soc, seed 7", "@ 1200000 ns  reset 0  link 1  speed 100")
    now = 1264000
    for octets in lossy(31), tagged(9):
        shown = page.frame(octets)
        for start, stop in rows(octets, 8):
            page.put(f"@ {now} ns  beat {start // 8:02d}  data ")
            shown.groups(start, stop, 2, "_")
            page.end(f"  keep ff  last {int(stop == len(octets))}")
            now += 640
        page.say(f"@ {now} ns  irq 1  cause rx  count {len(octets)}")
        now += 96000
    page.say(f"@ {now} ns  probe adc 3e9 3db", "sim: 0 errors, 0 warnings")
    return page


def side_by_side() -> Page:
    """Two frames beside each other under one offset column."""
    page = Page("two frames side by side, 8 a row each, one hex offset for both")
    left, right = page.frame(plain(153)), page.frame(plain(154))
    page.say("comparing what row 7 asked with what the server answered", "")
    page.say("        asked by 192.0.2.77        |  answered by 192.0.2.1")
    for start, stop in rows(right.octets, 8):
        page.put(f" {start:04x}   ")
        left.run(start, min(stop, len(left.octets)))
        page.pad(36)
        page.put("|  ")
        right.run(start, stop)
        page.end()
    page.say("", f"        {len(left.octets)} octets{' ' * 18}|  {len(right.octets)} octets", "")
    page.say("same identification 6c3b in both, fine")
    return page


LAYOUTS = {
    "colons-behind-h": colons_behind_h,
    "probe-lines": probe_lines,
    "spreadsheet": spreadsheet,
    "ticket": ticket,
    "wrapped-mail": wrapped_mail,
    "binary": binary,
    "string-pieces": string_pieces,
    "array-of-strings": array_of_strings,
    "giant-words": giant_words,
    "row-sums": row_sums,
    "unpadded": unpadded,
    "sign-extended": sign_extended,
    "based-literals": based_literals,
    "bus-beats": bus_beats,
    "side-by-side": side_by_side,
}
