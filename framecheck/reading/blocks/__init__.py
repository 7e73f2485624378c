"""Layouts that only several lines together show, one file each.

Each offers a :class:`~framecheck.reading._block.Form`. A block holds lines back until it ends;
what it cannot read goes on to the reader as if it had never been held.
"""
