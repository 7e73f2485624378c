"""The application: one form, one answer. It keeps nothing and answers only to its own address."""

from __future__ import annotations

import hmac
import time
from base64 import b64decode, b64encode
from collections.abc import Iterator, Sequence
from functools import cache
from importlib.resources import files
from io import BytesIO
from typing import TYPE_CHECKING, Any, NamedTuple

from framecheck.core.problem import Problem

if TYPE_CHECKING:
    from flask import Flask, Request

    from framecheck.core.sheet import FrameRecord

MOST = 16 << 20
"""Octets of one request."""
SECONDS = 30.0
"""Time that one check may take."""
COOKIE = "framecheck-token"
MOST_SHOWN_AGAIN = 2 << 20
"""Characters of a log that stand in the form again beside its report."""
_TYPES = {
    "html": ("text/html", "html"),
    "json": ("application/json", "json"),
    "junit": ("application/xml", "xml"),
    "markdown": ("text/markdown", "md"),
    "sarif": ("application/sarif+json", "sarif"),
    "terminal": ("text/plain", "txt"),
}
_POLICY = (
    "default-src 'none'; style-src 'self'; script-src 'self'; form-action 'self'; "
    "base-uri 'none'; frame-ancestors 'none'"
)


class Asked(NamedTuple):
    """What one form says."""

    name: str
    octets: bytes
    sent_name: str
    sent: bytes
    fill: str
    host: str
    strict: bool
    report: str


def create(hosts: Sequence[str], token: str | None = None) -> Flask:
    """The application.

    ``hosts``: values of the Host header that are its own; any other is refused, so that a page
    elsewhere cannot reach it by a name of its own. ``token``: what a visitor must know, or None.
    """
    from flask import Flask, Response, request

    app = Flask("framecheck.page", static_folder=None, template_folder=None)
    app.config.update(
        MAX_CONTENT_LENGTH=MOST, MAX_FORM_MEMORY_SIZE=MOST, MAX_FORM_PARTS=32, TESTING=False
    )
    app.request_class = _in_memory()
    own = frozenset(h.lower() for h in hosts)

    @app.before_request
    def guard() -> Any:
        return _refusal(request, own, token)

    @app.after_request
    def headers(response: Response) -> Response:
        response.headers["Content-Security-Policy"] = _POLICY
        response.headers["X-Content-Type-Options"] = "nosniff"
        response.headers["X-Frame-Options"] = "DENY"
        # Without any referrer a browser's own forms come with the origin "null" (Fetch, 3.2).
        response.headers["Referrer-Policy"] = "same-origin"
        response.headers["Cross-Origin-Opener-Policy"] = "same-origin"
        response.headers["Cross-Origin-Resource-Policy"] = "same-origin"
        response.headers["Cache-Control"] = "no-store"
        return response

    @app.get("/")
    def start() -> str:
        return _start()

    @app.get("/page.css")
    def style() -> Response:
        from framecheck.reports import html

        return Response(html.style() + _part("page.css"), mimetype="text/css")

    @app.get("/page.js")
    def drop() -> Response:
        return Response(_part("page.js"), mimetype="text/javascript")

    @app.get("/fold.js")
    def fold() -> Response:
        from framecheck.reports import html

        return Response(html.script(), mimetype="text/javascript")

    @app.post("/check")
    def check() -> Any:
        asked = _asked(request)
        try:
            if request.form.get("do") == "take":
                return _taken(asked)
            return _shown(asked)
        except Problem as problem:
            return _start(asked, str(problem)), 422

    @app.errorhandler(413)
    def too_large(_: Exception) -> Any:
        return _start(problem=f"more than {MOST >> 20} MiB; use framecheck check, or cut it"), 413

    return app


def _in_memory() -> type[Request]:
    """Requests whose files never touch a disk."""
    from flask import Request

    class InMemory(Request):
        def _get_file_stream(self, *_: Any, **__: Any) -> BytesIO:
            return BytesIO()

    return InMemory


def _refusal(request: Request, own: frozenset[str], token: str | None) -> Any:
    """None for a visitor who may come in, else the answer."""
    from flask import Response, redirect

    if request.host.lower() not in own:
        return Response("this page answers only to its own address\n", 403, mimetype="text/plain")
    origin = request.headers.get("Origin")
    foreign = origin is not None and origin.lower() not in {f"http://{h}" for h in own}
    if foreign or request.headers.get("Sec-Fetch-Site") == "cross-site":
        return Response("a form of another page may not ask here\n", 403, mimetype="text/plain")
    if token is None:
        return None
    if hmac.compare_digest(request.cookies.get(COOKIE, ""), token):
        return None
    if hmac.compare_digest(request.args.get("token", ""), token):
        answer = redirect("/", 303)
        answer.set_cookie(COOKIE, token, httponly=True, samesite="Strict")
        return answer
    return Response("the address lacks its token\n", 403, mimetype="text/plain")


def _asked(request: Request) -> Asked:
    form, upload, sent = request.form, request.files.get("file"), request.files.get("sent")
    octets, name = form.get("log", "").encode("utf-8", "surrogatepass"), "pasted.log"
    if upload is not None and upload.filename:
        octets, name = upload.stream.read(), upload.filename
    held, held_name = b"", ""
    if sent is not None and sent.filename:
        held, held_name = sent.stream.read(), sent.filename
    elif form.get("keep_sent"):
        held, held_name = _decoded(form.get("sent_octets", "")), form.get("sent_name", "")
    report = form.get("report", "html")
    return Asked(
        name.rpartition("/")[2].rpartition("\\")[2] or "pasted.log",
        octets,
        held_name,
        held,
        form.get("fill", "").strip(),
        form.get("host", "").strip(),
        bool(form.get("strict")),
        report if report in _TYPES else "html",
    )


def _decoded(text: str) -> bytes:
    try:
        return b64decode(text, validate=True)
    except ValueError:
        return b""


def _checked(asked: Asked) -> tuple[tuple[FrameRecord, ...], Any]:
    """The frames and the totals. Raises Problem for what cannot be used, or takes too long."""
    from framecheck.core.host import host
    from framecheck.damage import fill
    from framecheck.run import Held, Settings, check_inputs

    if asked.fill:
        fill(asked.fill, files=False)  # a page must not be a way to read files
    sent = Held(asked.sent_name, asked.sent) if asked.sent_name else None
    known = Settings(sent, asked.fill or None, host(asked.host or None), asked.strict)
    run = check_inputs([Held(asked.name, asked.octets)], known)
    return tuple(_in_time(run)), run.totals


def _in_time(frames: Any) -> Iterator[FrameRecord]:
    end = time.monotonic() + SECONDS
    for record in frames:
        if time.monotonic() > end:
            raise Problem(f"this takes more than {SECONDS:.0f} s; use framecheck check, or cut it")
        yield record


def _shown(asked: Asked) -> str:
    from framecheck.core.report import ReportOptions
    from framecheck.reports import html

    frames, totals = _checked(asked)
    options = ReportOptions((asked.name,), fill=asked.fill or None)
    within = html.Within(_head(fold=True), _form(asked, again=True))
    return "".join(html.pieces_within(frames, totals, options, within))


def _taken(asked: Asked) -> Any:
    """The report as a file to keep."""
    from flask import Response

    from framecheck.core.report import Report, ReportOptions
    from framecheck.core.shelf import load

    frames, totals = _checked(asked)
    (report,) = load("framecheck.reports", asked.report, Report)
    options = ReportOptions((asked.name,), fill=asked.fill or None)
    kind, ending = _TYPES[asked.report]
    text = "".join(report.write(frames, totals, options))
    answer = Response(text.encode("utf-8", "backslashreplace"), mimetype=kind)
    answer.headers["Content-Disposition"] = f'attachment; filename="framecheck.{ending}"'
    return answer


# The page around it.


def _start(asked: Asked | None = None, problem: str = "") -> str:
    return str(
        _template("start.html").render(
            head=_head(fold=False),
            form=_form(asked, problem=problem),
            most=MOST >> 20,
            seconds=f"{SECONDS:.0f}",
        )
    )


def _form(asked: Asked | None, again: bool = False, problem: str = "") -> Any:
    from markupsafe import Markup

    from framecheck.core.shelf import modules

    log = ""
    if asked is not None and asked.name == "pasted.log" and len(asked.octets) < MOST_SHOWN_AGAIN:
        log = asked.octets.decode("utf-8", "replace").replace("\0", "\N{SYMBOL FOR NULL}")
    return Markup(
        _template("form.html").render(
            again=again,
            problem=problem,
            log=log,
            sent_name=asked.sent_name if asked else "",
            sent_octets=b64encode(asked.sent).decode() if asked else "",
            fill=asked.fill if asked else "",
            host=asked.host if asked else "",
            strict=asked.strict if asked else False,
            report=asked.report if asked else "html",
            fills=("odd-parity", "letters", "counting", "constant:a5", "zero"),
            reports=[(name, _says(name)) for name in modules("framecheck.reports")],
        )
    )


@cache
def _says(name: str) -> str:
    from framecheck.core.report import Report
    from framecheck.core.shelf import load

    (report,) = load("framecheck.reports", name, Report)
    return report.says


def _head(fold: bool) -> Any:
    from markupsafe import Markup

    linked = '<link rel="stylesheet" href="/page.css"><script src="/page.js" defer></script>'
    return Markup(linked + ('<script src="/fold.js" defer></script>' if fold else ""))


@cache
def _part(name: str) -> str:
    return files("framecheck.page").joinpath("parts", name).read_text("utf-8")


@cache
def _template(name: str) -> Any:
    from jinja2 import Environment, StrictUndefined

    return Environment(autoescape=True, undefined=StrictUndefined).from_string(_part(name))
