"""The octets of each dump of a log after redaction, worked out frame by frame.

Two rounds: first every private part gets its stand-in, then sums are carried along, because the
sum of a datagram in fragments covers octets of several frames.
"""

from __future__ import annotations

from collections import deque
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from itertools import pairwise

from framecheck.core.frame import Envelope
from framecheck.core.layer import Layer
from framecheck.core.sheet import FrameRecord
from framecheck.core.span import count, each, runs
from framecheck.core.view import View
from framecheck.damage import Fill, fill
from framecheck.damage.probes import BOARD, SENDER, told
from framecheck.judging import judge
from framecheck.layers import decode_frame
from framecheck.redaction._census import Census
from framecheck.redaction._parts import Part, parts
from framecheck.redaction._standins import Standins
from framecheck.redaction._sums import (
    Quoted,
    carried_along,
    carried_fcs,
    carried_fcs16,
    change_of,
    lower,
)
from framecheck.redaction._truth import Truth, truth_of

_FILLS = tuple(fill(name) for name in ("letters", "counting", "odd-parity"))
_FEWEST = 6
"""Octets of a fill in a row that are no chance: they tell nothing private, and a law needs them."""
_COUNTING = 7
"""Steps in a row by which octets count: what tools send to fill a datagram."""
_BEFORE = 8
"""Earlier frames whose octets a padding may still hold."""
_LIKE = 3
_FOREIGN = 8
"""Wrong octets that stay: by how much a sum is off tells what they should have been."""


@dataclass(slots=True)
class Work:
    """One frame on its way."""

    record: FrameRecord
    truth: Truth
    layers: tuple[Layer, ...]
    found: tuple[Part, ...]
    probe: bool = False
    new: bytearray | None = None
    """The truth with its stand-ins."""
    octets: bytes = b""
    """The received octets to print."""
    tail: bytes = b""
    """What is to be printed behind them."""


def prepared(records: Iterable[FrameRecord]) -> list[Work]:
    """Each frame with the parts that are to change."""
    works = []
    for record in records:
        truth = truth_of(record)
        probe = told(record.octets) is not None
        same = truth.octets is record.octets
        layers = record.layers if same else decode_frame(truth.octets, record.frame.starts_at)
        works.append(Work(record, truth, layers, tuple(parts(layers, truth.octets)), probe))
    return works


def census(works: Iterable[Work]) -> Census:
    """The addresses of all frames."""
    found = Census()
    for work in works:
        for part in work.found:
            found.add(part.role, work.truth.octets[part.start : part.stop])
        if work.probe:
            found.kept.update(v for a in (BOARD, SENDER) for v in a if isinstance(v, bytes) and v)
    return found


def exchange(works: Sequence[Work], standins: Standins, known_fill: Fill | None) -> None:
    """Work out ``octets`` and ``tail`` of every frame."""
    fills = (known_fill,) if known_fill is not None else ()
    earlier: deque[tuple[bytes, bytes]] = deque(maxlen=_BEFORE)
    for work in works:
        _stand_in(work, standins, (*fills, *_FILLS), earlier)
        assert work.new is not None
        head = work.record.frame.dump.octets[: work.record.frame.head]
        after = bytes(work.truth.received(bytes(work.new)))
        earlier.append((head + work.record.octets, head + after))
    quoted = Quoted()
    shares = _shares(works)
    for work in works:
        _carry(work, shares, quoted)
    for work in works:
        _finish(work, standins, (*fills, *_FILLS), quoted)


def _stand_in(
    work: Work, standins: Standins, fills: Sequence[Fill], earlier: Iterable[tuple[bytes, bytes]]
) -> None:
    old = work.truth.octets
    payload = {i for p in work.found if p.role in ("text", "padding") for i in range(*p[:2])}
    found = work.found
    if work.probe:
        found = tuple(p for p in found if p.role not in ("text", "padding"))
    new = standins.of(old, found)
    if not work.probe:
        for part in work.found:
            if part.role == "padding":
                new[part.start : part.stop] = _padding(work, part, standins, earlier)
    head = work.record.frame.head
    filled = set(_filled(old, fills, head))
    # At a frame's end a fill was left there by the transfer, whatever it would read as.
    left = range(next((i for i in reversed(range(len(old))) if i not in filled), -1) + 1, len(old))
    still = filled & payload | set(left)
    if old is work.record.octets:
        still |= set(each(work.record.residue))
        if count(work.record.wrong) <= _FOREIGN:
            still |= set(each(work.record.wrong)) & payload
    for i in still:
        if i < len(old):
            new[i] = old[i]
    work.new = new


def _filled(octets: bytes, fills: Sequence[Fill], head: int) -> Iterable[int]:
    """Octets that stand where a fill has them, so many in a row that chance does not."""
    for one in fills:
        same = one.octets(head, head + len(octets))
        for start, stop in runs(i for i, (a, b) in enumerate(zip(octets, same)) if a == b):  # noqa: B905
            if stop - start >= _FEWEST:
                yield from range(start, stop)
    for start, stop in runs(i for i, (a, b) in enumerate(pairwise(octets)) if b - a == 1):
        if stop - start >= _COUNTING:
            yield from range(start, stop + 1)


def _padding(
    work: Work, part: Part, standins: Standins, earlier: Iterable[tuple[bytes, bytes]]
) -> bytes:
    """Padding: what an earlier frame left there comes out as that frame did."""
    old = work.truth.octets[part.start : part.stop]
    if not any(old):
        return old
    out = bytearray(standins.text(old))
    at = work.record.frame.head + part.start
    for before, after in earlier:
        left = before[at : at + len(old)]
        for start, stop in runs(i for i, (a, b) in enumerate(zip(old, left)) if a == b):  # noqa: B905
            if stop - start >= _LIKE:
                out[start:stop] = after[at + start : at + stop]
    return bytes(out)


def _shares(works: Sequence[Work]) -> dict[tuple[bytes, ...], dict[int, int]]:
    """By how much fragments behind the first make the sum of their datagram grow."""
    shares: dict[tuple[bytes, ...], dict[int, int]] = {}
    for work in works:
        ip = _fragment(work)
        if ip is None or work.new is None:
            continue
        offset = ip.number("fragment_offset")
        if offset:
            start, stop = _carried_by(ip)
            grown = change_of(work.truth.octets[start:stop], bytes(work.new[start:stop]))
            shares.setdefault(_datagram(ip), {})[offset] = grown
    return shares


def _fragment(work: Work) -> Layer | None:
    """The IPv4 header of a frame that carries a part of a datagram."""
    ip = next((x for x in work.layers if x.kind == "ipv4" and not x.quoted), None)
    if ip is None or not ip.whole("destination_address", "fragment_offset", "more_fragments"):
        return None
    return ip if ip.number("fragment_offset") or ip.number("more_fragments") else None


def _carried_by(ip: Layer) -> tuple[int, int]:
    """The octets of a datagram behind its header, padding left out."""
    total = ip.number("total_length") or 0
    return ip.stop // 8, max(ip.stop // 8, min(ip.limit // 8, ip.start // 8 + total))


def _datagram(ip: Layer) -> tuple[bytes, ...]:
    names = ("identification", "protocol", "source_address", "destination_address")
    return tuple(ip[n].raw for n in names)


def _carry(work: Work, shares: dict[tuple[bytes, ...], dict[int, int]], quoted: Quoted) -> None:
    old, new = work.truth.octets, work.new
    assert new is not None
    view = View(old, work.layers)
    verdicts, _ = judge(view)
    carried_along(verdicts, work.layers, old, new)
    ip = _fragment(work)
    if ip is not None and not ip.number("fragment_offset"):
        _carry_datagram(work, ip, sum(shares.get(_datagram(ip), {}).values()))
    quoted.note(work.layers, old, bytes(new))


def _carry_datagram(work: Work, ip: Layer, others: int) -> None:
    """The transport's sum over a datagram of which this frame has the first part."""
    above = next((x for x in work.layers if x.start >= ip.stop), None)
    field = above.get("checksum") if above is not None else None
    if above is None or field is None or not field.whole or work.new is None:
        return
    old, new = work.truth.octets, work.new
    if above.kind == "udp" and not field.number:
        return
    start, stop = _carried_by(ip)
    grown = change_of(old[start:stop], bytes(new[start:stop])) + others
    if above.kind in ("udp", "tcp"):
        ends = ip["source_address"].start // 8, ip["destination_address"].stop // 8
        grown += change_of(old[slice(*ends)], bytes(new[slice(*ends)]))
    lower(new, old, field.span, grown)


def _finish(work: Work, standins: Standins, fills: Sequence[Fill], quoted: Quoted) -> None:
    record, old, new = work.record, work.truth.octets, work.new
    assert new is not None
    if any(x.quoted for x in work.layers):
        before = bytearray(new)
        quoted.restore(work.layers, old, new)
        if new != before:
            work_verdicts, _ = judge(View(old, work.layers))
            outer = [v for v in work_verdicts if v.name.startswith("icmp")]
            carried_along(outer, (), old, new)
    received = work.truth.received(bytes(new))
    filled = set(_filled(record.octets, fills, record.frame.head)) | set(each(record.residue))
    foreign = [i for i in work.truth.foreign if i not in filled and i < len(received)]
    if not work.probe:
        for i in foreign:
            received[i] = standins.substitution.table[record.octets[i]]
    work.octets = bytes(received)
    work.tail = b"".join(
        _envelope(e, record.octets, work.octets, standins)
        for e in record.frame.envelopes
        if e.side == "tail"
    )


def _envelope(envelope: Envelope, old: bytes, new: bytes, standins: Standins) -> bytes:
    if envelope.kind == "fcs":
        carry = carried_fcs16 if len(envelope.octets) == 2 else carried_fcs
        return carry(envelope.octets, old, new)
    if envelope.kind == "behind-length":
        return standins.text(envelope.octets)
    return envelope.octets
