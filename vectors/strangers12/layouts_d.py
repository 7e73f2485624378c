"""Rarer layouts: split buffers, fields before the rest, other radices, two frames at once."""

from __future__ import annotations

from _frames import datagram, lossy, plain, rare, six, six_datagram, tagged
from _page import Page, Shown, characters, rows


def two_buffers() -> Page:
    """A frame lies in several buffers of the ring, and each buffer is printed by itself."""
    page = Page("a frame in buffers of 128 octets, each with a line of its own and offsets from 0")
    page.say(
        "frost-ctl 5.2 dma test", "ring at 0x30040000, 4 buffers of 128", "mode: store whole frame"
    )
    slot = 0
    for number, octets in enumerate((plain(174), plain(21), plain(186))):
        shown = page.frame(octets)
        page.say("", f"frame {number}: {len(octets)} octets in {-(-len(octets) // 128)} buffers")
        for first, last in rows(octets, 128):
            marks = ("first " if first == 0 else "") + ("last" if last == len(octets) else "")
            page.say(
                f" buffer {slot} @0x{0x30040100 + slot * 128:08x}"
                f" {last - first:3d} {marks}".rstrip()
            )
            for start in range(first, last, 16):
                page.put(f"   {start - first:02x} | ")
                shown.run(start, min(start + 16, last))
                page.end()
            slot = (slot + 1) % 4
        page.say(f" ring tail now {slot}, current descriptor 0x{0x30040000 + slot * 16:08x}")
    page.say(
        "", "dma idle", "p1 -0.3 p2 -0.4", "p1 -0.4 p2 -0.6", "p1 -0.6 p2 -0.7", "fan relay off"
    )
    return page


def fields_first() -> Page:
    """The driver prints the addresses and the type by name and then what follows them."""
    page = Page("destination, source and type by name with colons, then rows from offset 14")
    page.say("emac: probe ok (id 0x0181b8a0)", "emac: 64 rx buffers, 16 tx buffers", "emac: up")
    for turn, octets in enumerate((plain(60), rare(43), six(31), plain(168))):
        shown = page.frame(octets)
        word = ("in", "in", "in", "out")[turn]
        page.put(f"emac: {word} #{turn + 310} {len(octets)} octets, dst ")
        shown.run(0, 6, ":")
        page.put(" src ")
        shown.run(6, 12, ":")
        page.put(" type 0x")
        shown.run(12, 14, "")
        page.end()
        for start in range(14, len(octets), 16):
            page.put(f"emac:   {start:3d}: ")
            shown.run(start, min(start + 16, len(octets)))
            page.end()
        page.say(
            f"emac: irq 0x{0x41 + turn:04x}", f"adc: {2011 - turn} {2020 + turn} {1998 + turn}"
        )
    page.say(
        "ctl: arm at -2.0", "ctl: sprinkler line 2.9 bar", "emac: 4 frames, 0 errors", "ctl: night"
    )
    return page


def octal_rows() -> Page:
    """A rebuilt minicomputer on the orchard's network prints octal."""
    page = Page("octal, three digits an octet, eight a row, six-digit octal offset", "octal")
    page.say("ORCHARD MONITOR V7", "MEMORY 000000-157777", "LINE UNIT AT 174510, VECTOR 120")
    page.say("ALL VALUES ARE OCTAL", "")
    for word, octets in ("RECEIVED", rare(37)), ("SENT", plain(151)), ("RECEIVED", plain(40)):
        shown = page.frame(octets)
        page.say(f"{word} {len(octets):o} BYTES AT 0{0o41000 + len(octets) * 8:o}")
        for start, stop in rows(octets, 8):
            page.put(f"{start:06o}/ ")
            shown.run(start, stop, " ", "03o")
            page.end()
        page.say("STATUS 100200", "")
    page.say(*(f"PROBE {n} RAW {0o7700 + n * 3:06o} DRIFT {n:03o}" for n in range(1, 8)))
    page.say("FAN WORD 000000", "HALT SWITCH OFF")
    return page


def bit_rows() -> Page:
    """A student's receiver prints bits, most significant first."""
    page = Page("eight bits an octet, six octets a row, decimal offset with a bracket", "binary")
    page.say(
        "softmac on row 5, bits are shown most significant first", "sync found after 31 symbols"
    )
    for word, octets in ("got", plain(46)), ("got", plain(22)):
        shown = page.frame(octets)
        page.say(f"{word} {len(octets)} octets = {8 * len(octets)} bits")
        for start, stop in rows(octets, 6):
            page.put(f"  {start:3d}) ")
            shown.run(start, stop, " ", "08b")
            page.end()
        page.say("  end of carrier", f"  sampler phase {len(octets) % 5}, slips 0")
    page.say(
        "probe 1: -11", "probe 2: -14", "probe 3: -9", "flags 0b00000101", "leds 0b0011", "idle"
    )
    page.say(*(f"noise floor {-81 - n % 3} dBm" for n in range(10)))
    return page


def side_by_side() -> Page:
    """A loop test prints what went out and what came back beside each other."""
    page = Page("sent at the left, returned at the right, eight of each a row, offset before both")
    page.say("loop test through the far bridge, 2 rounds", "rows that differ get a star", "")
    rounds = (plain(54), plain(55)), (six(0), six(1))
    for number, (left, right) in enumerate(rounds, 1):
        assert len(left) == len(right)
        sent, back = page.frame(left), page.frame(right)
        page.say(f"round {number}, {len(left)} octets each way, {number * 3 + 1}.2 ms")
        page.say("  at    " + "sent".ljust(27) + "returned")
        for start, stop in rows(left, 8):
            page.put(f"  {start:03x}   ")
            sent.run(start, stop)
            page.pad(36)
            back.run(start, stop)
            page.end(
                ""
                if left[start:stop] == right[start:stop]
                else "".rjust(26 - 3 * (stop - start)) + "*"
            )
        page.say("  * rows differ", "")
    page.say("loop test: 2 of 2 rounds came back", "phy 0x1f reads 0x0080", "fan a: 0", "fan b: 0")
    page.say(*(f"probe {n}: {-1.25 + n / 8:.3f}" for n in range(1, 9)))
    return page


def two_tasks() -> Page:
    """Two tasks print at the same time; each marks its lines."""
    page = Page("two dumps interleaved row by row, tags <rx> and <tx>, 16 a row, hex offset")
    page.say(
        "<main> two cores, printing is line by line", "<rx> start on core 0", "<tx> start on core 1"
    )
    pairs = (
        (rare(31), datagram(b"row 7: -2.6 C; fan A on; " * 3, 0x77, 12)),
        (lossy(62), six_datagram(b"ok")),
    )
    for taken, given in pairs:
        frames: dict[str, Shown] = {"rx": page.frame(taken), "tx": page.frame(given)}
        page.say(f"<rx> frame of {len(taken)}")
        for at in range(-16, max(len(taken), len(given)), 16):
            for tag, shown in frames.items():
                if tag == "tx" and at == -16:
                    page.say(f"<tx> frame of {len(given)}")
                elif 0 <= at < len(shown.octets):
                    page.put(f"<{tag}> {at:04x}  ")
                    shown.run(at, min(at + 16, len(shown.octets)))
                    page.end()
            if at == 32:
                page.say("<main> beat 0x0000a1c4")
        page.say("<rx> done", "<tx> done, 0 again")
    page.say(
        "<main> probes -2.4 -2.6 -2.5", "<fan> a on 1180", "<fan> b off", "<main> beat 0x0000a1c5"
    )
    page.say(*(f"<main> low -2.{6 + n % 3}, hold {900 - 60 * n}" for n in range(8)))
    return page


def text_first() -> Page:
    """The characters stand at the left of the octets."""
    page = Page("characters at the left between stars, then 16 octets, hex offset at the right")
    page.say(
        "Pump house 1 / serial 2 / 115200", "version 1.09", "EE 00: 46 52 53 54", "link beat on"
    )
    for word, octets in (
        ("from wire", plain(156)),
        ("to wire", plain(155)),
        ("from wire", tagged(24)),
    ):
        shown = page.frame(octets)
        page.say(f"{word}, {len(octets)} bytes")
        for start, stop in rows(octets, 16):
            page.put(f"*{characters(octets[start:stop], ' '):16s}*  ")
            shown.groups(start, stop, 2, " ", "02X")
            page.pad(64)
            page.end(f"@{start:03X}")
        page.say("pump off, level 71", "float switch 0x01")
    page.say(*(f"level {71 - n} flow 0.{n} valve 0x{n:02X}" for n in range(9)))
    return page


def text_below() -> Page:
    """Below each row of octets stand its characters, each under its octet."""
    page = Page("20 a row with the characters below, each under its octet; decimal offset")
    page.say("weather mast, node 3", "wind 1.2 m/s", "dew -3.1 C", "uplink 192.0.2.1 answers")
    for word, octets in ("received", rare(41)), ("received", plain(159)), ("sent", plain(92)):
        shown = page.frame(octets)
        page.say("", f"{word} {len(octets)}")
        for start, stop in rows(octets, 20):
            page.put(f"{start:5d}  ")
            shown.run(start, stop)
            page.end()
            below = "".join(f" {sign} " for sign in characters(octets[start:stop]))
            page.end(" " * 7 + below.rstrip())
    page.say(
        "", *(f"wind {1.1 + n / 10:.1f} dir {200 + n * 3} gust {2 + n / 5:.1f}" for n in range(10))
    )
    page.say("mast heater duty 0x40", "battery 12.9 V", "sleep")
    return page


LAYOUTS = {
    "two-buffers": two_buffers,
    "fields-first": fields_first,
    "octal-rows": octal_rows,
    "bit-rows": bit_rows,
    "side-by-side": side_by_side,
    "two-tasks": two_tasks,
    "text-first": text_first,
    "text-below": text_below,
}
