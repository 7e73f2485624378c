"""The stranger ways: monitors, source text, one line a frame, decimal, other tasks between rows."""

from __future__ import annotations

from itertools import pairwise

from _prints import Log, board, chat, decoy, frames, print_rows, rows, seen, word


@board("one-line-spaced", "one line a frame: time, number, length, octets, verdict of the hardware")
def one_line_spaced(log: Log) -> None:
    for number, octets in enumerate(frames("rare arp 2", "off udp 6", "losses tcp 3"), 41):
        chat(log, lambda: f"{log.wall()} ")
        log.put(f"{log.wall()} RX#{number} ({len(octets)} B) ")
        log.run(log.frame(octets), 0, len(octets))
        log.line(" crc good" if number % 2 else " crc not looked at")
    chat(log, lambda: f"{log.wall()} ", decoys=1)


@board("comma-values", "comma separated values, a head, the octets in one run, last value a digest")
def comma_values(log: Log) -> None:
    log.line("ms,port,way,length,octets,result,digest")
    for octets in frames("rare arp 4", "off dns 8", "off icmp 4", "losses tcp 6", "rare dhcp 3"):
        for _ in range(log.n(0, 3)):
            log.line(f"{log.tick()},probe{log.n(1, 9)},,,{log.n(-50, 90) / 10},ok,{log.x(16)}")
        log.put(f"{log.tick()},eth0,in,{len(octets)},")
        log.run(log.frame(octets), 0, len(octets), gap="")
        log.line(f",ok,{log.x(16)}")


@board("keys-in-chunks", "key=value, the octets in pieces of 32 named by their range")
def keys_in_chunks(log: Log) -> None:
    for octets in frames("off tcp 11", "rare icmp 2", "rare arp 9"):
        chat(log, lambda: f"t={log.tick()} task=frost msg=", decoys=2)
        log.line(f"t={log.tick()} task=eth event=rx len={len(octets)} crc=0x{log.x()}")
        printed = log.frame(octets)
        for at in rows(octets, 32):
            end = min(at + 32, len(octets))
            log.put(f"t={log.tick()} task=eth data[{at}..{end - 1}]=")
            log.run(printed, at, end, gap="")
            log.end()


@board("octal-offset", "seven octal digits of offset, four octets a word, the end as a last offset")
def octal_offset(log: Log) -> None:
    for octets in frames("off echo 3", "rare dhcp 0", "off arp 3"):
        chat(log)
        log.line("alarm# show rxbuf")
        print_rows(log, octets, 16, lambda at: f"{at:07o}  ", group=4)
        log.line(f"{len(octets):07o}")


@board("monitor-little-words", "a boot monitor shows little-endian words at absolute addresses")
def monitor_little_words(log: Log) -> None:
    log.line("orchard boot monitor, type ? for help")
    for number, octets in enumerate(frames("rare arp 6", "off udp 1", "off icmp 0")):
        base = 0x20004A00 + 0x600 * number
        log.line(
            f"mon> rxlen {number}", f"{len(octets)}", f"mon> show {base:x} {-(-len(octets) // 4)}"
        )
        printed = log.frame(octets)
        filled = octets + bytes(-len(octets) % 4)
        for at in rows(octets, 16):
            log.put(f"{base + at:08x}  ")
            for start in range(at, min(at + 16, len(filled)), 4):
                if start > at:
                    log.put("  ")
                spare = max(0, start + 4 - len(octets))
                log.put("00" * spare)
                log.run(printed, start, start + 4, group=4, little=True)
            log.line(f"   {seen(filled[at : at + 16])}")
        log.line("mon> regs eth", f"MACCR {log.x(8)}  FFR {log.x(8)}  MIIAR {log.x(8)}")


@board(
    "monitor-split-address",
    "halfwords at addresses with an underscore; stale octets behind the end",
)
def monitor_split_address(log: Log) -> None:
    for octets in frames("off tcp 3", "losses arp 4", "off dns 12"):
        chat(log)
        low = log.n(0x100, 0x700) * 16
        log.line("frost> rx?", f"1 frame, {len(octets)} bytes at 2000_{low:04x}")
        log.line(f"frost> mem 2000_{low:04x} {-(-len(octets) // 16)} rows")
        printed = log.frame(octets)
        for at in range(0, -(-len(octets) // 16) * 16, 16):
            log.put(f"2000_{low + at:04x}: ")
            log.run(printed, at, at + 16, group=2)
            short = max(0, at + 16 - len(octets))
            spare = log.x(2 * short) if short else ""
            start = 0
            if spare and len(octets) % 2:
                log.put(spare[:2])
                start = 2
            for word_at in range(start, len(spare), 4):
                log.put(" " + spare[word_at : word_at + 4])
            log.end()


@board("list-of-numbers", "a list as Python has it, no leading zeros")
def list_of_numbers(log: Log) -> None:
    for number, octets in enumerate(frames("off arp 5", "rare tcp 5", "off icmp 6")):
        chat(log, lambda: "# ", decoys=1)
        log.line(f"# len {len(octets)}")
        log.put(f"rx{number} = [")
        printed = log.frame(octets)
        for at in rows(octets, 14):
            if at:
                log.put("       ")
            log.run(printed, at, at + 14, gap=", ", before="0x", form="x")
            log.line("," if at + 14 < len(octets) else "]")


@board("assembler-bytes", "data lines of an assembler with a label and the offset as remark")
def assembler_bytes(log: Log) -> None:
    for number, octets in enumerate(frames("rare arp 11", "off udp 7", "losses tcp 8")):
        chat(log, lambda: "; ")
        log.line(f"; captured by the net task, {len(octets)} bytes", f"frame_{number}:")
        printed = log.frame(octets)
        for at in rows(octets, 8):
            log.put("        .byte ")
            log.run(printed, at, at + 8, gap=",", before="$", form="02X")
            log.line(f"   ; {at:04X}h")
        log.line(f"frame_{number}_len .equ {len(octets)}")


@board("decimal-initialiser", "a C initialiser in decimal, 20 a row", base=10)
def decimal_initialiser(log: Log) -> None:
    for number, octets in enumerate(frames("off tcp 6", "rare arp 12")):
        chat(log, lambda: "// ", decoys=2)
        log.line(f"static const unsigned char rx_{number}[{len(octets)}] = {{")
        printed = log.frame(octets)
        for at in rows(octets, 20):
            log.put("    ")
            log.run(printed, at, at + 20, gap=", ", form="d")
            log.line("," if at + 20 < len(octets) else "")
        log.line("};")


@board("decimal-threes", "three decimal digits each, 15 a row, row number before", base=10)
def decimal_threes(log: Log) -> None:
    for octets in frames("rare echo 0", "off dns 2", "off udp 3"):
        chat(log, lambda: f"{log.tick()} ", decoys=2)
        log.line(f"{log.tick()} net: {len(octets)} octets in (decimal)")
        print_rows(log, octets, 15, lambda at: f"#{at // 15:02d}: ", form="03d")


@board("quoted-report", "a bug report quotes the console twice, remarks between the quotations")
def quoted_report(log: Log) -> None:
    log.line("Our unit at the lower orchard says this after the update:", "")
    for octets in frames("off icmp 7", "rare tcp 6", "losses tcp 5"):
        chat(log, lambda: "> > ", most=3)
        log.line(f"> > eth: {len(octets)} byte frame")
        print_rows(log, octets, 16, lambda at: f"> > {at:04x} ")
        log.line("> > eth: dropped", "> Is that one of ours?", "No, it came from the server.", "")


@board("tasks-between-rows", "other tasks print whole lines, also hex, between the rows")
def tasks_between_rows(log: Log) -> None:
    for octets in frames("off dns 6", "rare dhcp 5", "off tcp 9"):
        chat(log, lambda: f"{log.tick():07d} [frost] ")
        log.line(f"{log.tick():07d} [eth  ] frame, {len(octets)} bytes")
        printed = log.frame(octets)
        for at in rows(octets, 16):
            log.put(f"{log.tick():07d} [eth  ] {at:04x}: ")
            log.run(printed, at, at + 16)
            log.end()
            if not log.n(0, 2) and at + 16 < len(octets):
                for text in (word(log, 1), decoy(log))[log.n(0, 1)]:
                    log.line(f"{log.tick():07d} [frost] {text}")


@board("registers-same-form", "registers, descriptors and stack in the frame's own form before it")
def registers_same_form(log: Log) -> None:
    for octets in frames("rare icmp 0", "off echo 9", "off udp 8"):
        chat(log)
        for name, count in (
            ("MAC registers", 12),
            ("RX descriptors", 8),
            ("stack of task eth", 16),
        ):
            log.line(f"{name}:")
            for at in range(0, 4 * count, 16):
                log.line(f"  {at:04x}: " + " ".join(log.x() for _ in range(4)))
        log.line(f"RX frame, {len(octets)} bytes:")
        print_rows(log, octets, 16, lambda at: f"  {at:04x}: ", group=4)


@board("offset-behind", "the offset stands behind the octets, after a left arrow")
def offset_behind(log: Log) -> None:
    for octets in frames("off dns 9", "rare arp 13", "rare tcp 9"):
        chat(log, lambda: ": ")
        log.line(f": frame in, {len(octets)} octets")
        printed = log.frame(octets)
        for at in rows(octets, 12):
            log.run(printed, at, at + 12)
            log.line(f" <- {at}")


@board("numbered-pieces", "piece number of how many, octets in the piece, then the octets by dots")
def numbered_pieces(log: Log) -> None:
    for octets in frames("off tcp 7", "off icmp 8", "losses dhcp 0"):
        chat(log, lambda: f"@{log.tick():x} ")
        pieces = rows(octets, 18)
        log.line(f"@{log.tick():x} eth in: {len(octets)} octets, {len(pieces)} pieces")
        printed = log.frame(octets)
        for number, at in enumerate(pieces, 1):
            end = min(at + 18, len(octets))
            log.put(f"@{log.tick():x} {number}/{len(pieces)} [{end - at}] ")
            log.run(printed, at, end, gap=".")
            log.end()


@board("headers-apart", "one row a header, named with its length; data by sixteens below")
def headers_apart(log: Log) -> None:
    for octets in frames("off udp 10", "off dns 7", "off udp 13"):
        chat(log, lambda: f"{log.wall()} | ", decoys=2)
        log.line(f"{log.wall()} | received, whole length {len(octets)}")
        printed = log.frame(octets)
        for name, (at, end) in zip(("mac", "ip", "udp"), pairwise((0, 14, 34, 42)), strict=True):
            log.put(f"             |   {name:<4} {end - at:2d}: ")
            log.run(printed, at, end)
            log.end()
        for at in range(42, len(octets), 16):
            log.put("             |   data " + ("..: " if at > 42 else f"{len(octets) - 42:2d}: "))
            log.run(printed, at, at + 16)
            log.end()
