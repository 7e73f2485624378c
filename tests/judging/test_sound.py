"""Silence: recordings of real stacks and the vectors of all layers, whole and cut anywhere.

The recordings are those of ``vectors/traffic`` (real kernels and programs, see the README there);
the vectors come from the standards' figures, each with its source in its file.
"""

from __future__ import annotations

import tomllib
from functools import cache
from pathlib import Path

import dpkt
import pytest
from judged_frames import judged

VECTORS = Path(__file__).parents[2] / "vectors"
RECORDINGS = sorted(p.name for p in (VECTORS / "traffic").glob("*.pcap*"))
LAYERS = sorted(f"{p.parent.name}/{p.stem}" for p in VECTORS.glob("layers/*/*.toml"))
SHOWS = {
    # A vector shows one layer; what is around it need not be what a stack sends.
    "dhcpv6/prefix": {"dhcpv6-option-missing"},
    "icmp/teaching-stack": {"ipv4-source-address", "ipv4-destination-address"},
    "icmpv6/listener-done": {"icmpv6-listener-router-alert"},
    "icmpv6/listener-query": {"icmpv6-listener-router-alert"},
    "icmpv6/listener-query-version-2": {
        "icmpv6-listener-router-alert",
        "icmpv6-listener-destination",
    },
    "icmpv6/listener-report": {"icmpv6-listener-router-alert"},
    "icmpv6/listener-report-version-2": {"icmpv6-listener-router-alert"},
    "icmpv6/router-advertisement": {"icmpv6-prefix-lifetimes"},
    "ipv4/header-442e": {"ipv4-total-length"},
    "ipv4/header-b861": {"ipv4-total-length"},
    "ipv4/router-alert": {"ipv4-protocol-absent"},
    "ipv4/teaching-stack": {"ipv4-source-address", "ipv4-destination-address"},
    "ipv6-routing/source-route": {"ipv6-routing-type-deprecated", "ipv6-routing-type-unknown"},
    "ipv6/udp": {"padding-behind-long-frame"},
}


@cache
def recorded(name: str) -> tuple[bytes, ...]:
    path = VECTORS / "traffic" / name
    reader = dpkt.pcapng.Reader if path.suffix == ".pcapng" else dpkt.pcap.Reader
    with path.open("rb") as file:
        return tuple(octets for _, octets in reader(file))


def vector(name: str) -> tuple[bytes, str]:
    found = tomllib.loads((VECTORS / "layers" / f"{name}.toml").read_text("utf-8"))
    return bytes.fromhex(found["octets"]), found["starts_at"]


@pytest.mark.parametrize("name", RECORDINGS)
def test_recorded_traffic_is_met_with_silence(name):
    for octets in recorded(name):
        found = judged(octets)
        assert found.above_unusual == []
        assert "mismatch" not in {v.outcome for v in found.verdicts}
        assert found.fate.outcome != "dropped"


def test_recorded_ipv6_is_summed_and_delivered():
    """Only parts of a datagram are left open."""
    for octets in recorded("ipv6.pcap"):
        found = judged(octets)
        sums = {v.outcome for v in found.verdicts if v.name.endswith("checksum")}
        if found.fate.outcome == "delivered":
            assert sums == {"match"}
        else:
            assert found.fate.step == "reassembly"


@pytest.mark.parametrize("name", LAYERS)
def test_a_vector_is_met_with_silence(name):
    octets, starts_at = vector(name)
    assert set(judged(octets, starts_at).above_unusual) == SHOWS.get(name, set())


@pytest.mark.parametrize("name", LAYERS)
def test_a_vector_cut_anywhere_says_nothing_new(name):
    """Rules and lengths that need lost octets rest in a cut frame."""
    octets, starts_at = vector(name)
    for stop in range(0, len(octets), 1 if len(octets) < 200 else 7):
        found = judged(octets[:stop], starts_at, cut=True)
        assert set(found.above_unusual) <= SHOWS.get(name, set())
        assert {v.outcome for v in found.verdicts} <= {"match", "unverifiable", "absent"}


@pytest.mark.parametrize("name", LAYERS)
def test_a_vector_with_any_octet_changed_is_judged(name):
    """Each octet set to 00, to ff, and with one bit flipped: nothing raises, spans stay inside."""
    octets, starts_at = vector(name)
    for at in range(0, len(octets), 1 if len(octets) < 120 else 3):
        for new in (0, 0xFF, octets[at] ^ 1 << at % 8):
            found = judged(octets[:at] + bytes((new,)) + octets[at + 1 :], starts_at)
            for finding in found.findings:
                assert finding.spans
                for span in finding.spans:
                    assert 0 <= span.start < span.stop <= len(octets) * 8
