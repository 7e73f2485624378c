"""Write forty logs in forty layouts with the truth beside each.

From the top of the repository: ``python vectors/strangers10/make.py [FOLDER]``. The same files come
out each time.
"""

from __future__ import annotations

import sys
from pathlib import Path

sys.path.append(str(Path(__file__).parents[1] / "strangers3"))

import everyday
import rarer


def main(folder: Path) -> None:
    """All logs and truths into ``folder``."""
    layouts = everyday.LAYOUTS | rarer.LAYOUTS
    for number, (name, layout) in enumerate(layouts.items(), 1):
        layout().write(folder / f"{number:02d}-{name}.log")


if __name__ == "__main__":
    main(Path(sys.argv[1]) if len(sys.argv) > 1 else Path(__file__).parent)
