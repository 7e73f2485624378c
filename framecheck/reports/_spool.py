"""Text that waits for what must be said before it: in memory while short, then in a file."""

from __future__ import annotations

import os
from collections.abc import Iterator
from typing import IO

IN_MEMORY = 1 << 20
"""Octets that wait in memory; a server that must write no file raises this."""
PIECE = 1 << 16


class Spool:
    """Pieces of text, read back in their order; memory stays under about 1 MiB."""

    __slots__ = ("_file", "_held", "_size", "length")

    def __init__(self) -> None:
        self._held: list[bytes] = []
        self._size = 0
        self._file: IO[bytes] | None = None
        self.length = 0
        """Octets written so far (UTF-8)."""

    def write(self, text: str) -> None:
        """Add a piece."""
        octets = text.encode("utf-8", "backslashreplace")
        self._held.append(octets)
        self._size += len(octets)
        self.length += len(octets)
        if self._size > IN_MEMORY:
            self._spill()

    def read(self, start: int = 0, stop: int | None = None) -> Iterator[str]:
        """What was written between two lengths that were reached, in pieces."""
        stop = self.length if stop is None else stop
        if self._file is None:
            yield b"".join(self._held)[start:stop].decode()
            return
        self._spill()
        self._file.seek(start)
        rest = b""
        while start < stop:
            octets = self._file.read(min(PIECE, stop - start))
            start += len(octets)
            whole, rest = _on_edge(rest + octets)
            yield whole.decode()
        self._file.seek(0, os.SEEK_END)

    def close(self) -> None:
        """Forget everything."""
        if self._file is not None:
            self._file.close()

    def _spill(self) -> None:
        if self._file is None:
            from tempfile import TemporaryFile

            self._file = TemporaryFile()  # noqa: SIM115 - closed by close()
        self._file.write(b"".join(self._held))
        self._held.clear()
        self._size = 0


def _on_edge(octets: bytes) -> tuple[bytes, bytes]:
    """Cut in front of a character whose octets are not all there yet."""
    for back in range(1, min(4, len(octets)) + 1):
        lead = octets[-back]
        if lead >= 0xC0:
            wanted = 2 if lead < 0xE0 else 3 if lead < 0xF0 else 4
            return (octets, b"") if wanted <= back else (octets[:-back], octets[-back:])
        if lead < 0x80:
            break
    return octets, b""
