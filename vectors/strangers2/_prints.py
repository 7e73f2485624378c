"""What the thirty ways to print share: the frames, and the chatter of a frost alarm around them.

The log that is being written, with its truth, is the one of ``vectors/strangers``.
"""

from __future__ import annotations

import sys
from collections import Counter
from collections.abc import Callable
from functools import cache
from pathlib import Path
from typing import Any

import dpkt

HERE = Path(__file__).parent
sys.path.append(str(HERE.parent / "strangers"))
from _log import BOARDS, Log, Printed, board, kind_of, rows  # noqa: E402

__all__ = ["BOARDS", "FRAMES", "HERE", "RECORDINGS", "Log", "Printed", "board", "kind_of", "rows"]

FRAMES = HERE / "frames.pcap"
RECORDINGS = ("rare", "losses", "off")


@cache
def _named() -> dict[str, bytes]:
    """Frames by recording, kind and number: ``rare arp 0``, ``losses tcp 3`` …"""
    named: dict[str, bytes] = {}
    seen: Counter[str] = Counter()
    with FRAMES.open("rb") as file:
        for time, octets in dpkt.pcap.Reader(file):
            name = f"{RECORDINGS[int(time)]} {kind_of(octets)}"
            named[f"{name} {seen[name]}"] = octets
            seen[name] += 1
    return named


def frames(*names: str) -> list[bytes]:
    """Frames by recording, kind and number."""
    return [_named()[name] for name in names]


def seen(octets: bytes, other: str = ".") -> str:
    """Printable characters, the blank too; ``other`` for the rest."""
    return "".join(chr(o) if 32 <= o < 127 else other for o in octets)


def word(log: Log, most: int = 6) -> list[str]:
    """Some sentences of a frost alarm, without a number that looks like octets."""

    def tenths(low: int, high: int) -> str:
        return f"{log.n(low, high) / 10:.1f}"

    def either(one: str, other: str) -> str:
        return one if log.n(0, 1) else other

    said = [
        lambda: f"probe {log.n(1, 12)}: {tenths(-60, 80)} C, wet bulb {tenths(-70, 60)} C",
        lambda: f"row {log.n(1, 40)} valve {either('open', 'shut')} after {log.n(20, 900)} ms",
        lambda: f"battery {log.n(3300, 4150)} mV, charger {either('on', 'off')}",
        lambda: f"frost risk {log.n(0, 100)} % for block {chr(64 + log.n(1, 6))}",
        lambda: f"fan {log.n(1, 4)} at {log.n(400, 1450)} rpm",
        lambda: f"dew point {tenths(-40, 40)}, leaf {tenths(-40, 40)}",
        lambda: f"siren self test {either('passed', 'put off')}",
        lambda: f"heap low-water {log.n(9000, 40000)} of 65536",
        lambda: f"radio node {log.n(2, 60)} heard at -{log.n(55, 110)} dBm",
        lambda: f"watchdog fed, {log.n(2, 300)} ms left",
    ]
    return [said[log.n(0, len(said) - 1)]() for _ in range(log.n(1, most))]


def decoy(log: Log) -> list[str]:
    """Lines with hex in them that is no frame."""
    x = log.x
    said = [
        lambda: [f"config digest {x(64)}"],
        lambda: [f"MACCR={x(8)} MACSR={x(8)} DMASR=0x{x(8)} DMAOMR=0x{x(8)}"],
        lambda: [f"station address 00:00:5e:00:53:{x(2)}, router 00-00-5E-00-53-{x(2).upper()}"],
        lambda: [f"desc[{i}] {x(8)} {x(8)} 2000{x(4)} 2000{x(4)}" for i in range(log.n(2, 4))],
        lambda: [f"sp+{4 * i:02x}: {x(8)} {x(8)} {x(8)} {x(8)}" for i in range(0, 12, 4)],
        lambda: [f"pc {x(8)} lr {x(8)} psr {x(8)}"],
        lambda: [f"sensor rom 28-{x(12)} crc {x(2)}"],
        lambda: ["key slot 2: " + " ".join(x(2) for _ in range(16))],
        lambda: [f"filter table {x(8)}-{x(8)} pass"],
    ]
    return said[log.n(0, len(said) - 1)]()


def chat(log: Log, prefix: Callable[[], str] = lambda: "", most: int = 6, decoys: int = 3) -> None:
    """A stretch of chatter; one time in ``decoys`` with hex that is no frame."""
    for text in word(log, most):
        log.line(prefix() + text)
    if decoys and not log.n(0, decoys - 1):
        for text in decoy(log):
            log.line(prefix() + text)


def print_rows(log: Log, octets: bytes, width: int, head: Callable[[int], str], **how: Any) -> None:
    """Rows of ``width`` octets, ``head`` of the offset before each; ``how`` as for ``Log.run``."""
    printed = log.frame(octets)
    for at in rows(octets, width):
        log.put(head(at))
        log.run(printed, at, at + width, **how)
        log.end()
