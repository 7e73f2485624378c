"""Take the frames that the strangers print out of the recordings of ``vectors/traffic``, once.

    python vectors/strangers/take.py && python vectors/strangers/make.py

A recording is an event: another one has other identifiers and sums. So that these logs do not
change with it, the first frames of each kind are kept here (``plain.pcap``, ``tagged.pcap``, no
times), and ``make.py`` reads only those.
"""

from __future__ import annotations

from collections import Counter
from pathlib import Path

import dpkt
from _log import HERE, kind_of

TRAFFIC = HERE.parent / "traffic"
EACH = {"arp": 21, "echo": 20, "dns": 24, "dhcp": 20, "tcp": 16, "icmp": 1, "group": 1, "udp": 28}
LONGEST = 400


def take(recording: Path, kept: Path) -> None:
    """Keep the first frames of each kind that are not too long for a log that people read."""
    reader = dpkt.pcapng.Reader if recording.suffix == ".pcapng" else dpkt.pcap.Reader
    seen: Counter[str] = Counter()
    with recording.open("rb") as source, kept.open("wb") as target:
        writer = dpkt.pcap.Writer(target)
        for _, octets in reader(source):
            kind = kind_of(octets)
            if len(octets) <= LONGEST and seen[kind] < EACH.get(kind, 0):
                seen[kind] += 1
                writer.writepkt(octets, ts=0)


if __name__ == "__main__":
    take(TRAFFIC / "offload-off.pcap", HERE / "plain.pcap")
    take(TRAFFIC / "tagged.pcapng", HERE / "tagged.pcap")
