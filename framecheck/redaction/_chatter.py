"""Lines that are no octets: masked, but for what says length, direction, time, or layout.

The words that stay are common words of a console, and the reader's own; a name is none of them.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Collection, Iterator

from framecheck.reading import _facts

Stretch = tuple[int, int]

_MAC = re.compile(
    r"(?<![0-9A-Za-z])(?:[0-9A-Fa-f]{1,2}[:-]){5}[0-9A-Fa-f]{1,2}(?![0-9A-Za-z])"
    r"|(?<![0-9A-Za-z])(?:[0-9A-Fa-f]{4}[.]){2}[0-9A-Fa-f]{4}(?![0-9A-Za-z])"
)
_IPV4 = re.compile(r"(?<![0-9.])(?:\d{1,3}\.){3}\d{1,3}(?![0-9]|\.\d)")
_IPV6 = re.compile(
    r"(?<![0-9A-Za-z:.])(?:[0-9A-Fa-f]{0,4}:){2,7}(?:[0-9A-Fa-f]{0,4}|(?:\d{1,3}\.){3}\d{1,3})"
    r"(?![0-9A-Za-z:])"
)
_WORD = re.compile(r"[A-Za-z]+")
_CELLS = re.compile(r"(?<![0-9A-Za-z])(?:[0-9A-Fa-f]{2}[ :,-]){2,}[0-9A-Fa-f]{2}(?![0-9A-Za-z])")
_LONG = re.compile(r"(?<![0-9A-Za-z])(?:0[xX])?[0-9A-Fa-f]{8,}(?![0-9A-Za-z])")
_SAYING = (
    _facts._RECEIVED,
    _facts._SENT,
    _facts._IN,
    _facts._OUT,
    _facts._FRAME,
    _facts._OTHER,
    _facts._LENGTH,
    _facts._STAMP,
)
PLAIN = frozenset(
    [
        "a",
        "add",
        "address",
        "alarm",
        "an",
        "and",
        "are",
        "array",
        "arrived",
        "as",
        "ascii",
        "at",
        "back",
        "bad",
        "begin",
        "begins",
        "big",
        "bin",
        "binary",
        "bit",
        "bits",
        "block",
        "board",
        "boot",
        "buf",
        "buffer",
        "buffers",
        "bus",
        "but",
        "by",
        "byte",
        "bytes",
        "call",
        "capture",
        "char",
        "checksum",
        "checked",
        "chip",
        "clock",
        "close",
        "closed",
        "closed",
        "code",
        "complete",
        "const",
        "copy",
        "core",
        "cpu",
        "crc",
        "cycles",
        "d",
        "data",
        "db",
        "debug",
        "dec",
        "decimal",
        "default",
        "define",
        "descriptor",
        "destination",
        "dev",
        "device",
        "dhcp",
        "dma",
        "done",
        "down",
        "driver",
        "drop",
        "dropped",
        "dst",
        "dump",
        "duplex",
        "dword",
        "e",
        "empty",
        "enable",
        "enabled",
        "end",
        "ends",
        "eof",
        "err",
        "error",
        "errors",
        "eth",
        "ether",
        "ethernet",
        "ethertype",
        "event",
        "every",
        "exit",
        "fail",
        "failed",
        "fcs",
        "field",
        "fill",
        "filled",
        "first",
        "flags",
        "for",
        "found",
        "frame",
        "frames",
        "free",
        "from",
        "full",
        "gateway",
        "got",
        "half",
        "hardware",
        "head",
        "header",
        "hex",
        "hi",
        "hw",
        "i",
        "id",
        "idx",
        "if",
        "ignored",
        "in",
        "index",
        "info",
        "init",
        "input",
        "int",
        "interface",
        "interrupt",
        "into",
        "invalid",
        "ip",
        "ipv",
        "is",
        "isr",
        "it",
        "its",
        "kernel",
        "last",
        "layer",
        "left",
        "len",
        "length",
        "line",
        "link",
        "lines",
        "little",
        "lo",
        "log",
        "loop",
        "lost",
        "mac",
        "main",
        "mask",
        "max",
        "mbit",
        "mem",
        "memory",
        "min",
        "missing",
        "mode",
        "ms",
        "mtu",
        "name",
        "net",
        "network",
        "new",
        "next",
        "no",
        "none",
        "not",
        "null",
        "number",
        "octet",
        "octets",
        "of",
        "off",
        "offset",
        "ok",
        "on",
        "one",
        "open",
        "or",
        "order",
        "out",
        "output",
        "packet",
        "packets",
        "pad",
        "padding",
        "part",
        "pattern",
        "payload",
        "phy",
        "ping",
        "plain",
        "port",
        "probe",
        "proto",
        "protocol",
        "queue",
        "ready",
        "read",
        "reader",
        "received",
        "repeat",
        "reply",
        "request",
        "reset",
        "resp",
        "retry",
        "rest",
        "ring",
        "row",
        "rows",
        "rx",
        "same",
        "seconds",
        "sent",
        "serial",
        "size",
        "slot",
        "small",
        "source",
        "speed",
        "src",
        "start",
        "started",
        "state",
        "static",
        "status",
        "stop",
        "string",
        "struct",
        "sum",
        "tag",
        "task",
        "tcp",
        "test",
        "the",
        "then",
        "this",
        "time",
        "timeout",
        "to",
        "top",
        "total",
        "trace",
        "transfer",
        "tx",
        "type",
        "udp",
        "uint",
        "unknown",
        "unsigned",
        "up",
        "usb",
        "user",
        "value",
        "version",
        "void",
        "vlan",
        "w",
        "warn",
        "warning",
        "was",
        "word",
        "words",
        "wrong",
        "x",
        "xx",
        "zero",
    ]
)
"""Words that name nobody (common practice, no source)."""


def addresses(text: str) -> Iterator[tuple[int, int, str]]:
    """Stretches that look like addresses, with their role; they never overlap."""
    taken = 0
    found = [
        (m.start(), m.end(), role)
        for pattern, role in ((_MAC, "mac"), (_IPV6, "ipv6"), (_IPV4, "ipv4"))
        for m in pattern.finditer(text)
        if role != "ipv6" or _is_ipv6(m[0])
    ]
    for start, stop, role in sorted(found, key=lambda f: (f[0], -f[1])):
        if start >= taken:
            yield start, stop, role
            taken = stop


def _is_ipv6(text: str) -> bool:
    groups = [g for g in text.split(":") if g]
    return len(groups) > 1 and ("::" in text or text.count(":") == 7)


def masked(text: str, keep: Collection[Stretch], lengths: Collection[int]) -> str:
    """The text with letters as ``x`` and digits as ``0``, as long as before.

    ``keep``: stretches that stay; ``lengths``: numbers that announce the length of a dump.
    """
    stays = bytearray(len(text))
    for pattern in _SAYING:
        for m in pattern.finditer(text[:400]):
            stays[m.start() : m.end()] = b"\1" * (m.end() - m.start())
    for m in _facts._NUMBER_ALONE.finditer(text[:400]):
        number = m[m.lastindex or 0]
        if int(number) in lengths:
            start, stop = m.span(m.lastindex or 0)
            stays[start:stop] = b"\1" * (stop - start)
    for m in _WORD.finditer(text):
        if m[0].lower() in PLAIN:
            stays[m.start() : m.end()] = b"\1" * (m.end() - m.start())
    for start, stop, _ in addresses(text):
        stays[start:stop] = bytes(stop - start)
    for m in _LONG.finditer(text):
        if not text[m.start() : m.start() + 2].lower() == "0x" or m.end() - m.start() > 6:
            stays[m.start() : m.end()] = bytes(m.end() - m.start())
    for start, stop in keep:
        stays[start:stop] = b"\1" * (stop - start)
    out = [c if kept else _masked(c) for c, kept in zip(text, stays, strict=True)]
    for m in _CELLS.finditer(text):
        # Octets that the reader could not place: they still look like some.
        for at in range(m.start(), m.end()):
            if not stays[at] and text[at] in "abcdefABCDEF":
                out[at] = "A" if text[at].isupper() else "a"
    return "".join(out)


def _masked(c: str) -> str:
    if c.isascii():
        return "0" if c.isdigit() else "x" if c.isalpha() else c
    return "x" if c.isalnum() else c


def exchanged(
    text: str, address: Callable[[str, bytes], bytes], words: Callable[[str], str]
) -> str:
    """Chatter that stays readable: addresses and known names by their stand-ins.

    Long hex numbers are masked. The text may come out of another length.
    """
    out, at = [], 0
    for start, stop, role in addresses(text):
        out += [words(_numbers(text[at:start])), _address(text[start:stop], role, address)]
        at = stop
    return "".join((*out, words(_numbers(text[at:]))))


def _numbers(text: str) -> str:
    text = _CELLS.sub(lambda m: re.sub(r"[0-9A-Fa-f]", "0", m[0]), text)
    return _LONG.sub(lambda m: re.sub(r"(?<!^0)[0-9A-Fa-f]", "0", m[0]), text)


def _address(shown: str, role: str, address: Callable[[str, bytes], bytes]) -> str:
    import ipaddress

    if role == "mac":
        mark = "." if "." in shown else shown.rstrip("0123456789abcdefABCDEF")[-1]
        parts = shown.split(mark)
        width = 4 if mark == "." else 2
        image = address(role, bytes.fromhex("".join(p.zfill(width) for p in parts))).hex()
        text = mark.join(image[i : i + width] for i in range(0, 12, width))
        return text.upper() if shown != shown.lower() else text
    try:
        value = ipaddress.ip_address(shown).packed
    except ValueError:
        return re.sub(r"[0-9A-Fa-f]", "0", shown)
    return str(ipaddress.ip_address(address(role, value)))
