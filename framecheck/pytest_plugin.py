"""A fixture for pytest: check a log, or text that a board printed, and fail with the report.

::

    def test_the_board_gets_its_address(framecheck, board):
        framecheck(board.console(), fill="odd-parity", require="tests/board.toml")

The marker ``framecheck`` gives the same keywords for all calls in a test.
"""

from __future__ import annotations

import os
from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING, Any

import pytest

if TYPE_CHECKING:
    from framecheck.core.sheet import Sheet

KEYWORDS = ("sent", "fill", "host", "strict", "require")


def pytest_configure(config: pytest.Config) -> None:
    """Declare the marker, so that --strict-markers knows it."""
    config.addinivalue_line(
        "markers",
        "framecheck(sent=…, fill=…, host=…, strict=…, require=…): what is known about the logs "
        "that the test hands to the fixture framecheck",
    )


@pytest.fixture
def framecheck(request: pytest.FixtureRequest) -> Callable[..., Sheet]:
    """A function: ``framecheck(path_or_text, **known)`` checks a log and returns its sheet.

    ``known``: ``sent``, ``fill``, ``host``, ``strict`` and ``require`` as for ``framecheck check``
    (``host`` as text, ``mac=…,ip=…``). The test fails, with the terminal's report, when a frame is
    damaged, when a requirement is not held, or when it cannot be told.
    """
    marker = request.node.get_closest_marker("framecheck")
    marked = dict(marker.kwargs) if marker is not None else {}

    def check(path_or_text: str | os.PathLike[str], **known: Any) -> Sheet:
        __tracebackhide__ = True
        return _checked(path_or_text, {**marked, **known})

    return check


def _checked(given: str | os.PathLike[str], known: dict[str, Any]) -> Sheet:
    """The sheet of a log, or a failed test. Keywords that do not exist fail it too."""
    __tracebackhide__ = True
    from framecheck.core.host import host
    from framecheck.core.problem import Problem
    from framecheck.core.report import ReportOptions
    from framecheck.core.sheet import Sheet
    from framecheck.reports.terminal import TERMINAL
    from framecheck.run import Settings, Text, check_inputs

    unknown = sorted(set(known) - set(KEYWORDS))
    if unknown:
        pytest.fail(f"framecheck has no keyword {unknown[0]}; there are {', '.join(KEYWORDS)}")
    try:
        sent = _path(known.get("sent"))
        settings = Settings(
            sent,
            known.get("fill"),
            host(known.get("host")),
            bool(known.get("strict", False)),
            require=_path(known.get("require")),
        )
        path = _as_path(given)
        name = path or "text"
        run = check_inputs([path if path else Text(name, str(given))], settings)
    except Problem as problem:
        pytest.fail(str(problem), pytrace=False)
    frames = tuple(run)
    sheet = Sheet(frames, run.totals())
    if sheet.totals.exit_code:
        options = ReportOptions((name,), width=100, fill=settings.fill, sent=sent)
        pytest.fail("".join(TERMINAL.write(frames, run.totals, options)), pytrace=False)
    return sheet


def _path(given: str | os.PathLike[str] | None) -> str | None:
    return None if given is None else os.fspath(given)


def _as_path(given: str | os.PathLike[str]) -> str | None:
    """The path that is meant, or None for text: text has several lines, or is no file's name."""
    if isinstance(given, os.PathLike):
        return os.fspath(given)
    if "\n" in given or "\r" in given or not given:
        return None
    try:
        return given if Path(given).exists() else None
    except (OSError, ValueError):
        return None
