"""Layouts whose lines end where headers do, with their names beside, above or left out."""

from __future__ import annotations

from collections.abc import Iterator

from tests.reading.writers import Page, Writer, rows

HEADERS: dict[str, Writer] = {}
"""The layouts of this page by name."""
_SIZES = {b"\x08\x06": (8, 20), b"\x08\x00": (20, 8)}
"""Octets of ARP's fixed part and its addresses, of IPv4's header and UDP's; none of others."""


def _header(function: Writer) -> Writer:
    HEADERS[function.__name__.replace("_", "-")] = function
    return function


def _parts(octets: bytes) -> Iterator[tuple[int, int]]:
    """Where headers start, and their sizes; what is left comes last."""
    link = 18 if octets[12:14] == b"\x81\x00" else 14
    at = 0
    for size in (link, *_SIZES.get(octets[link - 2 : link], ()), len(octets)):
        size = min(size, len(octets) - at)
        if size:
            yield at, size
        at += size


@_header
def header_by_header(octets: bytes, page: Page) -> None:
    for first, size in _parts(octets):
        page.row(octets, first, size)
        page.put("\n")


@_header
def headers_beside_names(octets: bytes, page: Page) -> None:
    for name, (first, size) in zip(("link", "net", "host", "rest"), _parts(octets), strict=False):
        page.put(f"{name:5}: ")
        page.row(octets, first, size)
        page.put("\n")


@_header
def headers_below_names(octets: bytes, page: Page) -> None:
    for name, (start, size) in zip("ABCD", _parts(octets), strict=False):
        page.put(f"  part {name}:\n")
        for first in range(start, start + size, 16):
            page.put("    ")
            page.row(octets, first, min(16, start + size - first))
            page.put("\n")


@_header
def fields_and_bare_rows(octets: bytes, page: Page) -> None:
    _fields(octets, page, ("to", "from", "type"), "  {:5}")
    _bare(octets, page)


@_header
def fields_and_rows_below_a_name(octets: bytes, page: Page) -> None:
    _fields(octets, page, ("dst", "src", "type"), "  {:5}: ")
    page.put("  data :\n")
    _bare(octets, page)


def _fields(octets: bytes, page: Page, names: tuple[str, ...], form: str) -> None:
    for name, first, size in zip(names, (0, 6, 12), (6, 6, 2), strict=True):
        page.put(form.format(name))
        page.row(octets, first, size, between=":" if size > 2 else "")
        page.put("\n")


def _bare(octets: bytes, page: Page) -> None:
    for first in rows(octets[14:], 16):
        page.put("  ")
        page.row(octets, 14 + first, 16)
        page.put("\n")


@_header
def sized_literals_at_an_index(octets: bytes, page: Page) -> None:
    for k, octet in enumerate(octets):
        page.put(f"mem[{k}] = 8'h")
        page.octet(k, f"{octet:02x}")
        page.put(";\n")


_CONTROLS = (
    *("NUL", "SOH", "STX", "ETX", "EOT", "ENQ", "ACK", "BEL", "BS", "HT", "LF", "VT", "FF", "CR"),
    *("SO", "SI", "DLE", "DC1", "DC2", "DC3", "DC4", "NAK", "SYN", "ETB", "CAN", "EM", "SUB"),
    *("ESC", "FS", "GS", "RS", "US"),
)
"""Names of the control characters (ASCII, RFC 20 section 5.2)."""


@_header
def an_octet_a_line_before_its_name(octets: bytes, page: Page) -> None:
    page.put(f"<<< packet ({len(octets)})\n")
    for k, octet in enumerate(octets):
        page.put(f"{k:4d}  ")
        page.octet(k, f"{octet:02x}")
        name = _CONTROLS[octet] if octet < 32 else chr(octet) if octet < 127 else "-"
        page.put(f"  {name}\n")
