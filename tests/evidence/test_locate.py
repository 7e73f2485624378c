"""Where in a capture a log begins, however long the capture ran before."""

import random
import struct
from collections.abc import Callable
from pathlib import Path

import pytest

from framecheck.cli import run
from framecheck.evidence.locate import begins
from tests.machines.board import Print
from tests.machines.cells import Cell
from tests.machines.printing import capture, log
from tests.machines.traffic import recorded


def traffic(count: int) -> list[bytes]:
    """Recorded frames again and again, each with an identification of its own (RFC 791)."""
    random_, every = random.Random(5), recorded()
    found = []
    for number in range(count):
        octets = every[number % len(every)]
        if octets[12:15] == b"\x08\x00\x45":
            # The header's sum changes with it, as a sender's would; here by chance.
            name = struct.pack("!H", number & 0xFFFF)
            octets = octets[:18] + name + octets[20:24] + random_.randbytes(2) + octets[26:]
        found.append(octets)
    return found


def tail(octets: bytes) -> bytes:
    return octets[: len(octets) // 24 * 24] + bytes(len(octets) % 24)


def swapped(octets: bytes) -> bytes:
    return b"".join(octets[i : i + 2][::-1] for i in range(0, len(octets), 2))


def spoilt(octets: bytes) -> bytes:
    random_ = random.Random(octets)
    return bytes(o ^ random_.randrange(1, 256) if random_.random() < 0.1 else o for o in octets)


SENT = traffic(6000)


@pytest.mark.parametrize("damage", [bytes, tail, swapped, spoilt, lambda o: b"\0\0" + o])
@pytest.mark.parametrize("start", [0, 300, 5000])
def test_a_log_is_found_in_its_capture(start: int, damage: Callable[[bytes], bytes]) -> None:
    found = begins([damage(o) for o in SENT[start : start + 12]], SENT)
    assert max(0, start - 20) <= found <= start


def test_other_traffic_begins_at_the_front() -> None:
    random_ = random.Random(1)
    assert begins([random_.randbytes(200) for _ in range(20)], SENT) == 0
    assert begins([], SENT) == 0


def test_frames_that_return_all_the_time_tell_nothing() -> None:
    every = list(recorded())[:40] * 120
    assert begins(every[900:910], every) == 0


def test_what_ran_before_the_board_did_is_not_lost(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.chdir(tmp_path)
    capture(SENT, Path("sent.pcap"))
    came = [tail(o) for o in SENT[5000:5020]]
    printed = [Print(0, [Cell(o, 0, i) for i, o in enumerate(octets)]) for octets in came]
    Path("bench.log").write_text(log(printed, random.Random(2)))
    run(["law", "bench.log", "--sent", "sent.pcap", "--fill", "zero"])
    said = " ".join(capsys.readouterr().out.split())
    assert said.startswith("the transfer writes only whole multiples of 24 octets")
    assert "holds in 20 of 20 frames" in said
