"""Traits that stand around octets, composed: the octets come back from what Python printed."""

from __future__ import annotations

import html
import json
import random
import textwrap
from collections.abc import Callable

import pytest

import framecheck
from framecheck.framing import content
from framecheck.reading.reader import Reader
from framecheck.reading.traits import remark
from tests.chatter import chatter
from tests.outside.recordings import SUMMED, frames

Printer = Callable[[bytes], str]
FRAMES = [f for f in frames(SUMMED) if 60 <= len(f) < 200][:3]
PRINTERS: dict[str, Printer] = {}


def printer(function: Printer) -> Printer:
    """Put a layout on the list."""
    PRINTERS[function.__name__] = function
    return function


def rows(octets: bytes, count: int) -> list[tuple[int, bytes]]:
    """The octets in rows of so many, each with the offset of its first."""
    return [(i, octets[i : i + count]) for i in range(0, len(octets), count)]


def characters(row: bytes) -> str:
    """A gutter."""
    return "".join(chr(c) if 32 <= c < 127 else "." for c in row)


def widened(octet: int) -> int:
    """The octet as C passes a signed char to a function of many arguments (C11 6.5.2.2)."""
    return octet if octet < 128 else octet | 0xFFFFFF00


@printer
def signs_behind_a_prefix(octets: bytes) -> str:
    lines = ["  " + " ".join(f"0x{widened(c):02x}," for c in row) for _, row in rows(octets, 8)]
    return "\n".join(["static char frame[] = {", *lines, "};"])


@printer
def signs_behind_an_offset(octets: bytes) -> str:
    return "\n".join(
        f"{i:04X}: " + " ".join(f"{widened(c):02X}" for c in row) for i, row in rows(octets, 16)
    )


@printer
def address_of_two_parts(octets: bytes) -> str:
    return "\n".join(f"1F:{i + 0x400:04X} {row.hex(' ')}" for i, row in rows(octets, 16))


@printer
def sum_behind_the_gutter(octets: bytes) -> str:
    return "\n".join(
        f'{i:06x}: {row.hex(" "):24} "{characters(row)}" #{sum(row):04x}'
        for i, row in rows(octets, 8)
    )


@printer
def gutter_in_a_page_source(octets: bytes) -> str:
    return "\n".join(
        f"{i:04x} | {row.hex(' '):48}| {html.escape(characters(row))}"
        for i, row in rows(octets, 16)
    )


@printer
def words_behind_a_semicolon(octets: bytes) -> str:
    return "\n".join(
        f"{row.hex(' '):48}  ;core{k % 2} t={k + 10.5}"
        for k, (_, row) in enumerate(rows(octets, 16))
    )


@printer
def rows_counted_by_a_word(octets: bytes) -> str:
    return "\n".join(
        f"mac: chunk={k} size={len(row)} data={row.hex(' ')} end"
        for k, (_, row) in enumerate(rows(octets, 16))
    )


@printer
def offset_by_name_and_chatter_between(octets: bytes) -> str:
    return "\nfan: row 7 at speed\n".join(
        f'<7> emac ROW off="{i}" len="{len(row)}" hex="{row.hex(" ")}" of {len(octets)}'
        for i, row in rows(octets, 16)
    )


@printer
def underscores_among_fields(octets: bytes) -> str:
    return "\n".join(
        f"@ {k * 640} ns  beat {k:02d}  data {row.hex('_', 2)}  keep ff  last {k % 2}"
        for k, (_, row) in enumerate(rows(octets, 8))
        if len(row) == 8 or row
    )


@printer
def each_octet_behind_its_index(octets: bytes) -> str:
    return "\n".join(
        " ".join(f"#{i + k}={c:02X};" for k, c in enumerate(row)) for i, row in rows(octets, 8)
    )


@printer
def branches_of_a_tree(octets: bytes) -> str:
    last = len(octets) - 1
    return "\n".join(
        f"  {'└─' if i == last else '├─'} [{i}]  0x{c:02X}  '·'" for i, c in enumerate(octets)
    )


@printer
def literals_with_remarks(octets: bytes) -> str:
    parts = [
        '  "' + "".join(f"\\x{c:02x}" for c in row) + f'"  /* {i + len(row)} */'
        for i, row in rows(octets, 10)
    ]
    return "\n".join([f"static const char frame[{len(octets)}] =", *parts, ";"])


@printer
def based_numbers_in_a_bracket(octets: bytes) -> str:
    parts = [", ".join(f"16#{c:02X}#" for c in row) for _, row in rows(octets, 8)]
    return f"Frame : constant Octets (1 .. {len(octets)}) :=\n  (" + ",\n   ".join(parts) + ");"


@printer
def string_broken_at_a_width_of_its_own(octets: bytes) -> str:
    text = f"emac: got {octets.hex()}"
    return "\n".join(text[i : i + 71] for i in range(0, len(text), 71))


@printer
def rows_in_two_parts(octets: bytes) -> str:
    lines = []
    for i, row in rows(octets, 16):
        lines.append(f"> | {i:04x}: {row[:11].hex(' ')}")
        lines += [f"> | {row[11:].hex(' ')}"] if row[11:] else []
    return "\n".join(lines)


@printer
def words_of_eight_last_octet_first(octets: bytes) -> str:
    whole = octets.ljust(-(-len(octets) // 8) * 8, b"\0")
    return "\n".join(
        f"  ring +{i:<5d} ({0x20001000 + i:08X})  "
        + " , ".join(row[k : k + 8][::-1].hex() for k in range(0, len(row), 8))
        for i, row in rows(whole, 16)
    )


@printer
def characters_beneath(octets: bytes) -> str:
    return "\n".join(
        f"@{i:02X}  {row.hex(' ')}\n     " + "".join(f" {c} " for c in characters(row))
        for i, row in rows(octets, 16)
    )


@printer
def characters_apart_from_each_other(octets: bytes) -> str:
    return "\n".join(
        f"[{i:03d}] {row.hex(' '):32}   {' '.join(characters(row))}" for i, row in rows(octets, 11)
    )


@printer
def words_of_a_port_and_how_many_are_left(octets: bytes) -> str:
    whole = octets.ljust(-(-len(octets) // 4) * 4, b"\x5a")
    return "\n".join(
        f"  port -> {row.hex().upper()}  ({(len(whole) - i) // 4 - 1} left)"
        for i, row in rows(whole, 4)
    )


@printer
def rows_placed_by_the_cursor(octets: bytes) -> str:
    return "".join(
        f"\x1b[{4 + i // 16};3H{i:04X}  {row.hex(' ')}\x1b[K" for i, row in rows(octets, 16)
    )


@printer
def rows_in_a_drawn_box(octets: bytes) -> str:
    return "\n".join(
        f"\u2502 {i:04x} \u2502 {row.hex(' '):23} \u2502 {characters(row):8} \u2502"
        for i, row in rows(octets, 8)
    )


@printer
def halves_of_octets_with_colons(octets: bytes) -> str:
    return "\n".join(
        f"{i:04x}: {row[:8].hex(':')}  {row[8:].hex(':')}" for i, row in rows(octets, 16)
    )


@printer
def lines_in_the_text_of_an_object(octets: bytes) -> str:
    lines = [f"{i:04x}\t{row.hex(' ')}" for i, row in rows(octets, 16)]
    return json.dumps({"at": 12.5, "message": "\r\n".join(["got it", *lines, ""]), "port": 2})


@printer
def lines_that_a_relay_joined(octets: bytes) -> str:
    return "netd[198]: in:" + "".join(f"#012{row.hex(' ')}" for _, row in rows(octets, 16))


@printer
def rows_that_a_plus_carries_on(octets: bytes) -> str:
    return "RX<" + "\n+  ".join(row.hex(" ") for _, row in rows(octets, 20)) + ">"


@printer
def page_and_place_in_it(octets: bytes) -> str:
    return "\n".join(f"46:{i:02X}  {row.hex(' ')}" for i, row in rows(octets, 16))


@printer
def blanks_for_zeros_among_much_else(octets: bytes) -> str:
    return "\n\n".join(
        f"Nov 25 04:12:07 netd[198]: {i:04x}: "
        + " ".join(f"{c:2x}" for c in row)
        + f"   [{characters(row)}]"
        for i, row in rows(octets, 16)
    )


@printer
def a_time_and_an_octet_a_line(octets: bytes) -> str:
    return "\n".join(
        f"{k * 1.1e-5:.6f} <- {c:02x}" + (f" '{c:c}'" if 32 <= c < 127 else "")
        for k, c in enumerate(octets)
    )


@printer
def a_mark_that_only_offsets_have(octets: bytes) -> str:
    return "\n\n".join(f"e0: {i:04X}h {row.hex(' ', -2)}" for i, row in rows(octets, 8))


@printer
def what_goes_out_and_what_comes_back(octets: bytes) -> str:
    return "\n".join(
        f"out: {bytes(len(row)).hex(' ')}\nback: {row.hex(' ')}" for _, row in rows(octets, 16)
    )


@printer
def a_vector_of_decimals(octets: bytes) -> str:
    return "\n    ".join(textwrap.wrap(f"#u8({' '.join(map(str, octets))})", 70))


@printer
def fields_of_any_name(octets: bytes) -> str:
    edges = {"to": 6, "from": 12, "kind": 14, "ip start": 26, "ip from": 30, "ip to": 34}
    starts = [0, *edges.values()]
    lines = [
        f"  {name:9}: {octets[start:stop].hex(' ')}"
        for start, (name, stop) in zip(starts, edges.items(), strict=False)
    ]
    rest = [f"  rest     : {row.hex(' ')}" for _, row in rows(octets[34:], 12)]
    return "\n".join(lines + rest)


@printer
def labels_and_a_directive_of_hex_letters(octets: bytes) -> str:
    return "\n".join(
        f"BUF{i:04X} DEFB {','.join(f'${c:02X}' for c in row)}" for i, row in rows(octets, 14)
    )


@printer
def halves_and_octets_by_marks_of_their_own(octets: bytes) -> str:
    return "\n".join(f"\t{row[:8].hex('-')}/{row[8:].hex('-')}" for _, row in rows(octets, 16))


@printer
def an_index_and_a_based_number(octets: bytes) -> str:
    return "\n".join(
        "  ".join(f"{i + k:3d} => 16#{c:02X}#," for k, c in enumerate(row))
        for i, row in rows(octets, 5)
    )


@printer
def two_ranges_beside_each_other(octets: bytes) -> str:
    return "\n".join(
        "   ".join(f"[{i + j:03x}..{i + j + len(p) - 1:03x}] {p.hex(' ')}" for j, p in rows(row, 8))
        for i, row in rows(octets, 16)
    )


@printer
def decimal_escapes_joined_by_a_plus(octets: bytes) -> str:
    return "\n+ ".join(
        '"' + "".join(f"\\{c:03d}" for c in row) + '"' for _, row in rows(octets, 18)
    )


@printer
def offsets_like_the_numbers_that_they_count(octets: bytes) -> str:
    return "\n".join("\t".join(f"{c:X}" for c in (i, *row)) for i, row in rows(octets, 12))


@printer
def messages_by_number_with_words_low_first(octets: bytes) -> str:
    return "\n".join(
        f"7.{k:03d} mac {4098 + k} "
        + " ".join(row[j : j + 2][::-1].hex().rjust(4, "0") for j in range(0, len(row), 2))
        for k, (_, row) in enumerate(rows(octets, 10))
    )


@printer
def letters_for_the_fields(octets: bytes) -> str:
    head = (
        f"s:{octets[6:12].hex()} d:{octets[:6].hex()} t:{octets[12:14].hex()} n:{len(octets):02d}"
    )
    return "\n".join([head, *(f"p:{row.hex()}" for _, row in rows(octets[14:], 20))])


@printer
def a_message_with_the_stamp_of_the_rows(octets: bytes) -> str:
    stamp = "26-03-02 06:14:07.250 > "
    lines = [f"{stamp}{i:4d}: {row.hex(' ')}" for i, row in rows(octets, 10)]
    return "\n".join([*lines[:3], f"{stamp}row 12 -0.62 C, 1.14 m/s", *lines[3:]])


def test_a_link_header_of_any_name_in_front_leaves_a_word() -> None:
    octets = FRAMES[0]
    head = f"A1={octets[:6].hex()} A2={octets[6:12].hex()} PT={octets[12:14].hex()}"
    lines = [head, *(f"P={row.hex()}" for _, row in rows(octets[14:], 24))]
    (record,) = framecheck.check("received:\n" + "\n".join(lines) + "\ndone\n").frames
    assert record.state == "cannot tell"
    assert any(d.about == "where the dump starts" and d.decides for d in record.frame.doubts)


def test_a_field_that_is_not_understood_ends_no_frame_without_a_word() -> None:
    lines = fields_of_any_name(FRAMES[0]).split("\n")
    lines[4:] = ["  ip from  : 192.0.2.1", "  ip to    : 192.0.2.77"]
    (record,) = framecheck.check("received:\n" + "\n".join(lines) + "\ndone\n").frames
    assert record.state == "cannot tell"
    assert [d.line for d in record.frame.doubts if d.decides] == [6]


@pytest.mark.parametrize("name", PRINTERS)
def test_what_was_printed_is_read(name: str) -> None:
    text = "".join(f"frost alarm, row 7\n{PRINTERS[name](f)}\ndone\n" for f in FRAMES)
    found = framecheck.check(text).frames
    assert [f.state for f in found] == ["sound"] * len(FRAMES)
    for record, octets in zip(found, FRAMES, strict=True):
        assert record.frame.octets[: len(octets)] == octets
        assert not record.frame.octets[len(octets) :].strip(b"\0")


def test_rows_of_two_writers_are_told_apart_by_the_word_in_front() -> None:
    one, other = (rows(f, 16) for f in FRAMES[:2])
    text = "".join(
        f"p0 {i:04x}  {row.hex(' ')}\np1 {j:04x}  {more.hex(' ')}\n"
        for (i, row), (j, more) in zip(one, other, strict=True)
    )
    found = framecheck.check(text + "idle\n").frames
    assert [f.frame.octets for f in found] == FRAMES[:2]
    assert not any(f.doubts for f in found)


UNREAD: dict[str, Printer] = {
    "a word between octets": lambda row: " and ".join(f"{c:02x}" for c in row),
    "octal behind a letter": lambda row: " ".join(f"o{c:03o}" for c in row),
    "halves of octets in bits": lambda row: " ".join(f"{c >> 4:04b}_{c & 15:04b}" for c in row),
    "names between octets": lambda row: " ".join(f"b{k}={c:02x}/ok" for k, c in enumerate(row)),
}


@pytest.mark.parametrize("name", UNREAD)
def test_what_is_not_read_leaves_a_word(name: str) -> None:
    """Whatever the layout: its frame is there, or a doubt that names its first line."""
    text = "frost alarm, row 7\n"
    text += "".join(UNREAD[name](row) + "\n" for _, row in rows(FRAMES[0], 8))
    reader = Reader(content)
    dumps = reader.feed(text + "done\n") + reader.close()
    assert dumps == [] or dumps[0].octets == FRAMES[0]
    assert dumps or [d.line for d in reader.doubts] == [2]


def test_chatter_leaves_few_words() -> None:
    reader = Reader(content)
    assert reader.feed(chatter(4_000, random.Random(3).randrange(1000))) + reader.close() == []
    assert len([d for d in reader.doubts if "not understood" in d.other]) <= 2


def test_a_hardware_address_nearby_takes_no_broadcast_apart() -> None:
    """The words of a broadcast are no widened octets, whatever stands open above them."""
    text = (
        "eth0 lladdr 00:00:5e:00:53:2e REACHABLE\n"
        "00000000: ffffffff ffff0000 5e005307 81000064\n"
        "00000010: 08060001 08000604 00010000 5e005307\n"
        "00000020: 00000000 00000000 0000c000 024d0000\n"
        "00000030: 00000000 00000000 00000000 00000000\n"
        "frost: waiting\n"
    )
    (record,) = framecheck.check(text).frames
    assert (len(record.octets), record.state) == (64, "sound")


def test_numbers_behind_a_row_are_not_sought_inside_a_digest() -> None:
    """Nine numbers of any length, tried at all places of 64 digits, would take years."""
    behind = remark.pattern("] adc 7b4 433 ae9 9d0 c3a 7e4 d77 d38", False)
    assert behind is not None
    assert behind("] 123 4567 89 a b c d e 0x0f")
    assert not behind("] " + 32 * "e7" + "  firmware.bin")
