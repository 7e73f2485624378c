"""Transfer faults written out octet by octet, apart from the tool's own mechanisms."""

from __future__ import annotations

import random
import zlib
from collections.abc import Callable, Iterable

from framecheck.damage import fill
from framecheck.laws import Earlier, Gathered, Observation

Fault = Callable[[bytes, bytes], bytes | None]
"""From the sent octets and what the buffer held before to what is received."""

SWEEP = (
    *(1023, 1514, 1117, 1019, 1272, 249, 1022, 508, 1018, 1021, 309, 1501),
    *(546, 718, 102, 1020, 1511, 127, 255, 61, 63, 95, 511, 66),
)
"""Lengths of probes that part most laws."""


def granule(n: int, lead: int = 0, trail: int = 0) -> Fault:
    """Only whole multiples of n octets are written."""

    def fault(sent: bytes, old: bytes) -> bytes:
        kept = max(0, (len(sent) + lead + trail) // n * n - lead)
        return sent[:kept] + old[kept : len(sent)]

    return fault


def swapped(width: int) -> Fault:
    """Whole words reversed, the rest kept."""

    def fault(sent: bytes, _: bytes) -> bytes:
        out = bytearray(sent)
        for i in range(0, len(sent) - width + 1, width):
            out[i : i + width] = sent[i : i + width][::-1]
        return bytes(out)

    return fault


def halfwords(sent: bytes, _: bytes) -> bytes:
    """Halves of whole 32-bit words exchanged."""
    out = bytearray(sent)
    for i in range(0, len(sent) - 3, 4):
        out[i : i + 4] = sent[i + 2 : i + 4] + sent[i : i + 2]
    return bytes(out)


def later(bits: int) -> Fault:
    """All bits some places later, most significant first."""
    return lambda sent, _: (int.from_bytes(sent, "big") >> bits).to_bytes(len(sent), "big")


def piece(m: int, most: int) -> Fault:
    """The last piece of a long frame stays unwritten."""

    def fault(sent: bytes, old: bytes) -> bytes:
        over = len(sent) % m
        if len(sent) <= m or not 0 < over <= most:
            return sent
        return sent[: len(sent) - over] + old[len(sent) - over : len(sent)]

    return fault


def each(change: Callable[[int, int], int]) -> Fault:
    """Every octet changed by itself: (offset, octet) to octet."""
    return lambda sent, _: bytes(change(i, x) for i, x in enumerate(sent))


def rounded_up(n: int) -> Fault:
    """The length rounded up to a multiple of n; old octets behind."""
    return lambda sent, old: sent + old[len(sent) : -(-len(sent) // n) * n]


def odd_lanes(sent: bytes, old: bytes) -> bytes:
    """Every other octet is never written."""
    return bytes(old[i] if i % 2 else x for i, x in enumerate(sent))


def aliased(sent: bytes, old: bytes) -> bytes:
    """Writes ignore address line 2: the upper four of eight octets land on the lower ones."""
    memory = bytearray(old[: len(sent)])
    for address, octet in enumerate(sent):
        memory[address & ~4] = octet
    return bytes(memory)


def doubled(sent: bytes, _: bytes) -> bytes:
    """The last two of every eight octets come twice."""
    return b"".join(sent[i : i + 8] + sent[i : i + 8][6:] for i in range(0, len(sent), 8))


def wrapped(sent: bytes, old: bytes) -> bytes:
    """The writer begins again after 200 octets."""
    memory = bytearray(old[: len(sent)])
    for i, octet in enumerate(sent):
        memory[i % 200] = octet
    return bytes(memory)


def ring(size: int, step: int) -> Fault:
    """Frames one behind the other; what lies behind the ring's end was never written."""
    at = 0

    def fault(sent: bytes, old: bytes) -> bytes:
        nonlocal at
        room = size - at
        at = (at + -(-len(sent) // step) * step) % size
        return sent if len(sent) <= room else sent[:room] + old[room : len(sent)]

    return fault


def stale(size: int, phase: int, seed: int = 3) -> Fault:
    """Some lines of a cache keep the old octets."""
    random_ = random.Random(seed)

    def fault(sent: bytes, old: bytes) -> bytes:
        out = bytearray(sent)
        for start in range(phase - size, len(sent), size):
            if random_.random() < 0.15:
                lo, hi = max(0, start), max(0, min(start + size, len(sent)))
                out[lo:hi] = old[lo:hi]
        return bytes(out)

    return fault


def with_fcs(sent: bytes, _: bytes) -> bytes:
    """IEEE 802.3's FCS left on."""
    return sent + zlib.crc32(sent).to_bytes(4, "little")


def exchanged(x: int, a: int, b: int) -> int:
    """Two bits of an octet exchanged."""
    p, q = x >> a & 1, x >> b & 1
    return x & ~(1 << a | 1 << b) | p << b | q << a


def observed(
    lengths: Iterable[int],
    fault: Fault,
    *,
    fill_name: str | None = "odd-parity",
    seed: int = 1,
    spoilt: float = 0.0,
) -> Gathered:
    """Frames of random octets through a fault, the buffer filled before each."""
    random_ = random.Random(seed)
    gathered, earlier = Gathered(), Earlier()
    old = fill(fill_name or "odd-parity").octets(0, 4096)
    for number, length in enumerate(lengths, 1):
        sent = random_.randbytes(length)
        received = fault(sent, old)
        if received is not None and random_.random() < spoilt:
            at = random_.randrange(len(received))
            received = received[:at] + random_.randbytes(20) + received[at + 20 :]
        before = earlier.then(received) if received is not None else ()
        seen = Observation(
            "probe.log", number, received, sent, "sent", before, number, earlier.carried(length)
        )
        gathered.add(seen, received != sent)
    return gathered
