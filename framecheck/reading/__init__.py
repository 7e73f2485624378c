"""Reading: from the text of a log to the dumps in it, in any layout, with every octet's place."""

from framecheck.reading.reader import Reader

__all__ = ["Reader"]
