"""Recorded frames, mangled: nothing raises, fields tile, every finding points into the frame."""

from __future__ import annotations

import random

import pytest
from recordings import ALL, SOUND, frames

from framecheck.core.finding import Host
from framecheck.core.view import View
from framecheck.judging import STEPS, fate, judge
from framecheck.layers import decode_frame, summary

HOSTS = (Host(), Host(bytes.fromhex("00005e005307"), bytes((192, 0, 2, 77)), 68))


def mangled(octets: bytes, random_: random.Random) -> bytes:
    """One of the things that a transfer, a console or a stranger can do to a frame."""
    data = bytearray(octets)
    way = random_.randrange(6)
    if way == 0:
        for _ in range(random_.randrange(1, 30)):
            data[random_.randrange(len(data))] = random_.randrange(256)
    elif way == 1:
        del data[random_.randrange(len(data) + 1) :]
    elif way == 2:
        data = bytearray(random_.randbytes(random_.randrange(120)))
    elif way == 3:
        at = random_.randrange(len(data))
        data[at:at] = random_.randbytes(random_.randrange(1, 9))
    elif way == 4:
        for _ in range(random_.randrange(1, 6)):
            at = random_.randrange(12, min(len(data), 62))
            data[at] = random_.choice((0, 255, random_.randrange(256)))
        del data[random_.randrange(13, len(data) + 1) :]
    else:
        other = frames(random_.choice(ALL))
        data[14:] = random_.choice(other)[random_.randrange(14, 60) :]
    return bytes(data)


@pytest.mark.parametrize("seed", range(8))
def test_nothing_raises_and_everything_points_into_the_frame(seed):
    random_ = random.Random(seed)
    recorded = [octets for name in ALL for octets in frames(name)]
    for _ in range(1000):
        octets = mangled(random_.choice(recorded), random_)
        layers = decode_frame(octets, random_.choice(("ethernet", "ethernet", "ipv4", "arp")))
        edges = [x for layer in layers for f in layer.fields for x in (f.start, f.stop)]
        assert edges == sorted(edges)
        assert edges[:1] + edges[-1:] in ([], [0, len(octets) * 8])
        assert edges[1:-1:2] == edges[2::2]
        fcs = random_.choice((None, octets[-4:], octets[-2:]))
        cut, host = random_.random() < 0.3, random_.choice(HOSTS)
        view = View(octets, layers, cut=cut, fcs=fcs, host=host)
        verdicts, findings = judge(view)
        for finding in findings:
            assert finding.spans, finding
            for span in finding.spans:
                assert 0 <= span.start < span.stop <= len(octets) * 8, (finding, octets.hex())
        for verdict in verdicts:
            for span in (*verdict.covers, *verdict.blamed):
                assert 0 <= span.start <= span.stop <= len(octets) * 8, (verdict, octets.hex())
        said = fate(view, findings)
        if said.outcome == "dropped":
            assert said.step in STEPS
            assert said.rule
        else:
            assert said.rule is None
        assert summary(layers, octets)


@pytest.mark.parametrize("name", SOUND)
def test_an_octet_that_the_arithmetic_names_is_the_wrong_one(name):
    """Of one changed octet anywhere in the frame: it is named, or nothing is."""
    random_ = random.Random(4782)
    mistaken = []
    for number, octets in enumerate(frames(name)):
        for at in (*range(14, min(len(octets), 46)), random_.randrange(len(octets))):
            value = octets[at] ^ random_.choice((1 << random_.randrange(8), random_.randrange(256)))
            damaged = octets[:at] + bytes((value,)) + octets[at + 1 :]
            verdicts, _ = judge(View(damaged, decode_frame(damaged)))
            named = [s.octets for v in verdicts if v.outcome == "mismatch" for s in v.blamed]
            mistaken += [(number, at, value, span) for span in named if span != (at, at + 1)]
    assert mistaken == []
