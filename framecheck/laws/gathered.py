"""What a law is inferred from: frames as they were sent and received, grouped, bounded, mergeable.

Frames of one length with one shape of damage say the same thing again and again: of each such
group the first few are kept and the rest is counted, so that memory does not grow with the log.
"""

from __future__ import annotations

from collections import deque
from collections.abc import Iterator
from dataclasses import dataclass, field
from typing import Literal, NamedTuple

from framecheck.core.span import Range

SHORTEST = 60
"""Octets to which a wire pads a frame, FCS not counted (IEEE 802.3, from memory)."""
KEPT = 16
"""Frames of one group that are kept; more are counted."""
MOST_KEPT = 1024
"""Frames that are kept in all: from then on fewer of each group."""
RING = 16
"""Earlier frames that a kept frame remembers: what its buffer may have held before."""

STEPS = (1, 2, 4, 8, 16, 32, 64, 128)
"""Sizes to which a ring of frames may round the room of each."""

Known = Literal["sent", "probe", "echo", "repair", "sums"]


class Observation(NamedTuple):
    """One frame: what was sent (None: not known), what was received (None: it did not come)."""

    input: str
    number: int
    """Number of the dump in its input; of the sent frame, for one that did not come."""
    received: bytes | None
    sent: bytes | None
    known: Known | None = None
    """What says so."""
    earlier: tuple[bytes, ...] = ()
    """Frames received before it in the same input, the newest first."""
    order: int = 0
    """Place in the sequence of all frames, lost ones too."""
    carried: tuple[int, ...] = ()
    """Octets of all frames before it, each rounded up to a multiple of the step in STEPS."""
    unsure: tuple[Range, ...] = ()
    """Octets of the sent frame that are not known."""
    place: int | None = None
    """Place of the frame among those that were sent, from 0; None: not known."""
    behind: int | None = None
    """Frames that were sent after one that did not come; None: not known."""
    starts: int | None = None
    """Where in its pattern the fill stands at octet 0; None: this frame does not show it."""


def on_the_wire(sent: bytes) -> bytes:
    """A sent frame as the wire carries it, FCS left out: padded with zeros."""
    return sent.ljust(SHORTEST, b"\0")


@dataclass(slots=True)
class Group:
    """Frames of one length and one shape of damage."""

    count: int = 0
    kept: list[Observation] = field(default_factory=list)


@dataclass(slots=True)
class Gathered:
    """The evidence of a run. ``add`` frames in their order; ``merge`` adds another run's."""

    groups: dict[tuple[int, ...], Group] = field(default_factory=dict)
    frames: int = 0
    lost: int = 0
    """Sent frames that did not come."""
    damaged: int = 0
    unread: int = 0
    """Frames that were not looked at: the console broke them, or there were too many kinds."""
    kept: int = 0
    each: int = KEPT
    """Frames that are kept of one group, at this time."""
    reference: bool = False
    """Whether something was given as what was sent."""
    paired: int = 0
    """Frames that are like one that was sent."""
    by_turn: int = 0
    """Frames that are like none of them, and were paired by their turn."""
    shows: str = ""
    """What the last frame shows, in a sentence: all that there is to say of one alone."""
    notes: list[str] = field(default_factory=list)
    """What stands against looking for a law, or limits it, in sentences."""

    def add(self, seen: Observation, damaged: bool = False) -> None:
        """Count one frame, and keep it while its group has few."""
        self.frames += seen.received is not None
        self.lost += seen.received is None
        self.damaged += damaged
        self._put(shape(seen), seen, 1)

    def merge(self, other: Gathered) -> None:
        """Add the evidence of another input or process."""
        self.frames += other.frames
        self.lost += other.lost
        self.damaged += other.damaged
        self.unread += other.unread
        self.reference |= other.reference
        self.paired += other.paired
        self.by_turn += other.by_turn
        self.notes += [n for n in other.notes if n not in self.notes]
        for key, group in other.groups.items():
            for seen in group.kept:
                self._put(key, seen, 0)
            if key in self.groups:
                self.groups[key].count += group.count
            else:
                self.unread += group.count

    def cases(self, most: int) -> Iterator[tuple[Observation, float]]:
        """At most about ``most`` kept frames with the number of frames that each stands for."""
        rounds = KEPT
        while rounds > 1 and sum(min(len(g.kept), rounds) for g in self.groups.values()) > most:
            rounds //= 2
        groups = sorted(self.groups.values(), key=lambda g: -g.count)
        for group in groups[:most]:
            shown = group.kept[:rounds]
            for seen in shown:
                yield seen, group.count / len(shown)

    def _put(self, key: tuple[int, ...], seen: Observation, counts: int) -> None:
        group = self.groups.get(key)
        if self.kept >= MOST_KEPT and (group is None or len(group.kept) < self.each):
            self._thin()
        if group is None:
            if self.kept >= MOST_KEPT:
                self.unread += counts
                return
            group = self.groups[key] = Group()
        group.count += counts
        if len(group.kept) < self.each:
            group.kept.append(seen)
            self.kept += 1

    def _thin(self) -> None:
        """Keep half as many frames of each group from now on."""
        self.each = max(1, self.each // 2)
        for group in self.groups.values():
            del group.kept[self.each :]
        self.kept = sum(len(g.kept) for g in self.groups.values())


def shape(seen: Observation) -> tuple[int, ...]:
    """Length sent, length received, and where the first and the last difference stand."""
    if seen.received is None:
        return (len(seen.sent or b""), -1)
    if seen.sent is None:
        return (-1, len(seen.received))
    sent, received = seen.sent, seen.received
    if sent == received:
        return (len(sent), len(sent))
    size = min(len(sent), len(received))
    first = next((i for i in range(size) if sent[i] != received[i]), size)
    last = next((i for i in range(size - 1, first, -1) if sent[i] != received[i]), first)
    return (len(sent), len(received), first, last)


class Earlier:
    """The frames that one input received last, and the room that all of them took."""

    __slots__ = ("_last", "_room")

    def __init__(self) -> None:
        self._last: deque[bytes] = deque(maxlen=RING)
        self._room = (0,) * len(STEPS)

    def carried(self, length: int) -> tuple[int, ...]:
        """The room that the frames before took, by step; adds one of this length."""
        before = self._room
        rounded = (-(-length // step) * step for step in STEPS)
        self._room = tuple(a + b for a, b in zip(before, rounded, strict=True))
        return before

    def then(self, received: bytes) -> tuple[bytes, ...]:
        """The frames before this one, the newest first; remembers this one."""
        before = tuple(self._last)
        self._last.appendleft(received)
        return before
