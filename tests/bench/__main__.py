"""``python -m tests.bench [NAME]...``: run the benches of this folder and print their rows.

A bench is a module with ``run()``, which gives rows: a tuple of cells, or a string as it stands.
Its title is the first line of the module's docstring.
"""

from __future__ import annotations

import importlib
import pkgutil
import sys
from collections.abc import Sequence
from pathlib import Path


def names() -> list[str]:
    """The benches of this folder."""
    found = (m.name for m in pkgutil.iter_modules([str(Path(__file__).parent)]))
    return sorted(n for n in found if not n.startswith("_"))


def table(rows: Sequence[object]) -> list[str]:
    """Rows as lines; the cells of tuples stand under one another."""
    cells = [[str(c) for c in r] for r in rows if isinstance(r, tuple)]
    most = max(map(len, cells), default=0)
    widths = [max(len(r[i]) for r in cells if i < len(r)) for i in range(most)]
    lines = []
    for row in rows:
        if isinstance(row, tuple):
            padded = (str(c).ljust(w) for c, w in zip(row, widths, strict=False))
            lines.append("  " + "  ".join(padded).rstrip())
        else:
            lines.append(f"  {row}")
    return lines


def main(wanted: Sequence[str]) -> int:
    """Run the named benches, or all; 2 for a name that is none."""
    known = names()
    for name in wanted:
        if name not in known:
            print(f"no bench {name!r}; there are {', '.join(known)}", file=sys.stderr)
            return 2
    for name in wanted or known:
        bench = importlib.import_module(f"tests.bench.{name}")
        print(f"{name}: {(bench.__doc__ or '').strip().splitlines()[0]}")
        print("\n".join(table(bench.run())), end="\n\n", flush=True)
    return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
