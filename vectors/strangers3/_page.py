"""A log that is written piece by piece and remembers where each octet of a frame stands."""

from __future__ import annotations

import json
from collections.abc import Iterator
from pathlib import Path


def rows(octets: bytes, width: int) -> Iterator[tuple[int, int]]:
    """Begin and end of each row of ``width`` octets; the last row holds what is left."""
    for start in range(0, len(octets), width):
        yield start, min(start + width, len(octets))


def characters(octets: bytes, dot: str = ".") -> str:
    """What a character column shows for these octets."""
    return "".join(chr(octet) if 0x20 <= octet < 0x7F else dot for octet in octets)


class Shown:
    """One frame on a page, with the place of each octet that has been printed."""

    def __init__(self, page: Page, octets: bytes) -> None:
        self.page = page
        self.octets = octets
        self.places: list[tuple[int, int, int] | None] = [(0, 0, 0)] * len(octets)

    def octet(self, at: int, form: str = "02x") -> None:
        """Print octet ``at``; the place is that of its digits, without what stands around them."""
        digits = format(self.octets[at], form)
        column = self.page.column
        self.places[at] = (self.page.line_number, column, column + len(digits))
        self.page.put(digits)

    def run(self, start: int, stop: int, joint: str = " ", form: str = "02x") -> None:
        """Print the octets from ``start`` to ``stop`` with ``joint`` between them."""
        for at in range(start, stop):
            self.page.put(joint if at > start else "")
            self.octet(at, form)

    def groups(self, start: int, stop: int, size: int, joint: str, form: str = "02x") -> None:
        """Print groups of ``size`` octets, joined inside and with ``joint`` between them."""
        for at in range(start, stop, size):
            self.page.put(joint if at > start else "")
            self.run(at, min(at + size, stop), "", form)

    def fold(self, start: int, stop: int) -> None:
        """The octets from ``start`` to ``stop`` are not printed: a word stands for their row."""
        self.places[start:stop] = [None] * (stop - start)

    def truth(self) -> dict[str, object]:
        """Octets and places as the file beside the log has them."""
        missing = [at for at, place in enumerate(self.places) if place and not place[0]]
        assert not missing, f"octets never printed: {missing}"
        first, last = self.places[0], self.places[-1]
        assert first, "a frame's first octet is printed"
        assert last, "a frame's last octet is printed"
        return {
            "octets": self.octets.hex(),
            "line": first[0],
            "column": first[1],
            "last": {"line": last[0], "column": last[1]},
            "places": [list(place) if place else None for place in self.places],
        }


class Page:
    """Lines and columns count from 1, in characters; a byte order mark is not counted."""

    def __init__(self, note: str, digits: str = "hex") -> None:
        self.note = note
        self.digits = digits
        self.encoding = "utf-8"
        self.newline = "\n"
        self.mark = False
        self._lines = [""]
        self._frames: list[Shown] = []

    @property
    def line_number(self) -> int:
        """Number of the line that is being written."""
        return len(self._lines)

    @property
    def column(self) -> int:
        """Column of the character that comes next."""
        return len(self._lines[-1]) + 1

    def put(self, text: str) -> None:
        """Go on with the line; ``text`` holds no line end."""
        assert "\n" not in text
        assert "\r" not in text
        self._lines[-1] += text

    def end(self, text: str = "") -> None:
        """Go on with the line and end it."""
        self.put(text)
        self._lines.append("")

    def say(self, *lines: str) -> None:
        """Whole lines of chatter."""
        for line in lines:
            self.end(line)

    def pad(self, column: int) -> None:
        """Spaces until the next character stands in ``column``."""
        self.put(" " * (column - self.column))

    def frame(self, octets: bytes) -> Shown:
        """A frame that is going to be printed on this page."""
        assert 42 <= len(octets) <= 600
        self._frames.append(Shown(self, octets))
        return self._frames[-1]

    def text(self) -> str:
        """The log with its line ends."""
        return self.newline.join(self._lines)

    def write(self, path: Path) -> None:
        """The log at ``path`` and, when it prints frames, the truth beside it."""
        path.write_bytes((("\ufeff" if self.mark else "") + self.text()).encode(self.encoding))
        if not self._frames:
            return
        head = {"notes": [self.note], "digits": self.digits, "count": len(self._frames)}
        frames = ", \n".join(json.dumps(shown.truth()) for shown in self._frames)
        truth = json.dumps(head)[:-1] + ', "frames": [\n' + frames + "]}\n"
        path.with_suffix(".json").write_text(truth, encoding="utf-8")
