"""Protocols of the link, and small ones over UDP: quiet where sound, named where broken.

The frames are written by hand from the figures of the standards named beside the rules.
"""

from __future__ import annotations

import dpkt
import pytest
from judged_frames import changed, judged

from framecheck.judging._configuration import in_session
from framecheck.judging._examples import QUERY, REPORT, over_ethernet, over_udp, resummed

STATION = "020704" + "00005e005301" + "040403" + "657468" + "06020078"
BRIDGE = "8000" + "00005e005301"
STAMP = "ec00000000000000"
QUIET = {
    "LLDP that leaves": over_ethernet(0x88CC, STATION[:-4] + "0000" + "0000", "0180c200000e"),
    "LLDP to the nearest customer bridge": over_ethernet(
        0x88CC, STATION + "0a04" + "72756273" + "0000", "0180c2000000"
    ),
    "bridge that is root": over_ethernet(
        38,
        "424203" + "00000000" + "00" + BRIDGE + "00000000" + BRIDGE + "8001" + "0000140002000f00",
        "0180c2000000",
    ),
    "topology changes": over_ethernet(7, "424203" + "00000080", "0180c2000000"),
    "PPPoE refuses a session": over_ethernet(
        0x8863, "11650000" + "000b" + "01010000" + "02010003" + "627379"
    ),
    "PPPoE offers": over_ethernet(
        0x8863, "11070000" + "000d" + "01010000" + "01020005" + "6665726e73"
    ),
    "LCP asks": in_session(
        0xC021, "01010012" + "010405d4" + "0506 01020304".replace(" ", "") + "0702" + "0802"
    ),
    "LCP echoes": in_session(0xC021, "09070008" + "01020304"),
    "IPCP asks for an address": in_session(0x8021, "01010010" + "030600000000" + "810600000000"),
    "EAPOL starts": over_ethernet(0x888E, "02010000", "0180c2000003"),
    "EAPOL of version 3": over_ethernet(0x888E, "0300000a" + "0101000a01" + "66726f7374"),
    "pause": over_ethernet(0x8808, "0001ffff", "0180c2000001"),
    "go on, to one station": over_ethernet(0x8808, "00010000"),
    "NTP client of version 3": over_udp("1b" + "00" * 47, 49152, 123),
    "NTP kiss": over_udp("e40006ec" + "00" * 8 + "52415445" + STAMP * 3 + "00" * 8, 123, 123),
    "NTP with a digest": over_udp(
        "240206e9" + "00" * 8 + "c0000201" + STAMP * 4 + "00000001" + "5a" * 16, 123, 123
    ),
    "TFTP reads": over_udp("0001" + b"orchard.cfg\0OCTET\0".hex(), 49152, 69),
    "syslog": over_udp(b"<134>frost in row 7".hex(), 514, 514),
    "general query": QUERY,
    "report": REPORT,
    "leave": resummed(
        changed(
            changed(changed(QUERY, 0, "01005e000002"), 30, "e0000002"), 38, "1700" + "0000e00000fb"
        )
    ),
    "query of version 1": resummed(changed(changed(QUERY, 39, "00"), 34, "01010100")),
}


@pytest.mark.parametrize("what", QUIET)
def test_what_is_sound_is_met_with_silence(what):
    found = judged(QUIET[what])
    assert found.above_unusual == []
    assert "mismatch" not in {v.outcome for v in found.verdicts}
    assert found.fate.outcome != "dropped"


LOUD = {
    "LLDP begins with the port": (
        over_ethernet(0x88CC, STATION[18:] + "0000", "0180c200000e"),
        "lldp-mandatory-order",
    ),
    "LLDP holds nothing": (over_ethernet(0x88CC, "0000", "0180c200000e"), "lldp-mandatory-order"),
    "session data with the type of discovery": (
        changed(in_session(0xC021, "0901000801020304"), 12, "8863"),
        "pppoe-code-and-type",
    ),
    "LCP length of 3": (in_session(0xC021, "01010003"), "lcp-length"),
    "LCP option of length 1": (in_session(0xC021, "01010008" + "01010203"), "lcp-option-length"),
    "IPCP address of 3 octets": (in_session(0x8021, "01010009" + "0305c00002"), "ipcp-option-size"),
    "pause with its octets exchanged": (
        over_ethernet(0x8808, "0100ffff", "0180c2000001"),
        "mac-control-opcode-unknown",
    ),
    "pause with something behind it": (
        over_ethernet(0x8808, "0001ffff" + "a5a5", "0180c2000001"),
        "padding-not-zero",
    ),
    "NTP of version 7": (over_udp("3b" + "00" * 47, 49152, 123), "ntp-version"),
    "IGMP from afar": (resummed(changed(REPORT, 22, "40")), "igmp-time-to-live"),
    "IGMP report of a host": (resummed(changed(REPORT, 50, "c0000209")), "igmp-group-address"),
}


@pytest.mark.parametrize("what", LOUD)
def test_what_is_broken_is_said_by_the_rule_that_knows_it(what):
    octets, rule = LOUD[what]
    assert rule in judged(octets).above_unusual


@pytest.mark.parametrize("frame", [QUERY, REPORT])
def test_igmp_sums_as_another_library_sums(frame):
    zeroed = changed(frame, 40, "0000")[38:]
    verdict = judged(frame).verdict("igmp-checksum")
    assert (verdict.outcome, verdict.carried) == ("match", dpkt.in_cksum(zeroed))
    for at in range(38, len(frame)):
        broken = judged(changed(frame, at, f"{frame[at] ^ 0x41:02x}"))
        assert broken.outcome("igmp-checksum") == "mismatch"
        assert broken.fate.step == "transport-checksum"


def test_igmp_is_a_protocol_of_every_host():
    assert judged(QUERY).fate.outcome == "delivered"
    assert judged(QUERY).fate.assumed == ("group",)


@pytest.mark.parametrize("what", ["pause", "EAPOL starts", "bridge that is root", "LCP echoes"])
def test_whether_a_host_knows_the_protocol_is_left_open(what):
    found = judged(QUIET[what]).fate
    assert found.outcome == "cannot tell"
    assert "protocol" in found.assumed
