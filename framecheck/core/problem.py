"""The one kind of error that a person can mend: a wrong option, an input that cannot be read."""

from __future__ import annotations


class Problem(Exception):  # noqa: N818 - it is said to the user, by its own name
    """Its text is one clear line: what, where, what to do. Nothing in it is raw log."""
