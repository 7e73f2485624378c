"""``framecheck explain``: one rule, or all of them, from the rules' own declarations."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import TYPE_CHECKING

import click

if TYPE_CHECKING:
    from framecheck.core.finding import Rule

WIDTH = 80
_CERTAINTIES = {
    "impossible": "impossible: no conforming sender can emit it",
    "forbidden": "forbidden: the standard says must not",
    "suspicious": "suspicious: legal, but rarely on purpose; damages a frame under --strict only",
    "unusual": "unusual: legal, a note and no more",
}


@click.command("explain", short_help="By which sentence of which standard is a frame thrown away?")
@click.argument("rule", required=False)
def command(rule: str | None) -> int:
    """By which sentence of which standard is a frame thrown away?

    With a RULE: what it says, why, its source, and a frame that breaks it. Without: all rules.
    """
    from framecheck.judging import all_rules, rule_named

    if rule is None:
        click.echo("\n".join(_list(all_rules())))
        return 0
    try:
        found = rule_named(rule)
    except KeyError:
        from framecheck.cli._door import hints
        from framecheck.core.problem import Problem
        from framecheck.core.quote import quote

        near = hints(rule, [r.name for r in all_rules()], "framecheck explain lists all")
        raise Problem(f"no rule {quote(rule)}; {near}") from None
    click.echo("\n".join(_page(found)))
    return 0


def _list(rules: Iterable[Rule]) -> Iterator[str]:
    from framecheck.reports._page import wrap

    by_layer: dict[str, list[Rule]] = {}
    for r in rules:
        by_layer.setdefault(r.layer, []).append(r)
    total = sum(len(found) for found in by_layer.values())
    yield f"{total} rules; framecheck explain RULE says more of one"
    for layer, found in sorted(by_layer.items()):
        yield f"\n{layer}"
        for r in found:
            yield f"  {r.name}   {r.certainty}"
            yield from wrap(r.what, WIDTH, " " * 6)


def _page(r: Rule) -> Iterator[str]:
    from framecheck.reports._page import wrap

    title, of = r.name, f"(speaks of: {r.layer})"
    yield from (f"{title}   {of}",) if len(title) + len(of) + 3 <= WIDTH else (title, f"  {of}")
    yield ""
    for label, text in (
        ("what", r.what),
        ("why", r.why),
        ("source", str(r.source)),
        ("weight", _CERTAINTIES[r.certainty]),
        ("fate", _fate(r)),
        ("lenient", r.lenient or ""),
    ):
        if text:
            yield from wrap(text, WIDTH, f"  {label:<9}")
    yield ""
    yield from _example(r)


def _fate(r: Rule) -> str:
    from framecheck.reports._words import dropped_at

    if r.drops is None:
        return "a strict host does not drop a frame for it"
    return f"a strict host drops such a frame {dropped_at(r.drops, r.layer.upper())}"


def _example(r: Rule) -> Iterator[str]:
    """A frame that breaks the rule, the octets that it names marked."""
    from framecheck.core.span import each
    from framecheck.reports import _rows
    from framecheck.reports._page import wrap
    from framecheck.reports._words import octets_at

    for number, digits in enumerate(r.example.before, 1):
        before = bytes.fromhex(digits)
        yield f"  frame {number} of the log, sound, {len(before)} octets"
        yield ""
        yield from (f"      {row.first:#06x}   {row.text}" for row in _rows.unplaced(before))
        yield ""
    octets = bytes.fromhex(r.example.octets)
    marked = dict.fromkeys(each(r.example.spans), "^")
    rows = list(_rows.unplaced(octets))
    drawn = [_rows.under(row, marked, (), len(octets)) for row in rows]
    keep = _rows.chosen([bool(d) for d in drawn], everything=False)
    where = f"that breaks it, at {octets_at(r.example.spans)}"
    if r.example.head:
        where = f"with {r.example.head} left in front of it"
    if r.example.claimed is not None:
        where += f" (the log announces {r.example.claimed})"
    which = f"a frame of {len(octets)} octets"
    if r.example.before:
        which = f"frame {len(r.example.before) + 1} of the log, {len(octets)} octets,"
    yield from wrap(f"{which} {where}", WIDTH, "  ")
    yield ""
    hidden = False
    for row, marks, shown in zip(rows, drawn, keep, strict=True):
        if not shown:
            if not hidden:
                yield "  .."
            hidden = True
            continue
        hidden = False
        head = f"  {row.first:#06x}   "
        yield head + row.text
        if marks:
            yield " " * len(head) + marks
