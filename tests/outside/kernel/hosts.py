"""The two hosts as programs that this machine may or may not be able to run."""

from __future__ import annotations

import shutil
import subprocess
import sys
import tempfile
from collections.abc import Iterable, Iterator
from pathlib import Path

from tests.outside.kernel import host

HERE = Path(__file__).parent
ROOT = Path(__file__).parents[3]
LIBRARY = Path("/usr/include/lwip")


def _show(command: list[str], frames: Iterable[bytes]) -> tuple[str, ...] | None:
    """What a host shows for each frame; None when it cannot run here."""
    text = "".join(f"{octets.hex()}\n" for octets in frames)
    done = subprocess.run(
        command, input=text, capture_output=True, text=True, timeout=300, cwd=ROOT
    )
    if done.returncode == 3:
        return None
    if done.returncode:
        raise RuntimeError(f"{command[-1]} left with {done.returncode}: {done.stderr[-2000:]}")
    seen = tuple(line.strip() for line in done.stdout.split("\n")[:-1])
    if len(seen) != text.count("\n"):
        raise RuntimeError(f"{command[-1]} answered {len(seen)} of {text.count(chr(10))} frames")
    return seen


def kernel(frames: Iterable[bytes]) -> tuple[str, ...] | None:
    """What the kernel of this machine shows; None where it allows no namespace or TAP device."""
    return _show([sys.executable, "-m", "tests.outside.kernel.kernel_host"], frames)


def _who() -> Iterator[str]:
    """Who the host is, as the compiler's definitions."""
    yield f"-DUDP_PORTS={','.join(map(str, host.UDP_PORTS))}"
    yield f"-DTCP_PORTS={','.join(map(str, host.TCP_PORTS))}"
    for name in ("IPV4", "GATEWAY"):
        yield f'-DHOST_{name}="{getattr(host, name)}"'
    for name in ("IPV6", "GROUPS", "GROUPS_IPV6"):
        listed = ",".join(f'"{address}"' for address in getattr(host, name))
        yield f"-DHOST_{name}={listed}"
    yield f"-DHOST_MAC=0x{host.MAC.replace(':', ',0x')}"


def small(frames: Iterable[bytes]) -> tuple[str, ...] | None:
    """What the small embedded stack shows; None where it or a compiler is not installed."""
    compiler = shutil.which("gcc")
    if compiler is None or not LIBRARY.is_dir():
        return None
    with tempfile.TemporaryDirectory() as folder:
        program = str(Path(folder, "small_host"))
        source = [str(HERE / "small_host.c"), "-I", str(LIBRARY), "-o", program]
        libraries = ["-llwip", "-ldl", "-rdynamic"]
        subprocess.run([compiler, "-O1", *_who(), *source, *libraries], check=True, timeout=120)
        return _show([program], frames)
