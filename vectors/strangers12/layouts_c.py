"""Four everyday layouts, and four of test benches and of languages with literals of their own."""

from __future__ import annotations

from _frames import arp_question, datagram, lossy, plain, rare, six, tagged
from _page import Page, characters, rows
from _sums import check_sequence


def small_shell() -> Page:
    """Someone asks the shell of the board for the last frames."""
    page = Page("16 a row below a row of column numbers, two-digit hex offset, after a prompt")
    page.say("row-9> version", "frost 5.4.1 (release) hw 3", "row-9> mac status")
    page.say(
        "link      up, 100M",
        "address   00-00-5E-00-53-07",
        "rx/tx     0x1c4 / 0x0e9",
        "fcs err   0",
    )
    for word, octets in ("rx", lossy(31)), ("tx", lossy(20)), ("rx", lossy(4)):
        shown = page.frame(octets)
        page.say(f"row-9> mac last {word}", f"{len(octets)} bytes, age {len(octets) * 3} ms")
        page.say("     " + " ".join(f"x{n:x}" for n in range(16)))
        for start, stop in rows(octets, 16):
            page.put(f" {start:02x}: ")
            shown.run(start, stop)
            page.end()
    page.say("row-9> probe all", "1: -0.25  2: -0.50  3: -0.25  4: open", "row-9> peek 40023800 4")
    page.say("40023800: 03007f83 24003010 0000940a 00000000", "row-9> fan test", "fan a 1180 rpm")
    page.say("fan b 1204 rpm", "row-9> stack", "ctl 412/1024", "net 880/2048", "row-9> ")
    return page


def german_board() -> Page:
    """A board that speaks German, over a line of eight-bit characters."""
    page = Page("16 a row, hex address with a small h, guillemets, Latin-1")
    page.encoding = "latin-1"
    page.say("Frostwächter Obsthof, Gerät 4", "Version 2.17, geprüft", "Fühler: 3 gefunden")
    page.say("Netz: Verbindung steht (100 MBit/s, voll)", "")
    for word, octets in (
        ("Empfangen", plain(105)),
        ("Gesendet", plain(107)),
        ("Empfangen", plain(9)),
    ):
        shown = page.frame(octets)
        page.say(f"{word}: {len(octets)} Byte")
        for start, stop in rows(octets, 16):
            page.put(f"   {start:04X}h  ")
            shown.run(start, stop, " ", "02X")
            page.pad(60)
            page.end(f"»{characters(octets[start:stop])}«")
        page.say(f"Prüfsumme {check_sequence(octets).hex().upper()}h richtig", "")
    for turn in range(7):
        page.say(f"Fühler {turn % 3 + 1}: -{turn},{turn + 2} °C  Rohwert FF{0xF0 - turn:02X}h")
    page.say("Lüfter läuft nicht an, Störung 12h", "Ventil öffnet", "Nacht beginnt 21:40 Uhr")
    return page


def one_line() -> Page:
    """Time, direction, length and the whole frame without a space, one frame a line."""
    page = Page("the whole frame joined on one line behind time, direction and length")
    page.say(
        "boot: image 3, 0 faults", "boot: jump 0x08008000", "04:12:30.010 NET start, 3 sockets"
    )
    second = 31.0
    for word, octets in (
        ("RX", plain(10)),
        ("RX", rare(13)),
        ("TX", plain(177)),
        ("RX", plain(178)),
        ("TX", plain(179)),
        ("RX", tagged(34)),
    ):
        shown = page.frame(octets)
        second += 1.402
        page.put(f"04:12:{second:06.3f} {word} {len(octets):4d} ")
        shown.run(0, len(octets), "", "02X")
        page.end()
        page.say(f"04:12:{second + 0.2:06.3f} ADC 07E1 07D8 0801 0000")
        page.say(f"04:12:{second + 0.4:06.3f} CTL state ARMED low -1.{int(second) % 10}")
    for turn in range(8):
        page.say(f"04:13:{turn * 5:02d}.000 CTL beat {turn + 4410:08X}")
    return page


def relay_sheet() -> Page:
    """A script that relays the port writes a sheet with semicolons."""
    page = Page("a sheet with semicolons; the frame is a quoted cell with spaces, then a remark")
    page.say("time;port;kind;size;content;remark", "06:00:00;B;text;;boot frost-ctl 5.0;")
    page.say("06:00:01;B;text;;probe bus 0: 3 devices;", "06:00:01;B;reg;4;0000c80c;CTRL")
    for turn, octets in enumerate((plain(31), plain(173), rare(31), plain(53), six(19))):
        shown = page.frame(octets)
        page.put(f'06:00:{turn * 4 + 2:02d};B;frame;{len(octets)};"')
        shown.run(0, len(octets))
        page.end(f'";{"to" if turn % 2 else "from"} switch')
        page.say(f"06:00:{turn * 4 + 3:02d};A;text;;fan a 0 rpm, fan b 0 rpm;")
        page.say(f"06:00:{turn * 4 + 4:02d};B;text;;low -1.{turn};probe {turn % 3 + 1}")
        page.say(f"06:00:{turn * 4 + 4:02d};B;reg;4;000000{0x41 + turn:02x};STAT")
    page.say("06:00:30;A;text;;relay closed;", "06:00:31;B;text;;night mode;by clock")
    return page


def clocked_octets() -> Page:
    """A simulation prints each clock of the receive side, preamble and check sequence too."""
    page = Page("one octet a clock in a simulation, between the preamble and the check sequence")
    octets = datagram(b"row 7 low -2.4 C, fan A on", 0x0C11)
    page.say("tb_rx: reset released at 200 ns", "tb_rx: clock 8 ns, seed 32'h5eed0007")
    page.say("tb_rx: configuration word 16'h8140 written", "tb_rx: frame 1 begins")
    now = 1240

    def clock(kind: str, octet: int | None, at: int = 0) -> None:
        nonlocal now
        page.put(f"{now:6d} ns  dv=1 er=0 rxd=8'h")
        if octet is None:
            shown.octet(at)
        else:
            page.put(f"{octet:02x}")
        page.end(f"  {kind}")
        now += 8

    shown = page.frame(octets)
    for _ in range(7):
        clock("preamble", 0x55)
    clock("start", 0xD5)
    for at in range(len(octets)):
        clock("frame", None, at)
    for octet in check_sequence(octets):
        clock("check", octet)
    page.say(f"{now:6d} ns  dv=0 er=0 rxd=8'h00  idle", "tb_rx: frame 1 ends")
    page.say(f"tb_rx: {len(octets)} octets and 4 of check sequence, status 3'h1", "tb_rx: pass")
    return page


def stream_words() -> Page:
    """A test bench prints 64-bit words of a stream with the mask of the octets that count."""
    page = Page("64-bit words of a stream, first octet left, a mask of valid octets beside")
    page.say("bench: frost_mac_stream, 64 bit, first octet in bits 63..56", "bench: run 4 of 4")
    now = 405.0
    for number, octets in enumerate((plain(155), arp_question(), plain(181))):
        shown = page.frame(octets)
        page.say(f"{now - 5:8.1f} ns note: packet {number}, expect {len(octets)} octets")
        for start, stop in rows(octets, 8):
            mask = "1" * (stop - start) + "0" * (8 - stop + start)
            page.put(f'{now:8.1f} ns note: data x"')
            shown.run(start, stop, "", "02X")
            page.put("--" * (8 - stop + start))
            page.end(f'" keep "{mask}" last \'{int(stop == len(octets))}\'')
            now += 5
            if start == 24:
                page.say(f"{now:8.1f} ns note: ready low for 2 clocks")
                now += 10
        page.say(f'{now:8.1f} ns note: packet {number} good, credit x"00{number:02X}"')
        now += 120
    page.say("bench: 3 packets, 0 errors", "bench: coverage 91.4 of 100", "bench: finished")
    return page


def based_literals() -> Page:
    """A trace routine whose author prints based literals."""
    page = Page("based literals 16#..#, eight a row in brackets, range of indices before")
    page.say("Frost_Control.Main: elaborated", "Frost_Control.Probes: 4 found", "Net.Mac: opened")
    for word, octets in (
        ("Received", rare(34)),
        ("Transmitted", plain(183)),
        ("Received", plain(182)),
    ):
        shown = page.frame(octets)
        page.say(f"Net.Mac: {word}, Length => {len(octets)}")
        for start, stop in rows(octets, 8):
            page.put(f"   {start + 1:3d} .. {stop:3d} => (16#")
            shown.run(start, stop, "#, 16#", "02X")
            page.end("#)")
        page.say(f"Net.Mac: Status => 16#{len(octets) + 0x8000:04X}#")
        page.say("Frost_Control.Fans: Idle", "Frost_Control.Alarm: Armed, Level => -2.0")
    for turn in range(6):
        page.say(f"Frost_Control.Probes: Number => {turn % 4 + 1}, Value => -{turn / 4:.2f}")
    return page


def data_lines() -> Page:
    """An old home computer that watches the orchard and lists what it got."""
    page = Page("DATA lines of BASIC with numbered lines, ten &H values a line, a length first")
    page.say("ORCHARD BASIC 1.4", "30128 OCTETS FREE", "OK.", 'LOAD "FROST"', "OK.", "RUN")
    page.say("PROBE 1 -1.5", "PROBE 2 -1.25", "FRAME IN", "SAVED TO LINES 2000-", "LIST 2000-")
    line = 2000
    for octets in rare(44), plain(48), plain(185):
        shown = page.frame(octets)
        page.say(f"{line} REM FRAME OF {len(octets)} BYTES")
        line += 10
        for start, stop in rows(octets, 10):
            page.put(f"{line} DATA &H")
            shown.run(start, stop, ",&H", "02X")
            page.end()
            line += 10
    page.say(f"{line} REM END", "OK.", "PRINT PEEK(49152)", " 129 ", "OK.", "PRINT HEX$(4096)")
    page.say("1000", "OK.", "RUN 400", "FAN A OFF", "FAN B OFF", "LOW -2.25 AT 05:10")
    return page


LAYOUTS = {
    "small-shell": small_shell,
    "german-board": german_board,
    "one-line": one_line,
    "relay-sheet": relay_sheet,
    "clocked-octets": clocked_octets,
    "stream-words": stream_words,
    "based-literals": based_literals,
    "data-lines": data_lines,
}
