"""DNS: questions and records, with compressed names (RFC 1035 4.1).

Names on the own link are asked for in the same form (mDNS, RFC 6762; LLMNR, RFC 4795).
A message that lies (counts too large, labels past the end) is read as far as it goes; what is
left stands in a field ``unparsed``.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from functools import partial
from typing import Any

from framecheck.core.finding import rfc
from framecheck.core.layer import (
    Carried,
    Column,
    Cursor,
    Field,
    Got,
    Group,
    Layer,
    LayerKind,
    Words,
    uint,
)
from framecheck.layers._names import end, reads, written
from framecheck.layers._words import colons, dotted, seconds, text
from framecheck.layers._words import count as counted
from framecheck.layers.assigned.dns import CLASSES, OPERATIONS, OPTION_CODES, RESPONSES, TYPES

_SECTIONS = (
    ("question", "qdcount"),
    ("answer", "ancount"),
    ("authority", "nscount"),
    ("additional", "arcount"),
)
_NAME, _REST = "name", "rest"


def _strings(value: bytes) -> str:
    """Character strings, each behind its length (RFC 1035 3.3.14)."""
    parts, at = [], 0
    while at < len(value):
        parts.append(text(value[at + 1 : at + 1 + value[at]]))
        at += 1 + value[at]
    return " ".join(parts)


_Part = tuple[str, str | int, Words | None]
_ONE_NAME: tuple[_Part, ...] = (("domain_name", _NAME, None),)
# What the data of a type hold: a name, so many bits as a number, or octets. RFC 1035 3.3 and 3.4;
# AAAA RFC 3596 2.2, SRV RFC 2782, DNAME RFC 6672 (from memory).
_DATA: dict[int, tuple[_Part, ...]] = {
    1: (("address", _REST, dotted),),
    2: _ONE_NAME,
    5: _ONE_NAME,
    6: (
        ("mname", _NAME, None),
        ("rname", _NAME, None),
        ("serial", 32, None),
        ("refresh", 32, seconds),
        ("retry", 32, seconds),
        ("expire", 32, seconds),
        ("minimum", 32, seconds),
    ),
    12: _ONE_NAME,
    15: (("preference", 16, None), ("exchange", _NAME, None)),
    16: (("txt_data", _REST, _strings),),
    28: (("address", _REST, colons),),
    39: _ONE_NAME,
    33: (
        ("priority", 16, None),
        ("weight", 16, None),
        ("port", 16, None),
        ("target", _NAME, None),
    ),
}
_SIZES = {1: 4, 28: 16}
_OPT = 41
_FIRST_BIT = 0x8000


def _name(cursor: Cursor, field: str) -> Field | None:
    """The name at the cursor, None when none can be read; its words follow the pointers."""
    at, stop = cursor.at >> 3, cursor.stop >> 3
    behind = end(cursor.octets, at, stop)
    if behind is None:
        return None
    return cursor.raw(
        field, behind - at, partial(reads, cursor.octets, cursor.origin >> 3, at, stop)
    )


def _question(cursor: Cursor) -> list[Field]:
    name = _name(cursor, "qname")
    if name is None:
        return []
    return [name, cursor.uint("qtype", 16, TYPES.get), cursor.uint("qclass", 16, _qclass)]


def _record(cursor: Cursor) -> list[Field]:
    name = _name(cursor, "name")
    if name is None:
        return []
    kind = cursor.uint("type", 16, TYPES.get)
    # RFC 6891 6.1.2: the pseudo-record OPT has a size and flags where others have class and time.
    pseudo = kind.value == _OPT
    fields = [
        name,
        kind,
        cursor.uint("class", 16, _size if pseudo else _class),
        cursor.uint("ttl", 32, _extended if pseudo else seconds),
        cursor.uint("rdlength", 16),
    ]
    if fields[-1].value is not None:
        fields.extend(_data(cursor, kind.number, fields[-1].number))
    return fields


def _size(value: int) -> str:
    return f"up to {value} octets by UDP"


def _extended(value: int) -> str:
    """The upper bits of a response code, a version and flags (RFC 6891 6.1.3)."""
    code, version = value >> 24, value >> 16 & 0xFF
    secure = ", DNSSEC is understood" if value >> 15 & 1 else ""
    return f"extended response code {code}, version {version}{secure}"


def _class(value: int) -> str | None:
    """A class; in mDNS the first bit has a meaning of its own (RFC 6762 10.2)."""
    return _flagged(value, "replaces what is known")


def _qclass(value: int) -> str | None:
    """A class that is asked for; in mDNS the first bit has another meaning (RFC 6762 5.4)."""
    return _flagged(value, "answer by unicast")


def _flagged(value: int, meaning: str) -> str | None:
    if value in CLASSES or value & _FIRST_BIT == 0:
        return CLASSES.get(value)
    name = CLASSES.get(value ^ _FIRST_BIT)
    return name and f"{name}, {meaning}"


def _data(cursor: Cursor, kind: int, size: int) -> list[Field]:
    """The data of a record by their type; in one piece where they do not fit it exactly."""
    begin, limit = cursor.at, cursor.stop
    behind = begin + size * 8
    if behind <= limit and size == _SIZES.get(kind, size):
        fields = None
        if kind in _DATA:
            fields = _typed(cursor, _DATA[kind], behind)
        elif kind == _OPT:
            fields = _opt(cursor, behind)
        if fields is not None and cursor.at == behind:
            return fields
        cursor.at = begin
    return [cursor.raw("rdata", size)] if size else []


def _opt(cursor: Cursor, behind: int) -> list[Field] | None:
    """Options, each with a code and a length (RFC 6891 6.1.2)."""
    fields: list[Field] = []
    while cursor.at + 32 <= behind:
        fields.append(cursor.uint("option_code", 16, OPTION_CODES.get))
        length = cursor.uint("option_length", 16)
        fields.append(length)
        if cursor.at + length.number * 8 > behind:
            return None
        if length.number:
            fields.append(cursor.raw("option_data", length.number))
    return fields


def _typed(cursor: Cursor, parts: Sequence[_Part], behind: int) -> list[Field] | None:
    limit, cursor.stop = cursor.stop, behind
    fields: list[Field] = []
    try:
        for field, how, words in parts:
            if how == _NAME:
                f = _name(cursor, field)
            elif isinstance(how, int):
                f = cursor.uint(field, how, words)
            else:
                f = cursor.raw(field, cursor.left // 8, words)
            if f is None or not f.whole:
                return None
            fields.append(f)
    finally:
        cursor.stop = limit
    return fields


def _read(cursor: Cursor, got: Got) -> tuple[Sequence[Field], Sequence[Group]]:
    groups: list[Group] = []
    fields: list[Field] = []
    for section, count in _SECTIONS:
        claimed = got[count].value if count in got else None
        for _ in range(claimed if isinstance(claimed, int) else 0):
            item = _question(cursor) if section == "question" else _record(cursor)
            there = tuple(f for f in item if f.stop > f.start)
            if not there:
                return _with_rest(cursor, fields), groups
            missing = sum(f.wanted - (f.stop - f.start) for f in item) // 8
            code = item[1].value
            groups.append(Group(code if isinstance(code, int) else 0, section, there, missing))
            fields.extend(there)
    return _with_rest(cursor, fields), groups


def _with_rest(cursor: Cursor, fields: list[Field]) -> list[Field]:
    return [*fields, cursor.raw("unparsed", cursor.left // 8)] if cursor.left else fields


def _write(values: Mapping[str, Any]) -> tuple[int, int]:
    given = values.get("records", b"")
    if not isinstance(given, bytes):
        given = b"".join(_written(*item) for item in given)
    return int.from_bytes(given, "big"), len(given) * 8


def _written(
    name: str, kind: int, class_: int = 1, ttl: int | None = None, data: bytes = b""
) -> bytes:
    head = written(name) + kind.to_bytes(2, "big") + class_.to_bytes(2, "big")
    if ttl is None:
        return head
    return head + ttl.to_bytes(4, "big") + len(data).to_bytes(2, "big") + data


RECORDS = Column("records", _read, _write, True)
"""Questions and records. Written from ``records``: octets, or tuples (name, type, class) for
questions and (name, type, class, ttl, data octets) for answers."""


def _fill(values: Mapping[str, Any], carried: Carried) -> Mapping[str, Any]:
    given = values.get("records", b"")
    if isinstance(given, bytes):
        return {}
    questions = sum(1 for item in given if len(item) <= 3)
    return {"qdcount": questions, "ancount": len(given) - questions}


def _says(layer: Layer, layers: Sequence[Layer]) -> str | None:
    asked = next((g for g in layer.groups if g.name == "question"), None)
    name = asked.fields[0].reads if asked else None
    if layer.number("qr"):
        return _says_answer(layer, name)
    if asked is None or name is None:
        return "DNS query without a question"
    wanted = {1: "the address", 28: "the IPv6 address", 12: "the name"}.get(asked.code)
    kind = TYPES.get(asked.code, f"type {asked.code}")
    return f"DNS asks for {wanted or f'the {kind} record'} of {name}"


def _says_answer(layer: Layer, name: str | None) -> str:
    response = layer.number("rcode")
    # mDNS and refusals answer without the question (RFC 6762 6).
    first = next((g.fields[0].reads for g in layer.groups if g.name == "answer"), None)
    about = name or first or "a question that it does not repeat"
    if response == 3:
        return f"DNS: {about} does not exist"
    if response:
        return f"DNS fails to answer for {about}: {layer['rcode'].reads or response}"
    for group in layer.groups:
        value = group.get("address") or group.get("domain_name")
        if group.name == "answer" and value is not None and group.code != 5:
            verb = "is at" if value.name == "address" else "leads to"
            return f"DNS: {about} {verb} {value.reads}"
    count = layer.number("ancount")
    if not count:
        return f"DNS has no answer for {about}"
    return f"DNS answers for {about} with {counted(count, 'record')}"


DNS = LayerKind(
    name="dns",
    source=rfc(1035, "4.1"),
    entered_by=(("udp-port", 53), ("udp-port", 5353), ("udp-port", 5355)),
    table=(
        uint("id", 16),
        uint("qr", 1, {0: "query", 1: "response"}),
        uint("opcode", 4, OPERATIONS),
        uint("aa", 1),
        uint("tc", 1),
        uint("rd", 1),
        uint("ra", 1),
        uint("z", 1),
        uint("ad", 1),
        uint("cd", 1),
        uint("rcode", 4, RESPONSES),
        *(uint(count, 16) for _, count in _SECTIONS),
        RECORDS,
    ),
    says=_says,
    fills=_fill,
)
