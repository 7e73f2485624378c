"""A first file of requirements, from what a good log holds."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from framecheck.core.sheet import FrameRecord
from framecheck.requirements.kinds import kinds_of
from framecheck.requirements.table import VERSION


def draft(frames: Iterable[FrameRecord]) -> str:
    """TOML that the frames hold: each kind at least once, no damage, the lengths as they are."""
    kinds: dict[str, int] = {}
    lengths: list[int] = []
    for record in frames:
        lengths.append(len(record.octets))
        for kind in kinds_of(record):
            kinds[kind] = kinds.get(kind, 0) + 1
    return "\n".join(_lines(kinds, lengths)) + "\n"


def _lines(kinds: dict[str, int], lengths: list[int]) -> Iterator[str]:
    yield "# What a log of this board must hold: framecheck check --require THIS LOG..."
    yield "# Written from a log that was sound; change what does not have to be so."
    yield f"version = {VERSION}"
    yield ""
    yield "[frames]"
    yield f"at_least = 1      # {len(lengths)} seen"
    yield "damaged = 0       # at most; frames that [[allow]] or [[tolerate]] covers do not count"
    yield "undecided = 0     # at most; cut off by the end of a log, or not to be told"
    shortest, longest = min(lengths, default=0), max(lengths, default=0)
    yield f"shortest = {shortest:<6} # octets; the shortest sound frame is at most so long"
    yield f"longest = {longest:<7} # octets; the longest sound frame is at least so long"
    yield ""
    yield "[seen]            # sound frames of each kind, at least"
    for kind, count in kinds.items():
        yield f"{_key(kind)} = 1{' ' * max(1, 12 - len(kind))}# {count} seen"
    yield ""
    yield "# A rule that this board may break, one that must fail the check, a known law: each with"
    yield "# a reason and the last day on which it holds."
    yield "# [[allow]]"
    yield '# rule = "udp-checksum"'
    yield '# reason = "the sender leaves it to its adapter"'
    yield "# until = 2027-03-31"
    yield "# [[raise]]"
    yield '# rule = "padding-not-zero"'
    yield '# reason = "old memory must not leave the board"'
    yield "# until = 2027-03-31"
    yield "# [[tolerate]]"
    yield '# family = "granule"'
    yield "# parameters = { n = 24 }"
    yield '# reason = "mended in the next revision of the board"'
    yield "# until = 2027-03-31"


def _key(kind: str) -> str:
    """A TOML key: what may hold blanks or signs stands in quotes (basic strings, TOML 1.0)."""
    escaped = "".join(c if c.isprintable() and c not in '"\\' else f"\\u{ord(c):04x}" for c in kind)
    return f'"{escaped}"'
