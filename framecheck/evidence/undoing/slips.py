"""All bits from an octet on come one to seven places later or earlier."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import product

from framecheck.damage.slip import SLIP
from framecheck.evidence._trial import Case, Trial

_ORDERS = ("msb", "lsb")
_WAYS = ("later", "earlier")


def trials(case: Case) -> Iterator[Trial]:
    """Each slip undone, from each start of a header on, and from the frame's first octet."""
    for at, order, toward, bits in product(case.starts, _ORDERS, _WAYS, range(1, 8)):
        healed = SLIP.undo(case.octets, at=at, bits=bits, toward=toward, order=order)
        place = len(case.octets) - 1 if toward == "later" else at
        given: dict[str, int | str] = {"at": at, "bits": bits, "toward": toward, "order": order}
        says = _says(at, bits, toward, order)
        yield Trial("slip", given, says, healed, (place,), known=_known(bits, toward, order))


def _known(bits: int, toward: str, order: str) -> int:
    """The bits of the lost octet that did arrive, as a mask."""
    last = (toward == "later") == (order == "msb")  # the lost bits are the least significant
    return 0xFF << bits & 0xFF if last else 0xFF >> bits


def _says(at: int, bits: int, toward: str, order: str) -> str:
    first = "least" if order == "lsb" else "most"
    places = "1 place" if bits == 1 else f"{bits} places"
    return f"all bits {places} {toward} from octet 0x{at:x} on, the {first} significant bit first"
