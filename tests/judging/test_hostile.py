"""Any octets at all are judged, and what is said stays within the frame."""

from __future__ import annotations

import random
import tomllib
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st
from judged_frames import BOARD, BOARD_IPV6, NOBODY, REFERENCE, judged, reference

from framecheck.judging import STEPS, all_rules
from framecheck.judging._examples import DISCOVER, OFFER

FRAMES = [reference(name) for name in REFERENCE] + [OFFER, DISCOVER]
EXAMPLES = [bytes.fromhex(r.example.octets) for r in all_rules()]
CERTAINTIES = {"impossible", "forbidden", "suspicious", "unusual"}


@st.composite
def damaged(draw: st.DrawFn) -> bytes:
    """A sound frame with octets changed, lost and put in."""
    octets = bytearray(draw(st.one_of(st.sampled_from(FRAMES), st.sampled_from(EXAMPLES))))
    for _ in range(draw(st.integers(0, 4))):
        at = draw(st.integers(0, len(octets)))
        count = draw(st.integers(0, 12))
        octets[at : at + count] = draw(st.binary(max_size=14))
    return bytes(octets)


@given(
    st.one_of(st.binary(max_size=120), damaged()),
    st.sampled_from(("ethernet", "ethernet", "ipv4", "ipv6", "arp", "ppp", "hdlc", "inside")),
    st.booleans(),
    st.one_of(st.none(), st.binary(max_size=4)),
    st.booleans(),
    st.sampled_from((NOBODY, BOARD, BOARD_IPV6)),
)
def test_nothing_raises_and_spans_stay_inside(octets, starts_at, cut, fcs, on_wire, host):
    found = judged(octets, starts_at, cut=cut, fcs=fcs, on_wire=on_wire, host=host)
    for finding in found.findings:
        assert finding.certainty in CERTAINTIES
        assert finding.spans
        for span in finding.spans:
            assert 0 <= span.start < span.stop <= len(octets) * 8
    for verdict in found.verdicts:
        for span in (*verdict.covers, *verdict.blamed):
            assert 0 <= span.start < span.stop <= len(octets) * 8
        if verdict.outcome == "mismatch":
            # One verdict has a name of one word, which no rule may have.
            names = {verdict.name} if verdict.name != "fcs" else {"ethernet-fcs", "hdlc-fcs"}
            assert names & {f.rule for f in found.findings}
    assert found.fate.outcome in ("delivered", "dropped", "cannot tell")
    assert found.fate.step is None or found.fate.step in STEPS
    assert (found.fate.outcome == "dropped") == (found.fate.rule is not None)


@given(damaged(), st.booleans())
def test_the_same_octets_are_judged_alike(octets, cut):
    assert judged(octets, cut=cut) == judged(octets, cut=cut)


VECTORS = Path(__file__).parents[2] / "vectors/layers"
LAYERS = sorted(p.name for p in VECTORS.iterdir())


@pytest.mark.parametrize("layer", LAYERS)
def test_any_octets_in_place_of_a_layer_are_judged(layer):
    """What leads to the layer is a vector's; from its first octet on anything may stand."""
    drawn = random.Random(layer)
    for path in sorted((VECTORS / layer).glob("*.toml")):
        vector = tomllib.loads(path.read_text("utf-8"))
        octets, start = bytes.fromhex(vector["octets"]), vector["start"]
        for _ in range(25):
            rest = drawn.randrange(len(octets) - start + 40)
            alphabet = drawn.choice((range(256), range(4), (0, 0xFF), range(0xC0, 0x100)))
            frame = octets[:start] + bytes(drawn.choices(alphabet, k=rest))
            found = judged(frame, vector["starts_at"], cut=drawn.random() < 0.2)
            for finding in found.findings:
                assert finding.spans
                assert all(0 <= s.start < s.stop <= len(frame) * 8 for s in finding.spans)
