"""Every prefix of every log under ``vectors``: no cut may damage a frame that is sound uncut.

``python -m tests.trials.prefixes [--workers N] [NAME ...]`` prints each log for which one does.
"""

from __future__ import annotations

import argparse
import os
from concurrent.futures import ProcessPoolExecutor

from tests.outside.test_bad_logs import LOGS, blamed


def main() -> None:
    """The command line."""
    parser = argparse.ArgumentParser(description=(__doc__ or "").split("\n")[0])
    parser.add_argument("--workers", type=int, default=os.cpu_count() or 1)
    parser.add_argument("names", nargs="*", help="logs (default: all)")
    options = parser.parse_args()
    chosen = [p for p in LOGS if not options.names or p.stem in options.names]
    prefixes = 0
    with ProcessPoolExecutor(options.workers) as pool:
        for path, found in zip(chosen, pool.map(blamed, chosen), strict=True):
            prefixes += path.stat().st_size
            if found:
                print(f"{path.stem}: {len(found)} prefixes; {'; '.join(found[:4])}", flush=True)
    print(f"{len(chosen)} logs, about {prefixes} prefixes")


if __name__ == "__main__":
    main()
