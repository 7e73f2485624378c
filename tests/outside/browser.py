"""A headless Chromium (Debian's package), driven through Playwright."""

from __future__ import annotations

import shutil
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

from playwright.sync_api import sync_playwright

FLAGS = ["--no-sandbox", "--disable-gpu", "--disable-background-networking", "--disable-sync"]


@contextmanager
def browser() -> Iterator[Any]:
    """A running browser; it is closed at the end."""
    path = shutil.which("chromium")
    assert path, "the tests need Debian's package chromium: apt-get install chromium"
    with sync_playwright() as playwright:
        running = playwright.chromium.launch(executable_path=path, args=FLAGS)
        try:
            yield running
        finally:
            running.close()


@contextmanager
def opened(running: Any, url: str, **context: Any) -> Iterator[tuple[Any, list[str]]]:
    """A page, and a list that gets each request, dialog, error and console message of it."""
    around = running.new_context(**context)
    page = around.new_page()
    heard: list[str] = []
    page.on("request", lambda r: heard.append(f"request {r.url}") if r.url != url else None)
    page.on("dialog", lambda d: (heard.append(f"dialog {d.message}"), d.dismiss()))
    page.on("pageerror", lambda e: heard.append(f"error {e}"))
    page.on("console", lambda m: heard.append(f"console {m.text}"))
    page.goto(url)
    try:
        yield page, heard
    finally:
        around.close()


def serious(page: Any, axe: Path) -> list[str]:
    """What axe-core (npm) finds of serious or critical impact."""
    page.evaluate(axe.read_text())
    found = page.evaluate("axe.run(document, {resultTypes: ['violations']})")
    return [
        f"{v['id']}: {v['nodes'][0]['html'][:200]}"
        for v in found["violations"]
        if v["impact"] in ("serious", "critical")
    ]
