"""Frames printed by general tools that were not made for it: each octet comes back, at its place.

The printers are Python's own ``binascii``, ``bytes.hex``, ``struct``, ``array``, ``pprint``,
``textwrap`` and ``json``, and C's ``printf``, compiled by gcc. Where an octet stands is found by a
pattern for the printer's digits, which is itself checked: it must give the frame.
"""

from __future__ import annotations

import array
import binascii
import codecs
import json
import pprint
import re
import shutil
import struct
import subprocess
import textwrap
from ast import literal_eval
from collections.abc import Callable, Iterator
from functools import cache
from pathlib import Path
from typing import NamedTuple

import pytest

import framecheck
from framecheck.run import check_inputs
from tests.outside.recordings import RARE, SUMMED, TAGGED, frames

HEX = re.compile(r"(?<!\w)(?:0x)?((?:[0-9A-Fa-f]{2})+)(?!\w)")
SINGLE = re.compile(r"0x([0-9a-f]{1,2})\b")
DECIMAL = re.compile(r"\d+")
THIRDS = re.compile(r"[ \d]{2}\d")
"""Decimal digits by their columns alone: ``%3u`` puts nothing between three and three."""
OCTAL = re.compile(r"\b[0-7]{3}\b")
LITERAL = re.compile(r"\\x[0-9a-f]{2}|\\.|[^\\]", re.S)
ROW = 16


class Form(NamedTuple):
    """A way to print octets."""

    text: Callable[[bytes], str]
    digits: re.Pattern[str] = HEX
    base: int = 16
    little: bool = False
    unit: int = 1
    """Frames of a multiple of so many octets are printed."""


def rows(octets: bytes, size: int = ROW) -> Iterator[bytes]:
    """The octets of each row."""
    for at in range(0, len(octets), size):
        yield octets[at : at + size]


def words(octets: bytes, code: str, shape: str = "{:0{}x}", offset: str = "") -> str:
    """Words by ``struct``, so many a row as make 16 octets."""
    width = 2 * struct.calcsize(code)
    return "\n".join(
        (offset.format(at * ROW) if offset else "")
        + " ".join(shape.format(word, width) for (word,) in struct.iter_unpack(code, row))
        for at, row in enumerate(rows(octets))
    )


def swapped(octets: bytes, code: str, shape: str) -> str:
    """Words by ``array``, its octets swapped so that they print in the order of the wire."""
    row_of = array.array(code, octets)
    if struct.pack("=H", 1) == b"\1\0":
        row_of.byteswap()
    return "\n".join(
        " ".join(shape.format(w) for w in row_of[at : at + 4]) for at in range(0, len(row_of), 4)
    )


FORMS: dict[str, Form] = {
    "hexlify": Form(lambda o: binascii.hexlify(o).decode()),
    "hexlify, upper case": Form(lambda o: binascii.hexlify(o).decode().upper()),
    "hex in rows, with offsets": Form(
        lambda o: "\n".join(f"{16 * i:04x}  {r.hex(' ')}" for i, r in enumerate(rows(o)))
    ),
    "hex in rows": Form(lambda o: "\n".join(r.hex(" ") for r in rows(o))),
    "repr": Form(repr, LITERAL),
    "repr of a bytearray": Form(lambda o: repr(bytearray(o)), LITERAL),
    "repr in rows": Form(lambda o: "\n".join(repr(r) for r in rows(o)), LITERAL),
    "repr of a list": Form(lambda o: repr(list(o)), DECIMAL, 10),
    "repr of a list of hex": Form(lambda o: repr([hex(x) for x in o]), SINGLE),
    "hex joined by commas": Form(lambda o: ", ".join(hex(x) for x in o), SINGLE),
    "json of a list": Form(lambda o: json.dumps(list(o)), DECIMAL, 10),
    "json of a list, indented": Form(lambda o: json.dumps(list(o), indent=2), DECIMAL, 10),
    "json of hex": Form(lambda o: json.dumps({"frame": o.hex()})),
    "pprint of bytes": Form(pprint.pformat, LITERAL),
    "pprint of a list": Form(lambda o: pprint.pformat(list(o)), DECIMAL, 10),
    "pprint of a list, compact": Form(lambda o: pprint.pformat(list(o), compact=True), DECIMAL, 10),
    "pprint of a list of hex, compact": Form(
        lambda o: pprint.pformat([f"{x:02x}" for x in o], compact=True)
    ),
    "textwrap of pairs": Form(lambda o: textwrap.fill(o.hex(" "), 48)),
    "textwrap of pairs, wide": Form(lambda o: textwrap.fill(o.hex(" "))),
    "textwrap of digits": Form(lambda o: textwrap.fill(o.hex(), 64)),
    "textwrap, indented": Form(lambda o: textwrap.indent(textwrap.fill(o.hex(":"), 48), "    ")),
    "textwrap, quoted": Form(lambda o: textwrap.indent(textwrap.fill(o.hex(" "), 48), "> ")),
    "array of 32 bits, swapped": Form(lambda o: swapped(o, "I", "{:08x}"), unit=4),
    "array of 16 bits, 0x": Form(lambda o: swapped(o, "H", "0x{:04x}"), unit=2),
}
for sep in ":- .,":
    FORMS[f"hexlify by {sep!r}"] = Form(lambda o, s=sep: binascii.hexlify(o, s).decode())
for count in (1, 2, 4, 8, -1, -2, -4, -8):
    FORMS[f"hex by blanks, {count}"] = Form(lambda o, n=count: o.hex(" ", n))
    FORMS[f"hex by blanks in rows, {count}"] = Form(
        lambda o, n=count: "\n".join(r.hex(" ", n) for r in rows(o))
    )
    FORMS[f"hexlify by colons, {count}"] = Form(
        lambda o, n=count: binascii.hexlify(o, ":", n).decode()
    )
for code in (">H", "<H", ">I", "<I", ">Q", "<Q"):
    size = struct.calcsize(code)
    FORMS[f"struct {code}"] = Form(lambda o, c=code: words(o, c), little=code[0] == "<", unit=size)
    FORMS[f"struct {code}, offsets"] = Form(
        lambda o, c=code: words(o, c, offset="{:08x}: "), little=code[0] == "<", unit=size
    )
    FORMS[f"struct {code}, 0x"] = Form(
        lambda o, c=code: words(o, c, "0x{:0{}x}"), little=code[0] == "<", unit=size
    )

SOURCE = r"""
#include <stdio.h>
#include <string.h>
#include <stdint.h>

/* argv[1]: format of one unit; argv[2]: its octets; argv[3]: units a row, or 0 for one line. */
int main(int argc, char **argv)
{
    unsigned char frame[2048];
    size_t size = fread(frame, 1, sizeof frame, stdin), at, unit = argv[2][0] - '0';
    unsigned row = 0, most;
    int swap = argv[2][1] == 'n';
    sscanf(argv[3], "%u", &most);
    for (at = 0; at < size; at += unit) {
        uint32_t word = 0;
        size_t i;
        for (i = 0; i < unit; i++)
            word |= (uint32_t)frame[at + i] << 8 * (swap ? unit - 1 - i : i);
        printf(argv[1], (unsigned)word);
        if (most && ++row % most == 0)
            putchar('\n');
    }
    if (!most || row % most)
        putchar('\n');
    return argc != 4;
}
"""
"""A unit of ``n`` after its size is in network order; else as a little-endian machine loads it."""


@cache
def compiled(folder: Path) -> Path:
    """The printer, by gcc, which has to be there."""
    gcc = shutil.which("gcc")
    assert gcc, "gcc is needed: install it (Debian: apt-get install gcc libc6-dev)"
    program, source = folder / "printer", folder / "printer.c"
    source.write_text(SOURCE)
    subprocess.run([gcc, "-Wall", "-Wno-format-security", "-o", program, source], check=True)
    return program


PRINTF: dict[str, tuple[str, str, int, Form]] = {}
"""Format, unit, units a row."""
for most in (16, 0):
    where = f"{most} a row" if most else "one line"
    for shape in ("%02x ", "%02X ", "%02x", "%02X", "0x%02x,", "0x%02x, ", "%02x:"):
        PRINTF[f"{shape!r}, {where}"] = (shape, "1", most, Form(str))
    PRINTF[f"'%3u', {where}"] = ("%3u", "1", most, Form(str, THIRDS, 10))
    PRINTF[f"'%3u ', {where}"] = ("%3u ", "1", most, Form(str, DECIMAL, 10))
    PRINTF[f"'%u, ', {where}"] = ("%u, ", "1", most, Form(str, DECIMAL, 10))
    PRINTF[f"'%03o ', {where}"] = ("%03o ", "1", most, Form(str, OCTAL, 8))
for order, name in (("n", "network order"), ("m", "machine order")):
    for shape, unit in (("%04x ", 2), ("%08x ", 4), ("%04X ", 2), ("0x%08x ", 4), ("%08x", 4)):
        PRINTF[f"{shape!r}, {name}"] = (
            shape,
            f"{unit}{order}",
            ROW // unit,
            Form(str, little=order == "m", unit=unit),
        )

NOT_YET: tuple[str, ...] = ()
"""Forms of which not every frame comes back. The list can only shrink: a form that does goes."""


def sample(unit: int) -> list[bytes]:
    """Recorded frames of all kinds, of a multiple of so many octets."""
    every = [o for name in (SUMMED, RARE, TAGGED) for o in frames(name)]
    fit = [o for o in every if len(o) % unit == 0 and len(o) <= 400]
    return fit[:: max(1, len(fit) // 12)]


def truth(text: str, form: Form, octets: bytes, first: int) -> list[tuple[int, int, int]]:
    """Line, column and end column of the digits of each octet; they must give the frame."""
    found: list[tuple[int, int, int]] = []
    values = bytearray()
    for number, line in enumerate(text.split("\n"), first):
        if form.digits is LITERAL:
            opening = re.search(r"b(['\"])", line)
            if not opening:
                continue
            start, stop = opening.end(), line.rindex(opening[1])
            for m in LITERAL.finditer(line, start, stop):
                found.append((number, m.start() + 1, m.end() + 1))
                values += literal_eval("b" + opening[1] + m[0] + opening[1])
            continue
        for m in form.digits.finditer(line):
            one = m.re.groups
            digits = m[one].lstrip(" ")
            start = m.end(one) - len(digits)
            if form.digits is not HEX:
                found.append((number, start + 1, start + len(digits) + 1))
                values.append(int(digits, form.base))
                continue
            places = [(number, start + k + 1, start + k + 3) for k in range(0, len(digits), 2)]
            part = bytes.fromhex(digits)
            size = form.unit if form.little else len(part)
            for at in range(0, len(part), size):
                turn = -1 if form.little else 1
                found += places[at : at + size][::turn]
                values += part[at : at + size][::turn]
    assert bytes(values) == octets
    return found


def without_offsets(name: str, text: str) -> str:
    """The text with its offset column blanked out, so that the pattern does not meet it."""
    if "offsets" not in name:
        return text
    return re.sub(r"^[0-9a-f]+:? ", lambda m: " " * len(m[0]), text, flags=re.M)


def missed(name: str, form: Form, printed: Callable[[bytes], str]) -> list[int]:
    """Which frames do not come back octet by octet, each from its own digits."""
    missing = []
    for number, octets in enumerate(sample(form.unit)):
        text = printed(octets).removesuffix("\n")
        expected = truth(without_offsets(name, text), form, octets, 3)
        log = f"orchard: wind machine idle\nlan: received {len(octets)} octets\n{text}\nlan: idle\n"
        dumps = framecheck.read(log)
        if [d.octets for d in dumps] != [octets]:
            missing.append(number)
            continue
        for i, (line, start, stop) in enumerate(expected):
            place = dumps[0].places.at(i)
            assert place is not None
            if form.digits is HEX:
                assert place == (line, start, stop), (name, number, i)
            assert place.line == line
            assert start <= place.column < place.end_column <= stop, (name, number, i)
    return missing


@pytest.mark.parametrize("name", FORMS)
def test_what_a_library_prints_comes_back(name):
    form = FORMS[name]
    missing = missed(name, form, form.text)
    assert bool(missing) == (name in NOT_YET), missing


@pytest.mark.parametrize("name", PRINTF)
def test_what_c_prints_comes_back(name, tmp_path_factory):
    shape, unit, most, form = PRINTF[name]
    program = compiled(tmp_path_factory.getbasetemp())

    def printed(octets: bytes) -> str:
        command = [program, shape, unit, str(most)]
        run = subprocess.run(command, input=octets, capture_output=True, check=True)
        return run.stdout.decode()

    missing = missed(name, form, printed)
    assert bool(missing) == (name in NOT_YET), missing


def test_the_list_names_forms():
    assert len(set(NOT_YET)) == len(NOT_YET)
    assert set(NOT_YET) <= set(FORMS) | set(PRINTF)


ENCODINGS = {
    "UTF-16, least octet first": (codecs.BOM_UTF16_LE, "utf-16-le"),
    "UTF-16, most octet first": (codecs.BOM_UTF16_BE, "utf-16-be"),
    "UTF-16 by Python": (b"", "utf-16"),
    "UTF-16 without a mark, least octet first": (b"", "utf-16-le"),
    "UTF-16 without a mark, most octet first": (b"", "utf-16-be"),
    "UTF-8": (b"", "utf-8"),
    "UTF-8 with a mark": (codecs.BOM_UTF8, "utf-8"),
    "UTF-8 by Python, with a mark": (b"", "utf-8-sig"),
    "Latin-1": (b"", "latin-1"),
}
UNREADABLE: tuple[str, ...] = ()
"""Encodings that are not read yet. The list can only shrink."""


@pytest.mark.parametrize("end", ["\n", "\r\n", "\r"])
@pytest.mark.parametrize("name", ENCODINGS)
def test_a_file_in_any_encoding_gives_the_same_places(name, end, tmp_path):
    mark, encoding = ENCODINGS[name]
    sent = sample(1)[:6]
    lines: list[str] = []
    expected = []
    for octets in sent:
        lines += ["Hänge: 3°, Gärten wässern", f"lan: received {len(octets)} octets"]
        text = "\n".join(f"{16 * i:04x}: {r.hex(' ')}" for i, r in enumerate(rows(octets)))
        blank = re.sub(r"^[0-9a-f]+: ", lambda m: " " * len(m[0]), text, flags=re.M)
        expected.append(truth(blank, Form(str), octets, len(lines) + 1))
        lines += text.split("\n")
    log = end.join([*lines, "größer als 5 µs", ""])
    path = tmp_path / "console.log"
    path.write_bytes(mark + log.encode(encoding))
    run = check_inputs([str(path)])
    records = list(run)
    totals = run.totals()
    same = [r.frame.dump.octets for r in records] == sent and [
        [tuple(r.frame.dump.places.at(i) or ()) for i in range(len(r.frame.dump.octets))]
        for r in records
    ] == expected
    assert same == (name not in UNREADABLE)
    used = totals.inputs[0]
    assert used.error is None
    assert used.digits + used.framing + used.skipped == used.characters
    if same:
        assert used.characters == len(log)
