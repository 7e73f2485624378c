"""Write thirty logs in thirty layouts with the truth beside each.

From the top of the repository: ``python vectors/strangers11/make.py [FOLDER]``. The same files come
out each time. The page and the frames are those of ``vectors/strangers3``.
"""

from __future__ import annotations

import sys
from pathlib import Path

sys.path.append(str(Path(__file__).parents[1] / "strangers3"))

import orchard_common
import orchard_rare


def main(folder: Path) -> None:
    """All logs and truths into ``folder``."""
    layouts = orchard_common.LAYOUTS | orchard_rare.LAYOUTS
    for number, (name, layout) in enumerate(layouts.items(), 1):
        layout().write(folder / f"{number:02d}-{name}.log")


if __name__ == "__main__":
    main(Path(sys.argv[1]) if len(sys.argv) > 1 else Path(__file__).parent)
