"""Layouts 21 to 40: rarer forms, from simulators, languages, buses and the ways a text travels."""

from __future__ import annotations

from _frames import arp_question, datagram, lossy, neighbour, plain, rare, six, six_datagram, tagged
from _page import Page, characters, rows
from everyday import right, with_fcs


def simulated_wire() -> Page:
    """A simulation that says each octet of the receive side."""
    page = Page("one octet a line: simulated time, valid, error and the octet as d=..")
    page.say("# sim of frost_mac, top tb_mac, seed 7", "#     time lane", "0 ns reset")
    now = 12640
    for octets in arp_question(), plain(5):
        shown = page.frame(octets)
        page.say(f"{now} ns irq=0 fifo=empty", f"{now + 64} ns rx preamble seen, start of frame")
        for at in range(len(octets)):
            page.put(f"{now + 72 + at * 8:7d} ns rx dv=1 er=0 d=")
            shown.octet(at)
            page.end()
        now += 72 + len(octets) * 8
        page.say(
            f"{now:7d} ns rx dv=0 er=0", f"{now + 16} ns irq=1 octets={len(octets)} status=good"
        )
        now += 4000
    page.say(f"{now} ns probe model: -1.25 C", "# 2 frames, 0 errors, stop")
    return page


def memory_lines() -> Page:
    """A test bench prints assignments to its memory."""
    page = Page("4 a row as assignments mem[n] = 8'hFF; with a decimal index")
    page.say("// tb_frost: dump of the receive memory after each interrupt", "// clk 25 MHz")
    page.say("// register 0x08 STAT = 32'h0000_0011", "// register 0x0c LEN  = see below")
    for number, octets in enumerate((six(17), rare(49), plain(53))):
        shown = page.frame(octets)
        page.say("", f"// interrupt {number} at {8120 + number * 977} ns, rx_len = {len(octets)}")
        for start, stop in rows(octets, 4):
            for at in range(start, stop):
                page.put(f"{'  ' if at > start else ''}rx_mem[{at:3d}] = 8'h")
                shown.octet(at, "02X")
                page.put(";")
            page.end()
        page.say(f"// fan_pwm = 8'd{40 + number}, horn = 1'b0")
    page.say("", "// all checks passed", "// $finish called")
    return page


def beats() -> Page:
    """Beats of an eight-lane stream: lane 0 is the low end of the word."""
    page = Page(
        "beats of 64 bits: the first octet of the frame is the lowest of the word; keep mask"
    )
    page.say("mon: stream monitor, 8 lanes, lane 0 = bits 7..0 = first on the wire")
    page.say("mon: unused lanes are shown as 00 and keep is 0 for them", "mon: out of reset")
    for number, octets in enumerate((plain(4), six(18), neighbour())):
        shown = page.frame(octets)
        page.say(f"mon: frame {number} starts, port {'rx' if number < 2 else 'tx'}")
        for beat, (start, stop) in enumerate(rows(octets, 8)):
            page.put(f"mon: beat {beat:3d}  data 0x" + "00" * (8 - stop + start))
            for at in range(stop - 1, start - 1, -1):
                shown.octet(at)
            keep = (1 << (stop - start)) - 1
            page.end(f"  keep 0x{keep:02x}  last {int(stop == len(octets))}")
        page.say(f"mon: frame {number} ends, {len(octets)} octets, gap {12 + number}")
        page.say(f"ctl: level reached {number} times")
    page.say("mon: 3 frames, 0 without last", "sim: end at 31.4 us")
    return page


def octal_strings() -> Page:
    """A shell script that can be run again to send the frame."""
    page = Page("12 a row as octal escapes in a printf of the shell, one printf a row", "octal")
    page.say("#!/bin/sh", "# made by the relay of row 6 on its own port, run it to send again")
    page.say("# tank 77 %, probe 1 -1.5 C, probe 2 -1.1 C")
    for number, octets in enumerate((plain(25), six_datagram(b"row 6 armed, leaf -1.5"), rare(50))):
        shown = page.frame(octets)
        page.say("", f"# frame {number + 1} of 3: {len(octets)} octets")
        for start, stop in rows(octets, 12):
            page.put("printf '")
            for at in range(start, stop):
                page.put("\\")
                shown.octet(at, "03o")
            page.end("'")
        page.say(f"sleep 0.{number + 2}")
    page.say("", "# 3 frames, 0 lost")
    return page


def bits() -> Page:
    """Octets as bits for somebody who is looking for a stuck line."""
    page = Page("6 a row in binary digits behind a decimal offset", "binary")
    page.say("frost-ctl line test, data bus of the emac", "looking for stuck lines", "walk 0: pass")
    page.say("walk 1: pass", "now with what the wire brings:", "")
    for octets in plain(5), rare(45):
        shown = page.frame(octets)
        page.say(f"{len(octets)} octets, high bit first")
        for start, stop in rows(octets, 6):
            page.put(f"  {start:3d}:  ")
            shown.run(start, stop, "  ", "08b")
            page.end()
        ors = 0
        for octet in octets:
            ors |= octet
        page.say(f"  any:  {ors:08b}", "")
    page.say("no line is stuck", "supply 3.28 V", "probe 1 -0.8 C")
    return page


def based_literals() -> Page:
    """Named association with based literals."""
    page = Page("6 a row as named association n => 16#FF# of a strict language")
    page.say("Frost_Control 3.0, row 17", "Elaboration done, 7 tasks", "Probe_Task: 4 probes")
    page.say("Wire_Task: trace level 3")
    for number, octets in enumerate((six(9), plain(54))):
        shown = page.frame(octets)
        page.say(f"Wire_Task: {'Sent' if number else 'Taken'} : Octets (0 .. {len(octets) - 1}) :=")
        for start, stop in rows(octets, 6):
            page.put("   " if start else "  (")
            for at in range(start, stop):
                page.put(f"{', ' if at > start else ''}{at:2d} => 16#")
                shown.octet(at, "02X")
                page.put("#")
            page.end("," if stop < len(octets) else ");")
        page.say(f"Fan_Task: duty {30 + number} of 100")
    page.say("Probe_Task: -1.25", "Probe_Task: -1.50", "Alarm_Task: armed", "Alarm_Task: quiet")
    return page


def vectors_of_lists() -> Page:
    """A listener shows a vector."""
    page = Page("10 a row in a vector #(#xff ...) as a listener prints it")
    page.say("; frost listener, row 19", "> (probes)", "(-1.4 -0.9 -1.1)", "> (link)", ":full-100")
    for number, octets in enumerate((plain(55), lossy(22), tagged(42))):
        shown = page.frame(octets)
        page.say("> (next-frame)", f"; {len(octets)} octets, :{'out' if number == 1 else 'in'}")
        for start, stop in rows(octets, 10):
            page.put("  " if start else "#(")
            for at in range(start, stop):
                page.put(" #x" if at > start else "#x")
                shown.octet(at)
            page.end("" if stop < len(octets) else ")")
        page.say("> (setf (fan :a) :on)" if number else "> (tank)", ":on" if number else "71/100")
    page.say("> (next-frame :wait 2)", "nil", "> (bye)")
    return page


def high_end_left() -> Page:
    """A monitor whose rows have their lowest octet at the right, beside the offset."""
    page = Page("16 a row from right to left: column heads +f to +0, offset at the right")
    page.say("frost monitor, bus view (lowest address at the right)", "row 20, 64 K, sram good", "")
    for number, octets in enumerate((plain(29), plain(57), rare(31))):
        shown = page.frame(octets)
        page.say(f"buffer {number}, {len(octets)} octets from 0000, '{'rt'[number % 2]}x'")
        page.say(" ".join(f"+{n:x}" for n in range(15, -1, -1)))
        for start, stop in rows(octets, 16):
            page.put("   " * (16 - stop + start))
            for at in range(stop - 1, start - 1, -1):
                page.put(" " if at < stop - 1 else "")
                shown.octet(at)
            page.end(f"  <{start:04x}")
        page.say("", f"counter {number}: {number * 17 + 4}", "")
    page.say("probe words 00e7 00e9 00e8", "ready")
    return page


def side_by_side() -> Page:
    """The two directions beside each other."""
    page = Page("two frames beside each other, 8 a row each, taken at the left, sent at the right")
    page.say("row 21: bench view of both directions", "supply 12.0 V", "probe 1 -1.1  probe 2 -0.8")
    for number, (octets, other) in enumerate(((plain(26), plain(28)), (tagged(48), rare(53)))):
        left, sent = page.frame(octets), page.frame(other)
        page.say(
            "",
            f"exchange {number + 1}",
            f"      {f'taken, {len(octets)}':31s}  {f'sent, {len(other)}'}",
        )
        for start in range(0, max(len(octets), len(other)), 8):
            page.put(f"{start:04x}  ")
            if start < len(octets):
                left.run(start, min(start + 8, len(octets)))
            if start < len(other):
                page.pad(34)
                page.put("|    ")
                sent.run(start, min(start + 8, len(other)))
            page.end()
        page.say(f"turnaround {118 + number * 7} us")
    page.say("", "exchange 3: nothing sent for 2 s, stopped", "supply 11.9 V")
    return page


def objects() -> Page:
    """One object a line."""
    page = Page("one object a line with the octets as an array of decimal numbers", "decimal")
    page.say('{"t":0.004,"task":"boot","msg":"frost-ctl 6.0","row":22}')
    page.say('{"t":0.031,"task":"probe","found":4}', '{"t":1.862,"task":"phy","link":"100F"}')
    now = 12.402
    for number, octets in enumerate((plain(30), plain(56), six(10), lossy(24))):
        shown = page.frame(octets)
        page.put(f'{{"t":{now:.3f},"dir":"{"io"[number % 2]}","len":{len(octets)},"octets":[')
        shown.run(0, len(octets), ",", "d")
        page.end("]}")
        for n in range(4):
            page.say(f'{{"t":{now + n / 10 + 0.05:.3f},"task":"probe","n":{n},"c":{-1.5 + n / 4}}}')
        now += 1.07
    page.say('{"t":17.001,"task":"fan","a":40,"b":0}', '{"t":17.400,"task":"heap","free":23168}')
    return page


def named_octets() -> Page:
    """A driver in bring-up says what it thinks of each octet."""
    page = Page("one octet a line with decimal place, octet behind 0x and the name of the field")
    page.say("bring-up build, slow print", "mdio ok", "link 10 half", "")
    names = ["dst"] * 6 + ["src"] * 6 + ["type"] * 2
    for word, octets in ("sent", arp_question()), ("got", plain(32)):
        shown = page.frame(octets)
        page.say(f"frame {word}, {len(octets)} octets")
        for at, octet in enumerate(octets):
            page.put(f"  [{at:03d}] 0x")
            shown.octet(at, "02X")
            page.put(f"  {names[at] if at < 14 else 'body'}")
            page.end(f"  '{chr(octet)}'" if 0x20 < octet < 0x7F and at >= 14 else "")
        page.say("")
    page.say("relay clicks 2", "probe 1 -1.3 C", "slow print off")
    return page


def queue_reads() -> Page:
    """Reads of the receive queue of a little-endian part."""
    page = Page("register reads: 32-bit words, first octet in the low bits, last word filled")
    page.say(
        "spi: part id 0x5e07, little endian: bits 7..0 of the queue word come first on the wire"
    )
    page.say("rd16 0x14  RXSTAT      -> 0x0003", "rd16 0x18  IRQ         -> 0x0001")
    for number, octets in enumerate((plain(31), tagged(23), six(13))):
        shown = page.frame(octets)
        page.say(
            f"rd16 0x16  RXLEN       -> 0x{len(octets):04x}",
            f"wr16 0x20  RXQ         <- 0x000{number}",
        )
        for start, stop in rows(octets, 4):
            page.put("rd32 0x40  QUEUE       -> 0x" + "00" * (4 - stop + start))
            for at in range(stop - 1, start - 1, -1):
                shown.octet(at)
            page.end()
        page.say("wr16 0x20  RXQ         <- 0x00ff", f"rd16 0x1c  RXCOUNT     -> 0x000{2 - number}")
    page.say("wr16 0x18  IRQ         <- 0x0001", "ctl: probe 1 -1.2 C", "ctl: fan A off")
    return page


def half_words() -> Page:
    """Half words as a sixteen-bit little-endian machine reads them, counted in words."""
    page = Page(
        "8 half words a row, low octet second; the offset counts words in octal, ends in a slash"
    )
    page.say("FROST/16 MONITOR", "WORDS ARE LOW OCTET FIRST IN STORE, SHOWN HIGH OCTET LEFT")
    page.say("STORE 32K WORDS", "CLOCK SET 0431", "")
    for number, octets in enumerate((plain(33), rare(56), rare(40))):
        shown = page.frame(octets)
        page.say(f"{'IN' if number else 'OUT'} {len(octets)} OCTETS, {len(octets) // 2} WORDS")
        for start, stop in rows(octets, 16):
            page.put(f"{start // 2:05o}/")
            for at in range(start, stop, 2):
                page.put("  ")
                shown.octet(at + 1, "02X")
                shown.octet(at, "02X")
            page.end()
        page.say(f"SENSE {number + 1}  77{number}3 77{number}1", "")
    page.say("HORN OFF", "FAN 1 ON", "END")
    return page


def ranges() -> Page:
    """Each row says from where to where it goes."""
    page = Page("12 a row in groups of three behind the range of decimal offsets")
    page.say("row 23 awake (cause: timer)", "battery 3.71 V", "wire up after 1.9 s")
    for word, octets in (">>", plain(34)), ("<<", lossy(28)), (">>", plain(19)):
        shown = page.frame(octets)
        page.say(f"{word} {len(octets)} octets {word}")
        for start, stop in rows(octets, 12):
            page.put(f" {start:03d}..{stop - 1:03d}  ")
            for at in range(start, stop, 3):
                page.put("  " if at > start else "")
                shown.run(at, min(at + 3, stop))
            page.end()
        page.say(f"{word} end {word}", f"leaf {-len(octets) / 90:.1f} C")
    page.say("battery 3.70 V", "asleep for 60 s")
    return page


def chat() -> Page:
    """Lines pasted into a chat one after the other."""
    page = Page(
        "16 a row, offset and octets behind time and nickname of a chat, others talk between"
    )
    clock = iter(range((4 * 60 + 31) * 9, 9 * 60 * 9))

    def stamp(name: str) -> None:
        minute = next(clock) // 9
        page.put(f"[{minute // 60:02d}:{minute % 60:02d}] <{name}> ")

    def talk(name: str, text: str) -> None:
        stamp(name)
        page.end(text)

    talk("bench2", "row 24 again. it says after the start:")
    for text in "frost-ctl 4.2, row 24", "emac: link 100 full", "probe 1 -1.4 probe 2 -0.9":
        talk("bench2", text)
    talk("ladder", "and on the wire?")
    for word, octets in ("tx", plain(52)), ("rx", plain(53)), ("rx", tagged(35)):
        shown = page.frame(octets)
        talk("bench2", f"{word}, {len(octets)} octets:")
        for start, stop in rows(octets, 16):
            stamp("bench2")
            page.put(f"{start:02x}> ")
            shown.run(start, stop)
            page.end()
            if start == 32:
                talk("ladder", "wait, is that the old firmware?")
        talk("bench2", "that was all of it")
    talk("ladder", "looks fine to me, 2 fans on")
    return page


def markup() -> Page:
    """A report in markup that the board serves."""
    page = Page("8 a row in row elements with the offset as an attribute, octets with commas")
    page.say(
        '<?xml version="1.0"?>', '<report unit="frost-7" row="25">', '  <supply volts="12.1"/>'
    )
    page.say('  <probe n="1">-1.4</probe>', '  <probe n="2">-0.9</probe>')
    for number, octets in enumerate((six(2), plain(35), datagram(b"row 25 <armed>", 0x1907))):
        shown = page.frame(octets)
        page.say(
            f'  <frame n="{number}" way="{"out" if number == 2 else "in"}" length="{len(octets)}">'
        )
        for start, stop in rows(octets, 8):
            page.put(f'    <row at="{start}">')
            shown.run(start, stop, ",", "02X")
            page.end("</row>")
        page.say("  </frame>", f'  <fan n="A" duty="{number * 20}"/>')
    page.say('  <counters good="3" bad="0"/>', "</report>")
    return page


def block_text() -> Page:
    """A list of entries with a block of text in each."""
    page = Page("24 a row without gap or offset in an indented block below a key")
    page.say(
        "unit: frost-7", "row: 26", "probes: [-1.4, -0.9, -1.1, 0.2]", "fans:", "  a: 40", "  b: 0"
    )
    page.say("frames:")
    for number, octets in enumerate((rare(59), plain(36), six(26))):
        shown = page.frame(octets)
        page.say(f"  - way: {'out' if number else 'in'}", f"    length: {len(octets)}")
        page.say(f"    seconds: {12.402 + number}", "    octets: |")
        for start, stop in rows(octets, 24):
            page.put("      ")
            shown.run(start, stop, "")
            page.end()
    page.say("counters:", "  good: 3", "  bad: 0", "  carrier_lost: 0", "note: thaw at noon")
    return page


def table_of_values() -> Page:
    """A logger's table: sequence, time, source, then the cells of a row."""
    page = Page(
        "values with semicolons: sequence, time, kind, frame, offset, then 16 cells; mixed lines"
    )
    page.newline = "\r\n"
    page.say("seq;ms;kind;id;at;" + ";".join(f"v{n}" for n in range(16)))
    frames = page.frame(plain(37)), page.frame(lossy(29)), page.frame(six(21))
    sequence = 0
    for number, shown in enumerate(frames):
        page.say(f"{sequence};{12402 + sequence * 3};open;f{number};{len(shown.octets)}" + ";" * 16)
        sequence += 1
        for start, stop in rows(shown.octets, 16):
            page.put(f"{sequence};{12402 + sequence * 3};data;f{number};{start};")
            shown.run(start, stop, ";", "02X")
            page.end(";" * (16 - stop + start))
            sequence += 1
            if start % 32 == 16:
                page.say(
                    f"{sequence};{12402 + sequence * 3};temp;p{number};0;-{number},{start}"
                    + ";" * 15
                )
                sequence += 1
        page.say(
            f"{sequence};{12402 + sequence * 3};close;f{number};{len(shown.octets)}" + ";" * 16
        )
        sequence += 1
    page.say(f"{sequence};13000;fan;A;0;40" + ";" * 15)
    return page


def coloured() -> Page:
    """A terminal's record with its colours kept."""
    page = Page("16 a row; the offset and the characters are coloured by escape codes")
    green, blue, plainly = "\x1b[32m", "\x1b[34;1m", "\x1b[0m"
    page.say(
        f"{green}frost>{plainly} wire trace on", "trace is on", f"{green}frost>{plainly} probes"
    )
    page.say("1: -1.4 C", "2: -0.9 C", "3: -1.1 C")
    for number, octets in enumerate((plain(38), tagged(39), plain(59))):
        shown = page.frame(octets)
        page.say(
            f"{blue}{'IN ' if number < 2 else 'OUT'}{plainly} {len(octets)} octets, slot {number}"
        )
        for start, stop in rows(octets, 16):
            page.put(f"{green}{start:04x}{plainly}  ")
            shown.run(start, stop)
            page.pad(66)
            page.end(f"  {blue}{characters(octets[start:stop])}{plainly}")
        page.say(f"tank {60 + number} %")
    page.say(
        f"{green}frost>{plainly} fan a on", "fan a is on", f"{green}frost>{plainly} wire trace off"
    )
    page.say("trace is off")
    return page


def data_lines() -> Page:
    """Numbered DATA lines of a small board's language, the sum of the wire at the end."""
    page = Page(
        "12 a row as DATA lines with line numbers, decimal; the FCS is the last four", "decimal"
    )
    page.say("FROST BASIC 1.4  28671 FREE", "OK", "RUN 900", "PROBE 1 -1.4", "PROBE 2 -0.9")
    number = 1000
    for word, octets in ("RECEIVED", plain(39)), ("RECEIVED", six(11)), ("RECEIVED", lossy(21)):
        whole = with_fcs(octets)
        shown = page.frame(whole)
        page.say(f"{number} REM {word} {len(whole)} BYTES, LAST 4 ARE THE CHECK")
        for start, stop in rows(whole, 12):
            number += 10
            page.put(f"{number} DATA ")
            for at in range(start, stop):
                page.put("," if at > start else "")
                right(shown, at, 0)
            page.end()
        number = (number // 1000 + 1) * 1000
    page.say(f"{number} REM END OF TAKE", "OK", "FAN 1", "OK", "PRINT TANK", " 64", "OK")
    return page


LAYOUTS = {
    "simulated-wire": simulated_wire,
    "memory-lines": memory_lines,
    "beats": beats,
    "octal-strings": octal_strings,
    "bits": bits,
    "based-literals": based_literals,
    "vectors-of-lists": vectors_of_lists,
    "high-end-left": high_end_left,
    "side-by-side": side_by_side,
    "objects": objects,
    "named-octets": named_octets,
    "queue-reads": queue_reads,
    "half-words": half_words,
    "ranges": ranges,
    "chat": chat,
    "markup": markup,
    "block-text": block_text,
    "table-of-values": table_of_values,
    "coloured": coloured,
    "data-lines": data_lines,
}
