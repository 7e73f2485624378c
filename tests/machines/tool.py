"""The tool as a bench uses it: a log, a capture, ``framecheck law``, and its JSON."""

from __future__ import annotations

import json
import random
import tempfile
from pathlib import Path
from typing import Any

from framecheck import cli
from framecheck.damage import fill
from framecheck.laws import Earlier, Gathered, Observation, on_the_wire
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


def direct(given: Trial) -> list[dict[str, Any]]:
    """The laws when each frame is handed over with the one that was sent, past text and pairing."""
    from framecheck.laws.infer import infer

    gathered, earlier, order = Gathered(reference=True), Earlier(), 0
    for number, (sent, dump) in enumerate(zip(given.sent, given.printed, strict=True), 1):
        if dump is None:
            lost = Observation("sent.pcap", number, None, on_the_wire(sent), "sent")
            gathered.add(lost, damaged=False)
            continue
        order += 1
        gathered.paired += 1
        came = dump.octets
        then = earlier.then(came)
        # A frame that comes late is paired with the one that it is, a buffer of fill with none.
        place = dump.cells[0].frame if given.law.family == "late" else dump.sent
        room = earlier.carried(len(came))
        seen = Observation("bench.log", number, came, None, None, then, order, room)
        if place >= 0:
            own = on_the_wire(given.sent[place])
            seen = seen._replace(sent=own, known="sent", place=place)
        gathered.add(seen, damaged=came != seen.sent)
    for behind in range(order and given.law.parameters.get("frames", 0)):
        own = on_the_wire(given.sent[-1 - behind])
        number = len(given.sent) - behind
        gathered.add(Observation("sent.pcap", number, None, own, "sent", behind=behind))
    found = infer(gathered, fill(given.setting.fill))
    return [dict(law) for law in found.laws]
