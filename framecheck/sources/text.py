"""Text inputs: octets of a log become pieces of text, without waiting for the whole.

UTF-8, a BOM skipped; UTF-16 where its BOM or its zeros say so (redirected consoles save logs that
way). An octet that is not UTF-8 is taken as the Latin-1 character of its value, so that a log in
Latin-1, and noise of a wrong baud rate, have a line and a column for every octet.
"""

from __future__ import annotations

import codecs
from collections.abc import Iterator

from framecheck.sources._error import failed
from framecheck.sources._stream import Stream

_LOOKED_AT = 512
"""Octets at the start of a log that tell its encoding."""
_MOSTLY = 0.9
"""Share of zeros in every second octet that only UTF-16 has."""


def _as_latin_1(error: UnicodeError) -> tuple[str, int]:
    if not isinstance(error, UnicodeDecodeError):
        raise error
    return error.object[error.start : error.end].decode("latin-1"), error.end


codecs.register_error("framecheck-latin-1", _as_latin_1)


class TextInput:
    """A log: ``pieces()`` hands over its text once, a few hundred thousand characters at a time."""

    __slots__ = ("_stream", "name")

    def __init__(self, name: str, stream: Stream) -> None:
        self.name = name
        self._stream = stream

    def pieces(self) -> Iterator[str]:
        """The text, in pieces cut anywhere; line ends as they stand. Closes the input at its end.

        Raises InputError when the file fails while it is read.
        """
        try:
            encoding, mark = _encoding(self._stream.glance(3)[:_LOOKED_AT])
            self._stream.exactly(mark)
            errors = "framecheck-latin-1" if encoding == "utf-8" else "replace"
            decoder = codecs.getincrementaldecoder(encoding)(errors=errors)
            while octets := self._stream.piece():
                if text := decoder.decode(octets):
                    yield text
            if text := decoder.decode(b"", final=True):
                yield text
        except OSError as error:
            raise failed(self.name, error) from None
        finally:
            self.close()

    def close(self) -> None:
        """Close the file; more than once does no harm."""
        self._stream.close()


def _encoding(start: bytes) -> tuple[str, int]:
    """The encoding that a log's first octets show, and the size of its mark."""
    if start[:3] == codecs.BOM_UTF8:
        return "utf-8", 3
    if start[:2] == codecs.BOM_UTF16_LE:
        return "utf-16-le", 2
    if start[:2] == codecs.BOM_UTF16_BE:
        return "utf-16-be", 2
    even, odd = start[::2], start[1::2]
    if len(odd) >= 4:
        if odd.count(0) >= _MOSTLY * len(odd) and even.count(0) < len(even) / 2:
            return "utf-16-le", 0
        if even.count(0) >= _MOSTLY * len(even) and odd.count(0) < len(odd) / 2:
            return "utf-16-be", 0
    return "utf-8", 0
