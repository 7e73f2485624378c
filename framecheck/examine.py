"""One frame through judging and evidence: its record for the sheet."""

from __future__ import annotations

from collections.abc import Sequence

from framecheck.core.finding import Finding, Host, Verdict
from framecheck.core.frame import Doubt, Frame
from framecheck.core.layer import Layer
from framecheck.core.sheet import BrokenBy, Fate, FrameRecord, Old, Repair, State
from framecheck.core.span import Range, merged, without
from framecheck.core.view import View
from framecheck.damage import Fill
from framecheck.evidence import (
    Buffers,
    Difference,
    Healing,
    Pairing,
    classes,
    compare,
    constants,
    excuse,
    heal,
    mixed_rows,
    probed,
    put_back,
    runs_on,
)
from framecheck.evidence.classes import covered
from framecheck.evidence.probed import TYPE as PROBES
from framecheck.judging import Past, answered, around, fate, judge
from framecheck.layers import decode_frame, summary

_LEAST = {"ethernet": 14, "arp": 28, "rarp": 28}
"""Octets of headers that no length field counts (RFC 826: 28 for Ethernet and IPv4)."""


class Examiner:
    """Examines frames of one input in their order (the order is part of the evidence)."""

    def __init__(self, fill: Fill | None, pairing: Pairing | None, host: Host, strict: bool):
        self._buffers = Buffers(fill)
        self._pairing = pairing
        self._host = host
        self._strict = strict
        self._past = Past()

    @property
    def recognised(self) -> Fill | None:
        """The fill that nobody named, and that the octets show."""
        return self._buffers.recognised

    def open_ends(self) -> tuple[Doubt, ...]:
        """What is open when the input is through: fragments that never became whole."""
        return self._past.doubts()

    def examine(
        self, number: int, input_name: str, frame: Frame, layers: tuple[Layer, ...]
    ) -> FrameRecord:
        """The record of one frame. Never fails, whatever its octets."""
        frame, layers = put_back(frame, layers)
        octets = frame.octets
        cut = _is_cut(frame, layers)
        view = View(
            octets,
            layers,
            cut=cut,
            fcs=frame.fcs,
            on_wire=frame.on_wire,
            host=self._host,
            head=frame.dump.octets[: frame.head],
            tail=frame.dump.octets[frame.head + len(octets) :],
            claimed=frame.dump.claimed_length,
            past=self._past.so_far,
        )
        verdicts, findings = judge(view)
        findings += around(view)
        doubtful = _within(frame.dump.doubtful, frame.head, len(octets))
        mixed = mixed_rows(frame, verdicts, findings, _wanted(layers))
        verdicts, findings, doubts, unsure = excuse(
            verdicts, findings, (*frame.doubts, *mixed), doubtful, _broken_in_front(frame)
        )
        if not unsure:
            self._past.note(number, view)
        ours = frame.dump.direction != "sent"
        reference, probe, difference = None, None, Difference()
        old: tuple[Old, ...] = ()
        if ours:
            reference = self._sent(octets, verdicts)
            if reference is None:
                odd = _nowhere(frame) or _breaks(findings, strict=False)
                reference, probe = probed(octets, verdicts, odd)
            if reference is not None:
                told = compare(octets, reference, self._before(frame))
                difference = _of_the_transfer(told, doubtful, cut or unsure)
            old = self._unwritten(number, frame, verdicts, difference)
        unwritten = merged(o.span for o in old)
        # No sum can prove a repair of a probe that has none.
        bare = probe is not None and reference is not None and reference[12:14] == PROBES
        if cut or unsure or doubtful or unwritten or (bare and frame.fcs is None):
            healing = Healing()
        else:
            healing = heal(frame, layers, verdicts, findings, self._host)
        repair = healing.repair
        if reference is not None and not _agree(repair, reference):
            repair, healing = None, Healing()
        if not difference and healing and healing.on_the_way:
            difference = _located(healing)
        doubts += healing.doubts
        if reference is None and repair is None and not any(d.decides for d in doubts):
            doubts += runs_on(frame, verdicts, _wanted(layers))
        # A repair of something else takes the blame off a word that only looked wrong.
        blamed = [] if healing and healing.on_the_way else _blamed(verdicts, len(octets))
        wrong = merged((*difference.wrong, *blamed))
        bad = merged((*wrong, *difference.extra, *unwritten, *doubtful))
        truth = difference.truth or healing.truth
        vouched = (*constants(layers), *answered(view))
        worth = classes(octets, verdicts, findings, known_bad=bad, truth=truth, vouched=vouched)
        damaged = bool(difference) or bool(unwritten or wrong) or _breaks(findings, self._strict)
        state = _state(frame, damaged, cut, doubts)
        by = _broken_by(state, difference, unwritten, verdicts)
        if unsure or doubtful:
            by = "console"
        return FrameRecord(
            number=number,
            input=input_name,
            frame=frame,
            state=state,
            broken_by=by,
            layers=layers,
            verdicts=verdicts,
            findings=findings,
            summary=_summary(frame, layers, repair, probe),
            fate=Fate("cannot tell") if unsure or _nowhere(frame) else fate(view, findings),
            wrong=wrong,
            extra=difference.extra,
            residue=unwritten,
            proven=worth.proven,
            suspect=worth.suspect,
            doubtful=doubtful,
            missing=difference.missing,
            moves=difference.moves,
            repair=repair,
            doubts=doubts,
            reference=reference,
            probe=probe,
            old=old,
        )

    def _sent(self, octets: bytes, verdicts: Sequence[Verdict]) -> bytes | None:
        """What was sent where these octets came, when something in reach is like them."""
        if self._pairing is None or not octets:
            return None
        return self._pairing.of(octets, covered(verdicts, "match"))

    def _before(self, frame: Frame) -> bytes | None:
        """What the buffer held where these octets stand, as far as that is known."""
        if frame.starts_at == "inside":
            return None
        return self._buffers.held(frame.head, len(frame.octets))

    def _unwritten(
        self, number: int, frame: Frame, verdicts: Sequence[Verdict], difference: Difference
    ) -> tuple[Old, ...]:
        """Octets that still hold what the buffer held before, a fill or an earlier frame."""
        return self._buffers.look(
            number,
            frame.dump.octets,
            (frame.head, frame.head + len(frame.octets)),
            inside=frame.starts_at == "inside",
            proven=covered(verdicts, "match"),
            failing=covered(verdicts, "mismatch"),
            truth=difference.truth,
        )


def _is_cut(frame: Frame, layers: Sequence[Layer]) -> bool:
    """Whether the input's edge, not the transfer, took the end of the frame."""
    dump = frame.dump
    if dump.wire_length is not None:
        return len(dump.octets) < dump.wire_length
    if not dump.at_edge:
        return False
    lacking = _wanted(layers) - len(frame.octets)
    if dump.claimed_length is not None and lacking <= 0:
        # A driver's length often counts the FCS that it does not hand over.
        lacking = dump.claimed_length - len(dump.octets)
        return lacking > 0 and lacking != 4
    return lacking > 0


def _wanted(layers: Sequence[Layer]) -> int:
    """Octets that the frame's own lengths and tables ask for."""
    wanted = 0
    for layer in layers:
        if layer.quoted:
            break
        if layer.kind == "ipv4":
            wanted = max(wanted, layer.start // 8 + (layer.number("total_length") or 0))
        elif layer.kind in _LEAST:
            behind = layer.number("length") or 0
            wanted = max(wanted, layer.start // 8 + _LEAST[layer.kind] + behind)
        elif layer.kind == "ipv6":
            wanted = max(wanted, layer.start // 8 + 40 + (layer.number("payload_length") or 0))
        for f in layer.fields[-1:]:
            if layer.kind != "padding":
                wanted = max(wanted, -(-(f.start + f.wanted) // 8))
    return wanted


def _broken_in_front(frame: Frame) -> bool:
    """Whether the console broke octets that were taken for a device's: where the frame starts."""
    return any(start < frame.head for start, _ in frame.dump.doubtful)


def _nowhere(frame: Frame) -> bool:
    return frame.starts_at in ("inside", "unknown")


def _of_the_transfer(
    difference: Difference, doubtful: Sequence[Range], shortened: bool
) -> Difference:
    """What of a difference the console, or the input's edge, cannot have made."""
    missing = () if shortened else difference.missing
    return difference._replace(wrong=without(difference.wrong, doubtful), missing=missing)


def _state(frame: Frame, damaged: bool, cut: bool, doubts: Sequence[Doubt]) -> State:
    if damaged:
        return "damaged"
    if cut:
        return "cut"
    if _nowhere(frame) or any(d.decides for d in doubts):
        return "cannot tell"
    return "sound"


def _breaks(findings: Sequence[Finding], strict: bool) -> bool:
    worst = ("impossible", "forbidden", "suspicious") if strict else ("impossible", "forbidden")
    return any(f.certainty in worst for f in findings)


def _broken_by(
    state: State,
    difference: Difference,
    unwritten: Sequence[Range],
    verdicts: Sequence[Verdict],
) -> BrokenBy | None:
    if state != "damaged":
        return None
    if difference or unwritten:
        return "transfer"
    if any(v.name == "fcs" and v.outcome == "match" for v in verdicts):
        return "sender"  # what the wire carried is what the sender summed
    return "unknown"


def _blamed(verdicts: Sequence[Verdict], length: int) -> list[Range]:
    spans = [s.octets for v in verdicts if v.outcome == "mismatch" for s in v.blamed]
    return [(a, min(b, length)) for a, b in spans if a < length]


def _within(ranges: Sequence[Range], head: int, length: int) -> tuple[Range, ...]:
    return merged((max(0, a - head), min(length, b - head)) for a, b in ranges)


def _agree(repair: Repair | None, reference: bytes) -> bool:
    """Whether a repair gives what was sent, as far as that is known."""
    return repair is None or repair.octets[: len(reference)] == reference


def _located(healing: Healing) -> Difference:
    """A repair as the difference that it is from what was sent."""
    return Difference(healing.wrong, healing.extra, healing.missing, healing.moves, healing.truth)


def _summary(
    frame: Frame, layers: Sequence[Layer], repair: Repair | None, probe: int | None
) -> str:
    if probe is not None and frame.octets[12:14] == PROBES:
        return f"probe {probe} to {frame.octets[:6].hex(':')}"
    if repair is not None and frame.starts_at == "ethernet":
        healed = summary(decode_frame(repair.octets), repair.octets)
        as_printed = summary(layers, frame.octets)
        return healed if healed == as_printed else f"{healed} (once healed)"
    if frame.starts_at == "inside":
        return "the middle of something: the log begins behind its start"
    if frame.starts_at == "unknown":
        return "no header that is known"
    return summary(layers, frame.octets)
