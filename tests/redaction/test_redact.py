"""``framecheck redact``: every verdict kept, no address or name left (own promise, no source).

``python -m tests.trials.redact`` holds all logs of the project and damaged recorded traffic to the
same promise; here stands a part of them.
"""

import random
import re
import sys
from collections.abc import Callable
from pathlib import Path
from zlib import crc32

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from framecheck.cli import run
from framecheck.redaction import redact
from framecheck.redaction._fewest import fewest
from framecheck.run import Run, Settings, Text
from tests.trials.redact import MORE, ROOT, damaged, logs, private, survivors, text_of, tried

sys.path.insert(0, str(ROOT / "tests/outside"))
from recordings import ALL, SUMMED, frames

DEMO = ROOT / "vectors/demo/orchard.log"
HARD = (
    "19-shared-console",
    "wrapped-healed",
    "23-wrapped-terminal",
    "11-unpadded",
    "cut-at-its-start-doubted",
    "22-coloured",
    "decimal-columns",
    "24-assembler",
    "25-signed-decimals",
    "02-kernel-ring",
    "26-boxed",
    "22-cursor-movements",
    "08-escaped-messages",
    "11-registers-of-words",
)
"""Logs with rows that no reader places, that a screen broke, or that write octets otherwise."""
FOLDERS = ("layouts", "strangers", "strangers2", "golden", "demo")
# By name, so that a log that is added changes nothing for the others.
SAMPLE = [
    p
    for p in logs()
    if p.stem in HARD or (p.parent.name in FOLDERS and crc32(p.stem.encode()) % 8 == 0)
]


@pytest.mark.parametrize("path", SAMPLE, ids=lambda p: p.stem)
def test_a_log_says_the_same_and_names_nobody(path: Path) -> None:
    text = text_of(path)

    done, survived = tried(text, b"orchard")

    assert [(r.number, names) for r, names in done.differing] == []
    assert survived == []
    assert done.unwritable == ()
    assert re.findall("\r\n|\r|\n", done.text) == re.findall("\r\n|\r|\n", text)


HARDER = (
    95050,
    95109,
    200012,
    200058,
    201045,
    201053,
    23004,
    83007,
    83040,
    211044,
    301019,
    403036,
    407013,
    410056,
    412037,
    501058,
    615018,
    616032,
    637023,
    641038,
    656002,
    660049,
)
"""A struck name, a station's group bit, a length that the sum does not name, a sum that is never
looked at, addresses read as codes, names read as padding, a row without dots in its gutter,
padding that two earlier frames might have left, a network's octet that was struck, one of
two octets that was, numbers that look like a network, an address in a text, a name in a list, a
sound frame that starts where it does because of what its octets are in another order, a host's
number beside an equal octet, a question that an answer repeats, a block with a meaning, a sum
that leaves out what a struck length does, a sum read as flags, a quote behind lost octets."""


@pytest.mark.parametrize(("seed", "number"), [(222023, 3), (97053, 7)])
def test_octets_stay_where_a_verdict_hangs_on_them(seed: int, number: int) -> None:
    """Octets lost in a header of IPv6: by others than those behind them the place would move."""
    head, *rest = re.split("(?=net: received)", damaged(random.Random(seed), frames("ipv6.pcap")))
    text = head + rest[number - 1]

    done, survived = tried(text, b"orchard", Settings(fill="letters"))

    ((_, stayed),) = done.stayed
    assert 1 <= stayed <= 8
    assert done.differing == ()
    assert survived == []


def test_the_fewest_octets_stay() -> None:
    needed = {3, 40}
    asked: list[frozenset[int]] = []

    def holds(stay: frozenset[int]) -> bool:
        asked.append(stay)
        return needed <= stay

    assert fewest([range(16), range(32, 48)], holds, 100) == needed
    assert len(asked) < 32
    assert fewest([range(16)], holds, 100) is None
    assert fewest([range(48)], lambda stay: True, 2) == frozenset()
    assert fewest([range(48)], holds, 1) == frozenset(range(48))


def test_what_is_told_twice_is_given_free_in_both_places() -> None:
    def holds(stay: frozenset[int]) -> bool:
        return 3 in stay and (5 in stay) == (40 in stay)

    assert fewest([range(16), range(32, 48)], holds, 100) == {3}


def _pseudo(octets: bytes, _: bytes) -> bytes:
    return bytes((0, 0, 0, 1, 0, 6)) + octets[6:12] + bytes(2) + octets[12:]


def _behind_old(octets: bytes, before: bytes) -> bytes:
    return before[:10] + octets


def _before_old(octets: bytes, before: bytes) -> bytes:
    padded = octets.ljust(60, b"\0")
    return padded + crc32(padded).to_bytes(4, "little") + before[:20]


def _part_of_fcs(octets: bytes, _: bytes) -> bytes:
    padded = octets.ljust(60, b"\0")
    return padded + crc32(padded).to_bytes(4, "little")[:2]


@pytest.mark.parametrize("around", [_pseudo, _behind_old, _before_old, _part_of_fcs])
def test_what_a_device_left_around_a_frame_is_redacted_too(
    around: Callable[[bytes, bytes], bytes],
) -> None:
    before, lines = bytes(range(0x70, 0xA0)), []
    stations = set()
    for octets in frames("rare.pcap")[:8]:
        stations |= {a for a in (octets[:6], octets[6:12]) if not a[0] & 1}
        lines.append(around(octets, before).hex(" "))
        before = octets
    done = redact("\n".join(lines) + "\n", b"orchard")

    assert done.differing == ()
    left = [a for a in stations for line in done.text.split("\n") if a in bytes.fromhex(line)]
    assert left == []


@pytest.mark.parametrize("seed", [0, 1, *HARDER])
def test_damage_stays_what_it_was(seed: int) -> None:
    """Flipped bits, tails never written, exchanged and lost octets, sound frames between them."""
    text = damaged(random.Random(seed), frames(ALL[seed % 1000 % len(ALL)]))

    done, survived = tried(text, b"orchard", Settings(fill="letters"))

    assert [(r.number, names) for r, names in done.differing] == []
    assert survived == []


@pytest.mark.parametrize("seed", [300003, 300007, 1002024, 1003018, 1003049, 1006025, 1102007])
def test_what_a_damage_hides_is_redacted_behind_it(seed: int) -> None:
    """Bits that slipped and a line that is stuck, among other damages: named as before."""
    text = damaged(random.Random(seed), frames(ALL[seed % 1000 % len(ALL)]), MORE)

    done, survived = tried(text, b"orchard", Settings(fill="letters"))

    assert [(r.number, names) for r, names in done.differing] == []
    assert survived == []


@pytest.mark.parametrize(
    ("seed", "numbers", "key"),
    [
        # A bit turned in a prefix: 00 | 00 00 5e 01 53 is 00:00:5e:00:53:01, exchanged in pairs.
        (501003, (2, 3), b"orchard"),
        # An error quotes a datagram of which an octet that it quotes was lost.
        (602036, (5, 6), b"frost"),
        # What a frame has for an address, because a length in it was struck, is text in another.
        (604013, (4, 11), b"orchard"),
        # What follows a tag of which octets were lost hangs on the addresses of other frames.
        (605021, (2, 11), b"orchard"),
        # Octets of an echo that count, in its answer all but the first behind what was lost.
        (608052, (8, 9), b"orchard"),
    ],
)
def test_two_frames_hang_together_as_before(
    seed: int, numbers: tuple[int, int], key: bytes
) -> None:
    name = ALL[seed % 1000 % len(ALL)]
    head, *rest = re.split("(?=net: received)", damaged(random.Random(seed), frames(name)))
    text = "".join((head, *(rest[n - 1] for n in numbers)))

    done, survived = tried(text, key, Settings(fill="letters"))

    assert done.differing == ()
    assert survived == []


def test_lines_that_stay_tell_times_and_no_names() -> None:
    """The gutters beside octets are written anew there too."""
    text = damaged(random.Random(1), frames(SUMMED)[:3], ("none",))
    text += "[00:00:01.000,000] \x1b[34mfrostd\x1b[0m below 0.5 C\n"

    done = redact(text, b"orchard", keep_chatter=True)

    assert done.differing == ()
    assert survivors(done, *private(list(Run([Text("log", text)], Settings())))) == []
    last = done.text.splitlines()[-1]
    assert re.fullmatch(r"\[00:00:01\.000,000\] \x1b\[34m[a-z]{6}\x1b\[0m below 0.5 C", last)
    assert "frost" not in done.text.lower()


def test_exchanged_octets_are_healed_as_before() -> None:
    """Which octets came as they were sent hangs on which neighbors are equal, by chance."""
    text = damaged(random.Random(3), frames(SUMMED), ("pairs",))

    done, survived = tried(text, b"orchard")

    assert done.differing == ()
    assert survived == []
    assert any(r.repair for r in Run([Text("log", done.text)], Settings()))


def test_the_law_stays() -> None:
    """A tail of the fill in every frame: the same law, with the same figures."""
    octets = [f[: len(f) - 6] + b"" for f in frames(SUMMED)[:30] if len(f) > 70]
    letters = bytes(0x41 + i % 26 for i in range(1600))
    rows = []
    for o in octets[:16]:
        received = o + letters[len(o) : len(o) + 6]
        rows.append(f"rx: {len(received)} octets")
        rows += [f"{a:04x}: {received[a : a + 16].hex(' ')}" for a in range(0, len(received), 16)]
    text = "\n".join(rows) + "\n"
    given_ = Settings(fill="letters", law=True)

    done = redact(text, b"orchard", Settings(fill="letters"))

    told = []
    for shown in (text, done.text):
        whole = Run([Text("log", shown)], given_)
        list(whole)
        told.append([(x["family"], x["parameters"], x["holds"]) for x in whole.totals().laws])
    assert told[0] == told[1]
    assert told[0]


def test_the_same_value_has_the_same_stand_in_everywhere() -> None:
    text = (
        "frost: own address 00:00:5e:00:53:0a, 192.0.2.10\n"
        "eth0: received 42 octets\n"
        "0000: ff ff ff ff ff ff 00 00 5e 00 53 0a 08 06 00 01\n"
        "0010: 08 00 06 04 00 01 00 00 5e 00 53 0a c0 00 02 0a\n"
        "0020: 00 00 00 00 00 00 c0 00 02 0b\n"
    )

    done = redact(text, b"orchard", keep_chatter=True)

    first, _, *rows = done.text.splitlines()
    octets = bytes.fromhex("".join(r.partition(": ")[2] for r in rows).replace(" ", ""))
    assert octets[6:12] == octets[22:28] != bytes.fromhex("00005e00530a")
    assert octets[6:11] == bytes.fromhex("00005e0053")
    shown = f"{octets[6:12].hex(':')}, {'.'.join(map(str, octets[28:32]))}"
    assert first == f"frost: own address {shown}"
    assert octets[28:31] == octets[38:41]


def test_an_address_in_the_line_of_a_frame_is_no_number_of_its_layout() -> None:
    octets = frames(SUMMED)[0]
    text = "".join(
        f"unit=7 mac={octets[6:12].hex(':')} ip=192.0.2.77 frame len={len(octets)} {octets.hex()}\n"
        for _ in range(3)
    )

    done = redact(text, b"orchard")

    assert done.differing == ()
    assert octets[6:12].hex(":") not in done.text
    assert "192.0.2.77" not in done.text


def test_a_key_decides_and_without_one_nobody_can() -> None:
    text = text_of(DEMO)

    first, again, other = (redact(text, key).text for key in (b"a", b"a", b"b"))

    assert first == again != other


def test_the_command_writes_the_log_and_says_what_it_did(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    out = tmp_path / "shown.log"

    left_with = run(["redact", str(DEMO), "--fill", "letters", "--output", str(out)])

    said = capsys.readouterr()
    assert left_with == 0
    assert said.out == ""
    assert "2 hardware addresses" in said.err
    assert not any(x in said.err for x in ("192.0.2", "5e", "c000", "orchard"))
    assert len(out.read_text().splitlines()) == len(DEMO.read_text().splitlines())


def test_what_cannot_be_read_is_one_line_and_exit_code_two(
    capsys: pytest.CaptureFixture[str],
) -> None:
    capture = ROOT / "vectors/demo/sent.pcap"

    assert run(["redact", "absent.log"]) == 2
    assert run(["redact", str(capture)]) == 2

    said = capsys.readouterr().err.splitlines()
    assert len(said) == 2
    assert "absent.log" in said[0]
    assert "console log" in said[1]


@settings(max_examples=30, deadline=None)
@given(
    st.lists(
        st.one_of(
            st.text(max_size=60),
            st.binary(max_size=40).map(lambda b: b.hex(" ")),
            st.binary(min_size=14, max_size=60).map(lambda b: "0000: " + b.hex(" ")),
        ),
        max_size=8,
    )
)
def test_no_text_ever_raises_and_every_line_stays(lines: list[str]) -> None:
    text = "\n".join(lines)

    done = redact(text, b"key")

    assert re.findall("\r\n|\r|\n", done.text) == re.findall("\r\n|\r|\n", text)


def test_survivors_are_found() -> None:
    """The search of these tests would see an address that stayed, in each form."""
    text = text_of(DEMO)
    done = redact(text, b"key")
    address = bytes.fromhex("c000024d")

    for form in (address, address[::-1], bytes.fromhex("00c04d02")):
        left = done.text.replace("63 82 53 63", form.hex(" "), 1)
        assert survivors(done._replace(text=left), {address}, set())
