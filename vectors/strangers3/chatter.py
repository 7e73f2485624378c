"""Ten logs full of hexadecimal in which no frame is printed."""

from __future__ import annotations

import hashlib
import zlib

from _page import Page, characters, rows

_REGISTERS = (
    "CTRL",
    "STAT",
    "RXDESC",
    "TXDESC",
    "MACLO",
    "MACHI",
    "IRQEN",
    "IRQST",
    "MDIO",
    "DMACFG",
)


def _noise(name: str, size: int) -> bytes:
    """Octets that look random and are the same each time."""
    return hashlib.shake_128(name.encode()).digest(size)


def registers() -> Page:
    """A fault handler that prints the processor and the interface."""
    page = Page("registers")
    page.say("frost-ctl 4.2: stopped by a bus fault", "")
    values = _noise("registers", 4 * 26)
    for first in range(0, 16, 4):
        words = (f"r{n:<2d} {values[4 * n : 4 * n + 4].hex()}" for n in range(first, first + 4))
        page.say("  " + "  ".join(words))
    page.say("  pc  0800c1f4  lr  0800a04b  sr  61000013", "", "interface at 40028000:")
    for n, name in enumerate(_REGISTERS, 16):
        page.say(f"  {name:8s}+{4 * n - 64:02x} = 0x{values[4 * n : 4 * n + 4].hex()}")
    page.say("", "stack:")
    for start, stop in rows(_noise("stack", 96), 16):
        words = _noise("stack", 96)[start:stop]
        page.say(f"  2001ff{start:02x}: " + " ".join(x.hex() for x in _fours(words)))
    page.say("restart in 3 s")
    return page


def _fours(octets: bytes) -> list[bytes]:
    return [octets[start:stop] for start, stop in rows(octets, 4)]


def digests() -> Page:
    """Digests of the files on the card."""
    page = Page("digests")
    page.say("checking the card before the night")
    for name in "boot.img", "frost.img", "pages.tar", "curves.bin", "fans.conf", "probes.conf":
        octets = _noise(name, 4000)
        page.say(f"{hashlib.sha256(octets).hexdigest()}  {name}")
        page.say(f"    crc32 {zlib.crc32(octets):08x}  size 0x{len(octets):x}  good")
    long = hashlib.sha512(b"all").hexdigest()
    page.say("over all files:", long[:64], long[64:], "card is sound")
    return page


def keys() -> Page:
    """Fingerprints, a serial number and a key exchange."""
    page = Page("keys")
    page.say("trust store: 3 entries")
    for name in "orchard root", "valley server", "frost-7":
        digest = hashlib.sha256(name.encode()).digest()
        page.say(f"  {name}", f"    serial  {digest[:9].hex(':')}")
        page.say(f"    print   {digest.hex(':').upper()}")
    page.say("exchange with 198.51.100.20:", f"  ours    {_noise('ours', 32).hex()}")
    page.say(f"  theirs  {_noise('theirs', 32).hex()}", f"  nonce   {_noise('nonce', 12).hex(' ')}")
    point = _noise("point", 65)
    page.say("  point   04:", *("    " + point[a:b].hex(":") for a, b in rows(point, 15)))
    page.say("session 5f0c61d2 open")
    return page


def memory_map() -> Page:
    """Where everything lies, from the linker and at run time."""
    page = Page("memory map")
    page.say("region     from       to         size      use")
    at = 0x0800_0000
    for name, size in (
        ("boot", 0x4000),
        ("settings", 0x1000),
        ("frost-ctl", 0x2C800),
        ("pages", 0x9A00),
        ("curves", 0x6200),
        ("spare", 0x3E00),
    ):
        page.say(f"{name:10s} 0x{at:08x} 0x{at + size - 1:08x} 0x{size:06x}  flash")
        at += size
    page.say("", "symbols by address:")
    for n, name in enumerate(("main", "take_frame", "read_probe", "set_fan", "arm", "say", "idle")):
        page.say(f"  {0x0800_5000 + n * 0x1B4:08x} T {name:12s} {0x1B4 - n:x}")
    page.say("", "heap 20004000..2000bfff, 5a80 free, largest 1f40", "stacks filled with a5a5a5a5:")
    for n, name in enumerate(("ctl", "emac", "fan", "idle")):
        page.say(f"  {name:5s} {0x2000C000 + n * 0x400:08x}  used {0x1A0 + n * 0x2C:03x} of 400")
    return page


def probes() -> Page:
    """Raw words of the thermometers, with their own small checksums."""
    page = Page("sensor words")
    page.say("one-wire search: 4 devices")
    for n in range(4):
        page.say(f"  rom {n}: 28 " + _noise(f"rom{n}", 7).hex(" "))
    for turn in range(8):
        page.say(f"turn {turn}")
        for n in range(4):
            scratch = bytes((0xE0 + turn - n, 0xFF, 0x4B, 0x46, 0x7F, 0xFF, 0x0C, 0x10))
            check = zlib.crc32(scratch) & 0xFF
            page.say(f"  probe {n}: {scratch.hex(' ')} {check:02x}  = {-2 + (turn - n) / 16:.2f} C")
        page.say(f"  humidity 0x{0x8E10 + turn * 3:04X}  leaf 0x{0x0311 - turn:04X}")
    page.say("wind: 01 04 02 00 1c b8 f9", "wind: 01 04 02 00 1f f8 f8")
    return page


def addresses() -> Page:
    """Lists of hardware addresses and of the ports they are behind."""
    page = Page("hardware addresses")
    page.say("switch of the packing house: 24 addresses", "vlan  address            port  age")
    for n in range(24):
        page.say(
            f"{100 + n % 3:4d}  00:00:5e:00:53:{n * 7 + 1:02x}  {n % 8 + 1:4d}  {n * 11 % 300:3d}"
        )
    page.say("", "neighbours of frost-7:")
    for n in range(6):
        page.say(f"  192.0.2.{n * 9 + 1:<4d} is at 00-00-5E-00-53-{n * 7 + 1:02X}  good")
    for n in range(4):
        page.say(f"  2001:db8::{n + 1:x}  is at 0000.5e00.53{n * 7 + 1:02x}  old")
    page.say("groups: 01:00:5e:00:00:01 01:00:5e:00:00:fb 33:33:00:00:00:01 33:33:ff:00:53:07")
    return page


def update() -> Page:
    """A firmware update, block by block."""
    page = Page("firmware update")
    image = _noise("image", 24 * 512)
    page.say(
        "update 4.2 -> 4.3, 24 blocks of 0x200, to 0x08010000", "erase 0x08010000 .. 0x08012fff ok"
    )
    for n in range(24):
        block = image[n * 512 : (n + 1) * 512]
        page.say(
            f"block {n:02x}/18  at 0x{0x08010000 + n * 512:08x}  crc {zlib.crc32(block):08x}"
            f"  head {block[:8].hex(' ')}  ok  {(n + 1) * 100 // 24:3d} %"
        )
    page.say(f"image crc {zlib.crc32(image):08x}, wanted {zlib.crc32(image):08x}")
    page.say(f"signature {_noise('signature', 64).hex()}", "restart into slot b")
    return page


def settings_page() -> Page:
    """The settings memory in an ordinary dump: text, levels and unused octets."""
    page = Page("settings memory")
    text = b"FRST\x04\x02name=frost-7\0row=7\0level=-2\0hold=900\0fan.a=on\0fan.b=off\0"
    octets = (text + _noise("levels", 16)).ljust(160, b"\xff")
    page.say("settings memory, page 0:")
    for start, stop in rows(octets, 16):
        row = octets[start:stop]
        page.say(f"  {start:04x}: {row.hex(' ')}  {characters(row)}")
    page.say("settings are whole (sum 0x5b12)", "bus scan, found devices by address:")
    page.say("     " + " ".join(f" {n:x}" for n in range(16)))
    for high in range(8):
        cells = (
            f"{high * 16 + n:02x}" if high * 16 + n in (0x48, 0x50, 0x68) else "--"
            for n in range(16)
        )
        page.say(f"{high:x}0:  " + " ".join(cells))
    return page


def tables() -> Page:
    """Tables of constants and of a self-test."""
    page = Page("tables")
    page.say("self-test of the sum unit, table by 0xEDB88320:")
    for start in range(0, 64, 4):
        page.say("    " + ", ".join(f"0x{_step(n):08X}" for n in range(start, start + 4)) + ",")
    page.say("font row for the display (letter F, R, O, S, T):")
    for name, bits in zip("FROST", _fours(_noise("font", 20)), strict=True):
        page.say(f"    {{ 0x7E, {', '.join(f'0x{x:02X}' for x in bits)} }}, // {name}")
    page.say("random numbers:", *("    " + _noise(f"r{n}", 20).hex(" ") for n in range(6)))
    page.say("self-test passed")
    return page


def _step(value: int) -> int:
    """One entry of the table of the 32-bit sum of IEEE 802.3, least bit first."""
    for _ in range(8):
        value = value >> 1 ^ (0xEDB88320 if value & 1 else 0)
    return value


def everyday() -> Page:
    """An ordinary night: identifiers, colours, versions, traces, field-bus messages."""
    page = Page("an ordinary night")
    for hour in range(6):
        word = _noise(f"hour{hour}", 24)
        page.say(f"0{hour}:00 job {word[:4].hex()}-{word[4:6].hex()}-{word[6:8].hex()} starts")
        page.say(f"0{hour}:00 build 9f3ac1d, tree {word[8:18].hex()}, clean")
        page.say(f"0{hour}:07 bus 0x1A{hour}  8  {word[16:24].hex(' ').upper()}  ack")
        page.say(f"0{hour}:11 fan unit 03 06 00 0{hour} 00 64 {word[0]:02x} {word[1]:02x} -> same")
        page.say(f"0{hour}:20 lamp #{word[2:5].hex()}, then #{word[5:8].hex()}")
        page.say(f"0{hour}:31 trace 0800c1f4 < 0800a04a < 080051b4 < 08000{hour}19")
        page.say(f"0{hour}:40 tag {word.hex()[:32]} seen at the gate, door {word[3]:#04x}")
        page.say(f"0{hour}:52 voltage 0x{0xC31 + hour:03x} of 0xfff, pattern dead beef cafe kept")
    return page


CHATTER = (
    registers,
    digests,
    keys,
    memory_map,
    probes,
    addresses,
    update,
    settings_page,
    tables,
    everyday,
)
