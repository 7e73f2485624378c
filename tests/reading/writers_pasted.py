"""More layouts that people paste: of monitors, debuggers, languages, tables, loggers and mails."""

from __future__ import annotations

import binascii
import json
import pprint

from tests.reading.writers import Page, Writer, rows, writer

PASTED: dict[str, Writer] = {}
"""The layouts of this page by name."""


def pasted(function: Writer) -> Writer:
    """Put a layout on the list, by its name."""
    PASTED[function.__name__.replace("_", "-")] = function
    return function


@pasted
def literal_rows(octets: bytes, page: Page) -> None:
    page.put(f"rx {len(octets)} octets\n")
    for first in rows(octets, 16):
        page.put("    ")
        _literal(octets, first, min(len(octets), first + 16), page)
        page.put("\n")


@pasted
def literal_offset_rows(octets: bytes, page: Page) -> None:
    for first in rows(octets, 16):
        page.put(f"{first:04x}  ")
        _literal(octets, first, min(len(octets), first + 16), page)
        page.put("\n")


def _literal(octets: bytes, start: int, stop: int, page: Page) -> None:
    text = repr(octets[start:stop])
    page.put(text[:2])
    quote = text[1]
    for k in range(start, stop):
        one = octets[k]
        digits = repr(bytes([one]))[2:-1]
        if one == ord("'"):
            digits = "\\'" if quote == "'" else "'"
        if digits.startswith("\\x"):
            page.put("\\x")
            digits = digits[2:]
        page.octet(k, digits)
    page.put(quote)


@pasted
def c_string_rows(octets: bytes, page: Page) -> None:
    page.put("const char *rx =\n")
    for first in rows(octets, 12):
        page.put('  "')
        for k in range(first, min(len(octets), first + 12)):
            page.put("\\x")
            page.octet(k, f"{octets[k]:02x}")
        page.put('"\n')
    page.put(";\n")


@pasted
def list_open_in_first_row(octets: bytes, page: Page) -> None:
    page.put(f"# len {len(octets)}\nrx0 = [0x")
    for first in rows(octets, 14):
        page.put("       0x" if first else "")
        page.row(octets, first, 14, "{:x}", ", 0x")
        page.put("]\n" if first + 14 >= len(octets) else ",\n")


@pasted
def decimal_open_in_first_row(octets: bytes, page: Page) -> None:
    page.put(f"rx frame {len(octets)} = {{ ")
    for first in rows(octets, 18):
        page.put("    " if first else "")
        page.row(octets, first, 18, "{}", ", ")
        page.put(" }\n" if first + 18 >= len(octets) else ",\n")


@pasted
def go_printed_list(octets: bytes, page: Page) -> None:
    page.put("rx frame [")
    page.row(octets, 0, len(octets), "{}", " ")
    page.put("]\n")


@pasted
def json_members(octets: bytes, page: Page) -> None:
    page.put('{"event":"rx","len":' + str(len(octets)) + ',"data":[')
    page.row(octets, 0, len(octets), "{}", ",")
    page.put('],"ok":true}\n')


@pasted
def json_numbered(octets: bytes, page: Page) -> None:
    page.put("{\n")
    for k, octet in enumerate(octets):
        page.put(f'  "{k}": ')
        page.octet(k, str(octet))
        page.put(",\n" if k + 1 < len(octets) else "\n")
    page.put("}\n")


@pasted
def json_type_and_data(octets: bytes, page: Page) -> None:
    page.put('{"type": "Buffer", "data": [')
    page.row(octets, 0, len(octets), "{}", ", ")
    page.put("]}\n")


@pasted
def octet_lines_stamped(octets: bytes, page: Page) -> None:
    for k, octet in enumerate(octets):
        page.put(f"[{12.5 + k / 1000:12.6f}] spi rx: 0x")
        page.octet(k, f"{octet:02x}")
        page.put("\n")


@pasted
def octet_lines_clocked(octets: bytes, page: Page) -> None:
    page.put(f"reading {len(octets)} octets of the frame\n")
    for k, octet in enumerate(octets):
        page.put(f"04:05:06.{100 + k:03d} data=")
        page.octet(k, f"{octet:02X}")
        page.put("\n")


@pasted
def octal_one_line(octets: bytes, page: Page) -> None:
    page.put(f"rx {len(octets)} octets: ")
    page.row(octets, 0, len(octets), "{:03o}", " ")
    page.put("\n")


@pasted
def octal_rows_unpadded(octets: bytes, page: Page) -> None:
    page.put(f"rx {len(octets)} octets\n")
    for first in rows(octets, 16):
        page.put(f"{first:06o}")
        for k in range(first, min(len(octets), first + 16)):
            digits = f"{octets[k]:o}"
            page.put(" " * (4 - len(digits)))
            page.octet(k, digits)
        page.put("\n")


@pasted
def hex_aligned_unpadded(octets: bytes, page: Page) -> None:
    page.put(f"rx {len(octets)} octets\n")
    for first in rows(octets, 16):
        page.put(f"{first:04x}:")
        for k in range(first, min(len(octets), first + 16)):
            digits = f"{octets[k]:x}"
            page.put(" " * (3 - len(digits)))
            page.octet(k, digits)
        page.put("\n")


@pasted
def decimal_columns(octets: bytes, page: Page) -> None:
    page.put(f"rx {len(octets)} octets\n")
    for first in rows(octets, 16):
        for k in range(first, min(len(octets), first + 16)):
            digits = str(octets[k])
            page.put(" " * (3 - len(digits)))
            page.octet(k, digits)
        page.put("\n")


@pasted
def signed_octets(octets: bytes, page: Page) -> None:
    page.put(f"rx {len(octets)} bytes: [")
    for k, octet in enumerate(octets):
        page.put(", " if k else "")
        page.octet(k, str(octet - 256 if octet > 127 else octet))
    page.put("]\n")


@pasted
def headers_apart(octets: bytes, page: Page) -> None:
    page.put(f"received, whole length {len(octets)}\n")
    at = 0
    for name, size in (("mac", 14), ("ip", 20), ("rest", 16)):
        page.put(f"  {name:5}{size}: ")
        page.row(octets[: at + size], at, size)
        page.put("\n")
        at += size
    for first in range(at, len(octets), 16):
        page.put("  rest ..: ")
        page.row(octets, first, 16)
        page.put("\n")


@pasted
def header_and_payload(octets: bytes, page: Page) -> None:
    page.put(f"received {len(octets)} octets\neth header: ")
    page.row(octets[:14], 0, 14)
    page.put("\nip header : ")
    page.row(octets[:34], 14, 20)
    page.put("\npayload   : ")
    page.row(octets, 34, len(octets))
    page.put("\n")


@pasted
def short_first_group(octets: bytes, page: Page) -> None:
    page.put(f"rx {len(octets)} octets\n")
    size = len(octets) % 4
    at = 0
    while at < len(octets):
        step = size or 4
        page.put(" " if at else "")
        page.octet(at, octets[at : at + step].hex(), step)
        at += step
        size = 0
    page.put("\n")


@pasted
def two_columns_offsets(octets: bytes, page: Page) -> None:
    for first in rows(octets, 16):
        page.put(f"{first:04x}: ")
        page.row(octets[: first + 8], first, 8)
        if first + 8 < len(octets):
            page.put(f"    {first + 8:04x}: ")
            page.row(octets, first + 8, 8)
        page.put("\n")


@pasted
def pretty_list(octets: bytes, page: Page) -> None:
    page.put(f"frame, {len(octets)} octets:\n")
    _by_order(octets, pprint.pformat(list(octets), compact=True) + "\n", page)


@pasted
def json_indented(octets: bytes, page: Page) -> None:
    _by_order(octets, json.dumps({"frame": list(octets)}, indent=2) + "\n", page)


def _by_order(octets: bytes, text: str, page: Page) -> None:
    """Text whose only numbers are the octets, in their order."""
    rest = text
    for k, octet in enumerate(octets):
        front, found, rest = rest.partition(str(octet))
        assert found
        page.put(front)
        page.octet(k, found)
    page.put(rest)


@pasted
def elixir_binary(octets: bytes, page: Page) -> None:
    page.put("<<")
    page.row(octets, 0, len(octets), "{}", ", ")
    page.put(">>\n")


@pasted
def bits_rows(octets: bytes, page: Page) -> None:
    page.put(f"rx frame of {len(octets)}\n")
    for first in rows(octets, 8):
        page.row(octets, first, 8, "{:08b}")
        page.put("\n")


@pasted
def hex_index_pairs(octets: bytes, page: Page) -> None:
    for first in rows(octets, 8):
        for k in range(first, min(first + 8, len(octets))):
            page.put(f"[{k:02d}]")
            page.octet(k, f"{octets[k]:02x}")
            page.put(" ")
        page.put("\n")


@pasted
def assignment_lines(octets: bytes, page: Page) -> None:
    for k, octet in enumerate(octets):
        page.put(f"frame[{k}] = 0x")
        page.octet(k, f"{octet:02x}")
        page.put(";\n")


@pasted
def header_after_a_key(octets: bytes, page: Page) -> None:
    page.put("DROP IN=eth0 MAC=")
    page.row(octets[:14], 0, 14, "{:02x}", ":")
    page.put(" SRC=192.0.2.1 LEN=48\n")


@pasted
def sent_groups(octets: bytes, page: Page) -> None:
    page.put(">")
    at = 0
    for size in [2, 2, 2, 2, 2, 2, 2] + [4] * len(octets):
        part = octets[at : at + size]
        if part:
            page.put(" " if at else "")
            page.octet(at, part.hex().upper(), len(part))
        at += size
    page.put("\n")


@pasted
def byte_string(octets: bytes, page: Page) -> None:
    page.put("seen = ")
    _literal(octets, 0, len(octets), page)
    page.put("\n")


@pasted
def number_list(octets: bytes, page: Page) -> None:
    page.put("[")
    page.row(octets, 0, len(octets), "{}", ",")
    page.put("]\n")


def register(octets: bytes) -> int:
    """The FCS-16 register of RFC 1662 C.2, by the standard library's CCITT sum.

    That one takes the bits of an octet in the other order, so they are turned before and after.
    """
    turned = bytes(int(f"{o:08b}"[::-1], 2) for o in octets)
    return int(f"{binascii.crc_hqx(turned, 0xFFFF):016b}"[::-1], 2)


@writer
def checked_rows(octets: bytes, page: Page) -> None:
    head = f"frame {len(octets):04x} plain"
    page.put(f"<{head} {register(head.encode()):04x}\n")
    for first in rows(octets, 16):
        part = octets[first : first + 16]
        page.put(f"<{first:04x} ")
        for k, octet in enumerate(part):
            page.octet(first + k, f"{octet:02x}")
            page.put(" ")
        page.put(f">{first + len(part):04x} {register(first.to_bytes(2, 'big') + part):04x}\n")
    page.put(f"<end {len(octets):04x} {register(octets):04x}\n")
