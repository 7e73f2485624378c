"""``python -m framecheck`` and the console script: arguments in, exit code out."""

from __future__ import annotations

import sys


def main() -> None:
    """Run the command that the arguments name and leave with its exit code."""
    try:
        from framecheck.cli import run

        code = run(sys.argv[1:])
    except KeyboardInterrupt:  # while the commands are still being loaded
        code = 130
    sys.exit(code)


if __name__ == "__main__":
    main()
