"""How much work a call is, counted and not timed: function calls, Python's and C's.

Time depends on the machine and on what else it does; a count is the same every run.
"""

import sys
from collections.abc import Callable
from types import FrameType
from typing import Any


def effort(work: Callable[[], Any]) -> int:
    """The number of function calls that ``work()`` makes, in Python and in C."""
    calls = 0

    def count(frame: FrameType, event: str, argument: object) -> None:
        nonlocal calls
        calls += event in ("call", "c_call")

    sys.setprofile(count)
    try:
        work()
    finally:
        sys.setprofile(None)
    return calls
