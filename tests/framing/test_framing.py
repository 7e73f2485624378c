"""Where a frame starts and what stands around it."""

import random
import zlib
from pathlib import Path

import dpkt
import pytest

from framecheck.core.frame import Dump
from framecheck.core.sums import FCS16_RESIDUE, fcs16
from framecheck.core.text import Places, Row
from framecheck.framing import Traits, content, learn, starts, unwrap
from framecheck.framing.start import STRONG

TRAFFIC = Path(__file__).parents[2] / "vectors" / "traffic" / "offload-off.pcap"


def recorded() -> list[bytes]:
    with TRAFFIC.open("rb") as file:
        return [octets for _, octets in dpkt.pcap.Reader(file)]


FRAMES = recorded()
ONE = next(f for f in FRAMES if len(f) == 342)


def dump(octets: bytes, claimed: int | None = None) -> Dump:
    return Dump(octets, Places(()), claimed_length=claimed)


def fcs(octets: bytes) -> bytes:
    return zlib.crc32(octets).to_bytes(4, "little")


def unwrapped(octets: bytes, traits: Traits | None = None, claimed: int | None = None):  # type: ignore[no-untyped-def]
    ((frame, _),) = unwrap(dump(octets, claimed), traits or Traits())
    kinds = [(e.kind, e.side, len(e.octets)) for e in frame.envelopes]
    return frame, kinds


def test_recorded_frames_start_at_their_first_octet_and_stand_alone() -> None:
    traits = learn(dump(f) for f in FRAMES[:64])
    for octets in FRAMES:
        frame, kinds = unwrapped(octets, traits)
        assert (frame.starts_at, kinds, frame.doubts) == ("ethernet", [], ())
        assert frame.octets == octets


def test_an_fcs_is_taken_off_every_recorded_frame() -> None:
    for octets in FRAMES:
        frame, kinds = unwrapped(octets + fcs(octets))
        assert (frame.octets, kinds) == (octets, [("fcs", "tail", 4)])


def test_an_fcs_with_one_flipped_bit_is_still_one() -> None:
    rng = random.Random(1)
    for octets in FRAMES[:40]:
        damaged = bytearray(octets + fcs(octets))
        damaged[rng.randrange(42, len(damaged))] ^= 1 << rng.randrange(8)
        frame, kinds = unwrapped(bytes(damaged))
        if octets[12:14] == b"\x08\x00" and octets[16:18] != damaged[16:18]:
            continue
        assert kinds == [("fcs", "tail", 4)], octets.hex()
        assert len(frame.octets) == len(octets)


def test_other_frames_of_the_log_tell_that_a_spoilt_tail_is_an_fcs() -> None:
    traits = learn(dump(f + fcs(f)) for f in FRAMES[:8])
    frame, kinds = unwrapped(ONE + b"\x12\x34\x56\x78", traits)

    assert kinds == [("fcs", "tail", 4)]
    assert frame.octets == ONE


@pytest.mark.parametrize("rest", [1, 2, 3])
def test_octets_behind_the_fcs_are_an_envelope_of_their_own(rest: int) -> None:
    frame, kinds = unwrapped(ONE + fcs(ONE) + b"\xa5" * rest)

    assert frame.octets == ONE
    assert kinds[0][0] == "fcs"
    assert [k[2] for k in kinds] == [4, rest]


@pytest.mark.parametrize("k", [2, 3])
def test_the_first_octets_of_an_fcs(k: int) -> None:
    assert unwrapped(ONE + fcs(ONE)[:k])[1] == [("fcs", "tail", k)]


def test_what_is_left_of_a_last_word_is_no_part_of_the_frame() -> None:
    for octets in (ONE, ONE + b"\x01"):  # of 342 octets, and one more than its datagram has
        printed = dump(octets + b"\x5a" * (-len(octets) % 8))._replace(word=8)
        ((frame, _),) = unwrap(printed, Traits())
        assert frame.octets == ONE
        assert [e.kind for e in frame.envelopes] == ["rounding"]
    announced = dump(ONE + b"\x5a\x5a", 344)._replace(word=8)
    padded = dump(FRAMES[4] + bytes(4))._replace(word=8)  # a tagged frame may have these
    for whole in (announced, padded):
        ((frame, _),) = unwrap(whole, Traits())
        assert (frame.octets, frame.envelopes) == (whole.octets, ())
    ((frame, _),) = unwrap(dump(ONE + b"\x5a\x5a"), Traits())
    assert (len(frame.octets), frame.envelopes) == (344, ())


def test_stale_octets_behind_the_claimed_length() -> None:
    frame, kinds = unwrapped(ONE + b"\x5a" * 20, claimed=len(ONE))

    assert (frame.octets, kinds) == (ONE, [("behind-length", "tail", 20)])


def le(n: int, size: int = 2) -> bytes:
    return n.to_bytes(size, "little")


HEADS = [
    ("preamble", b"\x55" * 7 + b"\xd5"),
    ("align2", b"\0\0"),
    ("length2-be", (len(ONE) + 4).to_bytes(2, "big")),
    ("length2-le", le(len(ONE))),
    ("status2-length2-le", b"\x80\x01" + le(len(ONE) + 4)),
    ("status2-length2-be", b"\x80\x01" + len(ONE).to_bytes(2, "big")),
    ("length2-status2-le", le(len(ONE) + 4) + b"\x80\x30"),
    ("ready1-status1-length2-le", b"\x01\x40" + le(len(ONE) + 4)),
    ("status1-next1-length2-le", b"\x21\x4d" + le(len(ONE) + 8)),
    ("length2-inverse2-le", le(len(ONE)) + le(len(ONE) ^ 0xFFFF)),
    ("next2-length2-status2-le", b"\x80\x06" + le(len(ONE) + 4) + b"\xc0\x80"),
    ("status4-le", b"\x20\x30" + le(len(ONE) + 4 | 0x4000)),
    ("length4-le", le(len(ONE), 4)),
    ("virtual10", bytes(10)),
    ("virtual12", bytes(10) + b"\1\0"),
    ("head34", bytes(range(0x81, 0xA3))),
]


@pytest.mark.parametrize(("kind", "head"), HEADS, ids=[h[0] for h in HEADS])
def test_a_head_is_taken_off_and_named_by_its_shape(kind: str, head: bytes) -> None:
    frame, kinds = unwrapped(head + ONE)

    assert frame.octets == ONE
    assert kinds == [(kind, "head", len(head))]
    assert frame.envelopes[0].octets == head


@pytest.mark.parametrize("room", [1, 3, 16, 64, 128, 256])
def test_head_room_of_any_content(room: int) -> None:
    rng = random.Random(room)
    for octets in FRAMES[:20]:
        frame, _ = unwrapped(rng.randbytes(room) + octets)
        assert frame.octets == octets


def test_frames_without_a_link_header_start_at_their_own() -> None:
    assert unwrapped(ONE[14:])[0].starts_at == "ipv4"
    arp = next(f for f in FRAMES if f[12:14] == b"\x08\x06")
    assert unwrapped(arp[14:42])[0].starts_at == "arp"


def test_a_pseudo_link_header_leads_to_ip() -> None:
    pseudo = b"\0\0\0\1\0\6" + ONE[6:12] + b"\0\0\x08\0"
    frame, kinds = unwrapped(pseudo + ONE[14:])

    assert (frame.starts_at, kinds) == ("ipv4", [("pseudo16", "head", 16)])


def test_random_octets_are_no_frame() -> None:
    """Chance: of 20,000 random strings none may look like a strong start."""
    rng = random.Random(7)
    strong = [content(rng.randbytes(rng.randrange(14, 120))) >= STRONG for _ in range(20_000)]
    assert sum(strong) == 0


def test_any_octets_have_a_start() -> None:
    rng = random.Random(3)
    for n in range(300):
        found = starts(rng.randbytes(n))
        assert 0 <= found[0].at <= n


def escaped(octets: bytes) -> bytes:
    """As RFC 1662 4.2 escapes: flag, escape and what is below 20."""
    found = b""
    for o in octets:
        found += bytes((0x7D, o ^ 0x20)) if o in (0x7D, 0x7E) or o < 0x20 else bytes((o,))
    return found


def test_the_fcs_16_of_a_published_string() -> None:
    """ "123456789" gives 906E (catalogue of CRC parameters, CRC-16/IBM-SDLC)."""
    assert fcs16(b"123456789") ^ 0xFFFF == 0x906E
    framed = b"123456789" + (0x906E).to_bytes(2, "little")
    assert fcs16(framed) == FCS16_RESIDUE


def test_frames_between_flags_are_unescaped_one_by_one() -> None:
    ip = ONE[14:80]
    inner = [b"\xff\x03\x00\x21" + ip, b"\xff\x03\xc0\x21\x01\x01\x00\x04"]
    wire = b"\x7e"
    for octets in inner:
        sum_ = (fcs16(octets) ^ 0xFFFF).to_bytes(2, "little")
        wire += escaped(octets + sum_) + b"\x7e"

    found = unwrap(dump(wire), Traits())

    assert [f.octets for f, _ in found] == inner
    assert {f.starts_at for f, _ in found} == {"hdlc"}
    assert [(e.kind, e.side, len(e.octets)) for e in found[0][0].envelopes] == [
        ("flag", "head", 1),
        ("fcs", "tail", 2),
        ("flag", "tail", 1),
    ]


def test_octets_between_flags_keep_their_places() -> None:
    octets = b"\xff\x03\xc0\x21\x01\x01\x00\x04"
    sum_ = (fcs16(octets) ^ 0xFFFF).to_bytes(2, "little")
    wire = b"\x7e" + escaped(octets + sum_) + b"\x7e"
    rows = [Row(5, 0, range(1, 3 * len(wire), 3), range(3, 3 * len(wire) + 2, 3))]

    ((frame, _),) = unwrap(Dump(wire, Places(rows)), Traits())

    # ff is printed second; 03 is escaped, and takes the third and the fourth.
    assert frame.places.at(0) == (5, 4, 6)
    assert frame.places.at(1) == (5, 7, 12)
