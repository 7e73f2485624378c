"""Damages of every kind on recorded frames, and what the repair of one frame says of them.

``python -m tests.trials.repair --frames 40 --seed 1`` prints, by kind of damage: how often the
right damage was named; how often the healed octets are exactly what was sent; how often nothing was
said; how often a wrong repair was stated as proven; and how often one was stated that is right in
all that sums cover and wrong elsewhere (unseen: the link's addresses, padding). Nothing is told of
what was sent.

The frames are recordings of real stacks whose transport checksum covers their data; short ones are
padded to 60 octets. Each damage is drawn with its parameters; the logs print sixteen octets a row.
"""

from __future__ import annotations

import argparse
import random
import time
from collections import Counter
from collections.abc import Callable, Iterator
from functools import cache
from pathlib import Path
from typing import NamedTuple
from zlib import crc32

import dpkt

from framecheck.core.finding import Host
from framecheck.core.frame import Dump
from framecheck.core.sheet import FrameRecord
from framecheck.core.text import Places
from framecheck.examine import Examiner
from framecheck.framing import learn, unwrap

FOLDER = Path(__file__).parents[2] / "vectors/traffic"
RECORDINGS = ("offload-off.pcap", "rare.pcap", "tagged.pcapng", "losses.pcapng")
NOBODY = Host()
SETTLED = (
    "swap",
    "slip",
    "nibble",
    "reversal",
    "front shift: inserted",
    "front shift: lost",
    "fcs",
    "envelope",
    "delete at a header's edge",
)
"""Kinds that the evidence of one frame can settle."""


class Damage(NamedTuple):
    """One damaged frame and the truth about it."""

    received: bytes
    words: tuple[str, ...]
    """What has to be said of it: one of these, in the repair or in a doubt; empty: no repair."""
    head: int = 0
    """Foreign octets in front, as an envelope has them."""


@cache
def frames() -> tuple[bytes, ...]:
    """Recorded frames with IPv4 and a checksum of the transport over all data, padded to 60."""
    found = []
    for name in RECORDINGS:
        reader = dpkt.pcapng.Reader if name.endswith("ng") else dpkt.pcap.Reader
        with (FOLDER / name).open("rb") as file:
            found += [o.ljust(60, b"\0") for _, o in reader(file) if _summed(o)]
    return tuple(found)


def _summed(octets: bytes) -> bool:
    if octets[12:14] != b"\x08\x00" or octets[14] >> 4 != 4:
        return False
    at, part = 14 + (octets[14] & 15) * 4, octets[20] & 0x3F or octets[21]
    carried = {6: octets[at + 16 : at + 18], 17: octets[at + 6 : at + 8]}.get(octets[23], b"\0\0")
    return not part and carried != b"\0\0"


def _noise(random_: random.Random, k: int) -> bytes:
    return bytes(random_.randrange(256) for _ in range(k))


def _swapped(octets: bytes, width: int) -> bytes:
    whole = len(octets) - len(octets) % width
    turned = b"".join(octets[i : i + width][::-1] for i in range(0, whole, width))
    return turned + octets[whole:]


def swap(sent: bytes, random_: random.Random) -> Damage:
    width = random_.choice((2, 4, 8))
    return Damage(_swapped(sent, width), (f"each {width * 8}-bit word",))


def halfword(sent: bytes, random_: random.Random) -> Damage:
    whole = len(sent) - len(sent) % 4
    turned = b"".join(sent[i + 2 : i + 4] + sent[i : i + 2] for i in range(0, whole, 4))
    return Damage(turned + sent[whole:], ("halves of each 32-bit word",))


def nibble(sent: bytes, random_: random.Random) -> Damage:
    return Damage(bytes((o << 4 | o >> 4) & 255 for o in sent), ("halves of each octet",))


def _reversed(octets: bytes) -> bytes:
    return bytes(int(f"{o:08b}"[::-1], 2) for o in octets)


def reversal(sent: bytes, random_: random.Random) -> Damage:
    return Damage(_reversed(sent), ("bits of each octet",))


def slip(sent: bytes, random_: random.Random) -> Damage:
    return _slip(sent, random_, 0)


def slip_later(sent: bytes, random_: random.Random) -> Damage:
    at = random_.choice((14, 34, random_.randrange(14, 34)))
    return _slip(sent, random_, at)


def _slip(sent: bytes, random_: random.Random, at: int) -> Damage:
    bits, lsb = random_.randrange(1, 8), random_.random() < 0.5
    tail = _reversed(sent[at:]) if lsb else sent[at:]
    digits = "".join(f"{o:08b}" for o in tail)
    foreign = "".join(random_.choice("01") for _ in range(bits))
    toward = random_.choice(("later", "earlier"))
    digits = foreign + digits[:-bits] if toward == "later" else digits[bits:] + foreign
    octets = bytes(int(digits[i : i + 8], 2) for i in range(0, len(digits), 8))
    places = "1 place" if bits == 1 else f"{bits} places"
    first = "least" if lsb else "most"
    says = f"all bits {places} {toward} from octet 0x{at:x} on, the {first}"
    return Damage(sent[:at] + (_reversed(octets) if lsb else octets), (says,))


def front_inserted(sent: bytes, random_: random.Random) -> Damage:
    k = random_.randrange(1, 9)
    return Damage(_noise(random_, k) + sent, (), k)


def _counted(k: int) -> str:
    return "1 octet" if k == 1 else f"{k} octets"


def front_lost(sent: bytes, random_: random.Random) -> Damage:
    k = random_.randrange(1, 9)
    return Damage(sent[k:], (f"{_counted(k)} lost in front of octet 0x0",))


def fcs(sent: bytes, random_: random.Random) -> Damage:
    return Damage(sent + crc32(sent).to_bytes(4, "little"), ())


def envelope(sent: bytes, random_: random.Random) -> Damage:
    k = random_.choice((2, 4, 6, 8, 10, 12, 14))
    return Damage(_noise(random_, k) + sent, (), k)


def inserted(sent: bytes, random_: random.Random) -> Damage:
    k, at = random_.randrange(1, 9), random_.choice((12, 14, 16, 18, 22, 23, 24, 26, 30, 34))
    return Damage(
        sent[:at] + _noise(random_, k) + sent[at:], (f"{_counted(k)} inserted at octet 0x{at:x}",)
    )


def lost_at_edge(sent: bytes, random_: random.Random) -> Damage:
    k, at = random_.randrange(1, 9), random_.choice((12, 14, 34))
    return _lost(sent, k, at)


def lost_inside(sent: bytes, random_: random.Random) -> Damage:
    k, at = random_.randrange(1, 9), random_.randrange(14, len(sent) - 9)
    return _lost(sent, k, at)


def _lost(sent: bytes, k: int, at: int) -> Damage:
    says = f"{_counted(k)} lost in front of octet 0x{at:x}"
    return Damage(sent[:at] + sent[at + k :], (says,))


def _end(sent: bytes) -> int:
    return max(16, min(len(sent), 14 + int.from_bytes(sent[16:18], "big")))


def flipped(sent: bytes, random_: random.Random) -> Damage:
    at = random_.randrange(14, _end(sent))
    octets = bytearray(sent)
    octets[at] ^= 1 << random_.randrange(8)
    return Damage(bytes(octets), ("one flipped bit",))


def flipped_with_fcs(sent: bytes, random_: random.Random) -> Damage:
    damage = flipped(sent, random_)
    return Damage(damage.received + crc32(sent).to_bytes(4, "little"), ("one flipped bit",))


def word(sent: bytes, random_: random.Random) -> Damage:
    at = random_.randrange(14, _end(sent) - 1) & ~1
    return Damage(sent[:at] + _noise(random_, 2) + sent[at + 2 :], ("16-bit word",))


def stuck(sent: bytes, random_: random.Random) -> Damage:
    width, bit = random_.choice((1, 2, 4)), random_.randrange(8)
    lane, value = random_.randrange(width), random_.randrange(2)
    octets = bytearray(sent)
    for i in range(lane, len(octets), width):
        octets[i] = octets[i] | 1 << bit if value else octets[i] & ~(1 << bit)
    return Damage(bytes(octets), (f"bit {bit} of ", "one flipped bit"))


def _scattered(sent: bytes, random_: random.Random) -> Damage:
    octets = bytearray(sent)
    for _ in range(random_.randrange(2, 12)):
        octets[random_.randrange(len(octets))] = random_.randrange(256)
    return Damage(bytes(octets), ())


def _residue(sent: bytes, random_: random.Random) -> Damage:
    k = random_.randrange(1, min(32, len(sent) - 14))
    old = random_.choice((_noise(random_, k), bytes(range(0x41, 0x41 + 26)) * 2))
    return Damage(sent[:-k] + old[:k], ())


def _two(sent: bytes, random_: random.Random) -> Damage:
    first = random_.choice((swap, slip, front_lost, inserted, lost_at_edge))(sent, random_)
    second = random_.choice((flipped, nibble, _scattered, front_lost, inserted))
    if len(first.received) < 60:
        return _scattered(first.received, random_)
    return Damage(second(first.received, random_).received, ())


def _skipped(sent: bytes, random_: random.Random) -> Damage:
    n = random_.randrange(4, 64)
    return Damage(bytes(o for i, o in enumerate(sent) if i % n), ())


def _doubled(sent: bytes, random_: random.Random) -> Damage:
    at, k = random_.randrange(14, len(sent)), random_.choice((16, 32, 64))
    return Damage(sent[:at] + sent[max(0, at - k) :], ())


def _lines(sent: bytes, random_: random.Random) -> Damage:
    at = random_.randrange(14, len(sent))
    return Damage(sent[:at] + _noise(random_, 16) + sent[at + 16 :], ())


KINDS: dict[str, Callable[[bytes, random.Random], Damage]] = {
    "swap": swap,
    "halfword": halfword,
    "nibble": nibble,
    "reversal": reversal,
    "slip": slip,
    "slip from inside": slip_later,
    "front shift: inserted": front_inserted,
    "front shift: lost": front_lost,
    "fcs": fcs,
    "envelope": envelope,
    "insert at an edge": inserted,
    "delete at a header's edge": lost_at_edge,
    "delete anywhere": lost_inside,
    "one flipped bit": flipped,
    "one flipped bit, FCS on": flipped_with_fcs,
    "one wrong word": word,
    "stuck bit": stuck,
    "unknown: random octets": _scattered,
    "unknown: residue at the end": _residue,
    "unknown: two damages": _two,
    "unknown: octets skipped": _skipped,
    "unknown: octets twice": _doubled,
    "unknown: a stale line": _lines,
}


class Outcome(NamedTuple):
    """What was said of one damaged frame."""

    right: bool
    """The damage is named, or the frame stands there as it was sent."""
    healed: bool
    """The octets of the frame, or of its repair, are what was sent."""
    silent: bool
    """Neither a repair nor a doubt that names a damage."""
    wrong: bool
    """A repair is stated, and its octets are not what was sent."""
    unseen: bool
    """A repair is stated that is right but for octets that no sum covers."""


def examined(received: bytes, host: Host = NOBODY, fcs_on: bool = False) -> FrameRecord:
    """The record of one dump that holds these octets; ``fcs_on``: others of the log carry one."""
    dump = Dump(received, Places(()))
    traits = learn([dump])
    traits.fcs_on = traits.fcs_on or fcs_on
    ((frame, layers),) = unwrap(dump, traits)
    return Examiner(None, None, host, False).examine(1, "trial", frame, layers)


def outcome(sent: bytes, damage: Damage, record: FrameRecord) -> Outcome:
    """How what is said compares with the truth."""
    repair = record.repair
    healed = (repair.octets if repair else record.octets) == sent
    said = [repair.says] if repair else []
    said += [d.says for d in record.doubts if d.about.startswith("what ")]
    # Where octets are alike, two places of a damage leave the same: what is healed tells.
    alike = [w.partition(" octet 0x")[0] for w in damage.words] if healed and repair else ()
    named = any(w in s for w in (*damage.words, *alike) for s in said)
    right = named if damage.words else healed
    differs = repair is not None and repair.octets != sent
    unseen = repair is not None and len(repair.octets) == len(sent)
    unseen = differs and unseen and _covered(repair.octets, sent) == _covered(sent, sent)
    return Outcome(right, healed, not said and not healed, differs and not unseen, unseen)


def _covered(octets: bytes, sent: bytes) -> bytes:
    """What the sums of the sent frame cover: from the network header to the datagram's end."""
    return octets[14 : _end(sent)]


def trials(kind: str, count: int, seed: int) -> Iterator[tuple[bytes, Damage, FrameRecord]]:
    """Seeded damages of one kind, over all recorded frames in turn."""
    random_ = random.Random(f"{kind} {seed}")
    every = frames()
    for _ in range(count):
        sent = random_.choice(every)
        damage = KINDS[kind](sent, random_)
        if damage.received != sent:
            yield sent, damage, examined(damage.received)


def table(count: int, seed: int) -> Iterator[str]:
    """One line a kind, and the share of wrong repairs over all."""
    heads = ("damage", "frames", *(f"{n} %" for n in Outcome._fields), "ms", "most ms")
    yield f"| {' | '.join(heads)} |"
    yield f"|{' --- |' * len(heads)}"
    wrong = total = 0
    for kind in KINDS:
        counts: Counter[str] = Counter()
        took, begun = [0.0], time.process_time()
        for sent, damage, record in trials(kind, count, seed):
            took.append(1000 * (time.process_time() - begun))
            found = outcome(sent, damage, record)
            counts["frames"] += 1
            counts.update(name for name, held in found._asdict().items() if held)
            begun = time.process_time()
        n = counts["frames"]
        shares = (f"{100 * counts[name] / n:.1f}" for name in Outcome._fields)
        wrong, total = wrong + counts["wrong"], total + n
        yield f"| {kind} | {n} | {' | '.join(shares)} | {sum(took) / n:.1f} | {max(took):.1f} |"
    yield f"wrong repairs stated as proven: {wrong} of {total}, {100 * wrong / total:.3f} %"


def main() -> None:
    """Print the table."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--frames", type=int, default=40, help="damaged frames of each kind")
    parser.add_argument("--seed", type=int, default=1)
    given = parser.parse_args()
    for line in table(given.frames, given.seed):
        print(line, flush=True)


if __name__ == "__main__":
    main()
