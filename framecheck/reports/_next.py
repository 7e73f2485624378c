"""What to do next: gathered while the frames go by, said once at the end.

Only commands and options that exist are named; a test looks them up.
"""

from __future__ import annotations

import shlex
from collections.abc import Iterator, Mapping, Sequence
from typing import Any

from framecheck.core.report import ReportOptions
from framecheck.core.sheet import FrameRecord
from framecheck.reports._page import safe


class Advice:
    """What the frames of a run have in common that tells what to do."""

    __slots__ = ("_counts", "_inputs", "_options", "_rules")

    def __init__(self, options: ReportOptions) -> None:
        self._options = options
        self._counts = dict.fromkeys(
            ("unwritten", "damaged", "cut", "console", "known", "pinned"), 0
        )
        self._rules: dict[str, int] = {}
        self._inputs: dict[str, None] = {}

    def see(self, record: FrameRecord) -> None:
        """Count one frame that is not sound."""
        self._inputs[record.input] = None
        self._counts["unwritten"] += bool(record.residue)
        self._counts["damaged"] += record.state == "damaged"
        self._counts["cut"] += record.state == "cut"
        self._counts["console"] += record.broken_by == "console"
        self._counts["known"] += record.reference is not None
        self._counts["pinned"] += bool(record.wrong or record.residue)
        grave = [f.rule for f in record.findings if f.certainty in ("impossible", "forbidden")]
        rule = record.fate.rule or (grave[0] if grave else None)
        if rule:
            self._rules[rule] = self._rules.get(rule, 0) + 1

    def lines(self, laws: Sequence[Mapping[str, Any]] = ()) -> Iterator[tuple[str, str]]:
        """Sentences, the most useful first, each with its command or an empty string."""
        seen = self._counts
        if laws:
            yield (
                "the law in full, with what to change and what to send next:",
                self._command("", "law", every=True),
            )
        elif seen["unwritten"]:
            yield (
                "the transfer left octets of the buffer unwritten: compare the length given to "
                "it with the frame's, and how the driver rounds it",
                "",
            )
        if seen["console"]:
            yield "the console lost or broke characters: print the frame again, and slower", ""
        if seen["cut"]:
            yield "the log ends inside a frame: take it again with the whole dump in it", ""
        if seen["damaged"] and not seen["known"] and self._options.sent is None:
            yield "if what was sent is known:", self._command("--sent CAPTURE")
        if seen["damaged"] > seen["pinned"] and not seen["known"] and self._options.fill is None:
            yield "fill the buffer before each transfer, then:", self._command("--fill odd-parity")
        if self._rules:
            rule = max(self._rules, key=lambda r: (self._rules[r], r))
            yield "the rule by which most are dropped:", f"framecheck explain {safe(rule)}"

    def _command(self, more: str, command: str = "check", every: bool = False) -> str:
        names = [shlex.quote(safe(n)) for n in list(self._inputs)[: None if every else 1]]
        given = "".join(
            f" --{name} {shlex.quote(safe(value))}"
            for name, value in (("sent", self._options.sent), ("fill", self._options.fill))
            if value is not None
        )
        return f"framecheck {command} {' '.join(names)}{given} {more}".rstrip()
