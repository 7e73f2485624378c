"""Layouts that nobody described: octets that their contents find, and what is said of others."""

from __future__ import annotations

import curses.ascii
from collections.abc import Callable, Iterator

import pytest

import framecheck
from framecheck.framing import content
from framecheck.reading._block import Cells, Found, torn_off
from framecheck.reading._lines import Line
from framecheck.reading.reader import Reader

ARP = bytes.fromhex(
    "ffffffffffff00005e0053070806000108000604000100005e005307c000024d000000000000c0000201"
)
"""A question of the alarm; its fields by RFC 826."""


def rows(size: int) -> Iterator[tuple[int, bytes]]:
    """Offset and octets of each row of the frame."""
    for at in range(0, len(ARP), size):
        yield at, ARP[at : at + size]


def wave() -> Iterator[str]:
    """One octet a line among other values."""
    for at, (octet,) in rows(1):
        yield f"  {12700 + 8 * at} ns rx dv=1 er=0 d={octet:02x}"


def based() -> Iterator[str]:
    """One octet a line in binary."""
    for at, (octet,) in rows(1):
        yield f"{127 + at} rxd=8'b{octet:08b} valid"


def characters() -> Iterator[str]:
    """One octet a line behind its character, which may be a digit."""
    for _, (octet,) in rows(1):
        yield f"'{chr(octet) if 32 <= octet < 127 else '.'}'  (0x{octet:02x})"


def two_a_line() -> Iterator[str]:
    """Two octets a line, each behind its name."""
    for at, (high, low) in rows(2):
        yield f"w{at // 2} hi={high:02x} lo={low:02x}"


def pairs() -> Iterator[str]:
    """Place and value by turns, in decimal."""
    for at, row in rows(6):
        yield "  " + ", ".join(f"({at + k}, {octet})" for k, octet in enumerate(row))


def backwards() -> Iterator[str]:
    """Words from right to left, each with its first octet at the right; the offset behind."""
    for at, row in rows(16):
        words = [row[k : k + 4][::-1].hex() for k in range(0, len(row), 4)]
        yield " ".join(words[::-1]).rjust(35) + f" : {at:03x}"


def vectors() -> Iterator[str]:
    """A list whose marks no notation knows."""
    for at, row in rows(10):
        yield ("#(" if at == 0 else "  ") + " ".join(f"#x{octet:02x}" for octet in row)


def strings() -> Iterator[str]:
    """Octal escapes of a command's text."""
    for _, row in rows(12):
        yield "printf '" + "".join(f"\\{octet:03o}" for octet in row) + "' >> f0"


def transfers() -> Iterator[str]:
    """The octets of an answer behind those of its question."""
    for _, row in rows(6):
        yield "spi: > 3a 00 00 < 00 " + row.hex(" ") + "  cs"


LAYOUTS = (wave, based, characters, two_a_line, pairs, backwards, vectors, strings, transfers)


@pytest.mark.parametrize("layout", LAYOUTS, ids=lambda layout: layout.__name__)
def test_octets_are_found_where_their_frame_proves_them(layout: Callable[[], Iterator[str]]):
    lines = ["link up", *layout(), "fan A 30 %"]
    (frame,) = framecheck.check("\n".join(lines)).frames
    assert frame.frame.octets == ARP
    assert frame.state == "sound"
    first = frame.frame.places.at(0)
    assert first is not None
    assert first.line == 2


def test_lines_that_lost_octets_are_doubted():
    lines = list(transfers())
    lines[2] = lines[2].replace(" 00  cs", " 0  cs").replace(" 06 00", " 06 0")
    (frame,) = framecheck.check("\n".join(lines)).frames
    assert frame.state == "cannot tell"
    assert any(doubt.decides for doubt in frame.frame.doubts)


def test_octets_one_a_line_beside_a_line_that_looks_the_same_are_doubted():
    def doubts(octets: bytes, front: str, behind: str) -> list[str]:
        lines = [Line(f"'.'  (0x{o:02x})", k, 0, 12, True) for k, o in enumerate(octets, 2)]
        cells = [Cells(x, bytes([o]), (9,), (11,)) for x, o in zip(lines, octets, strict=True)]
        found = torn_off(Found(tuple(cells), "hex", 10.0), front, behind, content)
        return [doubt.about for doubt in found.doubts]

    starts, ends = "where the dump starts", "where the dump ends"
    # The message of ARP without its link header may be the rest of a frame, the frame may not.
    assert doubts(ARP[14:], "'E'  (0x45)", "fan A on") == [starts]
    assert doubts(ARP[14:], "link up", "fan A on") == []
    assert doubts(ARP, "'E'  (0x45)", "'7'  (0x37)") == []
    assert doubts(ARP[:30], "'E'  (0x45)", "'7'  (0x37)") == [ends]


def test_a_column_of_octets_that_proves_nothing_is_said_with_its_lines():
    lines = [f"sel={k % 3} got {(k * k * 37 + 11) % 256:02x} ok" for k in range(60)]
    reader = Reader(content)
    assert reader.feed("\n".join(["link up", *lines, "end"])) + reader.close() == []
    assert [(d.line, "lines 2 to 61" in d.other) for d in reader.doubts] == [(2, True)]


def test_a_header_that_is_printed_apart_is_the_frame_s():
    head = "to 00:00:5e:00:53:01\nfrom 00:00:5e:00:53:07\ntype  08 06\n"
    body = "".join(f"    {14 + at:3d} {ARP[14 + at :][:14].hex(' ')}\n" for at in (0, 14))
    (frame,) = framecheck.check(f"frame of 42\n{head}{body}").frames
    assert frame.frame.octets == bytes.fromhex("00005e00530100005e005307") + ARP[12:]
    (alone,) = framecheck.check(f"frame of 42\n{head}fan A 30 %\n").frames
    assert alone.state == "cannot tell"


def test_the_line_behind_words_says_how_many_octets_the_last_one_has():
    frame = ARP + bytes(18)
    words = [frame[at : at + 8].ljust(8, b"\0")[::-1].hex() for at in range(0, 60, 8)]
    text = "\n".join(f"mon: data 0x{word} keep ff" for word in words)
    (read,) = framecheck.check(f"mon: starts\n{text}\nmon: ends, 60 octets\n").frames
    assert read.frame.octets == frame


def named(octet: int) -> str:
    """Its name by the standard library's list of control characters, or its character."""
    return curses.ascii.controlnames[octet] if octet < 33 else chr(octet) if octet < 127 else "..."


@pytest.mark.parametrize("form", ["name", "index and name", "literal"])
def test_an_octet_a_line_is_read_behind_its_name(form: str) -> None:
    """Names by ``curses.ascii``, literals by ``repr`` of bytes."""
    lines = []
    for k, octet in enumerate(ARP):
        name = repr(bytes([octet]))[1:] if form == "literal" else named(octet)
        lines.append(
            f"{k:04x}  {name:3} {octet:02x}" if "index" in form else f"{name:8}{octet:02x}"
        )
    (dump,) = framecheck.read("\n".join(["frame received", *lines, "idle", ""]))
    assert dump.octets == ARP
    place = dump.places.at(len(ARP) - 1)
    assert place is not None
    assert (place.line, place.column) == (len(ARP) + 1, len(lines[-1]) - 1)
    assert not dump.doubts


def test_a_broken_name_does_not_end_a_dump_unseen() -> None:
    lines = [f"{named(octet):8}{octet:02x}" for octet in ARP]
    lines[20] = lines[20].replace("NUL", "NL")
    (dump,) = framecheck.read("\n".join(["frame received", *lines, "idle", ""]))
    assert dump.octets == ARP[:20]
    assert [(d.about, d.decides, d.line) for d in dump.doubts] == [
        ("where the dump ends", True, 22)
    ]
