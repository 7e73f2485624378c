"""Redaction held to its promise on every log of the project and on damaged recorded traffic.

``python -m tests.trials.redact [--logs N] [--seed S]`` prints what was not kept and what survived.
A survivor is an address or name of the log that stands in the outcome: as octets, as octets
reversed or exchanged in pairs, or as text. Nothing of ``framecheck.redaction`` is used to search.
"""

from __future__ import annotations

import argparse
import random
import re
import sys
import time
import zlib
from collections import Counter
from collections.abc import Iterator
from pathlib import Path

from framecheck.core.layer import Field
from framecheck.core.sheet import FrameRecord
from framecheck.redaction import Redacted, redact
from framecheck.run import Run, Settings, Text
from framecheck.sources import TextInput, open_input

ROOT = Path(__file__).parents[2]
FOLDERS = ("vectors", "tests/golden", "tests/reports")
_NOBODY = re.compile(
    rb"\0+|\xff+|\x01\x80\xc2\0\0.|\x01\0\x5e\0\0.|\x33\x33\0[\x00\x01]..|\xe0\0\0.|\x7f\0\0\x01"
    rb"|\0{15}\x01|\xff.\0{11}[\x00\x01]..|\xff[\x80-\xff]?\0*|\xff\xff[\x80-\xff]\0*|\xff{3}.",
    re.DOTALL,
)
_PREFIX = bytes.fromhex("20010db8").ljust(16, b"\0")
_PRIVATE = re.compile(r"address|^source$|^destination$|chaddr|^.iaddr$|router|server|^target$")
_COMMON = frozenset(
    re.findall(
        "[a-z]+",
        "row alarm data frame request reply discover user group local host test echo ping name "
        "device packet net",
    )
)
_STANDARD = ("arpa", "addr", "local")
"""Labels that a standard gives a meaning."""


def text_of(path: Path) -> str:
    """The text of a log, as the tool decodes it."""
    source = open_input(str(path))
    assert isinstance(source, TextInput)
    return "".join(source.pieces())


def logs() -> Iterator[Path]:
    """The logs of the project."""
    for folder in FOLDERS:
        yield from sorted((ROOT / folder).rglob("*.log"))


def private(records: list[FrameRecord]) -> tuple[set[bytes], set[bytes]]:
    """Addresses and words of names that a log's sound frames hold."""
    addresses: set[bytes] = set()
    names: set[bytes] = set()
    for record in records:
        for layer in record.layers if record.state == "sound" else ():
            for field in layer.fields:
                value = field.value
                if not isinstance(value, bytes):
                    continue
                addresses.update(_addresses(field, value))
                if field.name in ("host_name", "domain_name", "qname", "system_name", "filename"):
                    names.update(re.findall(rb"[A-Za-z]{4,}", value))
    return addresses, {n for n in names if not _common(n.decode().lower())}


def _common(name: str) -> bool:
    """Whether a name is no secret: a word that logs have, a part of one, or one of them struck."""
    alike = re.compile("|".join(f"{name[:i]}.{name[i + 1 :]}" for i in range(len(name))))
    return any(name in word or alike.fullmatch(word) for word in (*_COMMON, *_STANDARD))


def _addresses(field: Field, value: bytes) -> Iterator[bytes]:
    if not _PRIVATE.search(field.name) or len(value) not in (4, 6, 16):
        return
    if value.count(0xFF) >= len(value) - 1 or value == _PREFIX:
        return  # everybody's, struck; the network for documentation
    if value[0] == 0xFF and value.count(0) >= len(value) - 4:
        return  # a group of a standard, struck
    if not _NOBODY.fullmatch(value) and value.count(0) < len(value) - 2:
        yield value


def survivors(done: Redacted, addresses: set[bytes], names: set[bytes]) -> list[str]:
    """Private values that the outcome still holds."""
    octets = [r.frame.dump.octets for r in Run([Text("log", done.text)], Settings())]
    # An offset's digits are no octets: zeros in front of a row's first would make an address.
    bare = (re.sub(r"^[0-9a-f]+: ", "", x) for x in re.split(r"[\r\n]+", done.text.lower()))
    lines = [re.sub(r"[^0-9a-z]", "", x) for x in bare]
    found = []
    for value in sorted(addresses):
        forms = {value, value[::-1], bytes(value[i ^ 1] for i in range(len(value)))}
        if any(form in o for form in forms for o in octets):
            found.append(f"{value.hex()} as octets")
        if any(form.hex() in line for form in (value, value[::-1]) for line in lines):
            found.append(f"{value.hex()} as text")
        if len(value) == 4 and f"{'.'.join(map(str, value))}" in done.text:
            found.append(f"{'.'.join(map(str, value))} as text")
    for name in sorted(names):
        forms = {name.lower(), name.lower()[::-1]}
        if any(form in o.lower() for form in forms for o in octets):
            found.append(f"{name!r} as octets")
        if any(form.decode() in done.text.lower() for form in forms):
            found.append(f"{name!r} as text")
    return found


def tried(text: str, key: bytes, settings: Settings = Settings()) -> tuple[Redacted, list[str]]:  # noqa: B008
    """A log redacted, and what survived of it."""
    done = redact(text, key, settings)
    kept = list(Run([Text("log", text)], settings))
    return done, survivors(done, *private(kept))


KINDS = ("none", "none", "flip", "tail", "pairs", "lost")
MORE = (*KINDS, "flips", "put in", "stale", "zeros", "fcs", "broken fcs", "head", "slip", "stuck")


def damaged(
    random_: random.Random, frames: tuple[bytes, ...], kinds: tuple[str, ...] = KINDS
) -> str:
    """A log of recorded frames, damaged in these ways; ``MORE`` are all there are."""
    lines = ["frost: row 3, alarm below 0.5 C"]
    start = random_.randrange(max(1, len(frames) - 12))
    before = b""
    for octets in frames[start : start + 12]:
        kind = random_.choice(kinds)
        received = _damage(kind, random_, octets, before)
        before = received
        lines.append(f"net: received {len(received)} octets")
        for at in range(0, len(received), 16):
            row = received[at : at + 16]
            shown = "".join(chr(o) if 32 <= o < 127 else "." for o in row)
            lines.append(f"{at:04x}: {row.hex(' '):47}  |{shown}|")
        lines.append("frost: nobody to tell")
    return "\n".join(lines) + "\n"


def _damage(kind: str, random_: random.Random, octets: bytes, before: bytes) -> bytes:
    """``before``: what was in the same buffer."""
    out = bytearray(octets)
    inside = random_.randrange(14, max(15, len(out) - 4))
    few = random_.choice((2, 4))
    if kind in ("flip", "flips"):
        for _ in range(1 if kind == "flip" else random_.randrange(2, 6)):
            at = random_.randrange(len(out) * 8)
            out[at // 8] ^= 1 << at % 8
    elif kind in ("tail", "zeros", "stale"):
        size = random_.randrange(4, 12)
        letters = bytes(0x41 + i % 26 for i in range(len(out)))
        old = {"tail": letters, "zeros": bytes(len(out)), "stale": before.ljust(len(out), b"\0")}
        out[-size:] = old[kind][len(out) - size : len(out)]
    elif kind == "pairs":
        out = bytearray(out[i ^ 1] if i ^ 1 < len(out) else out[i] for i in range(len(out)))
    elif kind == "lost":
        del out[inside : inside + few]
    elif kind == "put in":
        out[inside:inside] = bytes(out[inside : inside + few])
    elif kind in ("fcs", "broken fcs"):
        fcs = zlib.crc32(out.ljust(60, b"\0"))
        out = out.ljust(60, b"\0") + (fcs ^ (kind != "fcs")).to_bytes(4, "little")
    elif kind == "head":
        out[:0] = bytes(few)
    elif kind == "slip":
        whole = int.from_bytes(out, "big") << 1
        out = bytearray((whole & (1 << 8 * len(out)) - 1).to_bytes(len(out), "big"))
    elif kind == "stuck":
        out = bytearray(o & ~(1 << few) for o in out)
    return bytes(out)


def main() -> int:
    """Print the table; 1 when something was not kept or survived."""
    options = argparse.ArgumentParser(description=__doc__)
    options.add_argument("--logs", type=int, default=40, help="damaged logs to make")
    options.add_argument("--seed", type=int, default=1)
    options.add_argument("--more", action="store_true", help="more kinds of damage")
    options.add_argument("--only", default="", help="part of the names of logs")
    given = options.parse_args()
    tally: Counter[str] = Counter()
    begun = time.process_time()
    for name, text, settings in _inputs(given):
        done, survived = tried(text, b"trial %d" % given.seed, settings)
        tally["logs"] += 1
        tally["frames"] += done.frames
        tally["frames not kept"] += len(done.differing)
        tally["survivors"] += len(survived)
        tally["digits not written"] += len(done.unwritable)
        tally["lines"] += text.count("\n") != done.text.count("\n")
        if done.differing or survived or done.unwritable:
            parts = [f"{r.number}: {' '.join(n)}" for r, n in done.differing[:4]]
            print(name, len(done.differing), "of", done.frames, parts, survived[:6], flush=True)
    print(dict(tally), f"{time.process_time() - begun:.0f} s")
    return bool(tally["frames not kept"] or tally["survivors"])


def _inputs(given: argparse.Namespace) -> Iterator[tuple[str, str, Settings]]:
    seed, only = given.seed, given.only
    kinds = MORE if given.more else KINDS
    for path in logs():
        if only in str(path):
            yield str(path.relative_to(ROOT)), text_of(path), Settings()
    if only:
        return
    sys.path.insert(0, str(ROOT / "tests/outside"))
    from recordings import ALL, frames

    for n in range(given.logs):
        name = ALL[n % len(ALL)]
        text = damaged(random.Random(seed * 1000 + n), frames(name), kinds)
        yield f"damaged {n} of {name}", text, Settings(fill="letters")


if __name__ == "__main__":
    sys.exit(main())
