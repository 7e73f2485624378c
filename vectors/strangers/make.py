"""Write the strangers: thirty logs that print frames, each in a way of its own, and ten without.

    python vectors/strangers/make.py [FOLDER]

Every layout is invented: what somebody writes with a print function in ten minutes, among the
chatter of an orchard's frost alarm. The frames are real ones, which ``take.py`` took out of the
recordings of ``vectors/traffic``. ``NN-shape.log`` is the text, ``NN-shape.json`` the truth: the
octets of each frame as printed, and of each octet line, column and end column (code points, from
1, half-open). The same frames give the same files.
"""

from __future__ import annotations

import sys
from pathlib import Path

import boards_fields  # noqa: F401  each of the three enters its boards when imported
import boards_rows  # noqa: F401
import boards_words  # noqa: F401
import chatter
from _log import BOARDS, Log


def main() -> None:
    """Write all files into the folder that is named, or beside this script."""
    folder = Path(sys.argv[1]) if len(sys.argv) > 1 else Path(__file__).parent
    for number, board in enumerate(BOARDS, 1):
        board.log(number).write(folder, board.notes)
    for number, (name, tell) in enumerate(chatter.TALKS, 1):
        log = Log(f"chatter-{number:02}-{name}")
        tell(log)
        (folder / f"{log.name}.log").write_bytes("".join(log.text).encode())


if __name__ == "__main__":
    main()
