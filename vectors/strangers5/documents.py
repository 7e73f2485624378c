"""What has gone through a mail, a page, a ticket or a screen before it was pasted."""

from __future__ import annotations

from _frames import lossy, plain, rare, six, tagged
from _page import Page, characters, rows


def wide_console() -> Page:
    """A console redirected into a file of 16-bit characters, with middle dots in the gutter."""
    page = Page("UTF-16 with a mark, CRLF, offset and dash, halves with a dash, middle dots")
    page.encoding = "utf-16"
    page.newline = "\r\n"
    page.say("Frostwächter 7 – Protokoll", "Knospe: 0,7 °C", "Empfangen: 83 Oktette")
    frame = page.frame(plain(155))
    for start, stop in rows(frame.octets, 16):
        page.put(f"{start:04X} - ")
        begin = page.column
        frame.run(start, min(start + 8, stop), form="02X")
        page.put(" - " if stop > start + 8 else "")
        frame.run(start + 8, stop, form="02X")
        page.pad(begin + 52)
        page.end(characters(frame.octets[start:stop], "·"))
    page.say("Knospe: 0,6 °C", "Ventil: zu")
    return page


def newspaper_columns() -> Page:
    """To save paper the second half of the rows stands beside the first, each with its offset."""
    page = Page("rows of 8 in two columns down the page: offsets 00 to 30 left, 38 to 68 right")
    page.say("Row 7, frame as received, 110 octets", "")
    frame = page.frame(six(0))
    left = list(rows(frame.octets, 8))
    half = (len(left) + 1) // 2
    for at in range(half):
        for column, (start, stop) in enumerate(left[at::half]):
            page.put("      " if column else "")
            page.put(f"{start:02x}: ")
            frame.run(start, stop)
        page.end()
    page.say("", "Page 1 of 1")
    return page


def soft_line_ends() -> Page:
    """A mail in which long lines end softly, with a sign that belongs to the transport."""
    page = Page("mail: rows of 32 with an offset, broken softly with an equals sign at the end")
    page.newline = "\r\n"
    page.say(
        "Subject: frost alarm 7", "MIME-Version: 1.0",
        "Content-Transfer-Encoding: quoted-printable",
        "", "This came at 04:12, the sprinkler stayed off =3D cold night:", "",
    )  # fmt: skip
    frame = page.frame(lossy(21))
    for start, stop in rows(frame.octets, 32):
        page.put(f"{start:04x}  ")
        frame.run(start, min(start + 22, stop))
        if stop > start + 22:
            page.end(" =")
            frame.run(start + 22, stop)
        page.end()
    page.say("", "What does it say?", "", "-- =20", "row 7")
    return page


def narrow_screen() -> Page:
    """A screen of eighty columns broke the rows, which have a stamp in front."""
    page = Page("stamp, device and way, 32 a row, broken by the screen behind column 80")
    page.say("[   11.904211] frost: bud 3 0.4 C", "[   12.000177] emac0: link up 100/full")
    for way, octets in (("rx", plain(61)), ("tx", plain(109))):
        frame = page.frame(octets)
        for start, stop in rows(octets, 32):
            page.put(f"[   12.481{start:03d}] emac0: {way}: ")
            for at in range(start, stop):
                if page.column > 79:
                    page.end()
                frame.octet(at)
                page.put(" " if page.column < 81 and at + 1 < stop else "")
            page.end()
    page.say("[   12.512000] frost: bud 3 0.4 C")
    return page


def numbered_lines() -> Page:
    """A viewer of files numbers the lines."""
    page = Page("line number and bar of a viewer, then offset with colon, 16 a row, characters")
    page.put("")
    line = 41

    def numbered(text: str) -> None:
        nonlocal line
        page.put(f"{line:5d} | {text}")
        line += 1

    for text in ("alarm7 up", "rx 99 octets"):
        numbered(text)
        page.end()
    frame = page.frame(plain(59))
    for start, stop in rows(frame.octets, 16):
        numbered(f"{start:04x}: ")
        begin = page.column
        frame.run(start, stop)
        page.pad(begin + 49)
        page.end(characters(frame.octets[start:stop]))
    for text in ("tx 60 octets", "idle"):
        numbered(text)
        page.end()
    return page


def apostrophes() -> Page:
    """Octets parted by apostrophes, words of four by blanks."""
    page = Page("apostrophes between octets, blanks between fours, 20 a row, no offset")
    page.say("Notiz vom Prüfstand, 26. November", "", "Antwort der Pumpe (82):")
    frame = page.frame(plain(140))
    for start, stop in rows(frame.octets, 20):
        for piece in range(start, stop, 4):
            page.put(" " if piece > start else "")
            frame.run(piece, min(piece + 4, stop), "'", "02X")
        page.end()
    page.say("", "Danach nichts mehr.")
    return page


def nested_lists() -> Page:
    """Lists of four in a list, as an interpreter shows them."""
    page = Page("lists of 4 octets in parentheses within one list, over several lines")
    page.say("frost> (status)", "ok", "frost> (last-frame)")
    frame = page.frame(plain(46))
    for start, stop in rows(frame.octets, 16):
        page.put("(" if start == 0 else " ")
        for piece in range(start, stop, 4):
            page.put(" (" if piece > start else "(")
            frame.run(piece, min(piece + 4, stop))
            page.put(")")
        page.end(")" if stop == len(frame.octets) else "")
    page.say("frost> (bud 3)", "0.8")
    return page


def part_of_parts() -> Page:
    """Short messages, each with a part of the frame and its number."""
    page = Page("messages with part and parts, 36 octets each without gaps, chatter between")
    page.say("04:12 alarm7: bud 0.3 C", "04:12 alarm7: strange frame follows")
    frame = page.frame(tagged(45))
    count = -(-len(frame.octets) // 36)
    for number, (start, stop) in enumerate(rows(frame.octets, 36), 1):
        page.put(f"04:12 alarm7: ({number}/{count}) ")
        frame.run(start, stop, "")
        page.end()
        if number == 2:
            page.say("04:12 grower: what is this?")
    page.say("04:13 alarm7: bud 0.3 C")
    return page


def hard_blanks() -> Page:
    """A web page's console, copied: the blanks are such as do not break."""
    page = Page("no-break blanks between the octets and before the characters; offset and blank")
    blank = "\N{NO-BREAK SPACE}"
    page.say("Alarm 7", "Wire" + blank * 2 + "log", "")
    frame = page.frame(rare(30))
    for start, stop in rows(frame.octets, 16):
        page.put(f"{start:04x}" + blank * 2)
        begin = page.column
        frame.run(start, stop, blank)
        page.put(blank * (begin + 50 - page.column))
        page.end(characters(frame.octets[start:stop]).replace(" ", blank))
    page.say("", "Imprint" + blank + "Help")
    return page


def named_values() -> Page:
    """Values behind names in a line; among them addresses that look like octets."""
    page = Page("names and values in a line: time, unit, addresses, length and the frame")
    stem = "time=2026-11-26T04:12:{}Z unit=alarm7 mac=00:00:5e:00:53:07 ip=192.0.2.77 "
    page.say(stem.format("07.101") + "msg=poll")
    for second, octets in (("07.220", plain(99)), ("07.341", plain(130))):
        frame = page.frame(octets)
        page.put(stem.format(second) + f"msg=frame len={len(octets)} data=")
        frame.run(0, len(octets), "")
        page.end(" ok=1")
    page.say(stem.format("08.101") + "msg=poll")
    return page


LAYOUTS = {
    "wide-console": wide_console,
    "newspaper-columns": newspaper_columns,
    "soft-line-ends": soft_line_ends,
    "narrow-screen": narrow_screen,
    "numbered-lines": numbered_lines,
    "apostrophes": apostrophes,
    "nested-lists": nested_lists,
    "part-of-parts": part_of_parts,
    "hard-blanks": hard_blanks,
    "named-values": named_values,
}
