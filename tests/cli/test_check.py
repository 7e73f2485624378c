"""The command line from outside: exit codes, one clear line for each mistake, quiet endings."""

from __future__ import annotations

import json
import os
import pty
import re
import select
import signal
import subprocess
import sys
import time
import zlib
from importlib.resources import files
from pathlib import Path
from xml.etree import ElementTree

import dpkt
import pytest
from jsonschema import Draft202012Validator

from framecheck.cli import _orchard, run

FRAMECHECK = [sys.executable, "-m", "framecheck"]


def dumped(octets: bytes) -> str:
    rows = range(0, len(octets), 16)
    return "".join(f"net: {at:04x}: {octets[at : at + 16].hex(' ')}\n" for at in rows)


@pytest.fixture
def bench(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A folder with a sound log, a damaged one, a cut one, chatter and a capture."""
    monkeypatch.chdir(tmp_path)
    for name in ("NO_COLOR", "TERM", "FORCE_COLOR"):
        monkeypatch.delenv(name, raising=False)
    (tmp_path / "sound.log").write_text(f"frost: row 3\n{dumped(_orchard.asks())}frost: row 4\n")
    (tmp_path / "orchard.log").write_text(_orchard.log())
    (tmp_path / "cut.log").write_text(dumped(_orchard.offer(1)[:100]).rstrip("\n"))
    (tmp_path / "chatter.log").write_text("frost: row 3 at 1.8 C\n" * 5)
    (tmp_path / "empty.log").touch()
    (tmp_path / "empty").mkdir()
    with (tmp_path / "sent.pcap").open("wb") as file:
        writer = dpkt.pcap.Writer(file)
        for frame in (_orchard.asks(), *(_orchard.offer(0x5EED0000 + n) for n in (1, 2))):
            writer.writepkt(frame, ts=1.0)
    return tmp_path


Captured = pytest.CaptureFixture[str]


def said(capsys: Captured, *arguments: str) -> tuple[int, str, str]:
    code = run(["check", *arguments])
    out, err = capsys.readouterr()
    return code, out, err


@pytest.mark.parametrize(
    ("arguments", "code"),
    [
        (["sound.log"], 0),
        (["orchard.log"], 1),
        (["cut.log"], 2),
        (["chatter.log"], 2),
        (["empty.log"], 2),
        (["sound.log", "orchard.log"], 1),
        (["sound.log", "absent.log"], 2),
        (["orchard.log", "absent.log"], 2),
        (["sent.pcap"], 0),
        (["sound.log", "--fill", "letters", "--host", "mac=00:00:5e:00:53:07"], 0),
    ],
)
@pytest.mark.parametrize("report", ["terminal", "json", "junit"])
def test_the_exit_code_is_the_same_in_every_report(
    bench: Path, capsys: Captured, arguments: list[str], code: int, report: str
) -> None:
    assert said(capsys, *arguments, "--report", report)[0] == code


@pytest.mark.parametrize(
    ("arguments", "says"),
    [
        (["absent.log"], "absent.log: there is no such file; check the path"),
        (["empty"], "empty: is a folder without a file; name the logs or the captures"),
        (["*.lgo"], "*.lgo: no file fits this pattern; name the logs or the captures"),
        (["--repport", "json"], "no option --repport; did you mean --report?"),
        (["--report", "xml", "sound.log"], "'xml' is not one of 'html', 'json', "),
        (["--only", "sound", "sound.log"], "'sound' is not"),
        (["--host", "mac=1:2:3", "sound.log"], "mac=1:2:3 is not six octets"),
        (["--host", "ip=1.2.3.256", "sound.log"], "ip=1.2.3.256 is not an IPv4 address"),
        (["--host", "port=65536", "sound.log"], "port=65536 is not a port from 0 to 65535"),
        (["--host", "port=1,port=2", "sound.log"], "port is given twice"),
        (["--host", "name=x", "sound.log"], "name=x is none of mac=…, ip=…, port=…"),
        (["--fill", "a tree", "sound.log"], "--fill 'a tree'"),
        (["--sent", "absent.pcap", "sound.log"], "absent.pcap: there is no such file"),
        (["--output", "absent/o.txt", "sound.log"], "--output absent/o.txt: cannot be written"),
        (["a\x1b[31m.log"], "a\\x1b[31m.log: there is no such file"),
    ],
)
def test_a_mistake_is_one_clear_line_and_2(
    bench: Path, capsys: Captured, arguments: list[str], says: str
) -> None:
    code, _, err = said(capsys, *arguments)
    assert code == 2
    assert says in err
    assert err.count("\n") == 1
    assert err.startswith("framecheck: ")


def test_a_command_that_does_not_exist_gets_a_hint(capsys: Captured) -> None:
    assert run(["chek"]) == 2
    assert capsys.readouterr().err == "framecheck: no command chek; did you mean check?\n"


def test_a_damaged_log_is_shown_with_its_own_lines(bench: Path, capsys: Captured) -> None:
    code, out, _ = said(capsys, "orchard.log", "--fill", "letters")
    assert code == 1
    assert out.startswith("orchard.log: 2 of 4 frames are damaged\n")
    lines = (bench / "orchard.log").read_text().splitlines()
    for shown in re.findall(r"^ +(\d+)   0x([0-9a-f]+)   ((?:[0-9a-f]{2} ?)+)$", out, re.MULTILINE):
        assert lines[int(shown[0]) - 1].endswith(f"{int(shown[1], 16):04x}: {shown[2]}")
    assert out.count("~" * 23) == 2


def test_what_was_sent_names_the_octets_that_are_wrong(bench: Path, capsys: Captured) -> None:
    _, out, _ = said(capsys, "orchard.log", "--sent", "sent.pcap", "--report", "json")
    frames = json.loads(out)["frames"]
    sent, got = _orchard.offer(0x5EED0001), _orchard.received(_orchard.offer(0x5EED0001))
    differing = {i for i in range(328) if sent[i] != got[i]}
    wrong = {i for a, b in frames[1]["wrong"] for i in range(a, b)}
    assert wrong == differing


def test_what_next_names_exists(bench: Path, capsys: Captured) -> None:
    for arguments in (["orchard.log"], ["orchard.log", "--fill", "letters"], ["cut.log"]):
        _, out, _ = said(capsys, *arguments)
        named = re.findall(r"^ +(framecheck .+)$", out, re.MULTILINE)
        for command in named:
            words = command.replace("CAPTURE", "sent.pcap").split()
            assert run(words[1:]) in (0, 1)
            assert capsys.readouterr().err == ""


def test_standard_input_is_read_when_nothing_is_named(bench: Path) -> None:
    done = subprocess.run(
        [*FRAMECHECK, "check"],
        input=(bench / "orchard.log").read_bytes(),
        capture_output=True,
        check=False,
    )
    assert done.returncode == 1
    assert done.stdout.startswith(b"standard input: 2 of 4 frames are damaged\n")
    assert done.stderr == b""


def test_json_names_an_unread_input_and_is_silent_when_nothing_could_be_opened(
    bench: Path, capsys: Captured
) -> None:
    code, out, err = said(capsys, "--report", "json", "absent.log", "sound.log")
    sheet = json.loads(out)
    assert code == 2
    assert [i["error"] is None for i in sheet["inputs"]] == [False, True]
    assert "absent.log" in err
    code, out, err = said(capsys, "--report", "json", "absent.log")
    assert (code, out) == (2, "")
    assert err.count("\n") == 1


def test_an_opened_input_without_a_frame_still_has_a_sheet(bench: Path, capsys: Captured) -> None:
    code, out, err = said(capsys, "--report", "json", "empty.log")
    assert code == 2
    assert json.loads(out)["verdict"] == "cannot tell"
    assert err == (
        "framecheck: empty.log: no frame found, it is empty; give a log that holds a hex dump\n"
    )


def test_every_sheet_keeps_to_the_schema_that_is_shipped(bench: Path, capsys: Captured) -> None:
    schema = json.loads(files("framecheck").joinpath("sheet.schema.json").read_text("utf-8"))
    frame = bytearray(_orchard.offer(3) + zlib.crc32(_orchard.offer(3)).to_bytes(4, "little"))
    frame[100] ^= 8
    (bench / "flipped.log").write_text(dumped(bytes(frame)) + "ok\n")
    (bench / "short.log").write_text(dumped(_orchard.offer(3)[:150] + _orchard.offer(3)[156:]))
    names = sorted(p.name for p in bench.iterdir())
    _, out, _ = said(capsys, *names, "--report", "json", "--sent", "sent.pcap", "--strict")
    sheet = json.loads(out)
    Draft202012Validator(schema).validate(sheet)
    assert [i["name"] for i in sheet["inputs"]] == names
    found = {f["rule"] for one in sheet["frames"] for f in one["findings"]}
    assert {"ethernet-fcs", "udp-checksum"} <= found
    for i in sheet["inputs"]:
        assert i["digits"] + i["framing"] + i["skipped"] == i["characters"]


def test_a_broken_capture_gives_the_frames_before_it(bench: Path, capsys: Captured) -> None:
    whole = (bench / "sent.pcap").read_bytes()
    (bench / "broken.pcap").write_bytes(whole[:-9])
    code, out, err = said(capsys, "--report", "json", "broken.pcap")
    sheet = json.loads(out)
    assert code == 2
    assert len(sheet["frames"]) == 2
    assert "record 3, octet " in sheet["inputs"][0]["error"]
    assert err.count("\n") == 1


def test_an_input_that_is_named_twice_is_read_once(bench: Path, capsys: Captured) -> None:
    _, out, _ = said(capsys, "--report", "json", "orchard.log", "orchard.log")
    assert json.loads(out)["tally"]["frames"] == 4


def test_output_is_written_whole_or_not_at_all(bench: Path, capsys: Captured) -> None:
    target = bench / "sheet.json"
    target.write_text("older")
    code, out, _ = said(capsys, "--report", "json", "--output", "sheet.json", "orchard.log")
    assert (code, out) == (1, "")
    assert json.loads(target.read_text())["tally"]["damaged"] == 2
    # The sent frames break off while the report is being written: the older file stays.
    (bench / "bad.pcap").write_bytes((bench / "sent.pcap").read_bytes()[:-9])
    target.write_text("older")
    code, _, err = said(
        capsys, "--output", "sheet.json", "--sent", "bad.pcap", "--report", "json", "orchard.log"
    )
    assert code == 2
    assert "bad.pcap" in err
    assert target.read_text() == "older"
    said(capsys, "--report", "json", "--output", "none.json", "absent.log")
    assert sorted(p.name for p in bench.iterdir() if "json" in p.name) == ["sheet.json"]


def test_output_keeps_to_what_only_damaged_leaves(bench: Path, capsys: Captured) -> None:
    said(capsys, "--only", "damaged", "--report", "json", "--output", "o.json", "orchard.log")
    sheet = json.loads((bench / "o.json").read_text())
    assert [f["number"] for f in sheet["frames"]] == [2, 3]
    assert sheet["tally"]["frames"] == 4


def test_junit_states_its_failures(bench: Path, capsys: Captured) -> None:
    _, out, _ = said(capsys, "--report", "junit", "orchard.log", "absent.log")
    suites = list(ElementTree.fromstring(out))
    assert [s.get("failures") for s in suites] == ["2", "0"]
    assert [s.get("errors") for s in suites] == ["0", "1"]


HARD = {
    "one octet": b"ff",
    "13 octets": bytes(range(13)).hex(" ").encode(),
    "binary": bytes(range(256)) * 400,
    "nul": bytes(5000),
    "middle of a line": b"net: 0000: ff ff ff ff ff ff 00 00 5e 0",
    "escapes": b"\x1b[2J\x1b]0;title\x07 0000: ff ff\r\n" * 50,
    "right to left": "\u202e0000: ff ff ff\u202c\n".encode() * 20,
    "markup": b"<script>&amp;]]></script>\n" * 20,
}


@pytest.mark.parametrize("name", HARD)
@pytest.mark.parametrize("report", ["terminal", "json", "junit"])
def test_a_hard_input_gets_an_honest_answer(
    bench: Path, capsys: Captured, name: str, report: str
) -> None:
    (bench / "hard.log").write_bytes(HARD[name])
    code, out, err = said(capsys, "--report", report, "hard.log")
    assert code in (1, 2)
    assert out
    assert "\x1b" not in out + err
    assert "\u202e" not in out + err
    assert "Traceback" not in out + err


def test_a_frame_of_65535_octets(bench: Path, capsys: Captured) -> None:
    octets = (_orchard.asks() + bytes(65535))[:65535]
    (bench / "long.log").write_text(dumped(octets))
    code, out, _ = said(capsys, "--report", "json", "long.log")
    (frame,) = json.loads(out)["frames"]
    assert frame["length"] == 65535
    assert code in (0, 1, 2)
    assert said(capsys, "--all", "long.log")[0] == code


def peak(path: Path) -> int:
    """Most memory that checking a file takes, in the system's own unit."""
    arguments = [*FRAMECHECK, "check", "--report", "json", "--output", "o.json", str(path)]
    child = subprocess.Popen(arguments, stderr=subprocess.DEVNULL)
    _, status, used = os.wait4(child.pid, 0)
    child.returncode = os.waitstatus_to_exitcode(status)
    assert child.returncode == 2
    return used.ru_maxrss


def test_memory_does_not_grow_with_the_length_of_a_line(bench: Path) -> None:
    peaks = []
    for megabytes in (10, 30):
        with (bench / "line.log").open("wb") as file:
            for _ in range(megabytes * 16):
                file.write(b"ab" * 32768)
        peaks.append(peak(bench / "line.log"))
        sheet = json.loads((bench / "o.json").read_text())
        assert sheet["inputs"][0]["characters"] == megabytes << 20
    assert peaks[1] < 1.1 * peaks[0]


def test_the_json_path_leaves_heavy_libraries_alone(bench: Path) -> None:
    program = (
        "import sys; from framecheck.cli import run; run(['check','--report','json','sound.log']);"
        "print(sorted(m for m in ('numpy','dpkt','bitstring','rich','xml','tempfile','logging')"
        " if m in sys.modules), file=sys.stderr)"
    )
    done = subprocess.run([sys.executable, "-c", program], capture_output=True, check=True)
    assert done.stderr == b"[]\n"


def test_a_reader_that_goes_away_is_no_error(bench: Path) -> None:
    big = (bench / "orchard.log").read_text() * 200
    (bench / "big.log").write_text(big)
    arguments = [*FRAMECHECK, "check", "--report", "json", "big.log"]
    with subprocess.Popen(arguments, stdout=subprocess.PIPE, stderr=subprocess.PIPE) as child:
        assert child.stdout is not None
        assert child.stderr is not None
        child.stdout.read(100)
        child.stdout.close()
        assert child.stderr.read() == b""
        assert child.wait() == 141


def test_an_interrupt_is_quiet(bench: Path) -> None:
    with subprocess.Popen(
        [*FRAMECHECK, "check", "--report", "json"],
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        # A shell that runs the tests in its background has it ignored, and children inherit that.
        preexec_fn=lambda: signal.signal(signal.SIGINT, signal.SIG_DFL),
    ) as child:
        assert child.stdin is not None
        assert child.stderr is not None
        child.stdin.write(b"frost\n")
        child.stdin.flush()
        time.sleep(1.0)
        child.send_signal(signal.SIGINT)
        assert child.wait(10) == 130
        assert child.stderr.read() == b""


def test_a_full_disk_is_one_clear_line(bench: Path) -> None:
    with open("/dev/full", "wb") as full:
        done = subprocess.run(
            [*FRAMECHECK, "check", "orchard.log"], stdout=full, stderr=subprocess.PIPE, check=False
        )
    assert done.returncode == 2
    assert done.stderr == b"framecheck: cannot write the report (no space left on device)\n"


def test_without_a_standard_output_the_exit_code_still_tells(bench: Path) -> None:
    command = '"$0" -m framecheck check orchard.log >&-'
    done = subprocess.run(
        ["/bin/sh", "-c", command, sys.executable], stderr=subprocess.PIPE, check=False
    )
    assert (done.returncode, done.stderr) == (1, b"")


def on_a_terminal(arguments: list[str], typed: bytes = b"", **environment: str) -> str:
    """What a person would see: the program's output on a pseudo-terminal."""
    child, terminal = pty.fork()
    if not child:
        os.environ.update({"TERM": "xterm", **environment})
        os.execv(sys.executable, [*FRAMECHECK, *arguments])
    seen = b""
    try:
        while True:
            if not select.select([terminal], [], [], 60)[0]:
                os.kill(child, signal.SIGKILL)
                raise AssertionError(f"the program waits for something; it said {seen!r}")
            octets = os.read(terminal, 65536)
            if not octets:
                break
            seen += octets
            if typed and b"waits" in seen:
                os.write(terminal, typed)
                typed = b""
    except OSError:  # the terminal is gone with the child
        pass
    os.waitpid(child, 0)
    os.close(terminal)
    return seen.decode().replace("\r\n", "\n")


def test_colour_is_for_terminals_that_want_it(bench: Path) -> None:
    arguments = ["check", "orchard.log", "--fill", "letters"]
    assert "\x1b[1m" in on_a_terminal(arguments)
    assert "\x1b" not in on_a_terminal(arguments, NO_COLOR="1")
    assert "\x1b" not in on_a_terminal(arguments, TERM="dumb")


def test_a_person_who_names_nothing_is_told_what_is_awaited(bench: Path) -> None:
    seen = on_a_terminal(["check"], b"frost\n\x04")
    assert "waits for a log: paste it here" in seen
    assert "no frame found in 6 characters" in seen


def test_an_ascii_terminal_can_show_everything(bench: Path) -> None:
    name = "霜.log"
    (bench / name).write_text(_orchard.log())
    done = subprocess.run(
        [*FRAMECHECK, "check", name],
        capture_output=True,
        check=False,
        env={**os.environ, "PYTHONIOENCODING": "ascii", "PYTHONUTF8": "0"},
    )
    assert done.returncode == 1
    assert done.stdout.startswith(b"\\u971c.log: 2 of 4 frames are damaged\n")


@pytest.mark.parametrize("arguments", [["-h"], [], ["check", "-h"], ["explain", "-h"]])
def test_help_fits_a_page_and_says_how_numbers_are_written(
    capsys: Captured, arguments: list[str]
) -> None:
    assert run(arguments) == 0
    out = capsys.readouterr().out
    assert max(map(len, out.splitlines())) <= 80
    assert out.endswith("\n")
    if arguments in ([], ["-h"]):
        assert "Offsets are hex (0x22), counts are decimal." in out
