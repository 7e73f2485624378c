"""Rewrite the golden pages, showing what changes: ``python -m tests.reports.rewrite``."""

from __future__ import annotations

import sys
from collections.abc import Callable
from difflib import unified_diff
from pathlib import Path
from typing import Any

from framecheck.core.sheet import FrameRecord
from framecheck.reports.terminal import TERMINAL
from tests.reports.records import captured, cut, sound, unwritten, with_fcs, written

GOLDEN = Path(__file__).with_name("golden")
PAGES: dict[str, tuple[tuple[Callable[[], FrameRecord], ...], dict[str, Any]]] = {
    "orchard": ((sound, unwritten, sound), {"fill": "letters"}),
    "cut": ((cut,), {}),
    "capture": ((captured,), {}),
    "all": ((with_fcs,), {"show_all": True}),
}


def page(name: str) -> str:
    """The page as it is written now."""
    makers, options = PAGES[name]
    return written(TERMINAL, [make() for make in makers], **options)


def main() -> None:
    """Write every page that differs, and show how."""
    for name in PAGES:
        path = GOLDEN / f"{name}.txt"
        old = path.read_text() if path.exists() else ""
        lines = old.splitlines(keepends=True), page(name).splitlines(keepends=True)
        sys.stdout.writelines(unified_diff(*lines, f"{name} before", f"{name} after"))
        path.write_text(page(name))


if __name__ == "__main__":
    main()
