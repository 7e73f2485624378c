"""Logs as text: any octets, any encoding's mark, in pieces of bounded size."""

from __future__ import annotations

import io
import os
import sys
from pathlib import Path
from typing import Any

import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from framecheck.sources import InputError, TextInput, open_input
from framecheck.sources._stream import PIECE, Stream


def text_of(octets: bytes) -> str:
    return "".join(TextInput("x", Stream(io.BytesIO(octets))).pieces())


@given(st.text(st.characters(exclude_categories=["Cs"])))
def test_utf_8_is_read_as_it_is_with_and_without_a_mark(text: str) -> None:
    octets = text.encode()
    assert text_of(b"\xef\xbb\xbf" + octets) == text
    if not text.startswith("\ufeff"):
        assert text_of(octets) == text


@pytest.mark.parametrize("encoding", ["utf-16-le", "utf-16-be"])
def test_utf_16_is_known_by_its_mark(encoding: str) -> None:
    assert text_of("\ufeffrow 3\r\n".encode(encoding)) == "row 3\r\n"


@pytest.mark.parametrize("encoding", ["utf-16-le", "utf-16-be"])
def test_utf_16_without_a_mark_is_known_by_its_zeros(encoding: str) -> None:
    text = "[12] rx 60\r\n0000: ff ff ff ff ff ff\r\n"
    assert text_of(text.encode(encoding)) == text


def test_latin_1_keeps_a_character_for_every_octet() -> None:
    text = "valve 3: 4 \xb0C, \xfcber null, \xe4\xf6\n"
    assert text_of(text.encode("latin-1")) == text


@given(st.binary(max_size=6))
@example(b"\xef")
@example(b"\xef\xbb")
def test_an_octet_that_is_not_utf_8_is_one_character(octets: bytes) -> None:
    read = text_of(b"frost: " + octets)
    assert read.startswith("frost: ")
    valid = octets.decode("utf-8", "ignore")
    assert len(read) == len("frost: ") + len(valid) + len(octets) - len(valid.encode())


def test_a_character_that_two_pieces_share_stays_whole() -> None:
    text = "a" * (PIECE - 1) + "霜" + "b"
    assert text_of(text.encode()) == text


def test_a_long_line_comes_in_pieces(tmp_path: Path) -> None:
    path = tmp_path / "long.log"
    path.write_bytes(b"a" * (10 << 20))
    opened = open_input(str(path))
    assert isinstance(opened, TextInput)
    sizes = [len(piece) for piece in opened.pieces()]
    assert sum(sizes) == 10 << 20
    assert max(sizes) <= PIECE


def test_standard_input_is_a_dash(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(sys, "stdin", io.TextIOWrapper(io.BytesIO(b"frost")))
    opened = open_input("-")
    assert isinstance(opened, TextInput)
    assert list(opened.pieces()) == ["frost"]


def test_a_pipe_is_read_as_it_fills(tmp_path: Path) -> None:
    read, write = os.pipe()
    os.write(write, b"one\n")
    pieces = TextInput("p", Stream(os.fdopen(read, "rb"))).pieces()
    os.write(write, b"two\n")
    assert next(pieces).startswith("one\n")
    os.close(write)
    assert "".join(pieces) in ("", "two\n")


@pytest.mark.parametrize(
    ("make", "says"),
    [
        (lambda d: str(d), "is a directory"),
        (lambda d: str(d / "absent"), "there is no such file"),
        (lambda d: "a\0b", "cannot be read"),
        (lambda d: str(d / ("n" * 5000)), "cannot be read"),
    ],
)
def test_what_cannot_be_opened_is_one_clear_line(tmp_path: Path, make: Any, says: str) -> None:
    with pytest.raises(InputError, match=says) as raised:
        open_input(make(tmp_path))
    assert "\n" not in str(raised.value)
    assert str(raised.value).isprintable()


def test_a_file_without_permission_is_said(tmp_path: Path) -> None:
    path = tmp_path / "a.log"
    path.touch(0o000)
    read, write = os.pipe()
    child = os.fork()
    if not child:  # nobody may read it there, not even when the tests run as root
        if os.getuid() == 0:
            os.setuid(65534)
        try:
            open_input(str(path))
        except InputError as error:
            os.write(write, str(error).encode())
        os._exit(0)
    os.waitpid(child, 0)
    os.close(write)
    with os.fdopen(read, "rb") as said:
        assert said.read().decode().endswith("a.log: may not be read; check its permissions")


def test_an_end_is_not_asked_for_twice() -> None:
    """A terminal gives its end once: whoever reads again waits for a person."""
    from framecheck.sources._stream import Stream

    class Terminal:
        reads = 0

        def read(self, _: int) -> bytes:
            self.reads += 1
            assert self.reads <= 2
            return b"frost\n" if self.reads == 1 else b""

    stream = Stream(Terminal())  # type: ignore[arg-type]
    assert stream.peek(10) == b"frost\n"
    assert stream.glance(300) == b"frost\n"
    assert stream.piece() == b"frost\n"
    assert stream.piece() == b""
