"""Probes as files: a capture, a hex log that ``check`` reads back, an array for a C compiler."""

from __future__ import annotations

import io
from collections.abc import Iterable, Iterator, Sequence
from typing import Any, NamedTuple

from framecheck.damage.probes import BOARD, NUMBERS, Addresses, frame, label

MOST = 100_000
"""Probes that are built at once."""
CAUTION = "Send these frames only into a network that you may test."
FORMAT = "framecheck-probes"
VERSION = 1
_WHAT = {
    "ethernet": "local experimental type 88B5",
    "arp": "ARP request",
    "udp": "UDP to the discard port",
    "echo": "ICMP echo request",
}


_TABLE = """
struct probe {
    const unsigned char *octets;
    unsigned int length;
    const char *label;
};
#define PROBE(n) { probe_ ## n, sizeof probe_ ## n, label_ ## n }
"""


class Probe(NamedTuple):
    """One frame to send."""

    number: int
    """0 to 63, in its octets; of more than 64 probes the numbers return."""
    kind: str
    octets: bytes
    """Without FCS."""
    label: str
    """Its name in the first line of the board's short dump."""


def build(
    lengths: Sequence[int], kind: str = "ethernet", to: Addresses = BOARD, repeat: int = 1
) -> list[Probe]:
    """Probes of these lengths in turn, all of them ``repeat`` times.

    Raises Problem for a length outside 60 to 1514 or a kind that no probe has.
    """
    wanted = [length for _ in range(repeat) for length in lengths]
    return [
        Probe(i % NUMBERS, kind, frame(i, length, kind, to), label(i, length, kind, to))
        for i, length in enumerate(wanted)
    ]


def hex_log(probes: Iterable[Probe]) -> Iterator[str]:
    """A hex log, as a console would print the frames."""
    # No word here that says in which direction a frame went: the log is read back.
    yield "Frames for a network that you may test, and for no other.\n"
    for n, probe in enumerate(probes, 1):
        size = len(probe.octets)
        yield f"\nframe {n}: probe {probe.number}, {_WHAT[probe.kind]}, {size} octets\n"
        for at in range(0, size, 16):
            yield f"{at:04x}: {probe.octets[at : at + 16].hex(' ')}\n"


def c_source(probes: Sequence[Probe]) -> Iterator[str]:
    """C89: one array a probe, then a table of them all."""
    yield f"/* Probes: frames without FCS. {CAUTION} */\n"
    for n, probe in enumerate(probes):
        size = len(probe.octets)
        yield f"\n/* probe {probe.number}, {_WHAT[probe.kind]}, {size} octets */\n"
        yield f'const char label_{n}[] = "{probe.label}";\n'
        yield f"const unsigned char probe_{n}[{size}] = {{\n"
        for at in range(0, size, 12):
            row = ", ".join(f"0x{octet:02x}" for octet in probe.octets[at : at + 12])
            yield f"    {row}{',' if at + 12 < size else ''}\n"
        yield "};\n"
    yield _TABLE
    yield f"\nconst unsigned int probe_count = {len(probes)};\n"
    yield f"const struct probe probes[{len(probes)}] = {{\n"
    yield ",\n".join(f"    PROBE({n})" for n in range(len(probes)))
    yield "\n};\n"


def capture(probes: Iterable[Probe]) -> bytes:
    """A capture in pcap form, Ethernet, a hundredth of a second between frames."""
    import dpkt

    file = io.BytesIO()
    writer = dpkt.pcap.Writer(file, snaplen=65535)
    for n, probe in enumerate(probes):
        writer.writepkt(probe.octets, ts=n / 100)
    return file.getvalue()


def as_json(probes: Iterable[Probe], to: Addresses) -> dict[str, Any]:
    """The probes as ``--report json`` gives them.

    ``format`` and ``version``; ``what`` is ``build``; ``to`` the destination, ``mac`` and ``ip`` in
    the usual notation; ``frames``, each with ``number`` (0 to 63, as its octets carry it),
    ``kind``, ``length`` in octets without FCS, ``octets`` in hex; ``caution``.
    """
    return {
        "format": FORMAT,
        "version": VERSION,
        "what": "build",
        "to": {"mac": to.mac.hex(":"), "ip": ".".join(map(str, to.ip))},
        "frames": [
            {"number": p.number, "kind": p.kind, "length": len(p.octets), "octets": p.octets.hex()}
            for p in probes
        ],
        "caution": CAUTION,
    }
