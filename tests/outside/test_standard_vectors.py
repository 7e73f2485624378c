"""Sums against the worked examples that standards and catalogues print."""

from __future__ import annotations

import binascii
import tomllib
import zlib
from pathlib import Path

import pytest

from framecheck.core import sums

REFERENCE = tomllib.loads(
    (Path(__file__).parents[2] / "vectors/reference/frames.toml").read_text("utf-8")
)


def swapped(number: int) -> int:
    return number >> 8 | (number & 0xFF) << 8


# RFC 1071 section 3, "Numerical examples".
EIGHT = bytes.fromhex("0001 f203 f4f5 f6f7")


def test_rfc_1071_sums_in_network_order_to_ddf2():
    assert sums.ones_sum(EIGHT) == 0xDDF2


def test_rfc_1071_byte_swapped_sum_swaps_back():
    crossed = b"".join(EIGHT[i : i + 2][::-1] for i in range(0, 8, 2))
    assert sums.ones_sum(crossed) == 0xF2DD
    assert swapped(0xF2DD) == 0xDDF2


def test_rfc_1071_parts_in_any_order():
    halves = EIGHT[:4], EIGHT[4:]
    assert sums.ones_sum(*halves) == sums.ones_sum(*reversed(halves)) == 0xDDF2


def test_rfc_1071_split_after_an_odd_octet():
    first, second = sums.ones_sum(EIGHT[:3]), sums.ones_sum(EIGHT[3:])
    assert (first, second, swapped(second)) == (0xF201, 0xF0EB, 0xEBF0)
    assert sums.ones_sum(first.to_bytes(2, "big"), swapped(second).to_bytes(2, "big")) == 0xDDF2


def test_rfc_1071_checksum_is_the_complement_and_verifies():
    # The complement is not printed in the RFC; it is 10000 - 1 - ddf2.
    assert sums.checksum(EIGHT) == 0x220D
    assert sums.ones_sum(EIGHT, bytes.fromhex("220d")) == 0xFFFF
    assert sums.difference(0xFFFF) == 0


# RFC 1624 section 4: m 5555 becomes m' 3285, the rest of the header sums to CD7A.
REST = bytes.fromhex("cd7a")


def test_rfc_1624_old_header():
    assert sums.ones_sum(bytes.fromhex("5555"), REST) == 0x22D0
    assert sums.checksum(bytes.fromhex("5555"), REST) == 0xDD2F


def test_rfc_1624_new_header_is_0000_not_ffff():
    assert sums.checksum(bytes.fromhex("3285"), REST) == 0x0000


@pytest.mark.parametrize("carried", ["0000", "ffff"])
def test_rfc_1624_section_5_both_zeros_verify(carried):
    verify = sums.ones_sum(bytes.fromhex("3285"), REST, bytes.fromhex(carried))
    assert sums.difference(verify) == 0


def test_rfc_1624_one_wrong_word_is_healed():
    # The new header with the old word left in it: the difference leads back to m'.
    verify = sums.ones_sum(bytes.fromhex("5555"), REST, bytes.fromhex("0000"))
    assert sums.healed_word(0x5555, sums.difference(verify)) == 0x3285


# Catalogue of CRCs, CRC-32/ISO-HDLC: check, residue.
def test_catalogue_check_value_and_its_order_in_memory():
    assert sums.fcs(b"123456789") == bytes.fromhex("2639f4cb")
    assert zlib.crc32(b"123456789") == 0xCBF43926


def test_catalogue_residue():
    # The register before the final complement is DEBB20E3; reversed bit for bit C704DD7B.
    register = sums.CRC_RESIDUE ^ 0xFFFFFFFF
    assert register == 0xDEBB20E3
    assert int(f"{register:032b}"[::-1], 2) == 0xC704DD7B
    assert zlib.crc32(b"frost" + sums.fcs(b"frost")) == sums.CRC_RESIDUE


CRC_32 = [
    # AUTOSAR Specification of CRC Routines, CRC32 (cited from memory; values recomputed).
    ("00000000", 0x2144DF1C),
    ("f20183", 0x24AB9D77),
    ("0faa0055", 0xB6C9B287),
    ("00ff5511", 0x32A06212),
    ("332255aabbccddeeff", 0xB0AE863D),
    ("926b55", 0x9CDEA29B),
    ("ffffffff", 0xFFFFFFFF),
    # PNG, end chunk (cited from memory; value recomputed).
    (b"IEND".hex(), 0xAE426082),
    # php-src ext/hash/tests/crc32.phpt, crc32b.
    ("", 0x00000000),
    (b"a".hex(), 0xE8B7BE43),
    (b"abc".hex(), 0x352441C2),
    (b"message digest".hex(), 0x20159D7F),
    (b"abcdefghijklmnopqrstuvwxyz".hex(), 0x4C2750BD),
    # Constant fills, by binascii.
    ("00" * 60, 0x04128908),
    ("00" * 64, 0x758D6336),
    ("00" * 1514, 0xE3D887BB),
    ("ff" * 60, 0xF48CF14D),
]


@pytest.mark.parametrize(("octets", "value"), CRC_32)
def test_published_crc_values(octets, value):
    data = bytes.fromhex(octets)
    assert int.from_bytes(sums.fcs(data), "little") == value == binascii.crc32(data)
    assert sums.fcs_holds(data + sums.fcs(data)) == bool(data)


def test_every_single_bit_of_a_full_frame_with_fcs_is_told_apart():
    # 1518 octets have 12144 bits; CRC-32 tells them all apart (every 61st, the first, the last).
    frame = bytes(range(256)) * 6
    whole = frame[:1514] + zlib.crc32(frame[:1514]).to_bytes(4, "little")
    for position in (*range(0, 12144, 61), 12143):
        damaged = bytearray(whole)
        damaged[position // 8] ^= 1 << position % 8
        assert sums.flipped_bit(bytes(damaged)) == position


HEADERS = [
    # Encyclopaedia article "IPv4 header checksum".
    ("450000730000400040110000c0a80001c0a800c7", 0xB861),
    # An older revision of the same article.
    ("450000304422400080060000" + "8c7c19acae241e2b", 0x442E),
    # A question-and-answer thread on checksums.
    ("4500005441e0400040010000" + "0a0000040a000005", 0xE4C0),
    # Test data of a teaching stack: header, then the echo that follows it.
    ("450000300080000" + "0ff0100007f0000017f000001", 0xBD4A),
    ("0800000000800001" + b"1234567890!@#$%^&*()".hex(), 0x3564),
    # A widely copied tutorial (from memory).
    ("4500003c1c46400040060000" + "ac100a63ac100a0c", 0xB1E6),
]


@pytest.mark.parametrize(("octets", "value"), HEADERS)
def test_published_checksums(octets, value):
    data = bytes.fromhex(octets)
    at = 10 if data[0] == 0x45 else 2
    whole = data[:at] + value.to_bytes(2, "big") + data[at + 2 :]
    assert sums.checksum(data) == value
    assert sums.ones_sum(whole) == 0xFFFF


def test_textbook_udp_checksum():
    # A textbook's figure (from memory): 153.18.8.105:1087 to 171.2.14.10:13, "TESTING".
    source, destination = bytes((153, 18, 8, 105)), bytes((171, 2, 14, 10))
    pseudo = sums.pseudo_header(source, destination, 17, 15)
    assert pseudo == bytes.fromhex("99120869 ab020e0a 0011000f")
    datagram = bytes.fromhex("043f000d000f0000") + b"TESTING"
    assert sums.ones_sum(pseudo, datagram) == 0x96EB
    assert sums.checksum(pseudo, datagram) == 0x6914


# What a one's complement sum cannot see (RFC 1071 section 2), on the header that carries b861.
B861 = bytes.fromhex("45000073000040004011b861c0a80001c0a800c7")


def with_words(change):
    words = [B861[i : i + 2] for i in range(0, 20, 2)]
    return b"".join(change(words))


@pytest.mark.parametrize(
    "unseen",
    [
        with_words(lambda w: [*w[:6], w[7], w[6], *w[8:]]),
        with_words(lambda w: [x[::-1] for x in w]),
        with_words(lambda w: [*w, b"\0\0"]),
        with_words(lambda w: [b"\xff\xff" if x == b"\0\0" else x for x in w]),
    ],
    ids=["two words exchanged", "all swapped", "a zero word more", "0000 as ffff"],
)
def test_damage_that_the_sum_cannot_see_and_the_crc_does(unseen):
    assert sums.ones_sum(unseen) == 0xFFFF
    assert zlib.crc32(unseen) != zlib.crc32(B861)


def test_one_swapped_word_is_seen():
    assert sums.ones_sum(B861[:14] + B861[15:13:-1] + B861[16:]) != 0xFFFF


def test_all_zero_is_not_a_good_sum():
    # RFC 1071, appendix (IEN 45): an interface stuck at zero must not pass.
    assert sums.ones_sum(bytes(20)) == 0x0000
    assert sums.difference(0x0000) == 0  # so a verifier has to look at the sum itself
    assert sums.ones_sum(b"\xff" * 20) == 0xFFFF


def test_one_wrong_word_of_the_header_is_healed():
    damaged = B861[:14] + bytes.fromhex("7e81") + B861[16:]
    verify = sums.ones_sum(damaged)
    assert verify == 0x7E80
    assert sums.healed_word(0x7E81, sums.difference(verify)) == 0x0001


@pytest.mark.parametrize("bit", range(16))
def test_one_flipped_bit_leaves_one_power_of_two(bit):
    for at in (0, 4, 12):
        word = int.from_bytes(B861[at : at + 2], "big") ^ 1 << bit
        damaged = B861[:at] + word.to_bytes(2, "big") + B861[at + 2 :]
        was_set = bool(word >> bit & 1)
        assert sums.one_bit(sums.difference(sums.ones_sum(damaged))) == (bit, was_set)


def test_rfc_768_computed_zero_is_sent_as_ffff():
    pseudo = sums.pseudo_header(bytes((192, 0, 2, 1)), bytes((192, 0, 2, 2)), 17, 10)
    datagram = bytes.fromhex("13881389000a000054c5")
    assert sums.checksum(pseudo, datagram) == 0x0000
    carried = datagram[:6] + b"\xff\xff" + datagram[8:]
    assert sums.ones_sum(pseudo, carried) == 0xFFFF


@pytest.mark.parametrize("name", REFERENCE)
def test_reference_frames(name):
    """Worked out apart from this project: see the head of vectors/reference/frames.toml."""
    vector = REFERENCE[name]
    octets = bytes.fromhex(vector["octets"])
    assert sums.fcs(octets) == bytes.fromhex(vector["fcs"])
    assert sums.fcs_holds(octets + bytes.fromhex(vector["fcs"]))
    if "ipv4-header-checksum" not in vector:
        return
    header, segment = octets[14:34], octets[34 : 14 + int.from_bytes(octets[16:18], "big")]
    assert sums.checksum(header[:10], header[12:]) == vector["ipv4-header-checksum"]
    if "icmp-checksum" in vector:
        assert sums.checksum(segment[:2], segment[4:]) == vector["icmp-checksum"]
        return
    at = 6 if "udp-checksum" in vector else 16
    pseudo = sums.pseudo_header(header[12:16], header[16:20], header[9], len(segment))
    assert sums.ones_sum(pseudo) == vector["pseudo-header"]
    carried = vector.get("udp-checksum", vector.get("tcp-checksum"))
    assert sums.checksum(pseudo, segment[:at], segment[at + 2 :]) == carried
