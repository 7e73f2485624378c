"""The one error of the sources: an input that cannot be opened, or not be read to its end."""

from __future__ import annotations

from framecheck.core.problem import Problem
from framecheck.core.quote import quote


class InputError(Problem):
    """An input: its name, what is wrong (and where), and what to do about it."""

    def __init__(self, path: str, what: str, do: str) -> None:
        super().__init__(f"{quote(path)}: {what}; {do}")
        self.path = path
        self.what = what
        self.do = do


def failed(path: str, error: Exception) -> InputError:
    """The device's or the system's own words about a file that cannot be read."""
    said = (getattr(error, "strerror", None) or str(error)).lower()
    return InputError(path, f"cannot be read ({quote(said)})", "give a file that can be read")
