"""Show all frames to both hosts and store what they did.

    apt-get install gcc liblwip-dev          # as root, Debian
    python -m tests.outside.kernel.make      # as root, or where users may have namespaces

The kernel is reached through a namespace of its own, the small stack through its entry function;
nothing is sent to any network. It takes about half a minute.
"""

from __future__ import annotations

import os
import subprocess
import sys

from tests.outside.kernel import hosts
from tests.outside.kernel.frames import shown
from tests.outside.kernel.table import lines_of, write


def main() -> int:
    """Write the three files of ``vectors/kernel``; 3 when a host cannot run here."""
    frames = list(shown())
    octets = [f.octets for f in frames]
    system = os.uname()
    seen = hosts.kernel(octets), hosts.small(octets)
    for name, what in zip(("the kernel", "the small stack"), seen, strict=True):
        if what is None:
            print(f"{name} cannot be asked here", file=sys.stderr)
            return 3
    asked = ["dpkg-query", "-W", "-f", "${Version}", "liblwip-dev"]
    version = subprocess.run(asked, capture_output=True, text=True, check=True).stdout
    write("frames", f"{len(frames)} frames", lines_of(frames))
    write("kernel", f"{system.sysname} {system.release.partition('-')[0]}", seen[0] or ())
    write("small", f"liblwip-dev {version}", seen[1] or ())
    return 0


if __name__ == "__main__":
    sys.exit(main())
