"""What unpacks: compressed files as they are read, archives member by member.

gzip, bzip2, xz and Zstandard are unpacked piece by piece as they are read; zip and tar archives
(of a CI job's artefacts, say) give their members one after another. What expands beyond reason
is refused: a small file must not fill a memory or a disk.
"""

from __future__ import annotations

import io
import lzma
import sys
import tarfile
import zipfile
import zlib
from collections.abc import Callable, Iterator
from contextlib import suppress
from tempfile import SpooledTemporaryFile
from typing import IO, Any, BinaryIO, cast

from framecheck.sources._error import InputError, failed
from framecheck.sources._stream import PIECE, Stream
from framecheck.sources.packed import Member

FREE = 64 << 20
"""Octets that may come out of anything."""
MOST_TIMES = 400
"""Beyond that: octets out for one in (a log of two frames over and over: 140 times by gzip)."""
IN_MEMORY = 8 << 20
MOST_SPOOLED = 1 << 30
"""Octets of an archive that cannot be read where it lies, and is copied first."""


_BROKEN = (OSError, EOFError, ValueError, zlib.error, lzma.LZMAError)


def _broken() -> tuple[type[Exception], ...]:
    """What unpacking raises on damaged octets; Zstandard has an error of its own."""
    zstandard: Any = sys.modules.get("zstandard")
    return (*_BROKEN, zstandard.ZstdError) if zstandard is not None else _BROKEN


def _gzip(file: BinaryIO) -> BinaryIO:
    import gzip

    return cast(BinaryIO, gzip.GzipFile(fileobj=file, mode="rb"))


def _bzip2(file: BinaryIO) -> BinaryIO:
    import bz2

    return cast(BinaryIO, bz2.BZ2File(file))


def _xz(file: BinaryIO) -> BinaryIO:
    return cast(BinaryIO, lzma.LZMAFile(file))


def _zstandard(file: BinaryIO) -> BinaryIO:
    import zstandard

    reader: Any = zstandard.ZstdDecompressor(max_window_size=1 << 27).stream_reader(
        file, read_across_frames=True
    )
    return cast(BinaryIO, reader)


class _Counted(io.RawIOBase):
    """A stream as the file that unpacking libraries want, with the octets that it gave."""

    def __init__(self, stream: Stream) -> None:
        self._stream = stream
        self.given = 0

    def readable(self) -> bool:
        return True

    def readinto(self, buffer: Any) -> int:
        octets = self._stream.exactly(min(len(buffer), PIECE))
        buffer[: len(octets)] = octets
        self.given += len(octets)
        return len(octets)

    def close(self) -> None:
        if not self.closed:
            self._stream.close()
        super().close()


class _Bounded:
    """Unpacked octets, until they are too many for what they came from."""

    def __init__(self, name: str, stream: Stream, unpack: Callable[[BinaryIO], BinaryIO]) -> None:
        self._name = name
        self._packed = _Counted(stream)
        try:
            self._file = unpack(cast(BinaryIO, io.BufferedReader(self._packed)))
        except _BROKEN as error:
            raise _as_error(name, error) from None
        self._out = 0

    def read(self, size: int) -> bytes:
        """Up to ``size`` octets. Raises InputError when the file is damaged or expands too far."""
        try:
            octets = self._file.read(min(size, PIECE))
        except InputError:
            raise
        except _broken() as error:
            raise _damaged(self._name, error) from None
        self._out += len(octets)
        _bound(self._name, self._out, self._packed.given)
        return octets

    def close(self) -> None:
        """Close what lies beneath as well."""
        with suppress(*_broken()):
            self._file.close()
        self._packed.close()


def _bound(name: str, out: int, given: int) -> None:
    if out > FREE and out > MOST_TIMES * max(1, given):
        raise refused(name, f"expands more than {MOST_TIMES} times")


def unpacked(name: str, stream: Stream, kind: str) -> Stream:
    """A compressed stream, unpacked as it is read. Raises InputError when it does not begin so."""
    return Stream(cast(BinaryIO, _Bounded(name, stream, _KINDS[kind])))


_KINDS = {"gzip": _gzip, "bzip2": _bzip2, "xz": _xz, "zstandard": _zstandard}


# Archives.


def listed(name: str, stream: Stream, kind: str) -> Iterator[Member]:
    """The files of an archive, to be read one after another; what is damaged comes as an error."""
    return (_zip if kind == "zip" else _tar)(name, stream)


def _zip(name: str, stream: Stream) -> Iterator[Member]:
    """A zip's list stands at its end: what cannot be read there and back is copied first."""
    try:
        with _copied(name, stream) as file, zipfile.ZipFile(file) as archive:
            for info in archive.infolist():
                if info.is_dir():
                    continue
                full = f"{name}/{info.filename}"
                if info.flag_bits & 1:
                    yield Member(full, None, refused(full, "is encrypted"))
                    continue
                try:
                    opened = archive.open(info)
                except (NotImplementedError, RuntimeError, zipfile.BadZipFile, *_BROKEN) as error:
                    yield Member(full, None, _damaged(full, error))
                    continue
                yield Member(full, Stream(cast(BinaryIO, _FromZip(full, opened, info))))
    except InputError as error:
        yield Member(name, None, error)
    except (zipfile.BadZipFile, NotImplementedError, *_BROKEN) as error:
        yield Member(name, None, _damaged(name, error))
    finally:
        stream.close()


class _FromZip:
    """A member of a zip, bounded by what it takes there."""

    def __init__(self, name: str, file: IO[bytes], info: zipfile.ZipInfo) -> None:
        self._name, self._file, self._info, self._out = name, file, info, 0

    def read(self, size: int) -> bytes:
        """Up to ``size`` octets. Raises InputError when it is damaged or expands too far."""
        try:
            octets = self._file.read(min(size, PIECE))
        except (zipfile.BadZipFile, *_BROKEN) as error:
            raise _damaged(self._name, error) from None
        self._out += len(octets)
        _bound(self._name, self._out, self._info.compress_size)
        return octets

    def close(self) -> None:
        """Close the member; the archive stays open."""
        self._file.close()


def _copied(name: str, stream: Stream) -> SpooledTemporaryFile[bytes]:
    file: SpooledTemporaryFile[bytes] = SpooledTemporaryFile(IN_MEMORY)  # noqa: SIM115
    size = 0
    while octets := stream.piece():
        size += len(octets)
        if size > MOST_SPOOLED:
            file.close()
            raise refused(name, f"is an archive of more than {MOST_SPOOLED >> 20} MiB")
        file.write(octets)
    file.seek(0)
    return file


def _tar(name: str, stream: Stream) -> Iterator[Member]:
    try:
        packed = cast(BinaryIO, io.BufferedReader(_Counted(stream)))
        with tarfile.open(fileobj=packed, mode="r|") as archive:
            for info in archive:
                opened = archive.extractfile(info) if info.isfile() else None
                if opened is not None:
                    full = f"{name}/{info.name.removeprefix('./')}"
                    yield Member(full, Stream(cast(BinaryIO, _FromTar(full, opened))))
    except InputError as error:
        yield Member(name, None, error)
    except (tarfile.TarError, *_BROKEN) as error:
        yield Member(name, None, _damaged(name, error))
    finally:
        stream.close()


class _FromTar:
    """A member of a tar, whose stream only goes on."""

    def __init__(self, name: str, file: IO[bytes]) -> None:
        self._name, self._file = name, file

    def read(self, size: int) -> bytes:
        """Up to ``size`` octets. Raises InputError when the archive breaks off."""
        try:
            return self._file.read(min(size, PIECE))
        except InputError:
            raise
        except (tarfile.TarError, *_BROKEN) as error:
            raise _damaged(self._name, error) from None

    def close(self) -> None:
        """Close the member; the archive stays open."""
        self._file.close()


def _as_error(name: str, error: Exception) -> InputError:
    return error if isinstance(error, InputError) else failed(name, error)


def refused(name: str, what: str) -> InputError:
    """The error of what could be unpacked, and will not be."""
    return InputError(name, what, "unpack it by hand, and give the log that you want")


def _damaged(name: str, error: Exception) -> InputError:
    from framecheck.core.quote import quote

    said = quote(str(error).lower() or type(error).__name__)
    return InputError(name, f"cannot be unpacked ({said})", "pack it again, or give the log itself")
