"""The HTML page in a real browser: nothing runs or is fetched but its own script; axe-core finds
nothing serious; the fold of the script is the fold of the page."""

from __future__ import annotations

import re
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from framecheck.core.report import ReportOptions
from framecheck.reports import _strip
from framecheck.reports.html import HTML
from framecheck.run import Settings, Text, check_inputs
from tests.outside.browser import browser, opened, serious
from tests.outside.npm import package
from tests.reports.records import captured, cut, sound, totals, unwritten
from tests.reports.test_html import LAW
from tests.reports.test_terminal import hostile

TRICKS = (
    "</script><script>alert(1)</script>",
    '"><img src=x onerror=alert(1)>',
    "<svg onload=alert(1)>",
    "\u202e\u200btxet\x1b[31m\x00",
    "{{ 7*7 }}{% raw %}",
    "<!-- --><base href=http://198.51.100.9/>",
)

STRANGER = """() => {
  const script = document.createElement("script");
  script.textContent = "document.title = 1";
  document.body.append(script);
}"""


@pytest.fixture(scope="module")
def chromium() -> Iterator[Any]:
    with browser() as running:
        yield running


@pytest.fixture(scope="module")
def made(tmp_path_factory: pytest.TempPathFactory) -> str:
    """A page with all that a page can hold, hostile text among it; its address."""
    records = [sound(), unwritten(), captured(), cut(), *(hostile(t) for t in TRICKS)]
    end = totals(records)
    end.laws = (LAW,)
    text = "".join(HTML.write(iter(records), lambda: end, ReportOptions(("bench.log",))))
    path = tmp_path_factory.mktemp("page") / "page.html"
    path.write_text(text, encoding="utf-8")
    return path.as_uri()


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_nothing_acts_nothing_is_fetched_and_all_can_use_it(
    chromium: Any, made: str, scheme: str
) -> None:
    axe = package("axe-core", "4.10.3") / "axe.min.js"
    # The policy of the page would keep axe-core out; that it holds is what the second visit shows.
    with opened(chromium, made, color_scheme=scheme, bypass_csp=True) as (page, _):
        assert serious(page, axe) == []
    with opened(chromium, made, color_scheme=scheme) as (page, heard):
        assert heard == []
        page.evaluate(STRANGER)
        assert page.title() != "1"
        assert any("Content Security Policy" in h for h in heard)


def test_the_slider_draws_what_the_page_was_drawn_with(chromium: Any, made: str) -> None:
    with opened(chromium, made) as (page, heard):
        before = paths(page.locator("#fold").inner_html())
        page.locator("#width").fill("23")
        other = paths(page.locator("#fold").inner_html())
        page.locator("#law-width").click()
        assert page.locator("#width-said").inner_text() == "24"
        again = paths(page.locator("#fold").inner_html())
        assert heard == []
    assert before == again != other


def paths(markup: str) -> dict[str, str]:
    """Class of each path of a drawing, and the path; a coordinate of nothing may have a sign."""
    found = re.findall(r'<path class="(\w+)" d="([^"]*)"', markup)
    assert {name for name, _ in found} >= {*_strip.STATES, "paper", "edge"}
    return {name: re.sub(r"-0\.00", "0.00", d) for name, d in found}


def test_a_row_opens_by_keyboard(chromium: Any, made: str) -> None:
    with opened(chromium, made) as (page, _):
        row = page.locator("details.row").first
        row.locator("summary").focus()
        page.keyboard.press("Enter")
        assert row.get_attribute("open") is not None
        assert row.locator("li").first.is_visible()


@pytest.mark.parametrize("width", [360, 1280])
def test_the_page_is_no_wider_than_the_window(chromium: Any, made: str, width: int) -> None:
    size = {"width": width, "height": 800}
    with opened(chromium, made, viewport=size) as (page, _):
        wide = page.evaluate("document.documentElement.scrollWidth")
        assert wide <= width


def test_a_log_of_markup_is_shown_as_it_stands(chromium: Any, tmp_path: Path) -> None:
    octets = "ff ff ff ff ff ff 00 00 5e 00 53 07 08 06 00 01"
    log = f"rx <script>alert(1)</script>\n0000: {octets}\n0010: {octets}\n"
    name = "<img src=x onerror=alert(1)>.log"
    run = check_inputs([Text(name, log)], Settings())
    path = tmp_path / "page.html"
    path.write_text("".join(HTML.write(run, run.totals, ReportOptions((name,)))), encoding="utf-8")
    with opened(chromium, path.as_uri()) as (page, heard):
        assert heard == []
        assert name in page.locator("h1").inner_text()
