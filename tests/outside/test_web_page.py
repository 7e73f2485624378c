"""The local page: as a server (processes, sockets) and in a real browser through Playwright."""

from __future__ import annotations

import gzip
import http.client
import json
import os
import re
import signal
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path
from typing import Any
from urllib.parse import urlencode

import pytest

from framecheck.cli import _orchard
from framecheck.page import app as page_app
from framecheck.page import create
from tests.outside.browser import browser, opened, serious
from tests.outside.npm import package
from tests.outside.test_html_page import TRICKS

LOG = _orchard.log()


@pytest.fixture(scope="module")
def served() -> Iterator[tuple[str, int]]:
    """The page in a process of its own, on a free port."""
    started = subprocess.Popen(
        [sys.executable, "-m", "framecheck", "page", "--port", "0", "--no-browser"],
        stdout=subprocess.PIPE,
        stderr=subprocess.STDOUT,
        text=True,
    )
    assert started.stdout is not None
    line = started.stdout.readline()
    found = re.search(r"http://127\.0\.0\.1:(\d+)/ ", line)
    assert found, line + started.stdout.read()
    yield found[0].strip(), int(found[1])
    started.send_signal(signal.SIGTERM)
    assert started.wait(20) in (0, 143)
    started.stdout.close()


@pytest.fixture(scope="module")
def chromium() -> Iterator[Any]:
    with browser() as running:
        yield running


@pytest.fixture
def client() -> Any:
    return create(["bench.example"]).test_client()


def ask(client: Any, method: str = "get", path: str = "/", **more: Any) -> Any:
    return getattr(client, method)(path, base_url="http://bench.example", **more)


# In a browser.


def test_a_pasted_log_is_checked_by_keyboard_alone(chromium: Any, served: tuple[str, int]) -> None:
    url, _ = served
    with opened(chromium, url) as (page, heard):
        assert page.evaluate("document.activeElement.id") == "log"
        page.locator("#log").fill(LOG)
        page.locator("#fill").focus()
        page.keyboard.type("letters")
        page.keyboard.press("Enter")
        page.wait_for_url("**/check")
        assert page.locator("h1").inner_text() == "pasted.log: 2 of 4 frames are damaged"
        assert page.locator("mark.unwritten").first.inner_text() == "49 4a 4b 4c 4d 4e 4f 50"
        page.locator("#width").fill("24")
        assert page.locator("#width-said").inner_text() == "24"
        assert page.locator("#log").input_value() == LOG
        page.locator("a.here").first.click()
        assert page.url.endswith("/check#frame-2")
        assert {h.split("/")[-1] for h in heard} <= {"page.css", "page.js", "fold.js", "check"}


def test_a_file_and_what_was_sent_are_compared_and_the_sent_one_is_kept(
    chromium: Any, served: tuple[str, int], tmp_path: Path
) -> None:
    url, _ = served
    (tmp_path / "bench.log.gz").write_bytes(gzip.compress(LOG.encode()))
    sent = Path(__file__).parents[2] / "vectors/demo/sent.pcap"
    with opened(chromium, url) as (page, _heard):
        page.locator("#file").set_input_files(str(tmp_path / "bench.log.gz"))
        page.locator("#sent").set_input_files(str(sent))
        page.get_by_role("button", name="Check", exact=True).click()
        page.wait_for_url("**/check")
        assert page.locator("mark.unwritten").first.inner_text() == "49 4a 4b 4c 4d 4e 4f 50"
        page.locator("#log").fill(LOG)
        page.get_by_role("button", name="Check", exact=True).click()
        page.wait_for_load_state()
        assert "pasted.log" in page.locator("h1").inner_text()
        assert page.locator("mark.unwritten").first.inner_text() == "49 4a 4b 4c 4d 4e 4f 50"


def test_a_file_that_is_dropped_becomes_the_forms_file(
    chromium: Any, served: tuple[str, int]
) -> None:
    url, _ = served
    with opened(chromium, url) as (page, _heard):
        page.evaluate(
            """(text) => {
              const held = new DataTransfer();
              held.items.add(new File([text], "dropped.log"));
              document.dispatchEvent(new DragEvent("drop", {dataTransfer: held, bubbles: true}));
            }""",
            LOG,
        )
        page.get_by_role("button", name="Check", exact=True).click()
        page.wait_for_url("**/check")
        assert page.locator("h1").inner_text().startswith("dropped.log: ")


def test_it_works_without_a_script(chromium: Any, served: tuple[str, int]) -> None:
    url, _ = served
    with opened(chromium, url, java_script_enabled=False) as (page, _heard):
        page.locator("#log").fill(LOG)
        page.get_by_role("button", name="Check", exact=True).click()
        page.wait_for_url("**/check")
        assert "2 of 4 frames are damaged" in page.locator("h1").inner_text()


def test_any_report_can_be_taken_away(chromium: Any, served: tuple[str, int]) -> None:
    url, _ = served
    with opened(chromium, url) as (page, _heard):
        page.locator("#log").fill(LOG)
        page.locator("#report").select_option("json")
        with page.expect_download() as waiting:
            page.get_by_role("button", name="Download").click()
        sheet = json.loads(Path(waiting.value.path()).read_text())
        assert waiting.value.suggested_filename == "framecheck.json"
        assert sheet["tally"]["frames"] == 4


@pytest.mark.parametrize("scheme", ["light", "dark"])
@pytest.mark.parametrize("width", [360, 1200])
def test_all_can_use_it(chromium: Any, served: tuple[str, int], scheme: str, width: int) -> None:
    url, _ = served
    axe = package("axe-core", "4.10.3") / "axe.min.js"
    size = {"width": width, "height": 800}
    with opened(chromium, url, color_scheme=scheme, viewport=size, bypass_csp=True) as (page, _):
        assert serious(page, axe) == []
        page.locator("#log").fill(LOG)
        page.locator("#fill").fill("letters")
        page.get_by_role("button", name="Check", exact=True).click()
        page.wait_for_url("**/check")
        assert serious(page, axe) == []
        assert page.evaluate("document.documentElement.scrollWidth") <= width


@pytest.mark.parametrize("trick", TRICKS)
def test_nothing_of_a_log_acts(chromium: Any, served: tuple[str, int], trick: str) -> None:
    url, _ = served
    with opened(chromium, url) as (page, heard):
        page.locator("#log").fill(f"{trick}\n{LOG}</textarea><script>alert(1)</script>")
        page.locator("#fill").fill("letters")
        page.get_by_role("button", name="Check", exact=True).click()
        page.wait_for_url("**/check")
        assert page.locator("h1").inner_text().startswith("pasted.log: 2 of 4")
        assert not [h for h in heard if not h.startswith("request")]


# As a server.


def test_a_foreign_host_or_origin_is_refused(served: tuple[str, int]) -> None:
    _, port = served
    form = urlencode({"log": LOG, "do": "show"})
    kind = {"Content-Type": "application/x-www-form-urlencoded"}
    own = f"127.0.0.1:{port}"
    for headers, wanted in (
        ({"Host": own}, 200),
        ({"Host": own, "Origin": f"http://{own}"}, 200),
        ({"Host": f"localhost:{port}"}, 200),
        ({"Host": "evil.example"}, 403),
        ({"Host": f"evil.example:{port}"}, 403),
        ({"Host": own, "Origin": "http://evil.example"}, 403),
        ({"Host": own, "Origin": "null"}, 403),
        ({"Host": own, "Sec-Fetch-Site": "cross-site"}, 403),
    ):
        line = http.client.HTTPConnection("127.0.0.1", port, timeout=20)
        line.request("POST", "/check", form, {**kind, **headers})
        answer = line.getresponse()
        answer.read()
        line.close()
        assert answer.status == wanted, headers


def test_the_policy_lets_no_inline_script_run(served: tuple[str, int]) -> None:
    _, port = served
    for path in ("/", "/page.css", "/nothing"):
        line = http.client.HTTPConnection("127.0.0.1", port, timeout=20)
        line.request("GET", path)
        answer = line.getresponse()
        answer.read()
        policy = answer.getheader("Content-Security-Policy") or ""
        line.close()
        assert "default-src 'none'" in policy
        assert "unsafe" not in policy
        assert answer.getheader("X-Content-Type-Options") == "nosniff"
        assert answer.getheader("Cache-Control") == "no-store"


def test_an_oversized_body_is_refused_before_it_is_read(served: tuple[str, int]) -> None:
    _, port = served
    line = http.client.HTTPConnection("127.0.0.1", port, timeout=20)
    line.putrequest("POST", "/check")
    line.putheader("Content-Type", "application/x-www-form-urlencoded")
    line.putheader("Content-Length", str(1 << 40))
    line.endheaders()
    assert line.getresponse().status == 413
    line.close()


def test_it_listens_on_loopback_only(served: tuple[str, int]) -> None:
    _, port = served
    table = Path("/proc/net/tcp").read_text().splitlines()[1:]
    bound = [row.split()[1] for row in table if row.split()[3] == "0A"]
    assert [b.split(":")[0] for b in bound if int(b.split(":")[1], 16) == port] == ["0100007F"]


def test_a_taken_port_is_one_clear_line(served: tuple[str, int]) -> None:
    _, port = served
    done = subprocess.run(
        [sys.executable, "-m", "framecheck", "page", "--port", str(port), "--no-browser"],
        capture_output=True,
        text=True,
        timeout=30,
    )
    assert done.returncode == 2
    assert done.stderr.count("\n") == 1
    assert "cannot be listened on" in done.stderr


# The application alone.


def test_a_body_that_is_too_large_is_said(client: Any, monkeypatch: pytest.MonkeyPatch) -> None:
    body = b"log=" + b"x" * (page_app.MOST + 1)
    kind = "application/x-www-form-urlencoded"
    answer = ask(client, "post", "/check", data=body, content_type=kind)
    assert answer.status_code == 413


def test_a_mistake_is_said_in_the_form_and_the_log_stays(client: Any) -> None:
    answer = ask(client, "post", "/check", data={"log": LOG, "fill": "/etc/passwd"})
    assert answer.status_code == 422
    text = answer.get_data(as_text=True)
    assert 'role="alert"' in text
    assert "not a fill" in text
    assert "frost: orchard controller" in text


def test_a_fill_of_the_page_reads_no_file(client: Any, tmp_path: Path) -> None:
    (tmp_path / "fill.bin").write_bytes(b"abcdefgh")
    answer = ask(client, "post", "/check", data={"log": LOG, "fill": str(tmp_path / "fill.bin")})
    assert answer.status_code == 422


def test_what_takes_too_long_is_stopped(client: Any, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(page_app, "SECONDS", -1.0)
    answer = ask(client, "post", "/check", data={"log": LOG})
    assert answer.status_code == 422
    assert "takes more than" in answer.get_data(as_text=True)


def test_uploads_stay_in_memory(client: Any, monkeypatch: pytest.MonkeyPatch) -> None:
    import tempfile

    def refuse(*_: Any, **__: Any) -> None:
        raise AssertionError("a file is written")

    for name in ("TemporaryFile", "SpooledTemporaryFile", "NamedTemporaryFile"):
        monkeypatch.setattr(tempfile, name, refuse)
    # More than is held in memory by itself (500 kB in werkzeug, from memory).
    filler = (b"-" * 1023 + b"\n") * 640
    # The body of RFC 7578, made here: the test client's own builder would write a file.
    body = (
        b'--edge\r\nContent-Disposition: form-data; name="file"; filename="bench.log"\r\n'
        b"Content-Type: text/plain\r\n\r\n" + LOG.encode() + filler + b"\r\n--edge--\r\n"
    )
    kind = "multipart/form-data; boundary=edge"
    answer = ask(client, "post", "/check", data=body, content_type=kind)
    assert "2 of 4 frames are damaged" in answer.get_data(as_text=True)


def test_elsewhere_than_loopback_a_visitor_needs_the_token() -> None:
    client = create(["bench.example"], "secret").test_client()
    assert ask(client).status_code == 403
    assert ask(client, path="/?token=other").status_code == 403
    assert ask(client, path="/?token=secret").status_code == 303
    assert ask(client).status_code == 200
    cookie = client.get_cookie(page_app.COOKIE, domain="bench.example")
    assert cookie.http_only
    assert cookie.same_site == "Strict"


def test_without_the_extra_one_line_says_what_to_install() -> None:
    program = (
        "import sys; sys.modules['waitress'] = None; sys.modules['flask'] = None\n"
        "from framecheck.cli import run; sys.exit(run(['page', '--no-browser']))"
    )
    done = subprocess.run(
        [sys.executable, "-c", program], capture_output=True, text=True, env=dict(os.environ)
    )
    assert done.returncode == 2
    assert done.stderr.count("\n") == 1
    assert "framecheck-dumps[page]" in done.stderr
