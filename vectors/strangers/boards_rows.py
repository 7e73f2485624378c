"""Boards that print octet by octet, in rows of their own width, separator and trimming."""

from __future__ import annotations

from _log import Log, board, gutter, plain, rows, tagged


@board("left-gutter", "characters stand left of the digits", "no offset", "an underscore for dots")
def left_gutter(log: Log) -> None:
    def chat() -> None:
        log.line(
            f"{log.tick():8} frost   : probe {log.n(1, 9)} air {log.n(-40, 60) / 10:+.1f} C"
            f" bud {log.n(-40, 60) / 10:+.1f} C",
            f"{log.tick():8} heater  : row {log.n(1, 12)} duty {log.x(2)} pwm 0x{log.x(4)}",
        )

    chat()
    for octets in plain("arp 7", "arp 8", "echo 4", "dns 0", "dns 1"):
        frame = log.frame(octets)
        log.line(f"{log.tick():8} eth     : took {len(octets)} octets from slot {log.n(0, 7)}")
        for at in rows(octets, 16):
            said = gutter(octets[at : at + 16], "_")
            log.put(f"{log.tick(2):8} eth     : {said:<16} | ")
            log.run(frame, at, at + 16)
            log.end()
        chat()


@board("decimal-octets", "octets in decimal, padded with blanks", "offset in decimal", base=10)
def decimal_octets(log: Log) -> None:
    log.line("frost alarm 2.3, build 4471, free heap 38912", "", "limits per mast:")
    log.line(*(f"  {k:4}: {log.n(0, 40):3} {log.n(0, 99):3} {log.n(0, 255):3}" for k in range(5)))
    for number, octets in enumerate(plain("arp 0", "arp 6", "echo 1", "group 0")):
        frame = log.frame(octets)
        log.line(f"valve {log.n(1, 8)} open, {log.n(100, 400)} counts", f"receive #{number}:")
        for at in rows(octets, 10):
            log.put(f"  {at:4}: ")
            log.run(frame, at, at + 10, form="3d")
            log.end()
        log.line(
            f"  end of receive #{number}, {len(octets)} octets", f"battery {log.n(11800, 12900)} mV"
        )


@board("row-sums", "a sum of the row's octets behind each row", "offset with >", "no other marks")
def row_sums(log: Log) -> None:
    damaged = bytearray(plain("tcp 3")[0])
    damaged[70] ^= 0x08
    for octets in (*plain("echo 19", "tcp 2"), bytes(damaged), *plain("dns 2")):
        frame = log.frame(octets)
        log.line(
            f"T+{log.tick()} mac isr=0x{log.x(4)} desc={log.n(0, 15)}", f"T+{log.tick()} dump:"
        )
        for at in rows(octets, 16):
            log.put(f"{at:03X}> ")
            log.run(frame, at, at + 16, form="02X")
            log.line(f" *{sum(octets[at : at + 16]) & 0xFF:02X}")
        log.line(f"T+{log.tick()} dump done", f"T+{log.tick()} anemometer {log.n(0, 90)} dm/s")


@board("dashed-twelve", "each row says its own length and where it starts", "octets with dashes")
def dashed_twelve(log: Log) -> None:
    for octets in plain("arp 11", "arp 12", "echo 12", "dns 4"):
        frame = log.frame(octets)
        log.line(f"<{log.tick():06}> net: input, {len(octets)} octets, csum_ok=0")
        for at in rows(octets, 12):
            part = octets[at : at + 12]
            log.put(f"<{log.tick(3):06}> net: len={len(part)} @{at}: ")
            log.run(frame, at, at + 12, gap="-")
            log.end()
        log.line(f"<{log.tick():06}> fan: rpm {log.n(900, 1500)} set 0x{log.x(2)}")


@board("dotted-twenty", "rows are counted n/m", "octets with dots, twenty a row", "ISO times")
def dotted_twenty(log: Log) -> None:
    def stamp(most: int = 60) -> str:
        minutes, seconds = divmod(log.tick(most) // 1000, 60)
        return f"2031-04-10T05:{minutes:02}:{seconds:02}Z"

    for octets in plain("arp 17", "arp 18", "dns 8", "dns 9", "dns 12"):
        frame = log.frame(octets)
        total = -(-len(octets) // 20)
        log.line(f"{stamp(4000)} linkd rx ring={log.n(0, 31)} status={log.x(8)}")
        for k, at in enumerate(rows(octets, 20), 1):
            log.put(f"{stamp()} linkd {k}/{total} ")
            log.run(frame, at, at + 20, gap=".")
            log.end()
        log.line(
            f"{stamp(4000)} thermd t0={log.n(200, 300)} t1={log.n(200, 300)} dew=-{log.n(1, 9)}"
        )


@board("bulleted-lines", "line numbers and bullets in front of short rows", "markdown left over")
def bulleted_lines(log: Log) -> None:
    log.line("## What the alarm printed (second try)", "")
    number = 1
    for octets in plain("arp 1", "arp 2", "echo 0"):
        frame = log.frame(octets)
        for text in (f"* rx: flags {log.x(2)} {log.x(2)}", "* contents follow"):
            log.line(f"{number:4}. {text}")
            number += 1
        for at in rows(octets, 8):
            log.put(f"{number:4}. * ")
            log.run(frame, at, at + 8)
            log.end()
            number += 1
        log.line(f"{number:4}. * handed to stack, left {log.n(2, 30)} buffers")
        number += 1


@board("markdown-table", "rows of a table: from, octets, characters", "the gutter's dot is ·")
def markdown_table(log: Log) -> None:
    for octets in (*plain("echo 2", "dns 6"), *tagged("echo 4")):
        frame = log.frame(octets)
        log.line(f"Frame after {log.tick(9000)} ms, sensor mast {log.n(1, 5)}:", "")
        log.line("| from | octets | text |", "|---:|:---|:---|")
        for at in rows(octets, 10):
            log.put(f"| {at} | ")
            log.run(frame, at, at + 10)
            log.line(f" | `{gutter(octets[at : at + 10], '·')}` |")
        log.line("", f"Then it said `err 0x{log.x(8)}` and went on.", "")


@board(
    "semicolons-quoted", "upper case with semicolons, in quotes, 32 a row", "only 64 octets of each"
)
def semicolons_quoted(log: Log) -> None:
    for octets in plain("echo 15", "dns 3", "tcp 5", "dhcp 11"):
        part = octets[:64]
        frame = log.frame(part)
        log.line(f"{log.wall()};ETH;IN;{len(octets)};first 64 follow")
        for at in rows(part, 32):
            log.put(f'{log.wall()};ETH;RAW;"')
            log.run(frame, at, at + 32, gap=";", form="02X")
            log.line('"')
        log.line(f"{log.wall()};ADC;CH{log.n(0, 7)};{log.n(0, 4095)};0x{log.x(3)}")


@board("prefix-dollar", "octets with $ and commas, twelve a row, rows numbered from 1")
def prefix_dollar(log: Log) -> None:
    log.line("FROST-8 monitor", "memory $0400-$7FFF", " 01 .WORD $1F00,$1F40,$2000,$20C0")
    for octets in plain("arp 5", "echo 9", "tcp 0"):
        frame = log.frame(octets)
        log.line(f"RX {len(octets)} AT ${log.x(4).upper()}")
        for k, at in enumerate(rows(octets, 12), 1):
            log.put(f" {k:02} .BYTE ")
            log.run(frame, at, at + 12, gap=",", form="02X", before="$")
            log.end()
        log.line(f"TEMP ${log.x(2)} ${log.x(2)} ${log.x(2)} MAST ${log.x(2)}", "WAIT")


@board("suffix-h", "octets with an h behind, ten a row, a comma at each row's end")
def suffix_h(log: Log) -> None:
    for octets in plain("arp 16", "arp 19", "dns 10"):
        frame = log.frame(octets)
        log.line(f"vectors {log.x(4).upper()}h, {log.x(4).upper()}h, {log.x(4).upper()}h")
        log.line(f"port 3F8h up, irq {log.n(3, 15)}, count {log.x(4).upper()}h", "frame is:")
        for at in rows(octets, 10):
            log.put("    ")
            log.run(frame, at, at + 10, gap=", ", form="02X", after="h")
            log.line("," if at + 10 < len(octets) else "")
        log.line(f"relay word {log.x(4).upper()}h, mast 0{log.x(2).upper()}h")


@board("octet-a-line", "one octet a line, index in brackets, the same again in decimal")
def octet_a_line(log: Log) -> None:
    for octets in plain("arp 3", "arp 8"):
        frame = log.frame(octets)
        log.line(*(f"  adc[{k:3}] is {log.x(2)} ({log.n(0, 99)} %)" for k in range(6)))
        log.line(f"main: {log.tick()} got packet size={len(octets)} err=0")
        for k in range(len(octets)):
            log.put(f"  pkt[{k:3}] is ")
            log.octet(frame, k)
            log.line(f" ({octets[k]})")
        log.line(f"main: {log.tick()} freed {log.x(8)}")


@board("bracketed-octets", "each octet in brackets, sixteen a row, count so far at the row's end")
def bracketed_octets(log: Log) -> None:
    for octets in plain("arp 9", "echo 3", "dns 13"):
        frame = log.frame(octets)
        log.line(f"{log.tick()}ms --> {len(octets)}")
        for at in rows(octets, 16):
            log.put("    ")
            log.run(frame, at, at + 16, gap="", before="[", after="]")
            log.line(f" ={min(at + 16, len(octets))}")
        log.line(f"{log.tick()}ms <-- ok [{log.x(2)}] [{log.x(2)}] rssi -{log.n(40, 90)}")


@board(
    "shared-console",
    "rows of two tasks' lines between the rows of a frame",
    "task name and tick on every line",
    "16-bit groups, ten octets a row, hexadecimal offset without leading zeros",
)
def shared_console(log: Log) -> None:
    def other() -> None:
        who = log.random.choice(("valves", "logger", "gsm"))
        said = {
            "valves": f"v{log.n(1, 9)} pos {log.x(4)} target {log.x(4)}",
            "logger": f"page {log.x(4)} crc {log.x(8)} written",
            "gsm": f"csq {log.n(5, 31)},99 cell {log.x(4)} lac {log.x(4)}",
        }[who]
        log.line(f"{log.tick():7} {who:<7}{said}")

    for octets in plain("arp 10", "echo 5", "dns 2", "tcp 13"):
        frame = log.frame(octets)
        other()
        log.line(f"{log.tick():7} {'netrx':<7}{len(octets)} octets")
        for at in rows(octets, 10):
            log.put(f"{log.tick(3):7} {'netrx':<7}+{at:x} ")
            log.run(frame, at, at + 10, group=2)
            log.end()
            if log.n(0, 2) == 0:
                other()
        other()


@board(
    "side-by-side",
    "two frames beside each other: received left, answered right",
    "eight octets a row each, a double bar between",
)
def side_by_side(log: Log) -> None:
    for asked, answered in (("arp 1", "arp 2"), ("echo 4", "echo 5"), ("arp 5", "arp 6")):
        left, right = (log.frame(o) for o in plain(asked, answered))
        log.line(
            f"[{log.tick()}] pair {log.n(1, 99)}, {len(left.octets)} in, {len(right.octets)} out"
        )
        log.line("       in                           out")
        for at in rows(left.octets, 8):
            log.put(f"  {at:02}  ")
            log.run(left, at, at + 8)
            log.put("   " * (8 - len(left.octets[at : at + 8])) + "  ||  ")
            log.run(right, at, at + 8)
            log.end()
        log.line(f"[{log.tick()}] mast {log.n(1, 9)}: humidity {log.n(50, 99)} %", "")
