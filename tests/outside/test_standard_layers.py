"""Frames of standards, and frames worked out apart from this project, decoded and judged."""

from __future__ import annotations

import tomllib
from pathlib import Path

import pytest

from framecheck.core.view import View
from framecheck.judging import fate, judge
from framecheck.layers import decode_frame
from framecheck.layers._names import reads

REFERENCE = tomllib.loads(
    (Path(__file__).parents[2] / "vectors/reference/frames.toml").read_text("utf-8")
)
LINK = bytes.fromhex("00005e005302 00005e005301 0800")


def test_rfc_791_appendix_a_example_1():
    """The smallest datagram with data; addresses and checksum are left blank in the RFC."""
    ip = bytes.fromhex("45000015 006f0000 7b010000 00000000 00000000 61")
    layer = decode_frame(ip, "ipv4")[0]
    read = {f.name: f.value for f in layer.fields}
    expected = {"version": 4, "ihl": 5, "total_length": 21, "identification": 111}
    expected |= {"more_fragments": 0, "fragment_offset": 0, "time_to_live": 123, "protocol": 1}
    assert {name: read[name] for name in expected} == expected


@pytest.mark.parametrize(
    ("header", "length", "more", "offset"),
    [("450000d8 006f0020 7b060000", 216, 0, 32), ("45000114 006f2000 7b060000", 276, 1, 0)],
)
def test_rfc_791_appendix_a_example_2(header, length, more, offset):
    """472 octets in two fragments behind a limit of 280: 276 and 216 octets, offset 0 and 32."""
    layer = decode_frame(bytes.fromhex(header) + bytes(length - 12), "ipv4")[0]
    names = ("total_length", "more_fragments", "fragment_offset")
    assert [layer[n].value for n in names] == [length, more, offset]


@pytest.mark.parametrize(
    ("offset", "name"), [(20, "F.ISI.ARPA"), (40, "FOO.F.ISI.ARPA"), (64, "ARPA"), (92, ".")]
)
def test_rfc_1035_names_with_pointers(offset, name):
    """RFC 1035 4.1.4: four names of one message, two of them with a pointer."""
    message = bytearray(93)
    for at, octets in (
        (20, "01 46 03 49 53 49 04 41 52 50 41 00"),
        (40, "03 46 4f 4f c0 14"),
        (64, "c0 1a"),
        (92, "00"),
    ):
        part = bytes.fromhex(octets)
        message[at : at + len(part)] = part
    assert reads(bytes(message), 0, offset, len(message)) == name


@pytest.mark.parametrize("name", REFERENCE)
def test_reference_frames_are_sound(name):
    vector = REFERENCE[name]
    octets = bytes.fromhex(vector["octets"])
    view = View(octets, decode_frame(octets), fcs=bytes.fromhex(vector["fcs"]))
    verdicts, findings = judge(view)
    assert [f.rule for f in findings if f.certainty != "unusual"] == []
    assert fate(view, findings).outcome in ("delivered", "cannot tell")
    outcomes = {v.name: (v.outcome, v.carried) for v in verdicts}
    expected = {k: v for k, v in vector.items() if k.endswith("checksum")}
    expected["fcs"] = int.from_bytes(bytes.fromhex(vector["fcs"]), "little")
    for sum_name, value in expected.items():
        assert outcomes[sum_name] == ("match", value)


@pytest.mark.parametrize("name", [n for n, v in REFERENCE.items() if "pseudo-header" in v])
def test_reference_frames_with_a_sum_left_to_the_adapter(name):
    vector = REFERENCE[name]
    octets = bytearray.fromhex(vector["octets"])
    sum_name = "udp-checksum" if "udp-checksum" in vector else "tcp-checksum"
    at = 40 if sum_name == "udp-checksum" else 50
    octets[at : at + 2] = vector["pseudo-header"].to_bytes(2, "big")
    verdicts, findings = judge(View(bytes(octets), decode_frame(bytes(octets))))
    verdict = next(v for v in verdicts if v.name == sum_name)
    assert (verdict.outcome, verdict.computed) == ("partial", vector[sum_name])
    assert sum_name not in {f.rule for f in findings}


def test_a_sum_over_nothing_but_zero_does_not_hold():
    """RFC 1071, appendix (IEN 45): the sum is 0000, not FFFF; an interface stuck at zero."""
    header = bytes.fromhex("4500003c123400004001e489c0000201c0000202")
    octets = LINK + header + bytes(40)
    verdicts, findings = judge(View(octets, decode_frame(octets)))
    assert ("icmp-checksum", "mismatch") in {(v.name, v.outcome) for v in verdicts}
    assert "icmp-checksum" in {f.rule for f in findings}
