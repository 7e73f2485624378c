"""Verdicts against sums that are not ours: printed examples, dpkt, zlib."""

from __future__ import annotations

import random
import zlib

import dpkt
import pytest
from judged_frames import REFERENCE, changed, judged, reference

SUMS = {"ipv4-header-checksum": 24, "icmp-checksum": 36, "udp-checksum": 40, "tcp-checksum": 50}
WITH_UDP = ("udp-hello", "dns-query", "dhcp-discover")


@pytest.mark.parametrize("name", REFERENCE)
def test_reference_frames_carry_what_was_worked_out_apart(name):
    found = judged(reference(name))
    for verdict in found.verdicts:
        if verdict.name in SUMS:
            assert verdict.carried == verdict.computed == REFERENCE[name][verdict.name]


# Published IPv4 headers: an encyclopaedia's article on the header checksum (b861; 442e in an older
# revision), a question-and-answer thread (e4c0), test data of a teaching stack (bd4a), a widely
# copied tutorial (b1e6, from memory).
PRINTED = {
    "b861": "45000073000040004011b861c0a80001c0a800c7",
    "442e": "45000030442240008006442e8c7c19acae241e2b",
    "e4c0": "4500005441e040004001e4c00a0000040a000005",
    "bd4a": "4500003000800000ff01bd4a7f0000017f000001",
    "b1e6": "4500003c1c4640004006b1e6ac100a63ac100a0c",
}


@pytest.mark.parametrize("printed", PRINTED)
def test_printed_headers_hold_and_are_computed(printed):
    header = bytes.fromhex(PRINTED[printed])
    found = judged(header, "ipv4", cut=True).verdict("ipv4-header-checksum")
    assert (found.outcome, found.computed) == ("match", int(printed, 16))
    broken = judged(changed(header, 10, "0000"), "ipv4", cut=True).verdict("ipv4-header-checksum")
    assert (broken.outcome, broken.computed) == ("mismatch", int(printed, 16))


def test_the_echo_that_follows_the_printed_header_holds():
    """Test data of the same teaching stack: an ICMP echo of 28 octets, checksum 3564."""
    header = bytes.fromhex(PRINTED["bd4a"])
    echo = bytes.fromhex("0800356400800001") + b"1234567890!@#$%^&*()"
    found = judged(header + echo, "ipv4").verdict("icmp-checksum")
    assert (found.outcome, found.computed) == ("match", 0x3564)


def test_a_textbook_datagram_computes_to_6914():
    """153.18.8.105:1087 to 171.2.14.10:13, TESTING: a figure of a textbook (from memory)."""
    datagram = dpkt.ip.IP(
        src=bytes((153, 18, 8, 105)),
        dst=bytes((171, 2, 14, 10)),
        p=17,
        data=bytes.fromhex("043f000d000f0001") + b"TESTING",
    )
    datagram.len = 35
    found = judged(bytes(datagram), "ipv4").verdict("udp-checksum")
    assert (found.outcome, found.carried, found.computed) == ("mismatch", 1, 0x6914)


@pytest.mark.parametrize("protocol", [1, 6, 17])
def test_any_datagram_computes_to_what_another_library_sums(protocol):
    drawn = random.Random(protocol)
    for _ in range(200):
        data = drawn.randbytes(drawn.randrange(90))
        inner = {
            1: lambda d: dpkt.icmp.ICMP(type=8, data=dpkt.icmp.ICMP.Echo(id=1, seq=2, data=d)),
            6: lambda d: dpkt.tcp.TCP(sport=5000, dport=5001, flags=16, data=d),
            17: lambda d: dpkt.udp.UDP(sport=5000, dport=5001, ulen=8 + len(d), data=d),
        }[protocol](data)
        ip = dpkt.ip.IP(src=drawn.randbytes(4), dst=drawn.randbytes(4), p=protocol, data=inner)
        ip.len = 20 + len(inner)
        octets = bytes(ip)  # dpkt fills in both sums
        found = judged(octets, "ipv4")
        assert {v.outcome for v in found.verdicts} == {"match"}
        at = 20 + {1: 2, 6: 16, 17: 6}[protocol]
        right = int.from_bytes(octets[at : at + 2], "big")
        broken = judged(changed(octets, at, f"{right ^ 0x0F10 or 1:04x}"), "ipv4")
        name = {1: "icmp-checksum", 6: "tcp-checksum", 17: "udp-checksum"}[protocol]
        assert broken.verdict(name).computed == right
        assert [f.rule for f in broken.findings if f.certainty == "impossible"] == [name]


def test_a_failed_sum_covers_itself_and_the_addresses_it_sums():
    found = judged(changed(reference("udp-hello"), 44, "6b"))
    verdict = found.verdict("udp-checksum")
    assert [s.octets for s in verdict.covers] == [(26, 34), (34, 47)]
    assert verdict.field is not None
    assert verdict.field.octets == (40, 42)
    assert found.spans("udp-checksum") == [((34, 47),)]


@pytest.mark.parametrize(
    "name", [n for n, vector in REFERENCE.items() if "pseudo-header" in vector]
)
def test_a_sum_left_to_the_adapter_is_partial_and_no_damage(name):
    """The folded pseudo-headers were worked out apart; hosts were seen to leave exactly them."""
    frame = reference(name)
    sum_name = "tcp-checksum" if name == "tcp-syn" else "udp-checksum"
    half = REFERENCE[name]["pseudo-header"]
    found = judged(changed(frame, SUMS[sum_name], f"{half:04x}"))
    assert found.outcome(sum_name) == "partial"
    assert found.verdict(sum_name).computed == REFERENCE[name][sum_name]
    assert found.above_unusual == []
    assert found.fate.outcome == "delivered"
    assert "checksum-offload" in found.fate.assumed


def test_a_sum_left_to_the_adapter_without_its_length_is_partial():
    """Some drivers clear the length for segmentation: 8422 less the length 000d."""
    found = judged(changed(reference("udp-hello"), 40, f"{0x8422 - 0x0D:04x}"))
    assert found.outcome("udp-checksum") == "partial"


def test_a_header_checksum_of_zero_is_partial_beside_one_that_is():
    half = changed(changed(reference("udp-hello"), 40, "8422"), 24, "0000")
    found = judged(half)
    assert found.outcome("ipv4-header-checksum") == "partial"
    assert found.verdict("ipv4-header-checksum").computed == 0xE494
    assert found.above_unusual == []
    alone = judged(changed(reference("udp-hello"), 24, "0000"))
    assert alone.outcome("ipv4-header-checksum") == "mismatch"


def test_a_right_sum_is_never_partial():
    """Data chosen so that the right checksum equals the folded pseudo-header."""
    frame = reference("udp-hello")
    data = int.from_bytes(frame[42:44], "big")
    # Moving the first word of the data by the difference moves the checksum the other way.
    word = (data + 0x10ED - 0x8422) % 0xFFFF
    frame = changed(changed(frame, 40, "8422"), 42, f"{word:04x}")
    assert judged(frame).outcome("udp-checksum") == "match"


def test_no_udp_checksum_is_absent():
    found = judged(changed(reference("udp-hello"), 40, "0000"))
    assert found.outcome("udp-checksum") == "absent"
    assert [(f.rule, f.certainty) for f in found.findings] == [("udp-checksum-absent", "unusual")]
    assert found.fate.outcome == "delivered"


def test_a_computed_zero_is_sent_as_ffff_and_holds():
    """RFC 768; the words of this datagram sum to FFFF with the pseudo-header."""
    frame = bytes.fromhex(
        "00005e00530200005e0053010800 4500001e123400004011e497c0000201c0000202"
        "13881389000affff54c5" + "00" * 16
    )
    verdict = judged(frame).verdict("udp-checksum")
    assert (verdict.outcome, verdict.carried) == ("match", 0xFFFF)


@pytest.mark.parametrize("flags", ["2000", "0001"])
def test_a_fragment_has_no_transport_sum(flags):
    frame = changed(reference("icmp-echo"), 20, flags)
    found = judged(frame)
    assert found.outcome("icmp-checksum") in (None, "unverifiable")
    assert found.outcome("ipv4-header-checksum") == "mismatch"


def test_a_quoted_datagram_is_not_judged():
    """An ICMP error about a datagram whose own sums are all wrong (built with dpkt)."""
    inner = changed(changed(reference("udp-hello")[14:42], 10, "dead"), 26, "beef")
    error = dpkt.icmp.ICMP(type=3, code=3, data=dpkt.icmp.ICMP.Unreach(data=inner))
    ip = dpkt.ip.IP(src=bytes((192, 0, 2, 2)), dst=bytes((192, 0, 2, 1)), p=1, data=error)
    ip.len = 20 + len(error)
    found = judged(bytes(ip), "ipv4")
    assert [v.name for v in found.verdicts].count("ipv4-header-checksum") == 1
    assert "udp-checksum" not in {v.name for v in found.verdicts}
    assert found.above_unusual == []


def test_an_all_zero_message_does_not_hold():
    """RFC 1071: zeros sum to 0000, not FFFF (an interface stuck at zero)."""
    ip = dpkt.ip.IP(src=bytes((192, 0, 2, 2)), dst=bytes((192, 0, 2, 1)), p=1, data=bytes(8))
    ip.len = 28
    assert judged(bytes(ip), "ipv4").outcome("icmp-checksum") == "mismatch"


@pytest.mark.parametrize("length", [0, 7, 14, 0xFFFF])
def test_a_udp_length_that_cannot_be(length):
    found = judged(changed(reference("udp-hello"), 38, f"{length:04x}"))
    verdict = found.verdict("udp-length")
    assert (verdict.outcome, verdict.carried, verdict.computed) == ("mismatch", length, 13)
    assert found.spans("udp-length") == [((38, 40),)]
    assert (found.fate.step, found.fate.rule) == ("transport-length", "udp-length")


@pytest.mark.parametrize("length", [0, 19, 61, 0xFFFF])
def test_a_total_length_that_cannot_be(length):
    found = judged(changed(reference("icmp-echo"), 16, f"{length:04x}"))
    verdict = found.verdict("ipv4-total-length")
    assert (verdict.outcome, verdict.carried, verdict.computed) == ("mismatch", length, 60)
    assert found.spans("ipv4-total-length") == [((16, 18),)]


def test_the_fcs_is_a_number_that_zlib_computes():
    frame = reference("tcp-syn")
    fcs = bytes.fromhex(REFERENCE["tcp-syn"]["fcs"])
    verdict = judged(frame, fcs=fcs).verdict("fcs")
    assert verdict.outcome == "match"
    assert verdict.carried == verdict.computed == zlib.crc32(frame)
    assert verdict.field is None
    broken = judged(changed(frame, 60, "ffff"), fcs=fcs)
    assert broken.verdict("fcs").computed == zlib.crc32(changed(frame, 60, "ffff"))
    assert broken.verdict("fcs").carried == zlib.crc32(frame)
    assert broken.fate.rule == "ethernet-fcs"


@pytest.mark.parametrize("there", [1, 2, 3])
def test_a_cut_fcs_is_compared_as_far_as_it_goes(there):
    frame, fcs = reference("tcp-syn"), bytes.fromhex(REFERENCE["tcp-syn"]["fcs"])
    assert judged(frame, fcs=fcs[:there]).outcome("fcs") == "match"
    wrong = bytes((fcs[0] ^ 1,)) + fcs[1:there]
    assert judged(frame, fcs=wrong).outcome("fcs") == "mismatch"


@pytest.mark.parametrize("name", REFERENCE)
def test_a_flipped_bit_is_located_exactly_by_the_fcs(name):
    frame, fcs = reference(name), bytes.fromhex(REFERENCE[name]["fcs"])
    drawn = random.Random(name)
    for _ in range(40):
        octet, bit = drawn.randrange(len(frame)), drawn.randrange(8)
        flipped = changed(frame, octet, f"{frame[octet] ^ 1 << bit:02x}")
        found = judged(flipped, fcs=fcs)
        assert found.spans("ethernet-fcs") == [((octet, octet + 1),)]
        assert f"octet 0x{octet:x}, bit {bit}" in found.verdict("fcs").says
