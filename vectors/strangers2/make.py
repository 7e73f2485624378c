"""Write thirty more logs that print frames, each in a way of its own, for a second measurement.

    python vectors/strangers2/make.py [FOLDER]

As in ``vectors/strangers``: ``NN-shape.log`` is the text, ``NN-shape.json`` the truth: of each
octet its line, column and end column (code points, from 1, half-open). The first fourteen are
what most people write, the rest is stranger. The layouts are invented; whoever wrote them had seen
neither the reader nor the logs that it was made with. The same frames give the same files.
"""

from __future__ import annotations

import sys
from pathlib import Path

import boards_plain  # noqa: F401  both enter their boards when imported
import boards_strange  # noqa: F401
from _prints import BOARDS


def main() -> None:
    """Write all files into the folder that is named, or beside this script."""
    folder = Path(sys.argv[1]) if len(sys.argv) > 1 else Path(__file__).parent
    for number, board in enumerate(BOARDS, 1):
        board.log(number).write(folder, board.notes)


if __name__ == "__main__":
    main()
