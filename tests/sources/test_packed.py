"""Compressed inputs and archives, made by the standard library and by python-zstandard."""

from __future__ import annotations

import bz2
import gzip
import io
import lzma
import tarfile
import zipfile
from collections.abc import Callable
from contextlib import suppress
from pathlib import Path
from typing import Any

import pytest
import zstandard
from hypothesis import given, settings
from hypothesis import strategies as st

from framecheck.sources import CaptureInput, InputError, TextInput, open_input, open_inputs
from framecheck.sources import _unpack as unpacking

LOG = b"".join(b"frost: row %d at 1.8 C\n" % n for n in range(400))
PACK: dict[str, Callable[[bytes], bytes]] = {
    "gz": gzip.compress,
    "bz2": bz2.compress,
    "xz": lzma.compress,
    "zst": zstandard.ZstdCompressor().compress,
}


def text(source: Any) -> str:
    assert isinstance(source, TextInput)
    return "".join(source.pieces())


def zipped(files: dict[str, bytes]) -> bytes:
    made = io.BytesIO()
    with zipfile.ZipFile(made, "w", zipfile.ZIP_DEFLATED) as archive:
        for name, octets in files.items():
            archive.writestr(name, octets)
    return made.getvalue()


def tarred(files: dict[str, bytes]) -> bytes:
    made = io.BytesIO()
    with tarfile.open(fileobj=made, mode="w") as archive:
        for name, octets in files.items():
            info = tarfile.TarInfo(name)
            info.size = len(octets)
            archive.addfile(info, io.BytesIO(octets))
    return made.getvalue()


@pytest.mark.parametrize("kind", PACK)
def test_a_compressed_log_is_known_by_its_octets(kind: str, tmp_path: Path) -> None:
    path = tmp_path / "bench.log"
    path.write_bytes(PACK[kind](LOG))
    assert text(open_input(str(path))) == LOG.decode()


@pytest.mark.parametrize("kind", PACK)
def test_two_compressed_parts_in_one_file_are_one_log(kind: str, tmp_path: Path) -> None:
    path = tmp_path / "bench.log"
    path.write_bytes(PACK[kind](LOG) + PACK[kind](LOG))
    assert text(open_input(str(path))) == LOG.decode() * 2


@pytest.mark.parametrize("pack", [zipped, tarred])
def test_the_members_of_an_archive_are_inputs_of_their_own(pack: Any, tmp_path: Path) -> None:
    capture = b"\xd4\xc3\xb2\xa1" + bytes(20)
    path = tmp_path / "artefacts"
    path.write_bytes(pack({"a.log": LOG, "deep/b.log.gz": gzip.compress(LOG), "c.pcap": capture}))
    found = []
    for name, source, error in open_inputs(str(path)):
        assert error is None
        if isinstance(source, TextInput):
            assert text(source) == LOG.decode()
        found.append((name.removeprefix(f"{path}/"), type(source)))
    kinds = [("a.log", TextInput), ("deep/b.log.gz", TextInput), ("c.pcap", CaptureInput)]
    assert found == kinds


def test_a_compressed_archive_within_an_archive_is_opened(tmp_path: Path) -> None:
    inner = gzip.compress(tarred({"x.log": LOG}))
    path = tmp_path / "a.zip"
    path.write_bytes(zipped({"logs.tgz": inner}))
    ((name, source, _),) = [(s.name, text(s.input), s.error) for s in open_inputs(str(path))]
    assert (name, source) == (f"{path}/logs.tgz/x.log", LOG.decode())


def test_a_member_is_opened_by_the_name_that_it_is_shown_with(tmp_path: Path) -> None:
    path = tmp_path / "a.zip"
    path.write_bytes(zipped({"notes.txt": b"no", "logs.tgz": gzip.compress(tarred({"x": LOG}))}))
    name = f"{path}/logs.tgz/x"
    ((shown, source, _),) = [(s.name, text(s.input), s.error) for s in open_inputs(name)]
    assert (shown, source) == (name, LOG.decode())
    assert text(open_input(name)) == LOG.decode()
    for absent in (f"{path}/y", f"{path}/notes.txt/x", f"{__file__}/x"):
        with pytest.raises(InputError, match="there is no such file"):
            open_input(absent)


def test_match_leaves_other_members_out(tmp_path: Path) -> None:
    path = tmp_path / "a.zip"
    path.write_bytes(zipped({"x.log": LOG, "notes.txt": b"no"}))
    assert [s.name for s in open_inputs(str(path), "*.log")] == [f"{path}/x.log"]
    (nothing,) = open_inputs(str(path), "*.pcap")
    assert "without a file that fits *.pcap" in str(nothing.error)


@pytest.mark.parametrize("kind", PACK)
def test_a_bomb_is_refused_before_it_fills_anything(
    kind: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(unpacking, "FREE", 1 << 20)
    path = tmp_path / "bomb"
    path.write_bytes(PACK[kind](bytes(24 << 20)))
    with pytest.raises(InputError, match=r"expands more than 400 times; unpack it by hand"):
        _ = [len(piece) for piece in open_input(str(path)).pieces()]  # type: ignore[union-attr]


def test_a_bomb_in_a_zip_is_refused(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(unpacking, "FREE", 1 << 20)
    path = tmp_path / "bomb.zip"
    path.write_bytes(zipped({"a.log": bytes(24 << 20)}))
    with pytest.raises(InputError, match="expands more than 400 times"):
        _ = [len(piece) for piece in open_input(str(path)).pieces()]  # type: ignore[union-attr]


def test_what_is_packed_again_and_again_is_refused(tmp_path: Path) -> None:
    octets = LOG
    for _ in range(9):
        octets = gzip.compress(octets)
    path = tmp_path / "deep"
    path.write_bytes(octets)
    with pytest.raises(InputError, match="is packed more than 4 times"):
        open_input(str(path))


def test_an_archive_that_is_damaged_still_gives_what_stands_before(tmp_path: Path) -> None:
    path = tmp_path / "a.tar"
    path.write_bytes(tarred({"a.log": LOG, "b.log": LOG})[: 512 + 10240 + 700])
    got, errors = [], []
    for source in open_inputs(str(path)):
        try:
            got.append(text(source.input)) if source.input else errors.append(source.error)
        except InputError as error:
            errors.append(error)
    assert LOG.decode() in got
    assert errors


ARCHIVES = (lambda o: zipped({"a": o}), lambda o: tarred({"a": o}))


@pytest.mark.parametrize("pack", [*PACK.values(), *ARCHIVES])
@given(at=st.integers(0, 10_000), octet=st.integers(0, 255), cut=st.booleans())
@settings(max_examples=40)
def test_any_damage_is_one_word_and_never_an_exception(
    pack: Any, at: int, octet: int, cut: bool, tmp_path_factory: pytest.TempPathFactory
) -> None:
    made = bytearray(pack(LOG))
    at %= len(made)
    if cut:
        del made[at:]
    else:
        made[at] = octet
    path = tmp_path_factory.getbasetemp() / "damaged"
    path.write_bytes(made)
    for source in open_inputs(str(path)):
        assert (source.input is None) == (source.error is not None)
        with suppress(InputError):  # one clear word; anything else is a fault of ours
            if isinstance(source.input, TextInput):
                list(source.input.pieces())
            elif source.input is not None:
                list(source.input.dumps())


def test_an_encrypted_member_is_said_and_the_others_are_read(tmp_path: Path) -> None:
    made = bytearray(zipped({"a.log": LOG, "b.log": LOG}))
    for signature, flags in ((b"PK\x03\x04", 6), (b"PK\x01\x02", 8)):
        made[made.index(signature) + flags] |= 1
    path = tmp_path / "a.zip"
    path.write_bytes(made)
    found = [(s.error is None, str(s.error or "")) for s in open_inputs(str(path))]
    assert [ok for ok, _ in found] == [False, True]
    assert "is encrypted" in found[0][1]
