"""The tool as a bench uses it: a log, a capture, ``framecheck law``, and its JSON."""

from __future__ import annotations

import json
import random
import tempfile
from pathlib import Path
from typing import Any

from framecheck import cli
from tests.machines.printing import capture, log
from tests.machines.trial import Trial


class NoAnswerError(Exception):
    """The tool gave no sheet: its exit code."""


def sheet(given: Trial, command: str = "law") -> dict[str, Any]:
    """The sheet that the command prints for a trial's log. Raises NoAnswerError."""
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        text, wire, out = folder / "bench.log", folder / "sent.pcap", folder / "sheet.json"
        text.write_text(log(given.printed, random.Random(len(given.printed))), encoding="utf-8")
        capture(given.sent, wire)
        arguments = [command, str(text), "--sent", str(wire), "--fill", given.setting.fill]
        code = cli.run([*arguments, "--report", "json", "--output", str(out)])
        if not out.exists():
            raise NoAnswerError(code)
        found: dict[str, Any] = json.loads(out.read_text(encoding="utf-8"))
        return found


def laws(given: Trial) -> list[dict[str, Any]]:
    """The laws that the tool names, its first choice first."""
    found: list[dict[str, Any]] = sheet(given)["laws"]
    return found
