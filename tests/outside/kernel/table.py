"""What hosts did with each frame, as a file: written by ``make.py``, read by the tests.

``vectors/kernel/frames.txt.xz`` has a line for each frame (family, what it was made of, octets in
hex), ``NAME.txt.xz`` a line for each frame with what the host NAME showed. The first line of each
file says by what it was made. Fields are parted by tabs.
"""

from __future__ import annotations

import lzma
from collections.abc import Iterable
from functools import cache
from pathlib import Path

from tests.outside.kernel.frames import Shown

FOLDER = Path(__file__).parents[3] / "vectors/kernel"
HOSTS = ("kernel", "small")


def write(name: str, said: str, lines: Iterable[str]) -> None:
    """Write one file: what it was made by, then its lines."""
    text = "\n".join((f"# {said}", *lines)) + "\n"
    packed = lzma.compress(text.encode(), preset=9 | lzma.PRESET_EXTREME)
    (FOLDER / f"{name}.txt.xz").write_bytes(packed)


@cache
def read(name: str) -> tuple[str, ...]:
    """The lines of one file, without the first."""
    text = lzma.decompress((FOLDER / f"{name}.txt.xz").read_bytes()).decode()
    return tuple(text.split("\n")[1:-1])


def lines_of(frames: Iterable[Shown]) -> Iterable[str]:
    """How frames stand in the file."""
    return (f"{f.family}\t{f.base}\t{f.octets.hex()}" for f in frames)


@cache
def stored() -> tuple[Shown, ...]:
    """The frames of the file."""
    rows = (line.split("\t") for line in read("frames"))
    return tuple(Shown(family, base, bytes.fromhex(digits)) for family, base, digits in rows)
