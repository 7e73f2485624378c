"""Rows that differ from a row before them in digits alone, taken as columns of characters.

One look at a column of many rows stands for a look at each of them: at the offsets, at what parts
the octets, at the octets, at the gutter. Whatever is unusual is left to the look at single rows.
"""

from __future__ import annotations

from collections.abc import Sequence
from functools import lru_cache

from framecheck.reading._model import Model
from framecheck.reading._shape import Shape, turned
from framecheck.reading._track import ETHERTYPES, Track
from framecheck.reading.traits.gutter import rendered

_FEWEST = 5
"""Rows for which a look at each costs more."""
_MOST = 128
"""Rows that are taken at once."""
_NEAR = 4
"""Rows of a dump within which such rows mostly begin."""
_ANY_DIGIT = str.maketrans("123456789", "000000000")
_MEANT = frozenset("xX#'\"_$&")
"""Marks beside which a digit may belong to a notation, and be no number."""
_OFFSETS = {16: "x", 10: "d", 8: "o"}
_FIRST_OF_TYPES = bytes({kind[0] for kind in ETHERTYPES})
_TYPE = 12
"""The octet of a row at which the type stands in a frame that begins there."""


def _model(shape: Shape, text: str) -> Model | None:
    """What a row has in common with those like it."""
    m = shape.match(text)
    if m is None:
        return None
    size, (low, high), (start, stop), rest = len(text), m.span(1), m.span(2), m[3]
    usable = stop - start == shape.full_width and m.end(3) - m.start(3) == size - stop
    if shape.gutter is None:
        usable = usable and not rest
    else:
        # Where a gutter has no edge, the octets' end is no matter of columns.
        usable = usable and bool(shape.opening) and not (shape.opening[0].isalnum())
        usable = usable and shape.opening[0] != "_"
    if shape.little:
        usable = usable and shape.per_row % shape.group == 0
    lead, between = (text[:low], text[high:start]) if shape.offset else (text[:start], "")
    usable = usable and "_" not in text[low:high]
    varies = _MEANT.isdisjoint(lead)
    lead = lead.translate(_ANY_DIGIT) if varies else lead
    parted = _parted(shape)
    return Model(size, start, stop, lead, varies, high - low, between, *parted, usable)


def _parted(shape: Shape) -> tuple[str, int, tuple[tuple[int, str], ...]]:
    """By what rows are joined, after how many characters all is alike, its separators."""
    gaps, digits = shape.gaps, 2 * shape.group
    even = len(set(gaps)) == 1 and digits > 0 and shape.per_row % shape.group == 0
    marks: list[tuple[int, str]] = []
    at = 0
    for gap in gaps[:1] if even else gaps:
        at += digits
        marks.extend(enumerate(gap, at))
        at += len(gap)
    return (gaps[0], at, tuple(marks)) if even else ("", shape.full_width, tuple(marks))


def alike(track: Track, texts: list[str], index: int, most: int) -> tuple[list[bytes], int]:
    """The octets of full rows from ``texts[index]`` on, all like one that was there before.

    ``most``: of how many lines at most. Also gives the number of characters in front of their
    octets. The rows are those that the shape's pattern reads, but not always all of them; of a
    dump without offsets none stands behind a row that may end it.
    """
    shape = track.shape
    model = shape.model
    size = track.length
    if len(texts) - index < _FEWEST or len(texts[index]) != size:
        return [], 0
    rows = texts[index : index + min(most, _MOST)]
    for count, row in enumerate(rows):
        if len(row) != size:
            del rows[count:]
            break
    if len(rows) < _FEWEST:
        return [], 0
    if model is None or model.size != size:
        model = shape.model = _model(shape, track.texts[-1])
    if model is None or not model.usable:
        return [], 0
    if model.lead:
        rows = rows[: _led(rows, model)]
    if shape.offset:
        rows = rows[: _counted(track, rows, model)]
    parts = _parts(shape, rows, model)
    if not parts and len(rows) > _FEWEST:
        # The last one may have blanks where others have octets.
        parts = _parts(shape, rows[:-1], model)
    return parts if shape.offset else parts[: _up_to_an_end(track, parts)], model.start


def _led(rows: Sequence[str], model: Model) -> int:
    """How many of some rows have the prefix that they should have."""
    lead, count = model.lead, len(rows)
    size = len(lead)
    leads = "".join([row[:size] for row in rows])
    if model.varies:
        leads = leads.translate(_ANY_DIGIT)
    if leads == lead * count:
        return count
    return next(k for k in range(count) if leads[k * size : (k + 1) * size] != lead)


def _counted(track: Track, rows: Sequence[str], model: Model) -> int:
    """How many of some rows have the offset that they should have."""
    shape, first = track.shape, track.expected
    if first is None:
        return 0
    low, stop = model.start - len(model.between) - model.digits, model.start
    fronts = [row[low:stop] for row in rows]
    step = shape.per_row // shape.unit
    kind = _OFFSETS[shape.base]
    best = 0
    for form in (kind, kind.upper()) if shape.base > 10 else (kind,):
        form = f"%0{model.digits}{form}{model.between.replace('%', '%%')}"
        if first <= _NEAR * step:
            wanted = _first_offsets(form, step, first)[: len(rows)]
        else:
            wanted = _offsets(form, step, first, len(rows))
        if fronts == wanted:
            return len(rows)
        pairs = enumerate(zip(fronts, wanted, strict=True))
        best = max(best, next(k for k, (a, b) in pairs if a != b))
    return best


def _offsets(form: str, step: int, first: int, count: int) -> list[str]:
    """Offsets as rows print them, with what stands behind them."""
    return [form % value for value in range(first, first + step * count, step)]


@lru_cache(maxsize=8)
def _first_offsets(form: str, step: int, first: int) -> list[str]:
    """The same near the start of a dump: most dumps have them."""
    return _offsets(form, step, first, _MOST)


def _parts(shape: Shape, rows: Sequence[str], model: Model) -> list[bytes]:
    """The octets of each of these rows; none where one of the rows has another form."""
    if not rows:
        return []
    start, stop, period = model.start, model.stop, model.period
    data = model.join.join([row[start:stop] for row in rows])
    for at, mark in model.marks:
        column = data[at::period]
        if column != mark * len(column):
            return []
    for gap in shape.foreign_marks:
        data = data.replace(gap, " ")
    try:
        octets = bytes.fromhex(data)
    except ValueError:
        return []
    size = shape.per_row
    if len(octets) != size * len(rows):
        return []
    if shape.little:
        octets = turned(octets, shape.group)
    parts = [octets[at : at + size] for at in range(0, len(octets), size)]
    if stop == model.size:
        return parts
    behind = "".join([row[stop:] for row in rows])
    return parts if behind == _behind(shape, octets, parts) else []


def _behind(shape: Shape, octets: bytes, parts: Sequence[bytes]) -> str:
    """What should stand behind the octets of the rows, all of it joined."""
    gutter, size = shape.gutter, shape.per_row
    if gutter is None:
        return ""
    if gutter.gaps:
        texts = [rendered(part, gutter.gaps, gutter.other) for part in parts]
    else:
        text = rendered(octets, (), gutter.other)
        texts = [text[at : at + size] for at in range(0, len(text), size)]
    return shape.opening + (shape.closing + shape.opening).join(texts) + shape.closing


def _up_to_an_end(track: Track, parts: Sequence[bytes]) -> int:
    """How many rows of a dump without offsets there are up to one that may end it."""
    size, count = track.shape.per_row, len(parts)
    for claimed in track.facts.claimed:
        rows, rest = divmod(claimed - track.total, size)
        if rest == 0 and 0 < rows < count:
            count = rows
    if size < _TYPE + 2:
        return count
    firsts = b"".join(parts)[_TYPE::size]
    if len(firsts.translate(None, _FIRST_OF_TYPES)) == len(firsts):
        return count
    for k, part in enumerate(parts[:count]):
        if part[_TYPE : _TYPE + 2] in ETHERTYPES:
            return k + 1
    return count
