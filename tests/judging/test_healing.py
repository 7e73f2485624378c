"""What a failed sum tells beyond its failure: checked against the frame before the damage."""

from __future__ import annotations

import random

import pytest
from judged_frames import REFERENCE, changed, judged, reference

from framecheck.judging._examples import ICMP, OFFER, TCP, UDP

# What is damaged, and which sums and lengths then point at exactly these octets.
NAMED = {
    "version": (UDP, 14, "55", "ipv4-header-checksum"),
    "total length, one octet": (UDP, 16, "01", "ipv4-header-checksum"),
    "total length, both octets": (ICMP, 16, "4142", "ipv4-header-checksum ipv4-total-length"),
    "reserved flag": (ICMP, 20, "80", "ipv4-header-checksum"),
    "destination is not yiaddr": (OFFER, 33, "4c", "ipv4-header-checksum"),
    "UDP length, too short": (UDP, 39, "0c", "udp-checksum"),
    "UDP length, too long": (UDP, 38, "01", "udp-length"),
    "DHCP cookie, one octet": (OFFER, 280, "52", "udp-checksum"),
    "DHCP cookie, all exchanged": (OFFER, 278, "82636353", "udp-checksum"),
    "yiaddr is not the destination": (OFFER, 61, "4c", "udp-checksum"),
    "TCP flags": (TCP, 47, "03", "tcp-checksum"),
    "TCP option": (TCP, 55, "05", "tcp-checksum"),
    "payload, which nothing else knows": (UDP, 44, "6d", ""),
    "identification, which nothing else knows": (UDP, 18, "ff", ""),
}


@pytest.mark.parametrize("what", NAMED)
def test_the_octets_are_named_where_another_rule_agrees(what):
    frame, at, digits, names = NAMED[what]
    damaged = changed(frame, at, digits)
    wrong = {i for i, (a, b) in enumerate(zip(frame, damaged, strict=True)) if a != b}
    blamed = {
        v.name: {i for s in v.blamed for i in range(*s.octets)}
        for v in judged(damaged).verdicts
        if v.blamed
    }
    assert blamed == dict.fromkeys(names.split(), wrong)


def test_the_sentence_says_what_it_was():
    found = judged(changed(OFFER, 280, "52"))
    says = next(f.says for f in found.findings if f.rule == "udp-checksum")
    assert "one flipped bit: octet 0x118 from 52 to 53 heals it" in says
    carried, computed = (found.verdict("udp-checksum")[i] for i in (2, 3))
    assert f"carries {carried:04x}, the octets give {computed:04x}" in says


@pytest.mark.parametrize("name", [*REFERENCE, "offer"])
def test_nothing_is_blamed_that_is_right(name):
    """Residue of letters, zeros, exchanged words and flipped bits at random places."""
    frame = OFFER if name == "offer" else reference(name)
    letters = bytes(65 + i % 26 for i in range(len(frame)))
    drawn = random.Random(name)
    for _ in range(150):
        start = drawn.randrange(14, len(frame))
        stop = min(len(frame), start + drawn.choice((1, 2, 3, 6, 16, 400)))
        new = drawn.choice((letters[start:stop], bytes(stop - start), frame[start:stop][::-1]))
        damaged = frame[:start] + new + frame[stop:]
        for verdict in judged(damaged).verdicts:
            for span in verdict.blamed:
                for i in range(*span.octets):
                    assert damaged[i] != frame[i]
