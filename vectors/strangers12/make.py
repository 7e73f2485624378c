"""Write forty logs in forty layouts with the truth beside each.

From the top of the repository: ``python vectors/strangers12/make.py [FOLDER]``. The same files
come out each time. The modules ``_page`` and ``_frames`` are those of ``vectors/strangers3``.
"""

from __future__ import annotations

import sys
from itertools import chain
from pathlib import Path

sys.path.insert(1, str(Path(__file__).resolve().parents[1] / "strangers3"))

import layouts_a
import layouts_b
import layouts_c
import layouts_d
import layouts_e


def main(folder: Path) -> None:
    """All logs and truths into ``folder``."""
    shelves = (layouts_a, layouts_b, layouts_c, layouts_d, layouts_e)
    layouts = chain.from_iterable(shelf.LAYOUTS.items() for shelf in shelves)
    for number, (name, layout) in enumerate(layouts, 1):
        layout().write(folder / f"12-{number:02}-{name}.log")


if __name__ == "__main__":
    main(Path(sys.argv[1]) if len(sys.argv) > 1 else Path(__file__).parent)
