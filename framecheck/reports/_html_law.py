"""The law and the fold on the HTML page: laws in sentences, the widths that they fold at."""

from __future__ import annotations

import json
from collections.abc import Iterator, Mapping, Sequence
from typing import Any

from framecheck.core.sheet import Totals
from framecheck.reports import _strip
from framecheck.reports._html_parts import raw
from framecheck.reports._page import safe
from framecheck.reports._words import counted

PLAIN_WIDTH = 16
"""Octets a row of the fold when no law gives a width."""


def law_in_words(law: Mapping[str, Any]) -> dict[str, Any]:
    """A law in sentences, quoted (they hold no text of a log, but cost nothing to quote)."""
    counts = []
    for key, says in (
        ("holds", "holds in"),
        ("fails", "contradicted by"),
        ("untested", "says nothing of"),
    ):
        tallied = law.get(key) or {}
        if count := tallied.get("count"):
            examples = ", ".join(str(n) for _, n in tallied.get("examples", ())[:8])
            shown = f" ({examples})" if key == "fails" and examples else ""
            counts.append(
                f"It {'is ' if key == 'fails' else ''}{says} {counted(count, 'frame')}{shown}."
            )
    return {
        "says": _capital(safe(str(law.get("says", "")), 800)),
        "certain": bool(law.get("certain")),
        "margin": None if law.get("margin") is None else round(law["margin"]),
        "counts": counts,
        "rivals": [safe(str(r.get("says") or r.get("family")), 800) for r in law.get("rivals", ())],
        "next": _spoken(law.get("next")),
        "workaround": list(_paragraphs(law.get("workaround"))),
    }


def _spoken(value: Any) -> str:
    if isinstance(value, Mapping) and value.get("says"):
        return safe(str(value["says"]), 800)
    return "; ".join(text for text, _ in _paragraphs(value))


def _paragraphs(value: Any) -> Iterator[tuple[str, bool]]:
    """Sentences of a workaround or a next step, and whether each is a sketch of code."""
    if isinstance(value, str):
        yield from ((safe(line, 2000), False) for line in value.split("\n") if line.strip())
    elif isinstance(value, Mapping):
        said = dict(value)
        for key in ("says", "stays"):
            if text := said.pop(key, None):
                yield _capital(safe(str(text), 2000)) + ".", False
        cost, percent = said.pop("octets_a_frame", None), said.pop("percent", None)
        lengths = said.pop("lengths", None)
        if isinstance(cost, int | float) and isinstance(percent, int | float):
            over = f" over frames of {lengths[0]} to {lengths[-1]} octets" if lengths else ""
            yield f"It costs {cost:g} octets a frame, {percent:g} %{over}.", False
        code = said.pop("code", None)
        for key, one in said.items():
            if one is not None:
                yield f"{safe(str(key)).replace('_', ' ')}: {safe(_plain(one), 2000)}", False
        for line in str(code or "").split("\n"):
            if line.strip():
                yield safe(line, 400), True


def _capital(text: str) -> str:
    return text[:1].upper() + text[1:]


def _plain(value: Any) -> str:
    return ", ".join(map(str, value)) if isinstance(value, list | tuple) else str(value)


def _width(end: Totals) -> int | None:
    """The width that the first law folds at, if it has one."""
    for law in end.laws[:1]:
        parameters = law.get("parameters", {})
        for name in ("n", "width", "size", "m", "r"):
            value = parameters.get(name)
            if isinstance(value, int) and 1 < value <= 128:
                return value
    return None


def folded(frames: Sequence[_strip.Marked], end: Totals) -> dict[str, Any] | None:
    """What the page shows of the fold; None when nothing is damaged."""
    if not frames:
        return None
    law = _width(end)
    width = law or PLAIN_WIDTH
    drawing, rows = _strip.fold(frames, width)
    used = {s for f in frames for s, _, _ in f.spans}
    held = {
        "frames": [[f.length, [list(s) for s in f.spans]] for f in frames],
        "most": _strip.MOST_ROWS,
        "room": _strip.ROOM,
        "top": _strip.TOP,
    }
    key = [(name, _strip.KEY[name]) for n, name in enumerate(_strip.STATES) if n in used]
    return {
        "width": width,
        "law": law,
        "drawing": raw(drawing),
        "key": key,
        "cut": rows > _strip.MOST_ROWS,
        "most": _strip.MOST_ROWS,
        "states": raw(json.dumps(held, separators=(",", ":"))),
    }
