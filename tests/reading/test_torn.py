"""A frame that stops short in a block, where what stands beside it may be more of it."""

from __future__ import annotations

import pytest

from framecheck.framing import content
from framecheck.reading import Reader

LINK = "rx dst=00-00-5e-00-53-07 src=00-00-5e-00-53-01 type=0800 data="
HEADER = "45 00 00 26 00 00 40 00 40 11 b6 71 c0 00 02 01 c0 00 02 4d"
"""IPv4 of 38 octets (RFC 791 3.1), so 52 with the link header; its sum is no matter here."""
REST = "23 29 ca 78 00 12 00 00 fd df 27 69 4b d6 09 79 a0 52"
SHORT = {
    "a digit too many": f"{LINK}{HEADER} 23 29 cca 78 00 12 00 00 fd df 27 69 4b d6 09 79 a0 52\n",
    "another task's message": f"{LINK}{HEADER}\nvalve: 3 open\n{REST}\n",
    "a gap in a row": f"{LINK}\n{HEADER}\n23 29 ca  00 12 00 00 fd df 27 69 4b d6 09 79 a0 52\n",
}


def decides(log: str) -> list[bool]:
    """For each dump, whether it holds a doubt that decides."""
    reader = Reader(content)
    dumps = reader.feed(log) + reader.close()
    return [any(d.decides for d in dump.doubts) for dump in dumps]


@pytest.mark.parametrize("log", SHORT.values(), ids=SHORT)
def test_a_frame_that_stops_short_is_doubted(log: str):
    assert decides(log)[:1] == [True]


def test_a_whole_frame_ends_before_a_line_of_pairs():
    """Behind its end only zeros or an FCS (IEEE 802.3 3.2.8, from memory) are more of it."""
    log = f"{LINK}{HEADER} {REST} {'00 ' * 7}00\n58 18 82 95 40 64 89 21\nvalve: open\n"
    assert decides(log) == [False]
