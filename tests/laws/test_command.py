"""The command: from logs and captures to the sheet's laws and the report for a person."""

from __future__ import annotations

import json
from importlib.resources import files
from pathlib import Path

import dpkt
import pytest
from jsonschema import Draft202012Validator

from framecheck.cli import run
from framecheck.damage import fill, probes
from framecheck.probes.build import build, hex_log
from tests.laws.faults import Fault, granule

LETTERS = fill("letters").octets(0, 4096)


def frame(length: int, number: int) -> bytes:
    """UDP to the discard port (RFC 863) between documentation addresses, sums left out."""
    size = length - 14
    ip = dpkt.ip.IP(
        src=bytes((192, 0, 2, 1)), dst=bytes((192, 0, 2, 77)), p=17, id=number, len=size, ttl=64
    )
    data = bytes((i * 7 + number * 13 + i // 256) & 0xFF for i in range(size - 28))
    ip.data = dpkt.udp.UDP(sport=4000, dport=9, data=data, ulen=size - 20)
    return bytes.fromhex("00005e005307 00005e005301 0800") + bytes(ip)


def written(folder: Path, lengths: list[int], fault: Fault) -> None:
    rows = []
    with (folder / "sent.pcap").open("wb") as file:
        writer = dpkt.pcap.Writer(file)
        for number, length in enumerate(lengths, 1):
            sent = frame(length, number)
            writer.writepkt(sent, ts=number)
            received = fault(sent, LETTERS)
            if received is None:
                continue
            rows.append(f"frost: received {len(received)} octets")
            for at in range(0, len(received), 16):
                rows.append(f"net: {at:04x}: {received[at : at + 16].hex(' ')}")
    (folder / "bench.log").write_text("\n".join(rows) + "\n")


@pytest.fixture
def bench(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.chdir(tmp_path)
    written(tmp_path, [60, 98, 342, 86, 131], granule(24))
    return tmp_path


Captured = pytest.CaptureFixture[str]
SCHEMA = json.loads((files("framecheck") / "sheet.schema.json").read_text())


def test_the_law_stands_in_the_sheet(bench: Path, capsys: Captured) -> None:
    code = run(["law", "bench.log", "--sent", "sent.pcap", "--fill", "letters", "--report", "json"])
    sheet = json.loads(capsys.readouterr().out)

    Draft202012Validator(SCHEMA).validate(sheet)
    first = sheet["laws"][0]
    assert code == 1
    assert (first["family"], first["parameters"]["n"]) == ("granule", 24)
    assert "24" in first["says"]
    assert first["from"] == "fill"


def test_check_says_the_law_in_one_sentence(bench: Path, capsys: Captured) -> None:
    run(["check", "bench.log", "--sent", "sent.pcap", "--fill", "letters"])
    said = capsys.readouterr().out

    assert "law       the transfer writes only whole multiples of 24 octets" in said
    assert "framecheck law bench.log --sent sent.pcap --fill letters" in said


def test_the_report_begins_with_the_sentence_and_shows_the_stripes(
    bench: Path, capsys: Captured
) -> None:
    run(["law", "bench.log", "--sent", "sent.pcap", "--fill", "letters"])
    said = capsys.readouterr().out

    assert said.startswith("the transfer writes only whole multiples of 24 octets")
    assert "~" in said
    assert "padded = (length + 23u) / 24u * 24u;" in said


def test_the_last_whole_and_the_first_damaged_stand_side_by_side_where_the_damage_is(
    bench: Path, capsys: Captured
) -> None:
    written(bench, [96, 72, 109, 342], granule(24))
    run(["law", "bench.log", "--sent", "sent.pcap", "--fill", "letters"])
    rows = capsys.readouterr().out.splitlines()
    good, bad = (next(i for i, r in enumerate(rows) if r.startswith(x)) for x in ("last", "first"))
    sent, read, marks = rows[bad + 1 : bad + 4]

    assert rows[good] == "last good bench.log frame 1, 96 octets, came whole"
    assert rows[good + 1].endswith(frame(96, 1)[80:].hex(" "))
    # Of 109 octets the last 13 are old: four in front of them are shown, as far as there is room.
    assert rows[bad] == "first bad bench.log frame 3, 109 octets, did not"
    assert sent.endswith("0x05c  " + frame(109, 3)[92:108].hex(" "))
    assert read.endswith("0x05c  " + (frame(109, 3)[92:96] + LETTERS[96:108]).hex(" "))
    assert marks == " " * read.index(LETTERS[96:97].hex() + " ") + " ".join(["^^"] * 12)


def test_the_fill_alone_tells_the_place(bench: Path, capsys: Captured) -> None:
    run(["law", "bench.log", "--fill", "letters", "--report", "json"])
    first = json.loads(capsys.readouterr().out)["laws"][0]

    assert first["family"] == "granule"
    told = [first, *first["rivals"]]
    assert 24 in {x["parameters"].get("n") for x in told}


def test_without_fill_and_reference_it_says_what_it_needs(bench: Path, capsys: Captured) -> None:
    run(["law", "bench.log"])

    assert "give --sent" in capsys.readouterr().out


def test_a_fill_of_zeros_alone_is_withheld(bench: Path, capsys: Captured) -> None:
    run(["law", "bench.log", "--fill", "zero"])

    assert "fill of zeros" in " ".join(capsys.readouterr().out.split())


def test_one_frame_gives_its_evidence_and_the_first_probes(bench: Path, capsys: Captured) -> None:
    rows = Path("bench.log").read_text().split("frost: ")
    Path("one.log").write_text("frost: " + rows[2])
    run(["law", "one.log", "--fill", "letters", "--sent", "sent.pcap"])
    said = " ".join(capsys.readouterr().out.split())

    assert said.startswith("no law can be told")
    assert "frame 1, of 98 octets: 2 never written (0x60 to 0x61)" in said
    assert "63, 78 and 95 octets (framecheck probe build" in said


def test_no_frame_at_all_says_only_that(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: Captured
) -> None:
    monkeypatch.chdir(tmp_path)
    Path("empty.log").write_text("valve 2: open\n")
    assert run(["law", "empty.log"]) == 2
    assert " ".join(capsys.readouterr().out.split()).endswith("have frames printed as hex digits")


def test_one_length_alone_names_those_that_are_missing(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: Captured
) -> None:
    monkeypatch.chdir(tmp_path)
    written(tmp_path, [78] * 5, granule(24))
    run(["law", "bench.log", "--fill", "letters", "--sent", "sent.pcap"])
    said = " ".join(capsys.readouterr().out.split())

    assert said.startswith("probably, but not for certain")
    assert "all frames have 78 octets" in said
    assert "missing, to begin with: 63 and 95" in said


def test_frames_that_never_came_are_foretold(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: Captured
) -> None:
    monkeypatch.chdir(tmp_path)
    lengths = [60, 1000, 300, 1400, 90, 1200, 500, 1100, 700, 1020]
    written(tmp_path, lengths, lambda t, _: t if len(t) < 1024 else None)
    run(["law", "bench.log", "--sent", "sent.pcap", "--report", "json"])
    first = json.loads(capsys.readouterr().out)["laws"][0]

    assert first["family"] == "drop"
    assert first["parameters"] == {"above": [1020, 1100]}


def test_a_frame_printed_one_too_late_is_told_by_both_ends(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: Captured
) -> None:
    monkeypatch.chdir(tmp_path)
    held = [LETTERS[:60]]

    def one_late(sent: bytes, _: bytes) -> bytes:
        held.append(sent)
        return held[-2]

    written(tmp_path, [60, 98, 342, 86, 131], one_late)
    run(["law", "bench.log", "--sent", "sent.pcap", "--fill", "letters", "--report", "json"])
    first = json.loads(capsys.readouterr().out)["laws"][0]

    assert (first["family"], first["parameters"]) == ("late", {"frames": 1})
    assert first["holds"]["count"] == 6
    assert first["certain"]


def test_a_log_that_begins_late_or_ends_early_is_not_late(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: Captured
) -> None:
    monkeypatch.chdir(tmp_path)
    lengths = [60, 98, 342, 86, 131, 77, 90]
    for gone in ((0,), (5, 6), (0, 6), (2,)):
        turn = iter(range(len(lengths)))
        written(tmp_path, lengths, lambda t, _, g=gone, n=turn: None if next(n) in g else t)
        run(["law", "bench.log", "--sent", "sent.pcap", "--fill", "letters", "--report", "json"])
        laws = json.loads(capsys.readouterr().out)["laws"]
        assert all(law["family"] != "late" for law in laws)


def test_every_octet_slipped_is_paired_by_its_turn(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: Captured
) -> None:
    monkeypatch.chdir(tmp_path)

    def slipped(sent: bytes, _: bytes) -> bytes:
        return (int.from_bytes(sent, "big") >> 3).to_bytes(len(sent), "big")

    written(tmp_path, [60, 98, 342, 86, 131], slipped)
    run(["law", "bench.log", "--sent", "sent.pcap", "--report", "json"])
    first = json.loads(capsys.readouterr().out)["laws"][0]

    assert (first["family"], first["parameters"]["bits"]) == ("slip", 3)


def test_other_traffic_gives_no_law(bench: Path, capsys: Captured) -> None:
    other = [bytes((i * n + 5) & 0xFF for i in range(70 + n)) for n in (3, 5, 11, 17, 23)]
    with open("other.pcap", "wb") as file:
        writer = dpkt.pcap.Writer(file)
        for n, octets in enumerate(other):
            writer.writepkt(octets, ts=n)
    run(["law", "bench.log", "--sent", "other.pcap", "--report", "json"])
    captured = capsys.readouterr()

    assert json.loads(captured.out)["laws"] == []
    assert "nothing to do with" in captured.err


def test_probes_need_nothing_that_says_what_was_sent(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: Captured
) -> None:
    monkeypatch.chdir(tmp_path)
    old = fill("odd-parity").octets(0, 4096)
    rows = []
    for number, length in enumerate((63, 78, 95, 161)):
        received = granule(24)(probes.frame(number, length), old) or b""
        rows += [
            f"net: {at:04x}: {received[at : at + 16].hex(' ')}"
            for at in range(0, len(received), 16)
        ]
    Path("answers.log").write_text("\n".join(rows) + "\n")
    run(["law", "answers.log", "--fill", "odd-parity", "--report", "json"])
    first = json.loads(capsys.readouterr().out)["laws"][0]

    assert (first["family"], first["parameters"]["n"]) == ("granule", 24)
    assert first["certain"]


def test_probes_that_never_came_are_told_by_their_numbers(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: Captured
) -> None:
    """All lengths of one remainder are lost; nothing says so but the numbers of the others."""
    monkeypatch.chdir(tmp_path)
    made = [p for p in build(probes.SWEEP) if len(p.octets) % 8 != 6]
    Path("bench.log").write_text("".join(hex_log(made)))
    assert run(["law", "bench.log", "--report", "json"]) == 0
    sheet = json.loads(capsys.readouterr().out)
    first, (doubt,) = sheet["laws"][0], sheet["inputs"][0]["doubts"]

    assert (first["family"], first["parameters"]) == ("drop", {"n": 8, "r": [6]})
    assert first["certain"]
    assert "probes 6, 13, 14 never seen, of 102, 718, 1022 octets" in doubt["says"]
    run(["law", "bench.log"])
    assert "probes 6, 13, 14 never seen" in capsys.readouterr().out


def test_the_echo_reply_repeats_the_request(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: Captured
) -> None:
    """RFC 792: the data received in the echo message must be returned in the reply."""
    monkeypatch.chdir(tmp_path)
    board, bench = bytes.fromhex("00005e005307"), bytes.fromhex("00005e005301")
    rows = []
    for number, size in enumerate((40, 61, 90, 133, 200)):
        data = bytes((i * 11 + number) & 255 for i in range(size))
        for kind, to, by in ((8, bench, board), (0, board, bench)):
            echo = dpkt.icmp.ICMP.Echo(id=7, seq=number, data=data)
            icmp = bytes(dpkt.icmp.ICMP(type=kind, data=echo))
            ends = (bytes((192, 0, 2, 7)), bytes((192, 0, 2, 1)))
            src, dst = ends if kind else ends[::-1]
            ip = dpkt.ip.IP(src=src, dst=dst, p=1, ttl=64, len=20 + len(icmp), data=icmp)
            octets = (to + by + b"\x08\x00" + bytes(ip)).ljust(60, b"\0")
            if not kind:
                octets = granule(24)(octets, LETTERS) or b""
            rows.append(f"net: {'sent' if kind else 'received'} {len(octets)} octets")
            rows += [
                f"{at:04x}: {octets[at : at + 16].hex(' ')}" for at in range(0, len(octets), 16)
            ]
    Path("echo.log").write_text("\n".join(rows) + "\n")
    run(["law", "echo.log", "--fill", "letters", "--report", "json"])
    first = json.loads(capsys.readouterr().out)["laws"][0]

    assert (first["family"], first["parameters"]["n"]) == ("granule", 24)
    assert first["untested"]["count"] == 0
