"""What a rule may look at: the frame's octets, its stack of layers, and how it was seen."""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple, Protocol, TypeVar

from framecheck.core.finding import Finding, Host, Verdict
from framecheck.core.layer import Layer

T = TypeVar("T")


class Past(Protocol):
    """What the earlier frames of the same input left behind, by subject."""

    def of(self, subject: type[T]) -> T:
        """What is kept of one subject; rules only look at it. KeyError for what is no subject."""


class Whole(NamedTuple):
    """A datagram that its last fragment made whole, from its IP header on."""

    view: View
    findings: tuple[Finding, ...]
    """What is to be said of it above IP."""


class View:
    """One frame as its rules see it."""

    __slots__ = (
        "claimed",
        "cut",
        "fcs",
        "head",
        "host",
        "layers",
        "octets",
        "on_wire",
        "past",
        "tail",
        "verdicts",
        "whole",
    )

    def __init__(
        self,
        octets: bytes,
        layers: Sequence[Layer],
        *,
        cut: bool = False,
        fcs: bytes | None = None,
        on_wire: bool = False,
        host: Host = Host(),  # noqa: B008 - an immutable tuple
        head: bytes = b"",
        tail: bytes = b"",
        claimed: int | None = None,
        past: Past | None = None,
    ) -> None:
        self.octets = octets
        self.layers = tuple(layers)
        self.cut = cut
        """Whether the input ends inside the frame: what needs lost octets rests."""
        self.fcs = fcs
        """The FCS left on behind the frame (up to 4 octets), or None."""
        self.on_wire = on_wire or fcs is not None
        """Whether an FCS or a preamble shows that the frame was on the wire."""
        self.host = host
        self.head = head
        """What a device left in front of the frame in the buffer."""
        self.tail = tail
        """What it left behind the frame, the FCS included."""
        self.claimed = claimed
        """The length that a line of the log announces, or None."""
        self.past = past
        """What earlier frames left behind; None for the first, and for a frame by itself."""
        self.whole: Whole | None = None
        """Filled by ``judge`` where this frame is the fragment that came last."""
        self.verdicts: list[Verdict] = []
        """Filled by the verdicts before any rule runs."""

    def below(self, layer: Layer) -> Layer | None:
        """The layer that carries this one, or None."""
        at = self.layers.index(layer)
        return self.layers[at - 1] if at else None

    def above(self, layer: Layer) -> Layer | None:
        """The layer that this one carries, or None."""
        at = self.layers.index(layer) + 1
        return self.layers[at] if at < len(self.layers) else None

    def find(self, kind: str) -> Layer | None:
        """The first layer of that kind that is not a quoted copy, or None."""
        for layer in self.layers:
            if layer.kind == kind and not layer.quoted:
                return layer
        return None

    def part(self, start: int, stop: int) -> bytes:
        """The octets between two bits that stand on octet edges."""
        return self.octets[start >> 3 : stop >> 3]
