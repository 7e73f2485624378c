"""From examined frames to observations: what was sent where each came, and what never came."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import pairwise
from typing import TYPE_CHECKING

from framecheck.core.frame import Doubt
from framecheck.core.sheet import FrameRecord
from framecheck.core.span import count, without
from framecheck.core.sums import checksum
from framecheck.evidence.series import Gap, Series
from framecheck.laws.gathered import Earlier, Gathered, Known, Observation, on_the_wire

if TYPE_CHECKING:
    from framecheck.damage.probes import Telling

MOST_SENT = 4096
"""Sent frames that are remembered, to know which of them did not come."""
MOST_OPEN = 1024
"""Received frames that wait for a sent one by their order."""


PROBE = "probe"
"""Stands for the input of a probe that never came; its number is the probe's."""
_NAMED = 12
"""Numbers of probes that are named."""


class Sent:
    """The sent frames as they are handed out; remembers the first of them."""

    def __init__(self, frames: Iterator[bytes], skipped: int = 0) -> None:
        """``skipped``: frames of the same capture in front of them."""
        self._frames = frames
        self.skipped = skipped
        self.handed: list[bytes] = []

    def __iter__(self) -> Iterator[bytes]:
        for octets in self._frames:
            if len(self.handed) < MOST_SENT:
                self.handed.append(octets)
            yield octets


class Observer:
    """Sees the frames of one input in their order; ``close`` gives what the law needs."""

    def __init__(
        self,
        gathered: Gathered,
        sent: Sent | None = None,
        sent_name: str = "",
        asks: bool = False,
    ) -> None:
        """``asks``: whether a law is asked for, so that sound frames are looked at closely too."""
        self._asks = asks
        self._gathered = gathered
        gathered.reference |= sent is not None
        self._sent_name = sent_name
        self._sent = sent
        self._earlier = Earlier()
        self._place: dict[int, int] = {}
        self._known = 0
        self._paired: dict[int, int] = {}
        """Sent frame (its place) -> received frame (its order)."""
        self._open: list[tuple[Observation, bool]] = []
        self._asked: bytes | None = None
        self._order = 0
        self._dump: object = None
        self._series = Series()
        self._probes: Telling | None = None
        """The last probe that came."""

    def see(self, record: FrameRecord) -> None:
        """Take one examined frame into account; frames that the board sent only as questions."""
        frame = record.frame
        if frame.dump.direction == "sent":
            self._asked = record.octets
            return
        received = frame.dump.octets
        if frame.dump is self._dump:
            return  # a second frame in the same dump
        self._dump = frame.dump
        earlier = self._earlier.then(received)
        self._order += 1
        if record.broken_by == "console" or record.doubtful or record.state == "cut":
            self._gathered.unread += 1
            # It came, whatever the console made of it.
            if record.reference is not None and record.probe is None:
                self._pair(record.reference)
            else:
                self._told(record)
            return
        self._gathered.shows = _shown(record)
        damaged = record.state == "damaged"
        # A dump of one value alone is like every frame that has a stretch of it, and like none.
        alike = record.probe is not None or len(set(received)) == 1
        reference = None if alike else record.reference
        length = len(received if reference is None else on_the_wire(reference))
        seen = Observation(
            input=record.input,
            number=record.number,
            received=received,
            sent=None,
            earlier=earlier,
            order=self._order,
            carried=self._earlier.carried(length),
            starts=next((o.starts for o in record.old if o.holds == "fill"), None),
        )
        if reference is not None:
            self._gathered.paired += 1
            place = self._pair(reference)
            self._add(seen._replace(place=place), reference, "sent", damaged)
        elif (answer := echoed(self._asked, record.octets)) is not None:
            self._gathered.add(
                seen._replace(sent=answer, known="echo", unsure=((14, 34),)), damaged
            )
        elif (probe := self._told(record)) is not None:
            self._add(seen, probe, "probe", damaged)
        elif self._sent is not None:
            if len(self._open) < MOST_OPEN:
                self._open.append((self._healed(seen, record), damaged))
            else:
                self._gathered.unread += 1
        else:
            self._gathered.add(self._healed(seen, record), damaged)

    def _told(self, record: FrameRecord) -> bytes | None:
        """The probe that was sent, if the octets are those of one: they say it themselves."""
        if not (record.state == "damaged" or self._asks or record.probe is not None):
            return None
        from framecheck.damage.probes import tell

        found = tell(record.frame.dump.octets)
        if found is None or found.frame is None or not found.sure:
            if record.state != "sound":
                self._series.other()
            return None
        self._series.see(found.number, found.length)
        self._probes = found
        return found.frame

    def _add(self, seen: Observation, sent: bytes, known: Known, damaged: bool) -> None:
        self._gathered.add(seen._replace(sent=on_the_wire(sent), known=known), damaged)

    @staticmethod
    def _healed(seen: Observation, record: FrameRecord) -> Observation:
        """What the frame itself says was sent: its repair, or its sums."""
        if record.repair is not None:
            return seen._replace(sent=record.repair.octets, known="repair")
        if record.state == "sound":
            return seen._replace(sent=record.octets, known="sums")
        return seen

    def _pair(self, reference: bytes) -> int | None:
        """Note that a sent frame came; its place among the sent ones."""
        if self._sent is None:
            return None
        handed = self._sent.handed
        while self._known < len(handed):
            self._place.setdefault(id(handed[self._known]), self._known)
            self._known += 1
        place = self._place.get(id(reference))
        if place is not None:
            self._paired[place] = self._order
        return place

    def close(self) -> None:
        """Pair what is left by its order, and count what never came."""
        self._count_gaps()
        if self._sent is None:
            return
        handed = self._sent.handed
        for seen, damaged, place in self._by_order(handed):
            if place is None:
                self._gathered.add(seen, damaged)
            else:
                self._paired[place] = seen.order
                self._gathered.by_turn += 1
                self._add(seen, handed[place], "sent", damaged)
        self._open.clear()
        self._lost(handed)

    def doubts(self) -> tuple[Doubt, ...]:
        """What is open when the input is through: probes that were sent and never seen."""
        found = []
        gaps, behind = self._gaps(), self._behind()
        if gaps:
            taken = f"{_of_gaps(gaps)}, lost on their way"
            found.append(Doubt("probes", taken, "never sent, or not printed"))
        if behind:
            taken = f"{_of_gaps(behind)}, the log ends before them: not counted as lost"
            found.append(Doubt("probes", taken, "lost on their way"))
        return tuple(found)

    def _behind(self) -> tuple[Gap, ...]:
        """Probes of a set that come behind the last one that came, where probes are looked for."""
        like = self._probes
        known = self._sent is None and like is not None and (self._asks or like.kind == "ethernet")
        return self._series.behind() if known else ()

    def _gaps(self) -> tuple[Gap, ...]:
        """Probes that did not come; in a sound log only those of their own type are looked at."""
        like = self._probes
        if self._sent is not None or like is None:
            return ()
        return self._series.gaps() if self._asks or like.kind == "ethernet" else ()

    def _count_gaps(self) -> None:
        """Probes of known length that are missing between those that came are lost frames."""
        from framecheck.damage.probes import frame

        gaps, like = self._gaps(), self._probes
        if like is None or like.to is None or not gaps:
            return
        for gap in gaps:
            if gap.length is not None:
                sent = frame(gap.number, gap.length, like.kind, like.to)
                lost = Observation(PROBE, gap.number, None, sent, "probe")
                self._gathered.add(lost, damaged=False)
        self._gathered.notes.append(f"{_of_gaps(gaps)}: taken for lost on their way")

    def _by_order(self, handed: list[bytes]) -> Iterator[tuple[Observation, bool, int | None]]:
        """Received frames that are like nothing sent, given the sent frames of their turn.

        Between two pairs, as many received as sent frames are left over: then each is the one of
        its turn, however damaged. Else the ones of equal length are, in their order.
        """
        fixed = sorted((order, place) for place, order in self._paired.items())
        edges = [(0, -1), *fixed, (1 << 60, len(handed))]
        waiting = list(self._open)
        for (order, place), (order2, place2) in pairwise(edges):
            between = [w for w in waiting if order < w[0].order < order2]
            free = [i for i in range(place + 1, place2) if i not in self._paired]
            free = [i for i in free if self._for_the_board(handed[i])]
            lengths = [len(on_the_wire(handed[i])) for i in free]
            given = _turns([len(w[0].received or b"") for w in between], lengths)
            for (seen, damaged), turn in zip(between, given, strict=True):
                yield seen, damaged, None if turn is None else free[turn]

    def _for_the_board(self, sent: bytes) -> bool:
        """Whether a sent frame is addressed as one that came, or to a group."""
        if not sent or sent[0] & 1:
            return True
        came = {self._sent.handed[p][:6] for p in self._paired} if self._sent else set()
        return not came or sent[:6] in came

    def _lost(self, handed: list[bytes]) -> None:
        """Sent frames between those that came, and a few behind them, did not come."""
        if not self._paired or self._sent is None:
            return
        first, last = min(self._paired), max(self._paired)
        behind = len(handed) - 1 - last
        # A log that ends early lost nothing: only what is little beside what came counts.
        stop = len(handed) if behind <= max(8, len(self._paired)) else last + 1
        near = first <= max(8, len(self._paired)) and not self._sent.skipped
        start = 0 if near else first  # a capture that was started earlier lost nothing
        for place in range(start, stop):
            if place not in self._paired and self._for_the_board(handed[place]):
                lost = Observation(
                    self._sent_name,
                    self._sent.skipped + place + 1,
                    None,
                    on_the_wire(handed[place]),
                    "sent",
                    place=place,
                    behind=len(handed) - 1 - place,
                )
                self._gathered.add(lost, damaged=False)


def _shown(record: FrameRecord) -> str:
    """What one frame shows, in a sentence."""
    parts = [
        f"{count(ranges)} {what} (0x{ranges[0][0]:x} to 0x{ranges[-1][1] - 1:x})"
        for ranges, what in (
            (record.residue, "never written"),
            (without(record.wrong, record.residue), "wrong"),
            (record.extra, "foreign"),
        )
        if ranges
    ]
    parts += [f"{sum(m.length for m in record.missing)} missing"] if record.missing else []
    if not parts:
        rules = [f.rule for f in record.findings if f.certainty in ("impossible", "forbidden")]
        parts = [f"{record.state}{' (' + ', '.join(rules[:2]) + ')' if rules else ''}"]
    said = ", ".join(parts)
    return f"frame {record.number}, of {len(record.octets)} octets: {said}"


def _of_gaps(gaps: Sequence[Gap]) -> str:
    """The probes that are missing in words: their numbers and their lengths."""
    if not gaps:
        return ""
    numbers = _listed([g.number for g in gaps])
    lengths = sorted({g.length for g in gaps if g.length is not None})
    said = f"{'probe' if len(gaps) == 1 else 'probes'} {numbers} never seen"
    if not lengths:
        return f"{said}, of lengths that nothing tells"
    unknown = "" if all(g.length for g in gaps) else ", and some that nothing tells"
    return f"{said}, of {_listed(lengths)} octets{unknown}"


def _listed(numbers: Sequence[int]) -> str:
    shown = ", ".join(str(n) for n in numbers[:_NAMED])
    return f"{shown} and {len(numbers) - _NAMED} more" if len(numbers) > _NAMED else shown


def _turns(received: list[int], sent: list[int]) -> list[int | None]:
    """For each received length the place of a sent one: by position, or by equal lengths."""
    if len(received) == len(sent):
        return list(range(len(sent)))
    found: list[int | None] = []
    start = 0
    for length in received:
        at = next((i for i in range(start, len(sent)) if sent[i] == length), None)
        found.append(at)
        start = start if at is None else at + 1
    return found


def echoed(asked: bytes | None, received: bytes) -> bytes | None:
    """The echo reply that the request calls for, if ``received`` is meant to be it (RFC 792).

    Its IP header is not known (octets 14 to 33): those are taken as received.
    """
    if asked is None or len(asked) < 42 or len(received) < 42:
        return None
    if asked[12:15] != b"\x08\x00\x45" or asked[23] != 1 or asked[34] != 8:
        return None
    if received[12:15] != asked[12:15] or received[23] != 1 or received[34:36] != b"\0\0":
        return None
    if received[38:42] != asked[38:42]:
        return None
    size = 14 + int.from_bytes(asked[16:18], "big")
    if not 42 <= size <= len(asked):
        return None
    message = b"\0\0\0\0" + asked[38:size]
    message = b"\0\0" + checksum(message).to_bytes(2, "big") + message[4:]
    return on_the_wire(asked[6:12] + asked[:6] + asked[12:14] + received[14:34] + message)
