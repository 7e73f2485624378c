"""Captures: files that dpkt writes are read back; truncated and lying ones end in one clear line.

Layouts of the two formats: the writers of dpkt, and for what these cannot write (a simple packet
block, other octet orders) the public drafts of the capture formats, from memory.
"""

from __future__ import annotations

import io
import struct
from pathlib import Path
from typing import Any

import dpkt
import pytest
from hypothesis import given
from hypothesis import strategies as st

from framecheck.core.frame import Dump
from framecheck.sources import CaptureInput, InputError, TextInput, open_input
from framecheck.sources._stream import Stream
from framecheck.sources.capture import MAGICS, MOST

FRAMES = [bytes([n]) * (60 + n) for n in range(1, 5)]


def pcap(frames: list[bytes] = FRAMES, **more: Any) -> bytes:
    file = io.BytesIO()
    writer = dpkt.pcap.Writer(file, **more)
    for n, frame in enumerate(frames):
        writer.writepkt(frame, ts=1000.25 + n)
    return file.getvalue()


def pcapng(frames: list[bytes] = FRAMES, **more: Any) -> bytes:
    file = io.BytesIO()
    writer = dpkt.pcapng.Writer(file, **more)
    for n, frame in enumerate(frames):
        writer.writepkt(frame, ts=1000.25 + n)
    return file.getvalue()


def dumps(octets: bytes) -> list[Dump]:
    return list(CaptureInput("x.pcap", Stream(io.BytesIO(octets))).dumps())


def until_broken(octets: bytes) -> tuple[list[bytes], str]:
    found, said = read(octets)
    assert said.isprintable()
    return found, said


def read(octets: bytes) -> tuple[list[bytes], str]:
    """The frames that can be read, and the word that the reading ends in, if any."""
    found: list[bytes] = []
    try:
        for dump in CaptureInput("x.pcap", Stream(io.BytesIO(octets))).dumps():
            found.append(dump.octets)
    except InputError as error:
        return found, str(error)
    return found, ""


@pytest.mark.parametrize("octets", [pcap(), pcap(nano=True), pcapng()])
def test_what_dpkt_writes_is_read(octets: bytes, tmp_path: Path) -> None:
    path = tmp_path / "a.bin"
    path.write_bytes(octets)
    opened = open_input(str(path))
    assert isinstance(opened, CaptureInput)
    found = list(opened.dumps())
    assert [d.octets for d in found] == FRAMES
    assert [d.record for d in found] == [1, 2, 3, 4]
    assert [d.stamp for d in found] == [1000.25, 1001.25, 1002.25, 1003.25]
    assert [d.wire_length for d in found] == [len(f) for f in FRAMES]
    assert all(d.places.lines() is None and d.layout is None for d in found)


def test_a_capture_in_the_other_octet_order_is_read() -> None:
    head = struct.pack(">IHHIIII", 0xA1B2C3D4, 2, 4, 0, 0, 65535, 1)
    record = struct.pack(">IIII", 5, 500_000, 4, 90) + b"abcd"
    (dump,) = dumps(head + record)
    assert (dump.octets, dump.wire_length, dump.stamp) == (b"abcd", 90, 5.5)


def block(kind: int, body: bytes, order: str = ">") -> bytes:
    length = struct.pack(f"{order}I", len(body) + 12)
    return struct.pack(f"{order}I", kind) + length + body + length


def section(order: str = ">") -> bytes:
    return block(0x0A0D0D0A, struct.pack(f"{order}IHHq", 0x1A2B3C4D, 1, 0, -1), order)


def interface(linktype: int = 1, snap: int = 0, options: bytes = b"", order: str = ">") -> bytes:
    return block(1, struct.pack(f"{order}HHI", linktype, 0, snap) + options, order)


def enhanced(
    frame: bytes, interface: int = 0, order: str = ">", claimed: int | None = None
) -> bytes:
    size = len(frame) if claimed is None else claimed
    head = struct.pack(f"{order}IIIII", interface, 0, 3000, size, len(frame))
    return block(6, head + frame + bytes(-len(frame) % 4), order)


def test_sections_may_change_the_octet_order_and_the_resolution_of_time() -> None:
    milliseconds = struct.pack(">HHBxxx", 9, 1, 3) + struct.pack(">HH", 0, 0)
    first = section() + interface(options=milliseconds) + enhanced(b"abc")
    second = section("<") + interface(order="<") + enhanced(b"defg", order="<")
    found = dumps(first + second)
    assert [(d.octets, d.stamp) for d in found] == [(b"abc", 3.0), (b"defg", 0.003)]


def test_simple_packet_blocks_and_unknown_blocks() -> None:
    simple = block(3, struct.pack(">I", 90) + b"abcdefgh")
    odd = block(0xBAD, bytes(1 << 20))
    (dump,) = dumps(section() + interface(snap=8) + odd + simple)
    assert (dump.octets, dump.wire_length, dump.stamp) == (b"abcdefgh", 90, None)


@pytest.mark.parametrize(
    ("octets", "says"),
    [
        (pcap(linktype=101), "link type is 101, not Ethernet"),
        (section() + interface(113) + enhanced(b"abcd"), "link type is 113, not Ethernet"),
        (section() + enhanced(b"abcd"), "names interface 0, which is not described"),
        (section() + interface() + enhanced(b"abcd", claimed=5), "its block holds 4"),
        (section() + block(6, b""), "holds no frame"),
        (section() + block(6, b"")[:-1] + b"\xff", "two lengths differ"),
        (section() + struct.pack(">II", 6, 0xFFFFFFFC), "claims 4294967292 octets, more than"),
        (section() + struct.pack(">II", 99, 0xFFFFFFFC), "claims 4294967292 octets, 8 are left"),
        (section() + struct.pack(">II", 6, 3), "claims 3 octets"),
        (b"\xd4\xc3\xb2\xa1", "ends inside its header"),
        (b"\x0a\x0d\x0d\x0a", "ends inside a block's header"),
    ],
)
def test_what_is_no_capture_of_ethernet_says_so(octets: bytes, says: str) -> None:
    found, said = until_broken(octets)
    assert found == []
    assert says in said
    assert said.startswith("x.pcap: record 1, octet ")


def test_a_truncated_capture_gives_the_frames_before_its_end() -> None:
    whole = pcap()
    found, said = until_broken(whole[:-10])
    assert found == FRAMES[:3]
    at = len(whole) - len(FRAMES[3]) - 16
    assert f"record 4, octet {at} of the file: it claims 64 octets, 54 are left" in said


def test_a_lying_length_costs_no_memory_and_ends_the_reading_there() -> None:
    octets = bytearray(pcap())
    at = 24 + 16 + len(FRAMES[0])
    octets[at + 8 : at + 12] = b"\xf0\xff\xff\xff"
    found, said = until_broken(bytes(octets))
    assert found == FRAMES[:1]
    assert (
        f"record 2, octet {at} of the file: it claims 4294967280 octets, more than {MOST}" in said
    )


def test_a_record_longer_than_its_frame_on_the_wire_is_a_doubt() -> None:
    octets = bytearray(pcap(FRAMES[:1]))
    octets[24 + 12 : 24 + 16] = b"\x10\0\0\0"
    (dump,) = dumps(bytes(octets))
    assert dump.octets == FRAMES[0]
    assert "61 octets, as captured" in dump.doubts[0].says


@given(st.sampled_from(sorted(MAGICS)), st.binary(max_size=200))
def test_any_octets_behind_a_magic_end_in_a_word_or_in_frames(magic: bytes, rest: bytes) -> None:
    found, said = read(magic + rest)
    assert sum(map(len, found)) <= len(rest)
    assert not said or said.startswith("x.pcap: record ")


@given(st.sampled_from([pcap(), pcapng()]), st.integers(4, 500), st.integers(0, 255))
def test_one_wrong_octet_anywhere_never_raises_but_a_word(
    octets: bytes, at: int, value: int
) -> None:
    broken = bytearray(octets)
    broken[min(at, len(octets) - 1)] = value
    found, said = read(bytes(broken))
    assert len(found) <= len(FRAMES) + 1
    assert not said or ", octet " in said


def test_a_log_is_no_capture(tmp_path: Path) -> None:
    path = tmp_path / "a.pcap"
    path.write_text("frost: row 3")
    opened = open_input(str(path))
    opened.close()
    assert isinstance(opened, TextInput)
