"""The ways to print a frame that most people would write: offset and octets, odd in details."""

from __future__ import annotations

from _prints import Log, board, chat, frames, print_rows, rows, seen


@board("stamped-rows", "16 a row, hex offset, every line with the same kind of time stamp")
def stamped_rows(log: Log) -> None:
    def stamp() -> str:
        return f"[{log.tick() / 1000:9.3f}] "

    for octets in frames("rare echo 0", "off udp 9", "rare arp 3"):
        chat(log, lambda: stamp() + "main: ")
        log.line(f"{stamp()}net: rx {len(octets)} bytes")
        print_rows(log, octets, 16, lambda at: f"{stamp()}net: {at:04x}: ")
    chat(log, lambda: stamp() + "main: ")


@board("piped-gutter", "capitals, wider gap in the middle, last row filled up, gutter in pipes")
def piped_gutter(log: Log) -> None:
    for octets in frames("off dns 3", "rare icmp 0", "losses tcp 2", "off arp 8"):
        chat(log)
        log.line(f"ETH: frame received, length {len(octets)}, status 0x{log.x(8)}")
        printed = log.frame(octets)
        for at in rows(octets, 16):
            log.put(f"0x{at:04X}  ")
            log.run(printed, at, at + 8, form="02X")
            if len(octets) > at + 8:
                log.put("  ")
                log.run(printed, at + 8, at + 16, form="02X")
            row = octets[at : at + 16]
            log.put(" " * (3 * (16 - len(row)) + (len(row) <= 8)))
            log.line(f"  |{seen(row)}|")
        log.line()


@board("bare-thirty-two", "32 a row, no offset, no gutter, rule below")
def bare_thirty_two(log: Log) -> None:
    for octets in frames("rare dhcp 1", "losses tcp 4", "off icmp 2"):
        chat(log, lambda: f"{log.tick():>8} ")
        log.line(f"{log.tick():>8} ETH RX len={len(octets)} from desc {log.n(0, 7)}")
        print_rows(log, octets, 32, lambda at: "")
        log.line("-" * 40)
    chat(log, lambda: f"{log.tick():>8} ", decoys=1)


@board("decimal-offset-tens", "10 a row, decimal offset with a closing bracket")
def decimal_offset_tens(log: Log) -> None:
    for octets in frames("off tcp 5", "rare arp 1", "off echo 7"):
        chat(log, lambda: f"{log.wall()} ", decoys=2)
        log.line(f"{log.wall()} eth task: got one, {len(octets)} octets:")
        print_rows(log, octets, 10, lambda at: f"{at:5d}) ", form="02X")
        log.line(f"{log.wall()} eth task: that was all")


@board(
    "level-and-module", "level, tick and module before every row; offset counts in hex, no colon"
)
def level_and_module(log: Log) -> None:
    def head(level: str, module: str) -> str:
        return f"<{level}> {log.tick():08d} {module:<6}| "

    for octets in frames("losses arp 0", "off udp 4", "off dns 10", "rare tcp 2"):
        chat(log, lambda: head("I", "frost"))
        log.line(f"{head('D', 'ethin')}packet of {len(octets)} in buffer {log.n(0, 15)}")
        print_rows(log, octets, 16, lambda at: f"{head('D', 'ethin')}{at:03x} ")
        log.line(f"{head('I', 'ethin')}queue {log.n(0, 9)} deep")


@board("dashed-eights", "8 a row, offset in square brackets, dash in the middle")
def dashed_eights(log: Log) -> None:
    for octets in frames("rare arp 7", "off icmp 5", "losses tcp 9"):
        chat(log, lambda: "* ")
        log.line(f"* RX  ({len(octets)})")
        printed = log.frame(octets)
        for at in rows(octets, 8):
            log.put(f"  [{at:04X}] ")
            log.run(printed, at, at + 4, form="02X")
            if len(octets) > at + 4:
                log.put(" - ")
                log.run(printed, at + 4, at + 8, form="02X")
            log.end()
        log.line("* RX done")


@board("plus-offset-joined", "digits run together, 16 octets a row, offset with a plus")
def plus_offset_joined(log: Log) -> None:
    for octets in frames("off dhcp 2", "rare tcp 0"):
        chat(log, lambda: f"t{log.tick()}: ", decoys=1)
        log.line(f"t{log.tick()}: dump of rx frame, size {len(octets)}")
        print_rows(log, octets, 16, lambda at: f"    +{at:03x} ", gap="")
    chat(log, lambda: f"t{log.tick()}: ")


@board("halfwords-crlf", "pairs of octets in the wire's order, CRLF, odd end", newline="\r\n")
def halfwords_crlf(log: Log) -> None:
    for octets in frames("off udp 2", "off dns 5", "rare echo 0", "losses tcp 12"):
        chat(log, lambda: f"{log.tick():010d} ")
        log.line(f"{log.tick():010d} received {len(octets)} bytes:")
        print_rows(log, octets, 16, lambda at: f"{at:04x}: ", group=2)
        log.line()


@board("prefixed-commas", "12 a row, 0x before and comma behind each octet but the last")
def prefixed_commas(log: Log) -> None:
    for octets in frames("rare arp 5", "off tcp 2", "losses tcp 1"):
        chat(log, lambda: "orchard: ")
        log.line(f"orchard: inbound ethernet, {len(octets)} bytes follow")
        printed = log.frame(octets)
        for at in rows(octets, 12):
            log.run(printed, at, at + 12, gap=", ", before="0x")
            log.line("," if at + 12 < len(octets) else "")
        log.line("orchard: end of inbound")


@board("angled-gutter", "24 a row, gutter between angles behind two tabs, blanks shown as they are")
def angled_gutter(log: Log) -> None:
    for octets in frames("off dhcp 5", "off dns 1"):
        chat(log, lambda: f"({log.n(1, 4)}) ", decoys=1)
        log.line(f"(0) rx: frame no. {log.n(100, 999)} has {len(octets)} octets")
        printed = log.frame(octets)
        for at in rows(octets, 24):
            log.put(f"{at:03x}: ")
            log.run(printed, at, at + 24)
            log.line(f"\t\t<{seen(octets[at : at + 24], '_')}>")


@board("tabbed-crlf", "tab, offset, tab, octets with tabs between eights", newline="\r\n")
def tabbed_crlf(log: Log) -> None:
    for octets in frames("rare icmp 1", "losses arp 2", "off tcp 8"):
        chat(log, lambda: "\t".join((str(log.tick()), "")))
        log.line(f"{log.tick()}\tRXFRAME\t{len(octets)}")
        printed = log.frame(octets)
        for at in rows(octets, 16):
            log.put(f"\t{at:04X}\t")
            log.run(printed, at, at + 8, form="02X")
            if len(octets) > at + 8:
                log.put("\t")
                log.run(printed, at + 8, at + 16, form="02X")
            log.end()


@board("dated-host", "date, host, process before every row; offset without a colon, two blanks")
def dated_host(log: Log) -> None:
    def head(who: str) -> str:
        return f"Mar 14 {log.wall()[:8]} frost-7 {who}: "

    for octets in frames("off icmp 3", "rare tcp 4", "off arp 12"):
        chat(log, lambda: head(f"alarmd[{log.n(200, 220)}]"))
        log.line(f"{head('netd[212]')}got frame on eth0: {len(octets)} bytes, dumping")
        print_rows(log, octets, 16, lambda at: f"{head('netd[212]')}{at:06x}  ")
    chat(log, lambda: head("alarmd[204]"))


@board("byte-ranges", "decimal first and last offset before each row of 20")
def byte_ranges(log: Log) -> None:
    for octets in frames("off echo 12", "rare arp 10", "losses tcp 15"):
        chat(log, decoys=2)
        log.line(f"new packet ({len(octets)} bytes) at {log.tick()} ms")
        last = len(octets) - 1
        print_rows(log, octets, 20, lambda at, last=last: f"  bytes {at}-{min(at + 19, last)}: ")
        log.line("passed to stack")


@board("ruled-table", "a head of columns, a rule, and the row's tens before a bar")
def ruled_table(log: Log) -> None:
    for octets in frames("rare tcp 7", "off udp 11", "off dns 14"):
        chat(log, lambda: "## ")
        log.line(f"## Ethernet input: {len(octets)} octets")
        log.line("     | " + " ".join(f" {c:X}" for c in range(16)))
        log.line("-----+-" + "-" * 47)
        print_rows(log, octets, 16, lambda at: f" {at:03X} | ", form="02X")
        log.line("-----+-" + "-" * 47)
