"""The one kind of error that a person can mend: a wrong option, an input that cannot be read."""

from __future__ import annotations


class Problem(Exception):
    """Its text is one clear line: what, where, what to do. Nothing in it is raw log."""
