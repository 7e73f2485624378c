"""Lines that are no octets: masked, but for what says length, direction, time, or layout.

The words that stay are common words of a console, and the reader's own; a name is none of them.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Collection, Iterator, Sequence
from itertools import pairwise

from framecheck.reading import _facts
from framecheck.redaction._marks import fixed as marks
from framecheck.redaction._marks import veiled

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
_WORD = re.compile(r"(?<![0-9A-Za-z])[A-Fa-f]+(?![0-9A-Za-z])|[A-Za-z]*[G-Zg-z][A-Za-z]*")
_PAIR = re.compile(r"[0-9A-Fa-f]{2}")
_FEWEST_PAIRS = 2
_CELLS = re.compile(
    r"(?<![0-9A-Za-z])(?:(?:[0-9A-Fa-f]{2}){1,8}[ :,.-]{1,3}){2,}(?:[0-9A-Fa-f]{2}){1,8}"
    r"(?![0-9A-Za-z])"
)
"""Octets that are no dump's: a table's, a key's, or rows that the reader could not place."""
_SUFFIXED = re.compile(r"(?<![0-9A-Za-z_])0?[0-9A-Fa-f]{2}(?=[hH](?![0-9A-Za-z_]))")
"""The same with the h that some assemblers put behind each."""
_OFFSET = re.compile(r"(?<![0-9A-Za-z])((?:0[xX])?[0-9A-Fa-f]{1,8})[^0-9A-Za-z]{1,4}$")
_STAMP = re.compile(r"[^0-9A-Za-z]{0,3}[A-Za-z@]?(?=[0-9A-Fa-f]*[0-9])[0-9A-Fa-f]{1,10}\b")
_SIZE = re.compile(r"(?<![0-9A-Za-z.:])[0-9]{2,5}(?![0-9A-Za-z:]|\.[0-9])")
_RULER = re.compile(r"[^0-9A-Za-z]*((?:[0-9A-Fa-f]{1,2}[^0-9A-Za-z]+){7,}[0-9A-Fa-f]{1,2})\W*")
MASK = "z"
"""No letter that digits are written with, nor the ``x`` of hex."""
_FEWEST_STAMPS = 4
_LONG = re.compile(r"(?<![0-9A-Za-z])(?:0[xX])?[0-9A-Fa-f]{8,}(?![0-9A-Za-z])")
_SAYING = (
    _facts._RECEIVED,
    _facts._SENT,
    _facts._IN,
    _facts._OUT,
    _facts._FRAME,
    _facts._OTHER,
    _facts._LENGTH,
    _facts._RANGE,
)
PLAIN = frozenset(
    re.findall(
        "[a-z]+",
        "a add address alarm an and are array arrived as ascii at back bad begin begins big bin "
        "binary bit bits block board boot buf buffer buffers bus but by byte bytes call capture "
        "char checked checksum chip clock close closed code complete const copy core cpu crc "
        "cycles d data db debug dec decimal default define descriptor destination dev device "
        "dhcp dma done down driver drop dropped dst dump duplex dword e empty enable enabled "
        "end ends eof err error errors eth ether ethernet ethertype event every exit fail "
        "failed fcs field fill filled first flags follow follows for found frame frames free "
        "from full gateway got half hardware head header hex hi hw i id idx if ignored in index "
        "info init input int interface interrupt into invalid ip ipv is isr it its kernel last "
        "layer left len length line lines link little lo log loop lost mac main mask max mbit "
        "mem memory min missing mode ms mtu name net network new next no none not null number "
        "octet octets of off offset ok on one open or order out output packet packets pad "
        "padding page part pattern payload peek phy ping plain port probe proto protocol queue "
        "raw read reader ready received repeat reply request reset resp rest retry ring row "
        "rows rx same seconds sent serial show size slot small source speed src start started "
        "state static status stop string struct sum tag task tcp test the then this time "
        "timeout to top total trace transfer tx type udp uint unknown unsigned up usb user "
        "value version vlan void w warn warning was word words wrong x xx zero ",
    )
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


class Masker:
    """Masks the lines of one log."""

    def __init__(
        self,
        lines: Sequence[str],
        lengths: Collection[int],
        address: Callable[[str, bytes], bytes],
        octets: Callable[[bytes], bytes],
    ) -> None:
        """``lengths``: numbers that announce the length of a dump; ``octets``: exchanges some."""
        self._lengths = lengths
        self._address = address
        self._octets = octets
        full = [line for line in lines if line.strip()]
        stamped = sum(_STAMP.match(line) is not None for line in full)
        self._stamped = stamped >= _FEWEST_STAMPS and 2 * stamped > len(full)

    def masked(self, text: str, keep: Collection[Stretch], near: bool) -> list[str]:
        """The text, character by character: letters as ``z``, digits as ``0``.

        ``keep``: stretches that stay; ``near``: right in front of a dump. Addresses come out as
        their stand-ins, octets that belong to no dump exchanged: at their first character, the
        others are empty.
        """
        if ruler(text):
            return list(text)
        fixed = bytearray(len(text))
        for stretch in (*keep, *marks(text)):
            _mark(fixed, stretch)
        printed, text = text, veiled(text)
        found = [(a, b, _address(text[a:b], r, self._address)) for a, b, r in addresses(text)]
        stamps = bytearray(len(text))
        for stretch in self._stamps(text):
            _mark(stamps, stretch)
        for m in _SUFFIXED.finditer(text):
            found.append(
                (m.end() - 2, m.end(), _exchanged(text[m.end() - 2 : m.end()], self._octets))
            )
            _mark(stamps, (m.start(), m.end() + 1))
        for pattern in (_CELLS, _LONG):
            for m in pattern.finditer(text):
                start, stop = m.span()
                while start < stop and stamps[start]:
                    start += 1
                cut = start > m.start()
                if start == stop or (cut and len(_PAIR.findall(text, start, stop)) < _FEWEST_PAIRS):
                    continue  # a number behind a time
                offset = _OFFSET.search(text, 0, start) if pattern is _CELLS else None
                if offset:
                    _mark(fixed, offset.span(1))
                found.append((start, stop, _exchanged(text[start:stop], self._octets)))
        stays = stamps
        for stretch in self._saying(text, near):
            _mark(stays, stretch)
        out = [c if s or f else _masked(c) for c, s, f in zip(printed, stays, fixed, strict=True)]
        at = 0
        for start, stop, shown in sorted(found):
            if start >= at and not any(fixed[start:stop]):
                at = stop
                out[start:stop] = [shown, *([""] * (stop - start - 1))]
        return out

    def readable(self, line: str, start: int, stop: int, words: Callable[[str], str]) -> str:
        """A stretch of a line that stays, but for addresses, octets and names in it.

        ``words``: exchanges names. The text may come out of another length.
        """

        def numbers(part: str) -> str:
            return words(_LONG.sub(lambda m: _exchanged(m[0], self._octets), part))

        def plain(part: str) -> str:
            out, at = [], 0
            for m in _CELLS.finditer(part):
                offset = _OFFSET.search(part, at, m.start())
                stays = offset.start(1) if offset else m.start()
                out += [numbers(part[at:stays]), part[stays : m.start()]]
                out.append(_exchanged(m[0], self._octets))
                at = m.end()
            return "".join((*out, numbers(part[at:])))

        text = line[start:stop]
        told = [(a, b, _address(text[a:b], r, self._address)) for a, b, r in addresses(text)]
        for first, last in self._stamps(line):
            a, b = first - start, last - start
            if a >= 0 and b <= len(text) and not any(c < b and d > a for c, d, _ in told):
                told.append((a, b, text[a:b]))
        out, at = [], 0
        for a, b, shown in sorted(told):
            if a >= at:
                out += [plain(text[at:a]), shown]
                at = b
        return "".join((*out, plain(text[at:])))

    def _stamps(self, text: str) -> Iterator[Stretch]:
        """Where times are told."""
        for m in _facts._STAMP.finditer(text[:400]):
            yield m.span()
        stamp = _STAMP.match(text) if self._stamped else None
        if stamp:
            yield stamp.span()

    def _saying(self, text: str, near: bool) -> Iterator[Stretch]:
        """Words and numbers that say something of frames."""
        for pattern in _SAYING:
            for m in pattern.finditer(text[:400]):
                yield m.span()
        for m in _facts._NUMBER_ALONE.finditer(text[:400]):
            if int(m[m.lastindex or 0]) in self._lengths:
                yield m.span()
        for m in _WORD.finditer(text):
            if m[0].lower() in PLAIN:
                yield m.span()
        if near:
            for m in _SIZE.finditer(text):
                yield m.span()


def ruler(text: str) -> bool:
    """Whether a line only counts columns: 0 1 2 3 …"""
    m = _RULER.fullmatch(text)
    if not m:
        return False
    numbers = [int(n, 16) for n in re.findall(r"[0-9A-Fa-f]+", m[1])]
    return all(b - a == 1 for a, b in pairwise(numbers)) and numbers[0] in (0, 1)


def _mark(stays: bytearray, stretch: Stretch) -> None:
    start, stop = stretch
    stays[start:stop] = b"\1" * (stop - start)


def _masked(c: str) -> str:
    if c.isascii():
        return "0" if c.isdigit() else MASK if c.isalpha() else c
    return MASK if c.isalnum() else c


def _exchanged(shown: str, octets: Callable[[bytes], bytes]) -> str:
    """Hex digits of octets exchanged, their case and what stands between them kept."""
    digits = [m.span() for m in re.finditer(r"(?<![0-9A-Fa-f])0[xX]|[0-9A-Fa-f]{2}", shown)]
    digits = [(a, b) for a, b in digits if shown[a:b] not in ("0x", "0X")]
    gaps = re.findall(r"[^0-9A-Fa-fxX]+", shown)
    groups = re.findall(r"[0-9A-Fa-f]+", shown)
    if len(gaps) > 1 and (gaps[0] != gaps[1] or len(groups[0]) != len(groups[1])):
        digits = [(a, b) for a, b in digits if a > shown.index(gaps[0])]  # an offset in front
    image = octets(bytes(int(shown[a:b], 16) for a, b in digits))
    out = list(shown)
    for (a, b), octet in zip(digits, image, strict=True):
        text = f"{octet:02x}"
        out[a:b] = text.upper() if shown != shown.lower() else text
    return "".join(out)


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
