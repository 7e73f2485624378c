"""A frame in several buffers: joined when its own length says so, and never otherwise."""

from __future__ import annotations

import zlib

import framecheck
from framecheck.cli import _orchard
from tests.outside import recordings


def printed(pieces: list[bytes]) -> str:
    """Each piece dumped by itself, its offsets starting anew."""
    lines = []
    for n, piece in enumerate(pieces):
        lines.append(f"desc {n}: {len(piece)} octets")
        lines += [f"    {a:02x}: {piece[a : a + 16].hex(' ')}" for a in range(0, len(piece), 16)]
    return "\n".join(lines) + "\nframe done\n"


def pieces(octets: bytes, size: int) -> list[bytes]:
    return [octets[a : a + size] for a in range(0, len(octets), size)]


def test_a_frame_over_three_buffers_is_one_frame_with_its_places() -> None:
    frame = _orchard.offer(1)
    (record,) = framecheck.check(printed(pieces(frame, 128))).frames
    assert record.octets == frame
    assert record.state == "sound"
    assert "one frame in 3 buffers" in record.doubts[-1].says
    # Octet 256 is the first of the third dump: a line of its own behind two of 8 rows.
    assert record.places.at(256) == (20, 9, 11)


def test_a_frame_whose_next_buffer_is_a_frame_is_left_alone() -> None:
    frame = _orchard.offer(1)
    text = printed([frame[:128], _orchard.asks(), frame[128:]])
    assert [len(r.octets) for r in framecheck.check(text).frames][:2] == [128, 60]


def test_a_frame_that_lost_its_end_is_not_helped_by_what_is_too_long_or_too_short() -> None:
    frame = _orchard.offer(1)
    for rest in (frame[192:-1], frame[192:] + b"\0"):
        first, second = framecheck.check(printed([frame[:192], rest])).frames
        assert len(first.octets) == 192
        assert first.state == "damaged"
        assert ["several buffers" in r.doubts[-1].says for r in (first, second)] == [True, True]


def test_a_last_buffer_shorter_than_a_header_and_one_with_the_fcs_are_parts() -> None:
    frame = next(f for f in recordings.frames(recordings.NEWER) if len(f) == 70)
    fcs = zlib.crc32(frame).to_bytes(4, "little")  # IEEE 802.3 3.2.9, from memory
    for whole in (frame, frame + fcs):
        (record,) = framecheck.check(printed(pieces(whole, 64))).frames
        assert record.octets == frame
        assert record.state == "sound"
        assert record.frame.dump.octets == whole


def test_recorded_frames_stay_as_many_as_they_are() -> None:
    frames = [f for f in recordings.frames(recordings.SUMMED) if len(f) >= 60][:40]
    found = framecheck.check(printed(frames)).frames
    assert [r.octets for r in found] == frames
