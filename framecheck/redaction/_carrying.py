"""Sums of the frames that are printed: within one, over fragments, and over less than was sent."""

from __future__ import annotations

from collections.abc import Sequence

from framecheck.core.view import View
from framecheck.judging import judge
from framecheck.judging.memory.fragments import Key, part_of
from framecheck.judging.memory.fragments import Part as FragmentPart
from framecheck.redaction._as_read import free_to_change
from framecheck.redaction._sums import (
    Quoted,
    balanced,
    carried_along,
    change_of,
    lower,
    off_by,
)
from framecheck.redaction._work import Work

Shares = dict[Key, dict[int, int]]


def level(work: Work) -> bool:
    """Keep by how much sums of what came are off; whether a private word changed for it.

    Where a length was struck, a sum is taken over fewer octets than were sent: what the others
    add up to is by how much it is off.
    """
    record, new, origin = work.record, work.new, work.truth.origin
    if new is None or not origin or work.as_read or work.truth.octets is record.octets:
        return False
    private = {i for p in work.found if p.role != "padding" for i in range(p.start, p.stop)}
    received = bytes(work.truth.received(bytes(new)))
    for verdict in record.verdicts:
        if verdict.field is None or not verdict.name.endswith("checksum"):
            continue
        if verdict.outcome != "mismatch":
            continue
        covered = {i for span in verdict.covers for i in range(*span.octets)}
        off = off_by(verdict, record.octets, received)
        free = (
            i
            for i in range(verdict.field.stop // 8, len(received) - 1)
            if not {i, i + 1} & covered and {origin[i], origin[i + 1]} <= private
            if not (i - verdict.field.start // 8) % 2 and origin[i + 1] == (origin[i] or 0) + 1
        )
        at = next(free, None) if off else None
        if at is not None and (sent := origin[at]) is not None:
            word = (int.from_bytes(new[sent : sent + 2], "big") + off) % 0xFFFF
            new[sent : sent + 2] = word.to_bytes(2, "big")
            return True
    return False


def shares_of(works: Sequence[Work]) -> Shares:
    """By how much fragments behind the first make the sum of their datagram grow."""
    shares: Shares = {}
    for work in works:
        part = part_of_datagram(work)
        if part is not None and part.offset and work.new is not None:
            grown = _grown(work, part.at, part.at + len(part.data))
            shares.setdefault(part.key, {})[part.offset] = grown
    return shares


def part_of_datagram(work: Work) -> FragmentPart | None:
    """What of which datagram a frame is; None when it is no fragment."""
    return part_of(View(work.truth.octets, work.layers))


def _grown(work: Work, start: int, stop: int) -> int:
    assert work.new is not None
    return change_of(work.truth.octets[start:stop], bytes(work.new[start:stop]))


def carry(work: Work, shares: Shares, quoted: Quoted) -> None:
    old, new = work.truth.octets, work.new
    assert new is not None
    verdicts, _ = judge(View(old, work.layers))
    if work.as_read:
        balanced(verdicts, old, new, free_to_change(work))
        return
    carried_along(verdicts, work.layers, old, new)
    part = part_of_datagram(work)
    # A sum of which no other part came is never looked at, and may be quoted as it is.
    if part is not None and not part.offset and part.key in shares:
        _carry_datagram(work, part, sum(shares[part.key].values()))
    if old is not work.record.octets:  # a quote is held against what came
        received = work.truth.received(bytes(new))
        quoted.note(work.record.layers, work.record.octets, received)
    quoted.note(work.layers, old, bytes(new))


def _carry_datagram(work: Work, part: FragmentPart, others: int) -> None:
    """The transport's sum over a datagram of which this frame has the first part."""
    above = next((x for x in work.layers if x.start >= part.at * 8 and x.get("checksum")), None)
    field = above.get("checksum") if above is not None else None
    if above is None or field is None or not field.whole or work.new is None:
        return
    if above.kind == "udp" and not field.number:
        return
    grown = _grown(work, above.start // 8, part.at + len(part.data)) + others
    if above.kind != "icmp":  # the others cover the addresses too
        ip = part.ip
        grown += _grown(work, ip["source_address"].start // 8, ip["destination_address"].stop // 8)
    lower(work.new, work.truth.octets, field.span, grown)
