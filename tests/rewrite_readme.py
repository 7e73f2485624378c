"""Write the real output of each command into the README: ``python -m tests.rewrite_readme``.

Prints the difference, so that what changed is seen before it is committed.
"""

import difflib
import re

from tests.test_readme import BLOCK, ROOT, shown, steps


def main() -> None:
    path = ROOT / "README.md"
    old = path.read_text()

    def filled(block: re.Match[str]) -> str:
        text = "".join(f"$ {command}\n{shown(command)}" for command, _ in steps(block[1]))
        return f"```console\n{text}```"

    new = BLOCK.sub(filled, old)
    print("".join(difflib.unified_diff(old.splitlines(True), new.splitlines(True))))
    path.write_text(new)


if __name__ == "__main__":
    main()
