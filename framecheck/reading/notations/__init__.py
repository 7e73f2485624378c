"""Notations, one file each: how the digits of an octet are written.

Each offers a :class:`~framecheck.reading._notation.Notation`, which rewrites a line to plain
groups of hex digits, character for character.
"""
