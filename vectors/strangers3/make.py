"""Write thirty logs in thirty layouts with the truth beside each, and ten logs without a frame.

From the top of the repository: ``python vectors/strangers3/make.py [FOLDER]``. The same files come
out each time.
"""

from __future__ import annotations

import sys
from pathlib import Path

import chatter
import layouts_a
import layouts_b


def main(folder: Path) -> None:
    """All logs and truths into ``folder``."""
    layouts = layouts_a.LAYOUTS | layouts_b.LAYOUTS
    for number, (name, layout) in enumerate(layouts.items(), 1):
        layout().write(folder / f"{number:02d}-{name}.log")
    for number, log in enumerate(chatter.CHATTER, 1):
        log().write(folder / f"chatter-{number:02d}.log")


if __name__ == "__main__":
    main(Path(sys.argv[1]) if len(sys.argv) > 1 else Path(__file__).parent)
