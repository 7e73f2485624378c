"""Domain names on the wire: labels and pointers (RFC 1035 3.1 and 4.1.4).

A pointer may only lead to a prior place, so each jump goes back and a loop cannot be.
"""

from __future__ import annotations

from framecheck.core.quote import quote

MOST = 255
"""Octets of a whole name (RFC 1035 2.3.4)."""

_MOST_POINTERS = 127
"""Pointers of one name: one for each of the labels that 255 octets can hold."""

_LOST = "… (its pointer leads nowhere)"


def end(data: bytes, at: int, stop: int) -> int | None:
    """The octet behind a name that begins at ``at``, its pointer not followed.

    None when no name ends there: a label leads past ``stop``, begins with one of the two
    reserved bit pairs, or makes the name longer than 255 octets.
    """
    first = at
    while at < stop:
        size = data[at]
        if size >= 0xC0:
            return at + 2 if at + 2 <= stop else None
        if size > 63 or at + 1 + size - first > MOST:
            return None
        at += 1 + size
        if not size:
            return at if at <= stop else None
    return None


def labels(data: bytes, origin: int, at: int, stop: int) -> tuple[list[bytes], bool]:
    """The labels of a name, pointers followed, and whether it could be read to its end.

    ``origin``: the message's first octet, from which pointers count; ``stop``: the octet behind
    its last.
    """
    found: list[bytes] = []
    first, length, pointers = at, 1, 0
    while at < stop:
        size = data[at]
        if size >= 0xC0:
            if at + 2 > stop:
                break
            target = origin + ((size & 0x3F) << 8 | data[at + 1])
            pointers += 1
            if target >= first or pointers > _MOST_POINTERS:
                break
            at = first = target
            continue
        length += 1 + size
        if not size:
            return found, True
        if size > 63 or at + 1 + size > stop or length > MOST:
            break
        found.append(data[at + 1 : at + 1 + size])
        at += 1 + size
    return found, False


def reads(data: bytes, origin: int, at: int, stop: int, value: bytes = b"") -> str:
    """A name as RFC 1035 5.1 writes it, without the last point; the root is one point.

    ``value`` is not needed: a name's own octets do not hold what its pointer leads to.
    """
    found, whole = labels(data, origin, at, stop)
    shown = ".".join(_label(label) for label in found)
    if not whole:
        return quote(shown, 1100) + _LOST
    return quote(shown, 1100) or "."


def listed(value: bytes) -> str:
    """Names without pointers, one behind the other; zeros that fill up are no names."""
    found, at = [], 0
    while at < len(value) and value[at]:
        found.append(reads(value, 0, at, len(value)))
        behind = end(value, at, len(value))
        if behind is None:
            break
        at = behind
    return ", ".join(found)


def _label(label: bytes) -> str:
    if label.isalnum():
        return label.decode("ascii")
    return "".join(_character(c) for c in label)


def _character(c: int) -> str:
    if c in b'."\\;()@$':
        return f"\\{chr(c)}"
    return chr(c) if 0x20 < c < 0x7F else f"\\{c:03d}"


def written(name: str) -> bytes:
    """A plain name as labels, without compression. Raises ValueError for one that cannot be."""
    parts = [part.encode("ascii") for part in name.rstrip(".").split(".") if part]
    if any(len(part) > 63 for part in parts) or sum(map(len, parts)) + len(parts) + 1 > MOST:
        raise ValueError(f"{name}: a name has labels of 1 to 63 octets, {MOST} in all")
    return b"".join(bytes((len(part),)) + part for part in parts) + b"\0"
