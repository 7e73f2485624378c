"""A layer's file runs only when its number is met; the numbers are found without running it."""

from __future__ import annotations

import subprocess
import sys

import pytest
from layer_frames import reference

from framecheck.layers import kinds
from framecheck.layers._stack import entries


def test_the_numbers_that_are_found_are_those_that_the_layers_declare() -> None:
    declared = [(entry, k.name.replace("-", "_")) for k in kinds() for entry in k.entered_by]

    assert entries() == dict(declared)
    assert len(entries()) == len(declared)


def _loaded(octets: bytes) -> set[str]:
    code = (
        "import sys; from framecheck.layers import decode_frame, summary;"
        f"octets = bytes.fromhex('{octets.hex()}');"
        "summary(decode_frame(octets), octets);"
        "print(*(m for m in sys.modules if m.startswith('framecheck.layers.')))"
    )
    ran = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    names = (name.removeprefix("framecheck.layers.") for name in ran.stdout.split())
    return {name for name in names if name in {k.name.replace("-", "_") for k in kinds()}}


@pytest.mark.parametrize(
    ("name", "expected"),
    [
        ("udp-hello", {"ethernet", "ipv4", "udp"}),
        ("arp-request", {"ethernet", "arp"}),
        ("dhcp-discover", {"ethernet", "ipv4", "udp", "dhcp"}),
    ],
)
def test_only_the_files_of_the_layers_of_a_frame_run(name: str, expected: set[str]) -> None:
    assert _loaded(reference()[name]) == expected
