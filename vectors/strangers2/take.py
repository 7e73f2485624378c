"""Take the frames that these logs print out of the recordings of ``vectors/traffic``, once.

    python vectors/strangers2/take.py && python vectors/strangers2/make.py

``frames.pcap`` keeps them, so that the logs do not change when a recording is made anew. The
seconds of a frame's time say which recording it came from (its number in ``RECORDINGS``).
"""

from __future__ import annotations

from collections import Counter

import dpkt
from _prints import FRAMES, HERE, RECORDINGS, kind_of

TRAFFIC = HERE.parent / "traffic"
FILES = ("rare.pcap", "losses.pcapng", "offload-off.pcap")
EACH = 16
LONGEST = 410


def main() -> None:
    """Keep some frames of each kind of each recording, none too long for a log people read."""
    with FRAMES.open("wb") as target:
        writer = dpkt.pcap.Writer(target)
        for number, name in enumerate(FILES):
            seen: Counter[str] = Counter()
            reader = dpkt.pcapng.Reader if name.endswith("ng") else dpkt.pcap.Reader
            with (TRAFFIC / name).open("rb") as source:
                for _, octets in reader(source):
                    kind = kind_of(octets)
                    if len(octets) <= LONGEST and seen[kind] < EACH:
                        seen[kind] += 1
                        writer.writepkt(octets, ts=number)


assert len(FILES) == len(RECORDINGS)
if __name__ == "__main__":
    main()
