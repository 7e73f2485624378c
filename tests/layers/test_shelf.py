"""The shelf finds the same layers in a folder and in an archive, and says what is wrong."""

from __future__ import annotations

import subprocess
import sys
import zipfile
from pathlib import Path

import pytest
from layer_frames import reference

from framecheck.core.layer import LayerKind
from framecheck.core.shelf import load, modules
from framecheck.layers import kinds

FRAME = reference()["dns-query"]
ROOT = Path(__file__).parents[2] / "framecheck"


def test_layers_are_found_in_an_archive_too(tmp_path: Path) -> None:
    archive = tmp_path / "framecheck.zip"
    with zipfile.ZipFile(archive, "w") as packed:
        for path in [ROOT / "__init__.py", *(ROOT / "core").glob("*.py")]:
            packed.write(path, path.relative_to(ROOT.parent))
        for path in (ROOT / "layers").rglob("*.py"):
            packed.write(path, path.relative_to(ROOT.parent))
    code = (
        f"import sys; sys.path.insert(0, {str(archive)!r}); import framecheck.layers as layers;"
        "print(layers.__file__); print(*(k.name for k in layers.kinds()));"
        f"print(*(x.kind for x in layers.decode_frame(bytes.fromhex('{FRAME.hex()}'))))"
    )
    ran = subprocess.run(
        [sys.executable, "-I", "-c", code], capture_output=True, text=True, check=True
    )
    where, names, stack = ran.stdout.splitlines()

    assert where.startswith(str(archive))
    assert names.split() == [k.name for k in kinds()]
    assert stack == "ethernet ipv4 udp dns"


def test_helpers_and_folders_do_not_stand_on_the_shelf() -> None:
    found = modules("framecheck.layers")

    assert "assigned" not in found
    assert not [name for name in found if name.startswith("_")]


def test_a_file_that_offers_nothing_is_a_mistake() -> None:
    with pytest.raises(LookupError, match="offers no LayerKind"):
        load("framecheck.layers", "_words", LayerKind)
