"""What the rules about values that changed between the frames of one log share."""

from __future__ import annotations

from collections.abc import Iterator

from framecheck.core.finding import Breach
from framecheck.core.layer import Field
from framecheck.core.span import Span
from framecheck.core.view import View
from framecheck.judging._near import slip


def changed(field: Field, usual: bytes | None, says: str) -> Iterator[Breach]:
    """The breach that a field is which one small slip makes of what it usually holds.

    ``usual``: what it holds in other frames, None when that is not known. ``says``: a sentence
    that ends before the word for the slip. The breach names the octets that differ.
    """
    found = slip(field.raw, usual) if usual is not None and field.whole else None
    if found is None or usual is None:
        return
    first = field.start // 8
    span = Span.of_octets(first + found.start, first + found.stop)
    part = slice(found.start, found.stop)
    yield Breach((span,), field.raw[part].hex(), usual[part].hex(), f"{says}: {found.how}")


def fails(view: View, *names: str) -> bool:
    """Whether one of these sums of the frame fails, so that it does not vouch for its octets."""
    return any(v.name in names and v.outcome == "mismatch" for v in view.verdicts)
