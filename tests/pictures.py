"""The README's pictures, taken of the demo in a real browser: ``python -m tests.pictures``."""

from __future__ import annotations

from pathlib import Path
from tempfile import TemporaryDirectory

from framecheck.cli import run
from tests.outside.browser import browser, opened

FOLDER = Path(__file__).parents[1] / "pictures"
SIZE = {"width": 1000, "height": 820}


def main() -> None:
    FOLDER.mkdir(exist_ok=True)
    with TemporaryDirectory() as folder, browser() as running:
        run(["demo", "--output", folder])
        law = Path(folder, "law.html").as_uri()
        with opened(running, law, viewport=SIZE, color_scheme="light") as (page, _):
            # The page names the log by the folder that it lies in: a reader has another.
            page.evaluate(
                "(folder) => { for (const e of document.querySelectorAll('h1, title'))"
                " e.textContent = e.textContent.replace(folder + '/', ''); }",
                folder,
            )
            page.screenshot(path=str(FOLDER / "law.png"))
        frame = Path(folder, "orchard.html").as_uri()
        with opened(running, frame, viewport=SIZE, color_scheme="light") as (page, _):
            page.locator("details.row").nth(1).locator("summary").click()
            page.locator("article").first.screenshot(path=str(FOLDER / "frame.png"))


if __name__ == "__main__":
    main()
