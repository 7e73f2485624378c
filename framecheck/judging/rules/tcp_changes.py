"""Sequence numbers of TCP that leap, against the same connection in earlier frames."""

from __future__ import annotations

from collections.abc import Iterator

from framecheck.core.finding import Breach, practice, rule
from framecheck.core.layer import Layer
from framecheck.core.view import View
from framecheck.judging._changes import changed, fails
from framecheck.judging._examples import TCP, behind, edited
from framecheck.judging.memory.runs import Runs

_WINDOW = 1 << 16
"""Steps that a connection takes by itself: what is sent again, what is sent ahead."""
_DATA = edited(TCP, (38, "01020305"), (42, "00000001"), (47, "10"))


def _leaps(tcp: Layer, view: View, name: str, wanted: int | None) -> Iterator[Breach]:
    field = tcp.get(name)
    if field is None or not field.whole or wanted is None or not fails(view, "tcp-checksum"):
        return
    distance = (field.number - wanted) % (1 << 32)
    if _WINDOW < distance < (1 << 32) - _WINDOW:
        plain = name.replace("_", " ")
        says = f"the {plain} is {field.number:08x}, the connection is at {wanted:08x}"
        yield from changed(field, wanted.to_bytes(4, "big"), says)


@rule(
    "tcp-sequence-number-run",
    layer="tcp",
    certainty="suspicious",
    source=practice("a connection counts its octets"),
    example=behind((TCP.hex(),), edited(_DATA, (39, "12"), resum=False), ((39, 40),)),
)
def sequence_number_run(tcp: Layer, view: View) -> Iterator[Breach]:
    """A connection's sequence number goes on from where it was.

    Said where the checksum fails, the number leaps by more than a window, and one slip makes it of
    the next.
    """
    wanted = view.past.of(Runs).sequence(tcp, view) if view.past is not None else None
    yield from _leaps(tcp, view, "sequence_number", wanted)


@rule(
    "tcp-acknowledgment-number-run",
    layer="tcp",
    certainty="suspicious",
    source=practice("a connection counts its octets"),
    example=behind(
        (TCP.hex(),),
        edited(
            edited(
                TCP,
                (0, "00005e00530100005e005302"),
                (26, "c0000202c0000201"),
                (34, "0050c000"),
                (42, "01020305"),
                (47, "12"),
            ),
            (42, "0112"),
            resum=False,
        ),
        ((43, 44),),
    ),
)
def acknowledgment_number_run(tcp: Layer, view: View) -> Iterator[Breach]:
    """An acknowledgment speaks of octets that the other side has sent.

    Said where the checksum fails, the number leaps by more than a window, and one slip makes it of
    the one that the other side has come to.
    """
    wanted = view.past.of(Runs).sequence(tcp, view, back=True) if view.past is not None else None
    if tcp.number("ack"):
        yield from _leaps(tcp, view, "acknowledgment_number", wanted)
