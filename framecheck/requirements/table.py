"""The file of requirements: TOML with a fixed set of keys, each fault one clear line."""

from __future__ import annotations

import re
from collections.abc import Mapping
from datetime import date, datetime
from difflib import get_close_matches
from typing import Any, NamedTuple

from framecheck.core.problem import Problem
from framecheck.core.quote import quote

VERSION = 1
LONGEST = 1 << 20
"""Octets that a file of requirements may have."""
_TOP = ("version", "frames", "seen", "allow", "raise", "tolerate")
_FRAMES = ("at_least", "damaged", "undecided", "shortest", "longest")
_RULE = ("rule", "reason", "until")
_LAW = ("family", "parameters", "reason", "until")


class RuleNote(NamedTuple):
    """A rule that is allowed, or raised to a failure, until a day."""

    rule: str
    reason: str
    until: date


class LawNote(NamedTuple):
    """A law that is known and tolerated until a day."""

    family: str
    parameters: Mapping[str, Any]
    reason: str
    until: date


class Table(NamedTuple):
    """What a file requires; what it leaves out is None or empty."""

    name: str
    at_least: int = 1
    damaged: int = 0
    undecided: int = 0
    shortest: int | None = None
    longest: int | None = None
    seen: Mapping[str, int] = {}
    allow: tuple[RuleNote, ...] = ()
    raised: tuple[RuleNote, ...] = ()
    tolerate: tuple[LawNote, ...] = ()


def read(path: str) -> Table:
    """Read a file of requirements.

    Raises Problem with one line: the file, the line where it can be told, what is wrong, and the
    key or the name that was likely meant.
    """
    import tomllib

    try:
        with open(path, "rb") as file:
            octets = file.read(LONGEST + 1)
    except FileNotFoundError:
        raise Problem(f"--require {quote(path)}: there is no such file; check the path") from None
    except (OSError, ValueError) as error:
        why = quote((getattr(error, "strerror", None) or str(error)).lower())
        raise Problem(f"--require {quote(path)}: cannot be read ({why})") from None
    if len(octets) > LONGEST:
        raise Problem(f"--require {quote(path)}: longer than {LONGEST >> 20} MiB; is it the log?")
    try:
        text = octets.decode()
        given = tomllib.loads(text)
    except (UnicodeDecodeError, tomllib.TOMLDecodeError, RecursionError) as error:
        why = quote(str(error)) or "nested too deeply"
        raise Problem(f"--require {quote(path)}: is no TOML: {why}; mend it there") from None
    return _Reader(path, text).table(given)


class _Reader:
    """Turns what TOML gave into a table; knows where in the text a key stands."""

    def __init__(self, path: str, text: str) -> None:
        self._path = path
        self._lines = text.splitlines()

    def table(self, given: Mapping[str, Any]) -> Table:
        self._known(given, _TOP, "")
        if given.get("version", VERSION) != VERSION:
            raise self._wrong("version", f"version is {VERSION} in this framecheck")
        frames = self._mapping(given, "frames")
        self._known(frames, _FRAMES, "[frames] ")
        numbers = {key: self._number(frames, key) for key in frames}
        seen = self._mapping(given, "seen")
        return Table(
            self._path,
            **numbers,
            seen={self._kind(k): self._number(seen, k) for k in seen},
            allow=tuple(self._rule(one, "allow") for one in self._list(given, "allow")),
            raised=tuple(self._rule(one, "raise") for one in self._list(given, "raise")),
            tolerate=tuple(self._law(one) for one in self._list(given, "tolerate")),
        )

    def _known(self, given: Mapping[str, Any], keys: tuple[str, ...], where: str) -> None:
        for key in given:
            if key not in keys:
                near = get_close_matches(key, keys, n=1, cutoff=0.5)
                hint = f"did you mean {near[0]}?" if near else f"there are {', '.join(keys)}"
                raise self._wrong(key, f"{where}has no key {quote(key, 60)!s}; {hint}")

    def _mapping(self, given: Mapping[str, Any], key: str) -> Mapping[str, Any]:
        found = given.get(key, {})
        if not isinstance(found, dict):
            raise self._wrong(key, f"{key} is a table: write [{key}]")
        return found

    def _list(self, given: Mapping[str, Any], key: str) -> list[Mapping[str, Any]]:
        found = given.get(key, [])
        if not isinstance(found, list) or not all(isinstance(x, dict) for x in found):
            raise self._wrong(key, f"{key} is a list of tables: write [[{key}]]")
        return found

    def _number(self, given: Mapping[str, Any], key: str) -> int:
        found = given[key]
        if not isinstance(found, int) or isinstance(found, bool) or not 0 <= found < 1 << 53:
            raise self._wrong(
                key, f"{quote(key, 60)} is a whole number, not {quote(str(found), 60)}"
            )
        return found

    def _kind(self, kind: str) -> str:
        """A kind of frame: its first word is a layer."""
        from framecheck.layers import kinds

        layers = [k.name for k in kinds()]
        first = kind.partition(" ")[0]
        if first not in layers:
            near = get_close_matches(first, layers, n=1, cutoff=0.5)
            hint = f"did you mean {near[0]}?" if near else f"there are {', '.join(layers)}"
            raise self._wrong(kind, f"[seen] no layer {quote(first, 60)}; {hint}")
        return kind

    def _rule(self, given: Mapping[str, Any], where: str) -> RuleNote:
        from framecheck.judging import all_rules

        self._known(given, _RULE, f"[[{where}]] ")
        rule, reason, until = (self._text(given, k, where) for k in ("rule", "reason", "until"))
        names = [r.name for r in all_rules()]
        if rule not in names:
            near = get_close_matches(str(rule), names, n=1, cutoff=0.5)
            hint = f"did you mean {near[0]}?" if near else "framecheck explain lists all"
            raise self._wrong(str(rule), f"[[{where}]] no rule {quote(str(rule), 60)}; {hint}")
        return RuleNote(rule, reason, until)

    def _law(self, given: Mapping[str, Any]) -> LawNote:
        self._known(given, _LAW, "[[tolerate]] ")
        family, reason, until = (
            self._text(given, k, "tolerate") for k in ("family", "reason", "until")
        )
        return LawNote(family, self._mapping(given, "parameters"), reason, until)

    def _text(self, given: Mapping[str, Any], key: str, where: str) -> Any:
        """A text that says something, or the day ``until``; neither may be left out."""
        found = given.get(key)
        if key == "until":
            if isinstance(found, date) and not isinstance(found, datetime):
                return found
            raise self._wrong(key, f"[[{where}]] wants a day: until = 2027-03-31")
        if isinstance(found, str) and found.strip():
            return found
        raise self._wrong(key, f'[[{where}]] wants {key} = "…"')

    def _wrong(self, key: str, what: str) -> Problem:
        pattern = re.compile(rf"""(^|[\[\s"'.]){re.escape(key)}($|[\]\s"'.=])""")
        at = next((n for n, line in enumerate(self._lines, 1) if pattern.search(line)), None)
        line = f", line {at}" if at else ""
        return Problem(f"--require {quote(self._path)}{line}: {what}")
