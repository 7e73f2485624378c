"""Compressed files and archives are known by their first octets, never by their names.

What unpacks them is loaded when the first one is met: most inputs are plain.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import NamedTuple

from framecheck.sources._error import InputError, failed
from framecheck.sources._stream import Stream

MOST_MEMBERS = 100_000
DEEPEST = 4
"""Archives within archives, compressed files within them."""

# First octets: RFC 1952 2.3.1, RFC 8878 3.1.1; bzip2 and xz by their formats' own documents
# (from memory); zip by its application note 4.3.7 and 4.3.16 (from memory).
_GZIP, _BZIP2, _XZ = b"\x1f\x8b\x08", b"BZh", b"\xfd7zXZ\0"
_ZSTANDARD = b"\x28\xb5\x2f\xfd"
_ZIP = (b"PK\x03\x04", b"PK\x05\x06")
_TAR_AT, _TAR = 257, b"ustar"
LOOKED_AT = _TAR_AT + len(_TAR)
_SHORTEST = 10
"""Octets that tell all but a tar; more are not waited for, as a pipe may be slow."""


class Member(NamedTuple):
    """A file within an archive, or the archive itself when it is none."""

    name: str
    stream: Stream | None
    error: InputError | None = None


def members(name: str, stream: Stream, deep: int = 0) -> Iterator[Member]:
    """What a file holds once it is unpacked: itself, or the members of an archive, sorted as there.

    An archive or a member that cannot be unpacked comes as an error; the others still come.
    """
    try:
        start = stream.glance(_SHORTEST)
        if b"\0" in start:  # no console log begins so; a tar's first name is padded with zeros
            start = stream.glance(LOOKED_AT)
    except InputError as error:
        yield Member(name, None, error)
        return
    except OSError as error:
        yield Member(name, None, failed(name, error))
        return
    unpack, archive = _compression(start), _archive(start)
    if unpack or archive:
        from framecheck.sources._unpack import listed, refused, unpacked
    if (unpack or archive) and deep >= DEEPEST:
        yield Member(name, None, refused(name, f"is packed more than {DEEPEST} times"))
    elif unpack:
        try:
            opened = unpacked(name, stream, unpack)
        except InputError as error:
            yield Member(name, None, error)
            return
        yield from members(name, opened, deep + 1)
    elif archive:
        yield from _within(name, listed(name, stream, archive), deep)
    else:
        yield Member(name, stream)


def _within(name: str, found: Iterator[Member], deep: int) -> Iterator[Member]:
    from framecheck.sources._unpack import refused

    for n, member in enumerate(found):
        if n >= MOST_MEMBERS:
            yield Member(name, None, refused(name, f"holds more than {MOST_MEMBERS} files"))
            return
        if member.stream is None:
            yield member
        else:
            yield from members(member.name, member.stream, deep + 1)


def _compression(start: bytes) -> str | None:
    """``gzip``, ``bzip2``, ``xz`` or ``zstandard``, or None."""
    if start.startswith(_GZIP):
        return "gzip"
    if start.startswith(_BZIP2) and start[4:10] in (b"1AY&SY", b"\x17rE8P\x90"):
        return "bzip2"
    if start.startswith(_XZ):
        return "xz"
    return "zstandard" if start.startswith(_ZSTANDARD) else None


def _archive(start: bytes) -> str | None:
    """``zip`` or ``tar``, or None."""
    if start.startswith(_ZIP):
        return "zip"
    return "tar" if start[_TAR_AT:LOOKED_AT] == _TAR else None
