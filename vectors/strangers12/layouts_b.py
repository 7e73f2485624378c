"""Everyday layouts: arrays, tables, chats, and rows that are numbered in other ways."""

from __future__ import annotations

from _frames import lossy, neighbour, plain, rare, six, tagged
from _page import Page, characters, rows


def source_array() -> Page:
    """The board prints the frame so that it can be pasted into a test."""
    page = Page("an array in C, 12 a row, with the place of the first octet in a comment behind")
    page.say("# replay mode on, frames are printed as source", "# board 4, firmware 5.0.3")
    page.say("[main] 0x20000000..0x20017fff ram, 61 % used", "[emac] start")
    for number, octets in enumerate((plain(165), plain(94), tagged(36))):
        shown = page.frame(octets)
        page.say(f"[emac] frame {number} of class 0x{number + 2:02x}")
        page.say(f"static const uint8_t frame_{number}[{len(octets)}] = {{")
        for start, stop in rows(octets, 12):
            page.put("    0x")
            shown.run(start, stop, ", 0x")
            page.put("," if stop < len(octets) else "")
            page.pad(80)
            page.end(f"/* {start} */")
        page.say("};", "[probe] p1=-14 p2=-16 p3=-11 (tenths)")
    page.say("[emac] 3 frames, 0 lost", "[main] sleep until 0x65f1a2c0")
    return page


def offset_behind() -> Page:
    """The offset stands behind the row, after a semicolon."""
    page = Page("16 a row, the hex offset at the right behind a semicolon")
    page.say("mon 2.2 ready", "? p emac", "rxp 0000002b txp 00000019 rxe 00000000", "? t on")
    for word, octets in ("in", plain(166)), ("out", plain(167)), ("in", lossy(24)):
        shown = page.frame(octets)
        page.say(f"{word} len={len(octets)}")
        for start, stop in rows(octets, 16):
            page.put("    ")
            shown.run(start, stop)
            page.pad(54)
            page.end(f"; {start:04x}")
    page.say("? t off", "? p adc", "a0 07f1 a1 0802 a2 07fe a3 0000", "? p fan")
    page.say("f0 0000 0000 0000 ok", "f1 0000 0000 0000 ok", "?")
    return page


def numbered_rows() -> Page:
    """Rows of fourteen, counted instead of measured."""
    page = Page("14 a row, 'row N of M' with a colon before the octets, a length line before")
    page.say("Frost guard, orchard north, unit 2", "Time from clock chip: 03:58:10", "Probes: 5")
    for turn, octets in enumerate((plain(169), six(33), plain(172))):
        shown = page.frame(octets)
        total = -(-len(octets) // 14)
        page.say("", f"Ethernet {'input' if turn != 1 else 'output'}: {len(octets)} bytes")
        for row, (start, stop) in enumerate(rows(octets, 14), 1):
            page.put(f"  row {row} of {total}: ")
            shown.run(start, stop)
            page.end()
        page.say(f"Ethernet idle, pool {30 - turn}/32")
        page.say(*(f"Probe {n}: {-0.4 * n - turn / 10:.1f} degrees" for n in range(1, 6)))
    page.say("", "Low alarm armed at -2.0 degrees", "Sprinkler pressure 3.1 bar")
    return page


def key_values() -> Page:
    """Key and value all along the line; each row has an offset of its own."""
    page = Page("key=value lines; off= in decimal and hex= with sixteen joined octets")
    page.say("t=0.010 lvl=info unit=boot ver=5.3 slot=a crc=7b11c0de")
    page.say("t=0.120 lvl=info unit=mac phy=0x0141 rev=2 link=up")
    for seq, (word, octets) in enumerate(
        (("rx", plain(171)), ("tx", plain(25)), ("rx", six(13))), 12
    ):
        shown = page.frame(octets)
        page.say(f"t={seq}.001 lvl=trace unit=mac dir={word} seq={seq} len={len(octets)}")
        for start, stop in rows(octets, 16):
            page.put(f"t={seq}.{start // 16 + 2:03d} lvl=trace unit=mac seq={seq} off={start} hex=")
            shown.run(start, stop, "")
            page.end()
        page.say(f"t={seq}.700 lvl=info unit=probe p1=-1.{seq} p2=-0.{seq} wet=0x{seq * 3:02x}")
        page.say(f"t={seq}.710 lvl=info unit=fan a=off b=off duty=0")
    page.say("t=15.300 lvl=warn unit=cfg key=hold value=0x0384 reason=range")
    page.say(*(f"t={n}.000 lvl=info unit=idle load={n % 5}" for n in range(16, 26)))
    return page


def drawn_box() -> Page:
    """A table with drawn lines and numbers above the columns."""
    page = Page("16 a row between drawn lines, column numbers above, hex offset at the left")
    page.say("Orchard display unit — service page 4", "Firmware 3.9   Uptime 00:14:22", "")
    for title, octets in ("last received", plain(100)), ("last sent", plain(96)):
        shown = page.frame(octets)
        page.say(f"{title}: {len(octets)} bytes")
        page.say("┌──────┬─" + "─" * 48 + "┬" + "─" * 18 + "┐")
        heads = " ".join(f"{n:2X}" for n in range(16))
        page.say(f"│      │ {heads} │ {'text':16s} │")
        page.say("├──────┼─" + "─" * 48 + "┼" + "─" * 18 + "┤")
        for start, stop in rows(octets, 16):
            page.put(f"│ {start:04X} │ ")
            shown.run(start, stop, " ", "02X")
            page.pad(58)
            page.end(f"│ {characters(octets[start:stop], '·'):16s} │")
        page.say("└──────┴─" + "─" * 48 + "┴" + "─" * 18 + "┘", "")
    page.say("Probe   now    low", *(f"  {n}    {-n / 4:5.2f}  {-n / 2:5.2f}" for n in range(1, 7)))
    page.say("", "[back]  [next]  [print]")
    return page


def wiki_table() -> Page:
    """A page of the team's wiki, as its source."""
    page = Page("a table in wiki marks: offset, eight octets and characters in cells")
    page.say(
        "## Bring-up notes, board 9", "", "Link comes up after 1.9 s. The first two frames:", ""
    )
    for title, octets in ("Question", plain(157)), ("Answer", plain(158)):
        shown = page.frame(octets)
        page.say(
            f"### {title} ({len(octets)} octets)", "", "| at | octets | text |", "|---:|---|---|"
        )
        for start, stop in rows(octets, 8):
            page.put(f"| 0x{start:02x} | `")
            shown.run(start, stop)
            text = characters(octets[start:stop]).replace("|", "!").replace("`", "'")
            page.end(f"` | `{text}` |")
        page.say("")
    page.say("### Registers afterwards", "", "| name | value |", "|---|---|")
    page.say("| CTRL | `0x0000c80c` |", "| STAT | `0x00000041` |", "| IRQ | `0x0001` |", "")
    page.say("To do: *why is STAT not 0x40?*")
    return page


def chat_lines() -> Page:
    """A chat between two benches; each row became a message of its own."""
    page = Page("16 a row behind time and speaker, unbreakable spaces after the offset")
    page.say(
        "[04:10] bench-2: so, it prints now", "[04:10] bench-1: show me", "[04:11] bench-2: ok"
    )
    for word, minute, octets in ("rx", 12, plain(95)), ("rx", 14, plain(98)), ("tx", 15, plain(83)):
        shown = page.frame(octets)
        page.say(f"[04:{minute}] bench-2: {word} {len(octets)}B if=1")
        for start, stop in rows(octets, 16):
            page.put(f"[04:{minute}] bench-2: {start:02x}\u00a0\u00a0")
            shown.run(start, stop)
            page.end()
        page.say(f"[04:{minute}] bench-1: hm, {len(octets)} is what i see at the switch too")
    page.say("[04:17] bench-1: and the registers?", "[04:17] bench-2: 0x0c 0x1f 0x00 0x80")
    page.say("[04:18] bench-1: 0x80 is the fan bit", "[04:18] bench-2: right, fan 2 was stuck")
    page.say("[04:21] bench-1: build a1b2c3d4 fixes that", "[04:22] bench-2: loading it")
    page.say("[04:26] bench-2: -2.1 at the far end, alarm fired", "[04:26] bench-1: good")
    return page


def double_spaced() -> Page:
    """A mail program put an empty line behind each line."""
    page = Page("16 a row, every line followed by an empty one, CRLF, offset 0x and a dash")
    page.newline = "\r\n"

    def say(*lines: str) -> None:
        for line in lines:
            page.say(line, "")

    say("frost-ctl 4.9 / row 2", "flash id 0xEF4018", "lwm: 2 sockets, 1 timer", "link: up")
    for word, octets in ("TX", neighbour()), ("RX", plain(45)), ("RX", rare(45)):
        shown = page.frame(octets)
        say(f"{word} packet ({len(octets)} bytes)")
        for start, stop in rows(octets, 16):
            page.put(f"0x{start:04X} - ")
            shown.run(start, stop, " ", "02X")
            page.pad(60)
            page.end(characters(octets[start:stop]))
            page.say("")
        say("packet end")
    say("t1=-0.6 t2=-0.9 t3=-0.8", "t1=-0.7 t2=-1.0 t3=-0.8", "motor current 0x00A1", "idle")
    return page


LAYOUTS = {
    "source-array": source_array,
    "offset-behind": offset_behind,
    "numbered-rows": numbered_rows,
    "key-values": key_values,
    "drawn-box": drawn_box,
    "wiki-table": wiki_table,
    "chat-lines": chat_lines,
    "double-spaced": double_spaced,
}
