"""The full examination of one DHCP frame of 590 octets against dpkt and struct sums: 15 at most.

Both read the same frame in turn, in one process. The other side is what one writes in an afternoon:
dpkt takes the frame apart, and struct sums IPv4 and UDP. ``across`` examines the frame as one of a
log, with what earlier frames left behind.
"""

from __future__ import annotations

import struct
import time
from collections.abc import Callable
from itertools import count

import dpkt

from framecheck.core.finding import Host
from framecheck.core.frame import Dump, Frame
from framecheck.core.text import Places
from framecheck.core.view import View
from framecheck.examine import Examiner
from framecheck.judging import Past, fate, judge
from framecheck.judging._examples import resummed
from framecheck.layers import decode_frame

MOST = 15
ROUNDS, TIMES = 7, 200


def offer(number: int) -> bytes:
    """An offer whose message has 548 octets, as clients take at the least (RFC 2131 2).

    ``number``: the identification of the datagram, so that no two are the same.
    """
    fixed = "020106003903f32600000000" + "00000000c000024d0000000000000000" + "00005e005301"
    options = (
        "63825363" + "350102" + "3604c0000202" + "330400000e10" + "3a0400000708" + "3b0400000c4e"
        "0104ffffff00"
        + "0304c0000202"
        + "0608c0000202c0000203"
        + "0f0f6f7263686172642e6578616d706c65"
        "ff"
    )
    message = bytes.fromhex(fixed + "00" * 10 + "00" * 192 + options).ljust(548, b"\0")
    head = (
        "00005e00530100005e0053020800"
        f"4500{28 + len(message):04x}{number:04x}000040110000c0000202c000024d"
        f"00430044{8 + len(message):04x}0000"
    )
    return resummed(bytes.fromhex(head) + message)


def summed(octets: bytes) -> int:
    """The internet checksum with struct."""
    if len(octets) % 2:
        octets += b"\0"
    total = sum(struct.unpack(f"!{len(octets) // 2}H", octets))
    while total >> 16:
        total = (total & 0xFFFF) + (total >> 16)
    return total


def plain(octets: bytes) -> bool:
    """The afternoon's examination: take apart, sum, read the options."""
    ip = dpkt.ethernet.Ethernet(octets).data
    udp = ip.data
    ends = ip.src + ip.dst + struct.pack("!HH", 17, udp.ulen)
    header = octets[14 : 14 + ip.hl * 4]
    held = summed(header) == 0xFFFF
    held &= summed(ends + octets[34 : 34 + udp.ulen]) == 0xFFFF
    return held and bool(dpkt.dhcp.DHCP(udp.data).opts)


def judged(octets: bytes) -> bool:
    """Decode, verdicts, rules, fate."""
    view = View(octets, decode_frame(octets))
    _, findings = judge(view)
    return fate(view, findings).outcome == "delivered"


def across() -> Callable[[bytes], bool]:
    """The same as one frame of a log, and remembered."""
    past = Past()
    numbers = count(1)

    def work(octets: bytes) -> bool:
        view = View(octets, decode_frame(octets), past=past.so_far)
        _, findings = judge(view)
        past.note(next(numbers), view)
        return fate(view, findings).outcome == "delivered"

    return work


def record() -> Callable[[bytes], bool]:
    """The record of the frame, evidence and classes of octets included."""
    examiner = Examiner(None, None, Host(), False)
    numbers = count(1)

    def work(octets: bytes) -> bool:
        frame = Frame(Dump(octets, Places(())), octets, "ethernet")
        layers = decode_frame(octets)
        return examiner.examine(next(numbers), "log", frame, layers).state == "sound"

    return work


def seconds(works: dict[str, Callable[[bytes], bool]], frames: list[bytes]) -> dict[str, float]:
    """The best processor time of each for one frame; they take turns."""
    best = dict.fromkeys(works, float("inf"))
    for _ in range(ROUNDS):
        for name, work in works.items():
            start = time.process_time()
            for octets in frames:
                assert work(octets)
            best[name] = min(best[name], (time.process_time() - start) / len(frames))
    return best


def run() -> list[object]:
    """Rows of the table."""
    frames = [offer(number) for number in range(1, TIMES + 1)]
    works = {
        "dpkt and struct": plain,
        "judged alone": judged,
        "judged in a log": across(),
        "its whole record": record(),
    }
    best = seconds(works, frames)
    base = best["dpkt and struct"]
    rows: list[object] = [("examination", "ms", "times", f"at most {MOST}")]
    for name, spent in best.items():
        held = "" if spent is base else "held" if spent <= MOST * base else "too slow"
        rows.append((name, f"{spent * 1e3:.3f}", f"{spent / base:.1f}", held))
    rows.append(
        f"{len(frames[0])} octets; best of {ROUNDS} rounds of {TIMES} frames, processor time"
    )
    return rows
