"""Chatter: what consoles print that is no frame, in the shapes that look most like one.

Boot logs, shells, sensors, register and stack dumps, digests, keys, address lists. Nothing is
copied; names and numbers are invented or drawn.
"""

from __future__ import annotations

import random
import uuid
from collections.abc import Callable, Iterator

Maker = Callable[[random.Random], str]


def _hex(rng: random.Random, digits: int) -> str:
    return f"{rng.getrandbits(4 * digits):0{digits}x}"


def _address(rng: random.Random) -> str:
    return "00:00:5e:00:53:" + _hex(rng, 2)


def _boot(rng: random.Random) -> str:
    low = rng.getrandbits(28)
    return rng.choice(
        (
            f"mem: [0x{low:016x}-0x{low + 0xFFFFF:016x}] usable",
            f"memmap: {low:08x}-{low + 0xFFFF:08x} rw-p 00000000 00:00 0",
            f"console [ttyS0] enabled at 0x{low:08x} (irq = {rng.randrange(99)})",
            f"clocksource: timer: mask: 0xffffffff max_cycles: 0x{_hex(rng, 8)}, max_idle_ns: 1911",
            f"orchard-mac {_hex(rng, 8)}.ethernet: probed, id {_hex(rng, 4)}:{_hex(rng, 4)}",
            f"zone DMA: {_hex(rng, 8)} {_hex(rng, 8)}",
            f'partition 1: start 0x{_hex(rng, 8)} size 0x{_hex(rng, 8)} "store"',
            f"pci 0000:00:{_hex(rng, 2)}.0: [{_hex(rng, 8)}] class 0x{_hex(rng, 6)}",
            f"random: crng init done, seed {rng.randrange(10**6)}",
            f"usb 1-1: idVendor={_hex(rng, 4)}, idProduct={_hex(rng, 4)}, bcdDevice= 1.00",
            "io 00 01 02 03: four lines claimed",
            f"eth0: link up, 100 Mbit/s, full duplex, lpa 0x{_hex(rng, 4)}",
            f"eth0: hw addr {_address(rng)}",
        )
    )


def _registers(rng: random.Random) -> str:
    first = rng.randrange(12)
    return rng.choice(
        (
            " ".join(f"r{first + i}: {_hex(rng, 8)}" for i in range(4)),
            f"R{first}: {_hex(rng, 8)} R{first + 1}: {_hex(rng, 8)} PC: {_hex(rng, 8)}",
            f"pc : [<{_hex(rng, 8)}>] lr : [<{_hex(rng, 8)}>] psr: {_hex(rng, 8)}",
            f"MAC_CFG 0x{_hex(rng, 8)} MAC_STAT 0x{_hex(rng, 8)}",
            f"0x{_hex(rng, 4)}: 0x{_hex(rng, 8)}",
            f"reg[{rng.randrange(64):02x}] = {_hex(rng, 2)}",
            f"phy 1 reg {rng.randrange(32)} = 0x{_hex(rng, 4)}",
            f"sp : {_hex(rng, 8)}  ip : {_hex(rng, 8)}  fp : {_hex(rng, 8)}",
            f"Flags: nzCv  IRQs on  FIQs on  Mode SVC  Control: {_hex(rng, 8)}",
        )
    )


def _digest(rng: random.Random) -> str:
    return rng.choice(
        (
            f"sha256 {_hex(rng, 64)}",
            f"{_hex(rng, 64)}  firmware.bin",
            f"md5: {_hex(rng, 32)}",
            f"{_hex(rng, 32)}",
            f"build {_hex(rng, 40)} (clean)",
            f"uuid {uuid.UUID(int=rng.getrandbits(128), version=4)}",
            f"key: {bytes(rng.randrange(256) for _ in range(16)).hex(' ')}",
            f"fingerprint {bytes(rng.randrange(256) for _ in range(20)).hex(':')}",
            f"nonce={_hex(rng, 24)}",
            f"commit {_hex(rng, 12)}",
            f"signature {_hex(rng, 128)}",
            f"boot token {_hex(rng, 40)}",
        )
    )


def _addresses(rng: random.Random) -> str:
    six = f"2001:db8:{_hex(rng, 4)}:{_hex(rng, 4)}:0200:5eff:fe00:53{_hex(rng, 2)}"
    return rng.choice(
        (
            f"inet6 {six}/64 scope global",
            f"192.0.2.{rng.randrange(256)} dev eth0 lladdr {_address(rng)} REACHABLE",
            f"neighbour {rng.randrange(9)}: {_address(rng)} age {rng.randrange(300)}",
            f"{_address(rng)} {_address(rng)}",
            f"{six} via fe80::1",
            _address(rng),
            _address(rng).replace(":", "-").upper(),
            f"DHCP: bound to 192.0.2.{rng.randrange(256)} -- renewal in {rng.randrange(9999)} s",
        )
    )


def _sensors(rng: random.Random) -> str:
    return rng.choice(
        (
            f"leaf {rng.uniform(-3, 9):.2f} {rng.uniform(-3, 9):.2f} {rng.uniform(-3, 9):.2f}",
            " ".join(f"{rng.randrange(10, 99)}" for _ in range(rng.randrange(3, 12))),
            "adc " + " ".join(f"{_hex(rng, 3)}" for _ in range(8)),
            f"wind {rng.randrange(30)} m/s dir {rng.randrange(360)} hum {rng.randrange(100)} %",
            "raw: " + " ".join(_hex(rng, 4) for _ in range(rng.randrange(2, 5))),
            "temp table: " + ", ".join(str(rng.randrange(100, 999)) for _ in range(10)),
            f"{rng.randrange(10**6)}, {rng.randrange(100)}, {rng.randrange(100)}",
            f"2001-02-03 04:05:{rng.randrange(60):02d} row 7 ok",
            f"T+{rng.randrange(10**7)} battery {rng.randrange(3000, 4200)} mV",
        )
    )


def _shell(rng: random.Random) -> str:
    return rng.choice(
        (
            "orchard> ",
            "orchard> show valves",
            "valve 01 02 03 open",
            "-rw-r--r--    1 root     root          4096 Feb  3 04:05 notes.txt",
            f"  PID {rng.randrange(9999)} {rng.randrange(99)}:{rng.randrange(60):02d} frostd",
            "eth0: RX packets 1042 errors 0 dropped 0, TX packets 983 errors 0",
            "done.",
            "",
            "****",
            "ok 12 ok 34 ok 56",
            f"free {rng.randrange(10**6)} used {rng.randrange(10**6)}",
            f"ping 192.0.2.1: seq={rng.randrange(99)} ttl=64 time={rng.random():.3f} ms",
        )
    )


def _stack(rng: random.Random) -> Iterator[str]:
    base = rng.getrandbits(24) << 4 | 0x20000000
    yield rng.choice(("Stack:", "Stack: (0x20001f40 to 0x20002000)", "stack dump", "Call trace:"))
    for i in range(rng.randrange(2, 8)):
        words = " ".join(_hex(rng, 8) for _ in range(rng.choice((4, 8))))
        at = base + 16 * i
        yield rng.choice((f"{at:08x}: {words}", f"{at & 0xFFFF:04x}: {words}"))
    for _ in range(rng.randrange(3)):
        yield f" [<{_hex(rng, 8)}>] frost_task+0x{_hex(rng, 2)}/0x{_hex(rng, 3)}"


def _table(rng: random.Random) -> Iterator[str]:
    """Rows of numbers, words or texts that are printed as dumps are, and are none."""
    n = rng.randrange(2, 9)
    kind = rng.randrange(8)
    if kind == 0:  # numbered rows of words
        mark = rng.choice(("{:02d}: ", "#{:02d}: ", "  {:02x}  ", "{:d}) "))
        yield rng.choice(("mast  air  bud  dew  wind", "gain per channel", "slot  key  crc"))
        for i in range(n):
            yield mark.format(i) + " ".join(_hex(rng, 4) for _ in range(4))
    elif kind == 1:  # a list of coefficients, in as many rows as it needs
        yield f"fir[{16 * n}] = {{"
        for _ in range(n):
            yield "    " + ", ".join(str(rng.randrange(256)) for _ in range(16)) + ","
        yield "};"
    elif kind == 2:  # counts in columns
        for i in range(n):
            yield f"adc{i % 3}: " + "".join(f"{rng.randrange(256):3d}" for _ in range(16))
    elif kind == 3:  # texts with escapes
        for _ in range(n):
            text = "".join(
                rng.choice(("\\x1b[31m", "frost", "\\n", "\\x1b[0m", " ", "\\t")) for _ in range(9)
            )
            yield f'print("{text}")'
    elif kind == 4:  # named values
        for name, size in (("key", 16), ("iv", 12), ("tag", 16), ("salt", 8)):
            yield f"{name:5}{size}: " + bytes.fromhex(_hex(rng, 2 * size)).hex(" ")
    elif kind == 5:  # memory by the word, addresses with an underscore
        base = rng.getrandbits(12) << 4
        for i in range(n):
            words = " ".join(_hex(rng, 8) for _ in range(4))
            yield f"2000_{base + 16 * i:04x}: {words}"
    elif kind == 6:  # a register after another
        for i in range(4 * n):
            yield f"REG[{i}] = 0x{_hex(rng, 8)}"
    else:  # settings, octal and decimal
        for i in range(n):
            yield f"{i:04d}: " + " ".join(f"{rng.randrange(256):03o}" for _ in range(8))


MAKERS: tuple[Maker, ...] = (_boot, _registers, _digest, _addresses, _sensors, _shell)
PREFIXES = ("", "", "[{:12.6f}] ", "{:010.3f}: ", "I ({:.0f}) frost: ")


def chatter(lines: int, seed: int) -> str:
    """That many lines of chatter, or a few more."""
    rng = random.Random(seed)
    out: list[str] = []
    clock = 0.0
    while len(out) < lines:
        maker = rng.choice(MAKERS)
        prefix = rng.choice(PREFIXES)
        block = [maker(rng) for _ in range(rng.choice((1, 1, 2, 3, 12)))]
        if rng.random() < 0.05:
            block = list(_stack(rng))
        elif rng.random() < 0.05:
            block = list(_table(rng))
        for line in block:
            clock += rng.random() / 50
            out.append(prefix.format(clock) + line)
    return "\n".join(out) + "\n"
