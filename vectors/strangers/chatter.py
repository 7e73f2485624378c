"""Ten logs of an orchard's frost alarm that are full of hexadecimal digits and print no frame."""

from __future__ import annotations

from collections.abc import Callable

from _log import Log, gutter

TALKS: list[tuple[str, Callable[[Log], None]]] = []


def talk(name: str) -> Callable[[Callable[[Log], None]], Callable[[Log], None]]:
    """Enter a log under the name of what it is full of."""

    def enter(function: Callable[[Log], None]) -> Callable[[Log], None]:
        TALKS.append((name, function))
        return function

    return enter


def _octets(log: Log, count: int) -> bytes:
    return bytes(log.random.getrandbits(8) for _ in range(count))


def _mac(log: Log, gap: str = ":") -> str:
    return bytes((0, 0, 0x5E, 0, 0x53, log.n(0, 255))).hex(gap)


@talk("registers")
def registers(log: Log) -> None:
    for k in range(14):
        log.line(f"{log.tick():8} irq {log.n(16, 90)} in task frost, count {k}")
        for r in range(0, 13, 4):
            log.line("   ".join(f"r{i:<2}={log.x(8)}" for i in range(r, r + 4)))
        log.line(f"sp={log.x(8)} lr={log.x(8)} pc={log.x(8)} psr={log.x(8)}")
        log.line(*(f"  mac+{a:02x}: {log.x(8)} {log.x(8)}" for a in range(0, 64, 8)))
        log.line(f"  phy {log.n(0, 1)}: " + " ".join(log.x(4) for _ in range(16)), "")


@talk("stacks")
def stacks(log: Log) -> None:
    for _ in range(6):
        base = 0x20000000 + 16 * log.n(0, 4000)
        log.line(f"!! task heater stopped at {log.x(8)}, cause {log.x(2)}", "stack:")
        for a in range(base, base + 192, 16):
            words = " ".join(
                f"{log.random.choice((0, 0x08010000, base)) + log.n(0, 4095):08x}" for _ in "1234"
            )
            log.line(f"  {a:08x}: {words}")
        log.line("calls:")
        for depth in range(8):
            log.line(
                f"  #{depth} 0x{0x08010000 + log.n(0, 65535):08x} in frost_{log.x(2)}+0x{log.x(2)}"
            )
        log.line(f"restart in {log.n(1, 5)} s", "")


@talk("memory-maps")
def memory_maps(log: Log) -> None:
    for _ in range(8):
        start = 0x08000000
        log.line(f"<{log.tick()}> regions")
        for k in range(14):
            stop = start + 0x400 * log.n(1, 64)
            may = log.random.choice(("rwx", "r-x", "rw-"))
            log.line(f"  {start:08x}-{stop - 1:08x} {may} {k:02x} {log.x(4)}")
            start = stop
        log.line(*(f"  heap {log.x(8)} {log.n(16, 900):5} free next {log.x(8)}" for _ in range(6)))


@talk("hashes-and-keys")
def hashes_and_keys(log: Log) -> None:
    for k in range(22):
        log.line(f"{log.wall()} update: chunk {k} of 22, digest {log.x(64)}")
        log.line(
            f"{log.wall()} update: id {log.x(8)}-{log.x(4)}-4{log.x(3)}-a{log.x(3)}-{log.x(12)}"
        )
        log.line(f"{log.wall()} vault: key {k} " + _octets(log, 32).hex(" "))
        log.line(f"{log.wall()} vault: print " + _octets(log, 20).hex(":"))
        log.line(f"{log.wall()} vault: nonce {_octets(log, 12).hex()} tag {_octets(log, 16).hex()}")
    log.line("key block:")
    log.line(*(f"  {_octets(log, 16).hex(':')}" for _ in range(16)))


@talk("address-lists")
def address_lists(log: Log) -> None:
    for _ in range(9):
        log.line(f"{log.tick()} neighbours:")
        log.line(
            *(f"  192.0.2.{log.n(1, 254):<4} {_mac(log)}  {log.n(1, 900)} s" for _ in range(7))
        )
        log.line(f"{log.tick()} filter table:")
        log.line(*(f"  {k}: {_mac(log, ' ')}" for k in range(8)))
        log.line(f"{log.tick()} own:", f"  fe80::200:5eff:fe00:53{log.x(2)}")
        log.line(*(f"  2001:db8:{log.x(4)}:{log.x(4)}::{log.x(4)}/64" for _ in range(4)))
        log.line(f"  {_mac(log, '-')} -> {_mac(log, '-')} type 0800 passed {log.n(1, 9999)}")


@talk("eeprom")
def eeprom(log: Log) -> None:
    settings = b"FROST3\0\0" + _octets(log, 24) + b"mast=5;low=-1.5;row=12;" + b"\xff" * 105
    for k in range(7):
        log.line(f"eeprom page {k}, serial {log.x(16)}")
        page = settings[k * 5 :] + _octets(log, k * 5)
        for at in range(0, len(page), 8):
            part = page[at : at + 8]
            log.line(f"  {at:02x}: {part.hex(' ')}  {gutter(part)}")
        log.line(
            f"sum {log.x(4)} ok, wear {log.n(1, 900)}", f"{log.n(0, 127):02x}:{log.x(2)} written"
        )


@talk("sensor-tables")
def sensor_tables(log: Log) -> None:
    for _ in range(24):
        log.line(f"@{log.tick()} bus scan: " + " ".join(log.x(2) for _ in range(log.n(3, 9))))
        log.line("mast  air  bud  dew  wind")
        for mast in range(1, 6):
            log.line(f"  {mast:02x}  {log.x(4)} {log.x(4)} {log.x(4)} {log.x(4)}")
        log.line(
            f"one-wire 28 {_octets(log, 6).hex(' ')} {log.x(2)} pad {_octets(log, 9).hex(' ')}"
        )


@talk("partitions")
def partitions(log: Log) -> None:
    for k in range(9):
        log.line(
            f"[{log.tick()}] table {k} at 0x{0x8000 + k * 0x1000:06x}, sum {_octets(log, 16).hex()}"
        )
        for name in ("loader", "slot-a", "slot-b", "log", "keys", "fonts", "spare"):
            log.line(f"  {name:8} 0x{log.x(6)} 0x{log.x(6)} {log.x(2)} {log.x(2)} {log.x(8)}")
        raw = b"PT" + bytes((k, 7)) + b"loader\0\0" + _octets(log, 20) + b"\0" * 32
        for at in range(0, len(raw), 16):
            log.line(f"  raw {at:03x} " + raw[at : at + 16].hex(" "))


@talk("flash-progress")
def flash_progress(log: Log) -> None:
    for at in range(0, 0x2A000, 0x400):
        said = f"write {at:06x} {100 * at // 0x2A000:3}% "
        log.line(said + f"crc {log.x(8)} took {log.n(3, 40)} ms")
        if log.n(0, 5) == 0:
            log.line(f"retry {at:06x}: read {log.x(8)} wanted {log.x(8)}")
        if log.n(0, 7) == 0:
            log.line(f"{log.wall()} mast {log.n(1, 9)} {log.n(-50, 50) / 10} C, adc {log.x(3)}")


@talk("image-records")
def image_records(log: Log) -> None:
    log.line("send image, end with a dot")
    for at in range(0, 0xE00, 0x14):
        code = bytes(
            log.random.choice((0x00, 0x20, 0x46, 0x47, 0x68, 0xBD, 0xB5, 0xF0, log.n(0, 255)))
            for _ in range(20)
        )
        log.line(f"R{at:06X}/{code.hex().upper()}/{sum(code) & 0xFF:02X}")
        if at % 0x190 == 0:
            log.line(f"? at {at:06X} heap {log.x(4)} stack {log.x(4)}")
    log.line(".", f"image {log.x(8)} taken", "")
