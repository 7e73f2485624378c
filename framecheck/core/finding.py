"""Findings: a rule, where a frame breaks it, and the standard that says so."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from typing import TYPE_CHECKING, Any, Literal, NamedTuple

from framecheck.core.span import Span

if TYPE_CHECKING:
    from framecheck.core.layer import Layer
    from framecheck.core.view import View

Certainty = Literal["impossible", "forbidden", "suspicious", "unusual"]
Outcome = Literal["match", "mismatch", "absent", "unverifiable", "partial"]
Kind = Literal["standard", "handbook", "practice", "memory"]


class Source(NamedTuple):
    """Where a fact comes from."""

    document: str
    where: str
    kind: Kind = "standard"

    def __str__(self) -> str:
        if self.kind == "practice":
            return (
                f"common practice, no source: {self.document}"
                if self.document
                else "common practice, no source"
            )
        place = f"{self.document} {self.where}".strip()
        return f"{place} (from memory)" if self.kind == "memory" else place


def rfc(number: int, where: str = "") -> Source:
    """A section or heading of an RFC whose text was read."""
    return Source(f"RFC {number}", where)


def memory(document: str, where: str = "") -> Source:
    """A document that was cited from memory: likely right, not looked up."""
    return Source(document, where, "memory")


def practice(what: str = "") -> Source:
    """A fact of the trade that no standard states."""
    return Source(what, "", "practice")


class Breach(NamedTuple):
    """One place or set of places at which a rule is broken."""

    spans: tuple[Span, ...]
    observed: Any
    """What stands there: a number, text, or hex digits. JSON-ready."""
    expected: Any
    """What would have to stand there, or None."""
    says: str
    """One plain sentence with the numbers in it."""


class Example(NamedTuple):
    """A frame that breaks the rule, for ``explain`` and for the rule's own test."""

    octets: str
    """Hex digits of the whole frame; blanks allowed."""
    spans: tuple[tuple[int, int], ...]
    """The octets that the finding must name, half-open."""
    on_wire: bool = False
    """Whether the frame was seen with an FCS or a preamble."""
    fcs: str = ""
    """Hex digits of an FCS that follows the frame; empty when there is none."""
    head: str = ""
    """Hex digits that a device left in front of the frame; empty when there are none."""
    claimed: int | None = None
    """The length that a line of the log announces."""
    starts_at: str = "ethernet"
    """What its first octet is the first octet of."""
    before: tuple[str, ...] = ()
    """Hex digits of the frames of the same log that came before it, all sound."""


class Rule(NamedTuple):
    """One sentence of a standard, made checkable."""

    name: str
    """Words joined by hyphens; written once, here."""
    layer: str
    """The kind of layer it speaks of; the rule runs for each such layer."""
    certainty: Certainty
    source: Source
    what: str
    """The rule in one sentence (first line of the docstring)."""
    why: str
    """What it means for the reader (the rest of the docstring)."""
    breaks: Callable[[Layer, View], Iterator[Breach]]
    drops: str | None
    """The step at which a strict host drops a frame that breaks it (None: it does not)."""
    example: Example
    lenient: str | None = None
    """Hosts that are known to let it pass, in general words."""


def rule(
    name: str,
    *,
    layer: str,
    certainty: Certainty,
    source: Source,
    example: Example,
    drops: str | None = None,
    lenient: str | None = None,
) -> Callable[[Callable[[Layer, View], Iterator[Breach]]], Rule]:
    """Make a rule of a generator of breaches; its docstring is what ``explain`` prints."""

    def declare(breaks: Callable[[Layer, View], Iterator[Breach]]) -> Rule:
        what, _, why = (breaks.__doc__ or "").strip().partition("\n")
        return Rule(
            name,
            layer,
            certainty,
            source,
            what.strip(),
            " ".join(why.split()),
            breaks,
            drops,
            example,
            lenient,
        )

    return declare


class Finding(NamedTuple):
    """A rule that a frame breaks, and where."""

    rule: str
    certainty: Certainty
    layer: str | None
    spans: tuple[Span, ...]
    observed: Any
    expected: Any
    source: str
    says: str


class Verdict(NamedTuple):
    """The outcome of one checksum or length."""

    name: str
    outcome: Outcome
    carried: int | None
    """What the frame carries."""
    computed: int | None
    """What its octets give; None when that cannot be known."""
    field: Span | None
    covers: tuple[Span, ...]
    """All octets that the outcome speaks of, the field included where it is summed."""
    says: str = ""
    """More than match or mismatch, when the arithmetic tells more."""
    blamed: tuple[Span, ...] = ()
    """Octets that the arithmetic points at, when it does."""


class Host(NamedTuple):
    """Who the board is, as far as it is known: what is None is assumed to fit."""

    mac: bytes | None = None
    ip: bytes | None = None
    port: int | None = None
