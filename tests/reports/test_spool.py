"""The spool gives back what was written, in memory and beyond, cut at any octet."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st

from framecheck.reports import _spool
from framecheck.reports._spool import Spool


@given(st.lists(st.text(), max_size=8))
def test_what_was_written_is_read(pieces: list[str]) -> None:
    spool = Spool()
    for piece in pieces:
        spool.write(piece)
    assert "".join(spool.read()) == "".join(
        p.encode("utf-8", "backslashreplace").decode() for p in pieces
    )
    spool.close()


def test_beyond_memory_characters_stay_whole() -> None:
    text = "a" + "霜é𝄞" * 200_000
    assert len(text.encode()) > _spool.IN_MEMORY
    spool = Spool()
    spool.write("first")
    start = spool.length
    spool.write(text)
    stop = spool.length
    spool.write("last")
    assert "".join(spool.read(start, stop)) == text
    assert "".join(spool.read()) == f"first{text}last"
    spool.write("more")
    assert "".join(spool.read(stop)) == "lastmore"
    spool.close()
