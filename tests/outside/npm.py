"""Files of packages of the npm registry that tests hold our output against (tests only).

They are fetched once into ``.npm-tests/`` at the top of the checkout.
"""

from __future__ import annotations

import subprocess
import tarfile
from pathlib import Path

TOP = Path(__file__).parents[2]


def package(name: str, version: str) -> Path:
    """The unpacked folder of a package; fetched when it is not there yet."""
    folder = TOP / ".npm-tests" / f"{name}-{version}"
    if not (folder / "package").is_dir():
        folder.mkdir(parents=True, exist_ok=True)
        subprocess.run(
            ["npm", "pack", "--silent", f"{name}@{version}"],
            cwd=folder,
            check=True,
            stdin=subprocess.DEVNULL,
            capture_output=True,
            timeout=120,
        )
        (packed,) = folder.glob("*.tgz")
        with tarfile.open(packed) as archive:
            archive.extractall(folder, filter="data")
    return folder / "package"
