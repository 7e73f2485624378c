"""Lines that stand for rows equal to the one above: what the offset column proves, and no more."""

from __future__ import annotations

from collections.abc import Iterator

import pytest

import framecheck
from tests.reading.test_proven import ARP

FRAME = ARP + bytes(128 - len(ARP))
"""A question of the alarm, in a buffer of zeros."""


def rows(prefix: str = "") -> Iterator[str]:
    """The rows of the buffer."""
    for at in range(0, len(FRAME), 16):
        yield f"{prefix}{at:04x}: {FRAME[at : at + 16].hex(' ')}"


@pytest.mark.parametrize(
    ("marker", "proven"),
    [
        ("[repeats 3 times]", True),
        ("(3 more rows like this)", True),
        ("<same x 3>", True),
        ("[3 identical rows omitted]", True),
        ("(the same up to 0x6f)", True),
        ("{repeated x4}", False),
        ("[4 rows omitted]", False),
        ("(the same up to 0x5f)", False),
    ],
)
@pytest.mark.parametrize("prefix", ["", "[   12.5] lan0: "])
def test_rows_are_put_in_where_the_offsets_prove_them(
    prefix: str, marker: str, proven: bool
) -> None:
    lines = list(rows(prefix))
    text = "\n".join(["rx frame", *lines[:4], prefix + marker, *lines[7:], ""])
    (dump,) = framecheck.read(text)
    assert (dump.octets == FRAME) == proven
    assert any(d.decides for d in dump.doubts) != proven


def test_a_marker_that_rows_go_on_behind_stands_for_none_that_are_lost_later() -> None:
    lines = list(rows())
    text = "\n".join(["rx frame", lines[0], "*", lines[1], *lines[3:], ""])
    (dump,) = framecheck.read(text)
    assert [(d.about, d.decides) for d in dump.doubts] == [("lost lines", True)]
