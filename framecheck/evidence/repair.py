"""Repair as proof: undo one damage and look at every sum again.

A frame that heals in all its checksums when one reordering is undone was damaged by it: each sum
that holds afterwards would hold by chance once in 65,536 times.
"""

from __future__ import annotations

from framecheck.core.sheet import Repair
from framecheck.core.view import View
from framecheck.damage import ORDERS
from framecheck.evidence.classes import checksums
from framecheck.framing import STRONG, content, starts
from framecheck.judging import judge
from framecheck.layers import decode_frame


def reordered(octets: bytes) -> Repair | None:
    """The frame healed of one reordering, when exactly one heals it and a sum proves it."""
    found: list[Repair] = []
    for order in ORDERS:
        healed = order.change(octets)
        start = starts(healed)[0]
        if healed == octets or start.at or start.bits < STRONG:
            continue
        view = View(healed, decode_frame(healed))
        verdicts, findings = judge(view)
        held = [v.name for v in checksums(verdicts) if v.outcome == "match"]
        failed = any(v.outcome == "mismatch" for v in verdicts)
        broken = any(f.certainty in ("impossible", "forbidden") for f in findings)
        if failed or broken:
            continue
        if held:
            chance = f"2^-{16 * len(held)} a try, {len(ORDERS)} tries"
            found.append(Repair(f"{order.says} (by chance {chance})", healed, tuple(held)))
        elif not verdicts and start.bits > max(content(octets), STRONG) + STRONG:
            # ARP carries no sum, but six octets that every packet has alike.
            found.append(Repair(order.says, healed, ("constants of the header",)))
    return found[0] if len(found) == 1 else None
