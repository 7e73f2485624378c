"""What names stand for: folders, patterns, URLs; sorted, hidden files left out."""

from __future__ import annotations

from pathlib import Path

import fsspec
import pytest

from framecheck.sources import open_inputs


@pytest.fixture
def folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.chdir(tmp_path)
    for name in ("b.log", "a.log", "deep/c.log", "deep/notes.txt", ".hidden", ".git/x.log"):
        path = tmp_path / "logs" / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(name)
    return tmp_path


def names(given: str, match: str | None = None) -> list[str]:
    found = list(open_inputs(given, match))
    for source in found:
        assert (source.input is None) == (source.error is not None)
        if source.input is not None:
            source.input.close()
    return [s.name for s in found if s.input is not None]


def errors(given: str, match: str | None = None) -> list[str]:
    return [str(s.error) for s in open_inputs(given, match) if s.error is not None]


def test_a_folder_is_walked_in_the_order_of_names(folder: Path) -> None:
    wanted = ["logs/a.log", "logs/b.log", "logs/deep/c.log", "logs/deep/notes.txt"]
    assert names("logs") == wanted
    assert names("logs", "*.log") == wanted[:3]
    assert names("logs", "*/deep/*") == wanted[2:]


def test_a_pattern_that_the_shell_left_alone_is_followed(folder: Path) -> None:
    assert names("logs/*.log") == ["logs/a.log", "logs/b.log"]
    assert names("logs/**/*.log") == ["logs/a.log", "logs/b.log", "logs/deep/c.log"]
    assert errors("logs/*.lgo") == [
        "logs/*.lgo: no file fits this pattern; name the logs or the captures"
    ]


def test_a_name_with_brackets_that_exists_is_a_name(folder: Path) -> None:
    (folder / "run[1].log").write_text("x")
    assert names("run[1].log") == ["run[1].log"]


def test_a_folder_without_a_file_is_said(folder: Path) -> None:
    (folder / "empty").mkdir()
    assert errors("empty") == ["empty: is a folder without a file; name the logs or the captures"]
    assert "without a file that fits *.pcap" in errors("logs", "*.pcap")[0]


def test_a_url_is_opened_by_fsspec() -> None:
    with fsspec.open("memory://bench/a.log", "wb") as file:
        file.write(b"frost: row 3\n")
    (source,) = open_inputs("memory://bench/a.log")
    assert "".join(source.input.pieces()) == "frost: row 3\n"  # type: ignore[union-attr]
    assert errors("memory://bench/none.log") == [
        "memory://bench/none.log: there is no such file; check the address"
    ]
    assert "cannot be read" in errors("nosuchscheme://x/y")[0]
