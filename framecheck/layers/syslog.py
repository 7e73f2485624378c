"""Syslog: a line of text with a number in front (RFC 5424 6 and RFC 3164 4.1, from memory)."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from typing import Any

from framecheck.core.finding import memory
from framecheck.core.layer import Column, Cursor, Field, Got, Group, Layer, LayerKind
from framecheck.core.quote import quote
from framecheck.layers._words import text

_SEVERITIES = (
    "emergency",
    "alert",
    "critical",
    "error",
    "warning",
    "notice",
    "informational",
    "debug",
)
_FACILITIES = (
    *("kernel", "user", "mail", "system", "security", "syslogd", "printer", "news", "uucp"),
    *("clock", "authorization", "ftp", "ntp", "log audit", "log alert", "clock 2"),
    *(f"local {n}" for n in range(8)),
)
_WORD = rb"[!-~]{1,255}"
_NEW = re.compile(
    rb"(?P<pri><[0-9]{1,3}>)(?P<version>[1-9][0-9]{0,2})"
    + b"".join(
        rb"(?P<sp%d> )(?P<%s>%s)" % (n, name, _WORD)
        for n, name in enumerate((b"timestamp", b"hostname", b"app_name", b"procid", b"msgid"))
    )
    + rb"(?P<sp5> )"
)
_OLD = re.compile(
    rb"(?P<pri><[0-9]{1,3}>)"
    rb"(?P<timestamp>[A-Z][a-z]{2} [ 0-9][0-9] [0-9]{2}:[0-9]{2}:[0-9]{2})"
    rb"(?P<sp0> )(?P<hostname>[!-~]{1,255})(?P<sp1> )"
)
_BARE = re.compile(rb"(?P<pri><[0-9]{1,3}>)")
_LONGEST_HEAD = 1400
"""Octets that the parts in front of the message can take."""


def _priority(value: bytes) -> str | None:
    facility, severity = divmod(int(value[1:-1]), 8)
    if facility >= len(_FACILITIES):
        return None
    return f"{_FACILITIES[facility]}, {_SEVERITIES[severity]}"


def _read(cursor: Cursor, got: Got) -> tuple[Sequence[Field], Sequence[Group]]:
    head = cursor.octets[cursor.at >> 3 : min(cursor.stop, cursor.at + _LONGEST_HEAD * 8) >> 3]
    found = _NEW.match(head) or _OLD.match(head) or _BARE.match(head)
    fields = []
    for name, part in found.groupdict().items() if found else ():
        plain = name.rstrip("0123456789")
        words = {"pri": _priority, "sp": None}.get(plain, text)
        fields.append(cursor.raw(plain, len(part), words))
    fields.append(cursor.raw("msg", cursor.left // 8, text))
    return fields, ()


def _write(values: Mapping[str, Any]) -> tuple[int, int]:
    given = bytes(values.get("line", b""))
    return int.from_bytes(given, "big"), len(given) * 8


def _says(layer: Layer, layers: Sequence[Layer]) -> str | None:
    message, priority = layer.get("msg"), layer.get("pri")
    said = quote(message.raw.decode("utf-8", "backslashreplace"), 60) if message else "nothing"
    level = (priority.reads if priority else None) or "no priority"
    return f"syslog line ({level}): {said}"


SYSLOG = LayerKind(
    name="syslog",
    source=memory("RFC 5424", "6"),
    entered_by=(("udp-port", 514),),
    # Written from "line": the octets of the whole of it.
    table=(Column("line", _read, _write, True),),
    says=_says,
)
