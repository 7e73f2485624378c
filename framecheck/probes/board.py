"""C for the board: fill the buffer, dump a frame so that console loss is told from damage.

The source itself stands beside this file (``board.c.txt``); ``reading.blocks.checked`` reads what
it prints.
"""

from __future__ import annotations

from importlib.resources import files


def source() -> str:
    """C89 that asks for ``putchar`` and nothing else."""
    return files("framecheck.probes").joinpath("board.c.txt").read_text(encoding="ascii")
