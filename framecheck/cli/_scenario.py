"""The demo's whole scenario as files: logs, captures, every report, requirements, a CI recipe."""

from __future__ import annotations

import os
from collections.abc import Callable, Iterator

from framecheck.cli import _orchard
from framecheck.core.problem import Problem
from framecheck.core.quote import quote

PROBE_FILL = "odd-parity"
REPORTS = {
    "terminal": "txt",
    "markdown": "md",
    "html": "html",
    "json": "json",
    "junit": "junit.xml",
    "sarif": "sarif",
}


def write(folder: str) -> list[tuple[str, str]]:
    """Write all of it; returns (name, what it is) of each file, in the order of the story.

    Raises Problem when the folder cannot be made or written.
    """
    from framecheck.cli._door import write_whole

    try:
        os.makedirs(folder, exist_ok=True)
    except OSError as error:
        why = (error.strerror or str(error)).lower()
        raise Problem(f"--output {quote(folder)}: cannot be made a folder ({why})") from None
    told = []
    for name, says, made in _files(folder):
        held = made()
        path = os.path.join(folder, name)
        if isinstance(held, bytes):
            write_whole(path, iter([held]))
        else:
            write_whole(path, iter([held]))
        told.append((name, says))
    return told


Made = Callable[[], str | bytes]


def _files(folder: str) -> Iterator[tuple[str, str, Made]]:
    """Name, what it is, and how it is made; later files read those before them."""
    log, sent = os.path.join(folder, _orchard.NAME), os.path.join(folder, "sent.pcap")
    yield _orchard.NAME, "the console: two DHCP answers are ignored", _orchard.log
    yield "sent.pcap", "what the other side sent meanwhile", _sent
    for report, ending in REPORTS.items():
        made = _report(report, [log], fill=_orchard.FILL)
        yield f"orchard.{ending}", f"framecheck check, as {report}", made
    yield "compared.txt", "the same, held against what was sent", _report("terminal", [log], sent)
    yield "probes.pcap", "24 probes to send: framecheck probe build --sweep", _probes
    yield "probes.log", "the console while they came in", _probed
    probes = os.path.join(folder, "probes.log")
    page = _report("html", [probes], fill=PROBE_FILL)
    yield "law.txt", "framecheck law: one sentence with a number in it", _law(probes)
    yield "law.html", "the same on a page: slide the fold until the stripes line up", page
    yield "mended.log", "the console after the driver rounds its transfers up", _orchard.mended
    mended = os.path.join(folder, "mended.log")
    yield "board.toml", "framecheck require: what logs must hold from now on", _required(mended)
    yield "ci.sh", "a recipe for a CI job: a folder of logs in, three reports out", lambda: _RECIPE


def _sent() -> bytes:
    return _pcap(_orchard.sent())


def _pcap(frames: list[bytes]) -> bytes:
    import io

    import dpkt

    file = io.BytesIO()
    writer = dpkt.pcap.Writer(file, snaplen=65535)
    for n, frame in enumerate(frames):
        writer.writepkt(frame, ts=n / 4)
    return file.getvalue()


def _probe_frames() -> list[bytes]:
    from framecheck.damage.probes import SWEEP
    from framecheck.probes.build import build

    return [p.octets for p in build(SWEEP)]


def _probes() -> bytes:
    return _pcap(_probe_frames())


def _probed() -> str:
    from framecheck.damage import fill

    return _orchard.probed(_probe_frames(), fill(PROBE_FILL).pattern)


def _report(name: str, inputs: list[str], sent: str | None = None, fill: str | None = None) -> Made:
    def made() -> str:
        from framecheck.core.report import Report, ReportOptions
        from framecheck.core.shelf import load
        from framecheck.run import Settings, check_inputs

        run = check_inputs(inputs, Settings(sent, fill))
        (report,) = load("framecheck.reports", name, Report)
        options = ReportOptions(tuple(inputs), fill=fill, sent=sent)
        return "".join(report.write(run, run.totals, options))

    return made


def _law(log: str) -> Made:
    def made() -> str:
        from framecheck.core.report import ReportOptions
        from framecheck.reports._law import LAW
        from framecheck.run import Settings, check_inputs

        run = check_inputs([log], Settings(fill=PROBE_FILL, law=True))
        return "".join(LAW.write(run, run.totals, ReportOptions((log,), fill=PROBE_FILL)))

    return made


def _required(log: str) -> Made:
    def made() -> str:
        from framecheck.requirements import draft
        from framecheck.run import check_inputs

        return draft(check_inputs([log]))

    return made


_RECIPE = """\
#!/bin/sh
# Checks every log in a folder, and leaves three reports for the CI job to keep:
# JUnit XML for its test page, SARIF for its annotations, one HTML page to look at.
# Usage: sh ci.sh LOGS [REPORTS]      Leaves with what framecheck check leaves with.
logs=${1:?which folder of logs?}
reports=${2:-reports}
mkdir -p "$reports"
code=0
for form in junit:framecheck.xml sarif:framecheck.sarif html:framecheck.html; do
    framecheck check "$logs" --match '*.log' --require board.toml \\
        --report "${form%%:*}" --output "$reports/${form#*:}" || code=$?
done
exit $code
"""
