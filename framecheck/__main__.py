"""``python -m framecheck`` and the console script: arguments in, exit code out."""

from __future__ import annotations

import sys


def main() -> None:
    """Run the command that the arguments name and leave with its exit code."""
    from framecheck.cli import run

    sys.exit(run(sys.argv[1:]))


if __name__ == "__main__":
    main()
