"""Reports: what writing each costs beside the check itself, and the HTML page's size and paint.

Processor time of this process; the check and the writers see the same frames of one run. A page
of 2,000 frames, every tenth one damaged, is opened in headless Chromium for its first paint.
"""

from __future__ import annotations

import tempfile
import time
from collections.abc import Iterator
from pathlib import Path
from typing import Any

from framecheck.cli import _orchard
from framecheck.core.report import Report, ReportOptions
from framecheck.core.shelf import load, modules
from framecheck.run import Settings, Text, check_inputs
from tests.bench.check import printed
from tests.outside.browser import browser

FRAMES = 2000
DAMAGED = 10
"""One frame in so many is damaged: a batch in CI is mostly sound."""
FILL = "letters"


def log() -> str:
    """The orchard's answers, every tenth one with octets that were never written."""
    parts = []
    for n in range(FRAMES):
        offer = _orchard.offer(n)
        parts.append(printed(_orchard.received(offer) if n % DAMAGED == 0 else offer, n))
    return "".join(parts)


def run() -> list[object]:
    """Rows: report, share of the check's time, characters."""
    return list(_rows())


def _rows() -> Iterator[object]:
    text = log()
    began = time.process_time()
    checked = check_inputs([Text("bench.log", text)], Settings(fill=FILL))
    frames = list(checked)
    totals = checked.totals()
    whole = time.process_time() - began
    yield f"check alone: {whole:.2f} s for {len(frames)} frames, {totals.tally.damaged} damaged"
    yield ("report", "share of the check's time", "characters")
    page = ""
    for name in modules("framecheck.reports"):
        (report,) = load("framecheck.reports", name, Report)
        began = time.process_time()
        made = "".join(report.write(iter(frames), lambda: totals, ReportOptions(("bench.log",))))
        spent = time.process_time() - began
        page = made if name == "html" else page
        yield (name, f"{spent / whole:.1%}", f"{len(made):,}")
    yield f"first paint of the page in Chromium: {painted(page):.0f} ms"


def painted(page: str) -> float:
    """Milliseconds until something is seen."""
    with tempfile.TemporaryDirectory() as folder, browser() as running:
        path = Path(folder, "page.html")
        path.write_text(page, encoding="utf-8")
        window: Any = running.new_page()
        window.goto(path.as_uri())
        found = window.evaluate(
            "performance.getEntriesByName('first-contentful-paint')[0].startTime"
        )
    return float(found)
