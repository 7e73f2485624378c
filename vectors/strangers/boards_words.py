"""Boards that print words: 16, 32 or 64 bits, in either order, or whole rows without a gap."""

from __future__ import annotations

import zlib

from _log import Log, board, gutter, plain, rows, tagged


@board(
    "absolute-big-words",
    "absolute addresses, 32-bit words, most significant first",
    "a command echo before each dump, register words of the same shape",
)
def absolute_big_words(log: Log) -> None:
    log.line("orchard loader 0.9", "loader# regs")
    log.line(*(f"  r{k:<2} = {log.x(8)}  r{k + 8:<2} = {log.x(8)}" for k in range(8)))
    base = 0x2003F410
    for octets in plain("arp 13", "echo 1", "arp 5") + tagged("arp 0"):
        frame = log.frame(octets)
        log.line(f"loader# show {base:08x} {len(octets)}")
        for at in rows(octets, 16):
            log.put(f"{base + at:08x} = ")
            log.run(frame, at, at + 16, group=4)
            log.end()
        log.line(f"loader# read {log.x(8)}", f"  {log.x(8)}")
        base += 0x600


@board(
    "absolute-little-words",
    "32-bit words, least significant first: octet 0 stands at the end of the first word",
    "address in angle brackets, 0x before each word",
)
def absolute_little_words(log: Log) -> None:
    base = 0xA0018000
    for octets in plain("arp 0", "arp 8", "echo 3", "tcp 15"):
        part = octets[: len(octets) // 4 * 4]
        frame = log.frame(part)
        log.line(f"emac: owner=cpu len={len(part)} stat=0x{log.x(8)} next=0x{log.x(8)}")
        for at in rows(part, 16):
            log.put(f"emac: <{base + at:08X}> ")
            log.run(frame, at, at + 16, group=4, form="02X", before="0x", little=True)
            log.end()
        log.line(f"frost: lowest {log.n(-90, 20) / 10} C on mast {log.n(1, 9)}")
        base += 0x800


@board(
    "little-halfwords",
    "16-bit words, least significant first",
    "offset counts words and ends with a stroke",
)
def little_halfwords(log: Log) -> None:
    for octets in plain("arp 9", "arp 10", "echo 7", "tcp 6"):
        frame = log.frame(octets)
        log.line(f"nic: mib {log.x(4)} {log.x(4)} {log.x(4)} {log.x(4)} {log.x(4)} {log.x(4)}")
        log.line(f"nic: rcv {len(octets) // 2} words, csr {log.x(4)}")
        for at in rows(octets, 16):
            log.put(f"{at // 2:3}/ ")
            log.run(frame, at, at + 16, group=2, little=True)
            log.end()
        log.line(f"clock: {log.wall()}")


@board("tabbed-halfwords", "16-bit words with tabs, eight octets a row", "offset counts words")
def tabbed_halfwords(log: Log) -> None:
    for octets in plain("arp 13", "arp 14", "echo 16", "dns 12"):
        octets = octets[: len(octets) // 2 * 2]
        frame = log.frame(octets)
        log.line(f"rx\t{len(octets)}\t{log.tick()}")
        for at in rows(octets, 8):
            log.put(f"w{at // 2}\t")
            log.run(frame, at, at + 8, group=2, gap="\t", form="02X")
            log.end()
        log.line(f"soil\t{log.n(200, 800)}\t{log.n(200, 800)}\t{log.n(200, 800)}")


@board(
    "spaced-longs",
    "CRLF, and an empty line after every line",
    "64-bit words, 24 octets a row, no offset",
    "the last four octets of one frame were never written and hold letters",
    newline="\r\n",
)
def spaced_longs(log: Log) -> None:
    left = plain("echo 14")[0][:92] + b"LMNOP"
    for octets in (plain("arp 17")[0], left, plain("dhcp 19")[0], plain("tcp 15")[0]):
        frame = log.frame(octets)
        log.line(f"ETH RX {log.tick()} LEN {len(octets)}", "")
        for at in rows(octets, 24):
            log.put("  ")
            log.run(frame, at, at + 24, group=8, form="02X")
            log.line("", "")
        log.line(f"MAST {log.n(1, 9)} OK {log.x(4).upper()}", "")


@board(
    "descriptor-first",
    "a ring descriptor in the same form stands before each frame and is no frame",
    "offset in brackets, decimal; gutter between apostrophes with a tilde for dots",
)
def descriptor_first(log: Log) -> None:
    for k, octets in enumerate(plain("arp 7", "icmp 0", "dns 7")):
        at_ = 0x30004000 + k * 0x640
        words = (0x80000000 | len(octets) << 16, 0x1600, at_, 0x30000010 + k * 16)
        raw = b"".join(w.to_bytes(4, "little") for w in words)
        log.line(f"[eth0 {log.tick()}] desc {k} at 0x{0x30000000 + k * 16:08x}")
        log.line(f"[000] {raw.hex(' ')}  '{gutter(raw, '~')}'")
        frame = log.frame(octets)
        log.line(f"[eth0 {log.tick()}] data {k} at 0x{at_:08x}")
        for at in rows(octets, 16):
            log.put(f"[{at:03}] ")
            log.run(frame, at, at + 16)
            part = octets[at : at + 16]
            log.line("   " * (16 - len(part)) + f"  '{gutter(part, '~')}'")
        log.line(f"[temp {log.tick()}] {log.n(-50, 50)} {log.n(-50, 50)} {log.n(-50, 50)}")


@board(
    "image-hash-first",
    "the image's hash is printed before the frames in rows of the same shape and is no frame",
    "32 octets a row without any gap, rows counted with #",
)
def image_hash_first(log: Log) -> None:
    log.line("boot: slot B, image 118784 octets", "boot: hash")
    log.line(f"#0 {log.x(64)}", "boot: signature")
    log.line(f"#0 {log.x(64)}", f"#1 {log.x(64)}", "boot: ok, jump 0x08010000")
    for octets in plain("arp 18", "echo 10", "echo 18", "dns 23"):
        frame = log.frame(octets)
        log.line(f"net: frame, {len(octets)} octets")
        for k, at in enumerate(rows(octets, 32)):
            log.put(f"#{k} ")
            log.run(frame, at, at + 32, gap="")
            log.end()
        log.line(f"net: filter {log.x(16)} hit {log.n(0, 63)}")


@board(
    "quoted-shell",
    "a shell's > before every line that answers",
    "64 octets a row without a gap, offset with + in hexadecimal",
    "one long frame with its last octets still letters",
)
def quoted_shell(log: Log) -> None:
    offer = plain("dhcp 12")[0][:338] + b"OPQR"
    for k, octets in enumerate((plain("dhcp 11")[0], offer, plain("echo 2")[0])):
        frame = log.frame(octets)
        log.line(f"alarm$ peek rx {k}", f"> {len(octets)} octets, age {log.n(1, 9000)} ms")
        for at in rows(octets, 64):
            log.put(f"> +{at:03x} ")
            log.run(frame, at, at + 64, gap="")
            log.end()
        log.line(
            "alarm$ temp", f"> {log.n(-50, 90) / 10} {log.n(-50, 90) / 10} {log.n(-50, 90) / 10}"
        )


@board("progress-front", "a percentage in front of each row", "four octets a row with underscores")
def progress_front(log: Log) -> None:
    log.line(*(f"[{k:3}%] erase {0x4000 + 0x100 * k:08x}" for k in range(0, 101, 10)))
    log.line(*(f"[{k:3}%] write {0x4000 + 0x100 * k:08x}" for k in range(0, 101, 10)))
    for octets in plain("arp 11", "echo 6", "udp 2"):
        frame = log.frame(octets)
        log.line(f"incoming block at {log.x(6)}, {len(octets)}")
        for at in rows(octets, 4):
            log.put(f"[{100 * min(at + 4, len(octets)) // len(octets):3}%] ")
            log.run(frame, at, at + 4, gap="_")
            log.end()
        log.line(f"[ {log.n(10, 99)}%] fill reservoir", "done")


@board(
    "one-line-colons",
    "the whole frame on one line, octets with colons, its FCS behind",
    "station addresses in the same form between the frames",
)
def one_line_colons(log: Log) -> None:
    for octets in plain("arp 1", "arp 2", "echo 15", "tcp 3"):
        frame = log.frame(octets + zlib.crc32(octets).to_bytes(4, "little"))
        log.line(f"{log.wall()} lan: peer 00:00:5e:00:53:{log.x(2)} seen, {log.n(1, 60)} s ago")
        log.put(f"{log.wall()} lan: rx {len(frame.octets)}: ")
        log.run(frame, 0, len(frame.octets), gap=":")
        log.end()
        log.line(f"{log.wall()} lan: counters {log.x(4)}/{log.x(4)}/{log.x(4)}")
