"""The pipeline over one input and over many: text or capture in, examined frames out.

Frames stream: each is examined as soon as the reader hands it over, but for the first few of an
input, which are looked at together (one frame that carries its FCS tells how to read another).
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from contextlib import suppress
from itertools import chain, islice
from typing import TYPE_CHECKING, NamedTuple

from framecheck.core.finding import Host
from framecheck.core.frame import Doubt, Dump
from framecheck.core.problem import Problem
from framecheck.core.quote import quote
from framecheck.core.sheet import FrameRecord, InputRecord, Tally, Totals
from framecheck.damage import Fill, fill
from framecheck.evidence import Pairing
from framecheck.examine import Examiner
from framecheck.framing import content, gathered, learn, unwrap
from framecheck.laws.gathered import Gathered
from framecheck.laws.observe import Observer, Sent
from framecheck.reading import Reader
from framecheck.sources import (
    CaptureInput,
    InputError,
    Source,
    TextInput,
    open_input,
    open_inputs,
    open_octets,
)

if TYPE_CHECKING:
    from framecheck.requirements import Requirements

PRELUDE = 64
"""Dumps of an input that are read before the first is judged."""
MOST_DOUBTS = 100
"""Doubts about an input that are kept; more are counted."""
ENOUGH = 3
"""Damaged frames from which a law is looked for without being asked."""


class Settings(NamedTuple):
    """What the user knows about the run."""

    sent: str | Held | None = None
    """Name of a capture or hex log of what was sent, or that file itself, or None."""
    fill: str | None = None
    """Name or octets of the buffer's fill, or None."""
    host: Host = Host()
    strict: bool = False
    """Whether suspicious findings damage a frame."""
    law: bool = False
    """Whether the law is asked for: it is then looked for however few frames are damaged."""
    require: str | None = None
    """Path of a file of requirements, or None."""
    address: int | None = None
    """Where octet 0 of a received frame lies in memory, or None."""
    match: str | None = None
    """A pattern that files of folders and archives must fit, or None."""


class Text(NamedTuple):
    """A text that is at hand, as an input."""

    name: str
    text: str


class Held(NamedTuple):
    """A file that is at hand, as an input: a log, a capture, compressed or an archive."""

    name: str
    octets: bytes


class Run:
    """An iteration over examined frames, once; ``totals()`` when it is through."""

    def __init__(self, inputs: Sequence[str | Text | Held], settings: Settings) -> None:
        """Raises Problem when the fill or the sent frames cannot be used."""
        self._names = inputs
        self._settings = settings
        self._fill = fill(settings.fill) if settings.fill is not None else None
        if settings.sent is not None:
            _close(_sent(settings.sent))  # an unusable option is said before any output
        self._required = _requirements(settings.require)
        self._inputs: list[InputRecord] = []
        self._tally = Tally()
        self._gathered = Gathered()
        self._recognised: dict[str, Fill] = {}
        self._totals: Totals | None = None
        self._done = False

    def __iter__(self) -> Iterator[FrameRecord]:
        for given in self._names:
            if isinstance(given, Text):
                yield from self._examined(given, self._opened(given.name))
                continue
            for found in self._found(given):
                record = self._opened(found.name)
                if found.input is not None:
                    yield from self._examined(found.input, record)
                else:
                    record.error = str(found.error)
        self._done = True

    def _found(self, given: str | Held) -> Iterator[Source]:
        if isinstance(given, Held):
            return open_octets(given.name, given.octets)
        return open_inputs(given, self._settings.match)

    def _opened(self, name: str) -> InputRecord:
        self._inputs.append(InputRecord(name))
        return self._inputs[-1]

    @property
    def match(self) -> str | None:
        """The pattern that files of folders and archives must fit, or None."""
        return self._settings.match

    def totals(self) -> Totals:
        """Inputs, tally and laws. Raises RuntimeError before the last frame is through."""
        if not self._done:
            raise RuntimeError("the frames have not been iterated to their end")
        if self._totals is None:
            self._totals = Totals(tuple(self._inputs), self._tally)
            if self._settings.law or self._tally.damaged >= ENOUGH:
                from framecheck.laws.infer import infer  # loads numpy

                found = infer(self._gathered, self._held(), self._settings.address)
                self._totals.laws, self._totals.law_notes = found.laws, found.notes
                self._totals.picture = found.picture if self._settings.law else None
            if self._required is not None:
                judged = self._required.judged(self._tally, self._totals.laws)
                self._totals.requirements = judged
        return self._totals

    def _held(self) -> Fill | None:
        """What buffers held beforehand: as was said, or as the octets of all inputs show."""
        if self._fill is None and len(self._recognised) == 1:
            (name,) = self._recognised
            self._gathered.notes.append(
                f"the octets that were never written are those of the fill {name}; it is taken as "
                f"given: --fill {name}"
            )
            return self._recognised[name]
        return self._fill

    def _examined(
        self, source: Text | TextInput | CaptureInput, record: InputRecord
    ) -> Iterator[FrameRecord]:
        pairing = sent = None
        dumps = gathered(_dumps(source, record))
        first = list(islice(dumps, PRELUDE))
        given = self._settings.sent
        if given is not None:
            skipped = _begins(given, first)
            sent = Sent(sent_frames(given, skipped), skipped)
            pairing = Pairing(iter(sent), self._fill)
        name = given.name if isinstance(given, Held) else given or ""
        observer = Observer(self._gathered, sent, name, self._settings.law)
        examiner = Examiner(self._fill, pairing, self._settings.host, self._settings.strict)
        traits = learn(first)
        number = 0
        for dump in chain(first, dumps):
            record.dumps += 1
            for frame, layers in unwrap(dump, traits):
                number += 1
                examined = examiner.examine(number, record.name, frame, layers)
                self._tally.count(examined)
                observer.see(examined)
                if self._required is not None:
                    self._required.see(examined)
                yield examined
        if examiner.recognised is not None:
            self._recognised[examiner.recognised.name] = examiner.recognised
        record.doubts += examiner.open_ends()
        observer.close()
        record.doubts += observer.doubts()
        if pairing is not None and record.dumps and not pairing.pairs:
            unlike = Doubt(
                "what was sent",
                "other traffic: no frame of this log is like one of it",
                "the wrong file",
            )
            record.doubts = (*record.doubts, unlike)


def check_inputs(
    inputs: Sequence[str | Text | Held],
    settings: Settings = Settings(),  # noqa: B008 - an immutable tuple
) -> Run:
    """Examine inputs one after another.

    Args:
        inputs: paths, folders, patterns, archives, URLs (``-`` is the standard input), or texts
            and files that are at hand.
        settings: what is known about the run.

    Returns:
        A run to iterate over once; then its ``totals()``. An input that cannot be read is
        recorded in the totals and does not stop the others.

    Raises:
        Problem: the fill or the sent frames cannot be used; the text is one clear line.
    """
    return Run(inputs, settings)


def sent_frames(given: str | Held, skipped: int = 0) -> Iterator[bytes]:
    """The frames of a capture or a hex log, envelopes off, one at a time.

    ``skipped``: records of a capture that are passed over. Raises Problem when it cannot be
    opened, or breaks off, or holds no frame.
    """
    name = given.name if isinstance(given, Held) else given
    record = InputRecord(name)
    dumps = gathered(islice(_dumps(_sent(given), record), skipped, None))
    first = list(islice(dumps, PRELUDE))
    if not first:
        raise Problem(record.error or f"--sent {name}: no frame found in it")
    traits = learn(first)
    for dump in chain(first, dumps):
        for frame, _ in unwrap(dump, traits):
            yield frame.octets
    if record.error:
        raise Problem(record.error)


def _begins(given: str | Held, first: Sequence[Dump]) -> int:
    """At which record of a capture the log of these first dumps begins."""
    came = [d.octets for d in first if d.direction != "sent"]
    source = _sent(given)
    if not came or not isinstance(source, CaptureInput):
        _close(source)
        return 0
    from framecheck.evidence.locate import begins

    dumps = source.dumps()
    try:
        return begins(came, (d.octets for d in dumps))
    except InputError:
        return 0  # said when the frames in front of the damage have been used
    finally:
        dumps.close()


def _sent(given: str | Held) -> TextInput | CaptureInput:
    if not isinstance(given, Held):
        return open_input(given)
    for source in open_octets(*given):
        if source.input is not None:
            return source.input
        raise source.error or Problem(f"--sent {quote(given.name)}: holds nothing")
    raise Problem(f"--sent {quote(given.name)}: holds nothing")


def _dumps(source: Text | TextInput | CaptureInput, record: InputRecord) -> Iterator[Dump]:
    """The dumps of one input; the record gets its counts, doubts and error at the end."""
    if isinstance(source, CaptureInput):
        try:
            yield from source.dumps()
        except InputError as error:
            record.error = str(error)
        return
    reader = Reader(content)
    try:
        for piece in (source.text,) if isinstance(source, Text) else source.pieces():
            yield from reader.feed(piece)
    except InputError as error:
        record.error = str(error)
    yield from reader.close()
    record.characters = reader.characters
    record.digits, record.framing, record.skipped = reader.digits, reader.framing, reader.skipped
    record.doubts = tuple(reader.doubts[:MOST_DOUBTS])
    more = len(reader.doubts) - MOST_DOUBTS
    if more > 0:
        record.doubts += (Doubt("the log", "text", f"dumps at {more} more places"),)


def _requirements(path: str | None) -> Requirements | None:
    """What a file requires, when there is one; its reader is loaded then only."""
    if path is None:
        return None
    from framecheck.requirements import Requirements, read

    return Requirements(read(path))


def _close(source: object) -> None:
    with suppress(AttributeError):
        source.close()  # type: ignore[attr-defined]


def read_text(text: str) -> list[Dump]:
    """The dumps of a text that is at hand."""
    return list(_dumps(Text("text", text), InputRecord("text")))
