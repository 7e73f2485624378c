"""Frames by hand, as the pipeline hands them to a report: the orchard's, and hostile ones."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from typing import Any

from framecheck.cli import _orchard
from framecheck.core.finding import Finding, Verdict
from framecheck.core.frame import Dump, Envelope, Frame
from framecheck.core.report import Report, ReportOptions
from framecheck.core.sheet import Fate, FrameRecord, InputRecord, Tally, Totals
from framecheck.core.span import Span
from framecheck.core.text import Places, Row
from framecheck.layers import decode_frame, summary

PREFIX = 22


def placed(octets: bytes, line: int = 1, each: int = 16) -> Places:
    """Where octets stand that are printed ``each`` a line behind 21 characters of prefix."""
    rows = []
    for i, first in enumerate(range(0, len(octets), each)):
        size = min(each, len(octets) - first)
        columns = [PREFIX + 3 * k for k in range(size)]
        rows.append(Row(line + i, first, columns, [c + 2 for c in columns]))
    return Places(rows)


def record(octets: bytes, number: int = 1, line: int = 1, **more: Any) -> FrameRecord:
    """A sound frame of these octets; ``more`` replaces what differs from it."""
    dump = Dump(octets, more.pop("places", placed(octets, line)), layout="offset, 16 octets")
    dump = dump._replace(**more.pop("dump", {}))
    frame = Frame(dump, octets, "ethernet")
    frame = frame._replace(**more.pop("frame", {}))
    layers = decode_frame(frame.octets)
    given: dict[str, Any] = {
        "state": "sound",
        "broken_by": None,
        "verdicts": (),
        "findings": (),
        "summary": summary(layers, frame.octets),
        "fate": Fate("delivered"),
        "input": "bench.log",
    }
    return FrameRecord(number=number, frame=frame, layers=layers, **{**given, **more})


def unwritten() -> FrameRecord:
    """The orchard's refused answer: its last eight octets still hold the fill."""
    octets = _orchard.received(_orchard.offer(0x5EED0001))
    says = "the UDP checksum carries f952, the octets give 4a1b"
    return record(
        octets,
        2,
        11,
        state="damaged",
        broken_by="transfer",
        verdicts=(
            Verdict(
                "udp-checksum",
                "mismatch",
                0xF952,
                0x4A1B,
                Span.of_octets(40, 42),
                (Span.of_octets(26, 328),),
            ),
            Verdict("ipv4-header-checksum", "match", 1, 1, Span.of_octets(24, 26), ()),
        ),
        findings=(
            Finding(
                "udp-checksum",
                "impossible",
                "udp",
                (Span.of_octets(34, 328),),
                0xF952,
                0x4A1B,
                "RFC 1122 4.1.3.4",
                says,
            ),
            Finding(
                "dhcp-option-overrun",
                "impossible",
                "dhcp",
                (Span.of_octets(322, 323),),
                75,
                5,
                "RFC 2132 2",
                "DHCP option 74 claims 75 octets, 5 are left",
            ),
        ),
        fate=Fate("dropped", "transport-checksum", "udp-checksum", ("mac", "ip")),
        residue=((320, 328),),
        proven=((14, 34),),
        suspect=((34, 320),),
    )


def sound() -> FrameRecord:
    """The orchard's ARP request."""
    return record(_orchard.asks(), 1, 5)


def cut() -> FrameRecord:
    """A datagram whose dump the log's end cut off."""
    return record(_orchard.offer(1)[:100], 3, 40, state="cut", fate=Fate("cannot tell"))


def with_fcs() -> FrameRecord:
    """A sound frame with its FCS behind it."""
    octets, fcs = _orchard.asks(), b"\x01\x02\x03\x04"
    return record(
        octets + fcs, 4, 50, frame={"octets": octets, "envelopes": (Envelope("fcs", "tail", fcs),)}
    )


def captured() -> FrameRecord:
    """A damaged record of a capture: no places, no layout."""
    made = unwritten()
    dump = made.frame.dump._replace(
        places=Places(()), layout=None, record=7, stamp=1700000000.25, wire_length=328
    )
    made.frame = made.frame._replace(dump=dump)
    return made


def totals(records: Iterable[FrameRecord], *inputs: InputRecord) -> Totals:
    """The totals that belong to these frames."""
    tally = Tally()
    found = list(records)
    for r in found:
        tally.count(r)
    names = dict.fromkeys(r.input for r in found)
    return Totals(inputs or tuple(InputRecord(n, 9, 4, 3, 2, len(found)) for n in names), tally)


def written(
    report: Report,
    records: Iterable[FrameRecord],
    *inputs: InputRecord,
    **options: Any,
) -> str:
    """What a report says of these frames; it may look at each only once."""
    found = list(records)
    end = totals(found, *inputs)
    given = {"inputs": tuple(i.name for i in end.inputs), **options}
    through = False

    def once() -> Iterable[FrameRecord]:
        nonlocal through
        yield from found
        through = True

    def last() -> Totals:
        assert through, "totals are asked for before the last frame"
        return end

    finish: Callable[[], Totals] = last
    return "".join(report.write(once(), finish, ReportOptions(**given)))
