"""Text inputs: octets of a log become pieces of text, without waiting for the whole.

UTF-8, a BOM skipped; UTF-16 where its BOM says so (terminal programs save logs that way). What is
not UTF-8 becomes U+FFFD, so that every character still has a line and a column.
"""

from __future__ import annotations

import codecs
from collections.abc import Iterator

from framecheck.sources._error import failed
from framecheck.sources._stream import Stream

_WIDE = (codecs.BOM_UTF16_LE, codecs.BOM_UTF16_BE)


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
            encoding = "utf-16" if self._stream.peek(2) in _WIDE else "utf-8"
            if self._stream.peek(3) == codecs.BOM_UTF8:
                self._stream.exactly(3)  # "utf-8-sig" would lose a text that is half a BOM
            decoder = codecs.getincrementaldecoder(encoding)(errors="replace")
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
