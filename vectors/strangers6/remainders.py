"""What fits nowhere else."""

from __future__ import annotations

from _frames import lossy, plain
from _page import Page, Shown, rows


def _patched(page: Page, frame: Shown, base: int) -> None:
    """Rows of a frame as lines that a change puts in."""
    for start, stop in rows(frame.octets, 16):
        page.put(f"+    {base + start:06x}  ")
        frame.run(start, stop)
        page.end()


def added_lines() -> Page:
    """A change to a file of test data, on its way through a review."""
    page = Page("a change's lines with plus in front, offset of 6 digits, 16 a row")
    page.say(
        "reviewer wrote:", "> please put the frame itself in", "", "--- tests/echo.txt",
        "+++ tests/echo.txt", "@@ -3,2 +3,9 @@ echo",
        "     # one echo, as the alarm sends it",
    )  # fmt: skip
    _patched(page, page.frame(plain(96)), 0)
    page.say("     # end", "", "looks good")
    return page


def fives() -> Page:
    """Groups of five octets."""
    page = Page("groups of 5 octets without gaps, four a row, capitals, no offset")
    page.say("Cipher unit off, clear text:")
    frame = page.frame(lossy(25))
    for start, stop in rows(frame.octets, 20):
        frame.groups(start, stop, 5, " ", "02X")
        page.end()
    page.say("Cipher unit on")
    return page


def addresses_then_data() -> Page:
    """A driver's line with both addresses and the kind, then rows with the rest."""
    page = Page("addresses with colons and the kind in a line, the rest beneath, offset from 0e")
    page.say("net: up", "net: drop, no taker, 85 octets:")
    frame = page.frame(plain(168 - 3))
    page.put("net: to ")
    frame.run(0, 6, ":")
    page.put(" from ")
    frame.run(6, 12, ":")
    page.put(" kind ")
    frame.run(12, 14, "")
    page.end()
    for start in range(14, len(frame.octets), 16):
        page.put(f"net: {start:04x}  ")
        frame.run(start, min(start + 16, len(frame.octets)))
        page.end()
    page.say("net: counters 12 0 0 1")
    return page


LAYOUTS = {
    "added-lines": added_lines,
    "fives": fives,
    "addresses-then-data": addresses_then_data,
}
