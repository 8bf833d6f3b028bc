"""A shopping and tool list: what the pattern names, sorted, and how much of it the stitches take."""

from __future__ import annotations

import re
from collections.abc import Iterator

from coach.fabric.colours import yarn_by_colour
from coach.fabric.model import Fabric
from coach.fabric.needs import Needs, Range, grams, needs
from coach.fabric.reckoned import told
from coach.notation.model import Action
from coach.sheets.lines import Line
from coach.stitches.spelling import spelled

SORTS = {  # a line belongs where its first word of these does
    "tool": re.compile(
        r"\b(hooks?|(?:yarn |sewing |darning |tapestry )?needles?|(?:stitch )?markers?|scissors|pins?|tape "
        r"measure|ruler)\b",
        re.IGNORECASE,
    ),
    "yarn": re.compile(r"\b(yarn(?! needle)|wool|cotton|thread|skeins?)\b", re.IGNORECASE),
    "other": re.compile(
        r"\b(eyes?|filling|stuffing|wadding|felt|buttons?|ribbon|wire|beads?|magnets?|card)\b", re.IGNORECASE
    ),
}
HOURS = 60.0


def lines(fabric: Fabric, terms: str | None = None) -> Iterator[Line]:
    """The list in reading order; a line the pattern names stays as it is written, in its own terms."""
    pattern = fabric.pattern
    yield Line("title", f"{pattern.title or 'Pattern'}: shopping and tools")
    if pattern.sizes:
        yield Line(
            "note",
            f"Size {pattern.sizes[fabric.size]}. Where a line gives several figures, they are for "
            f"{', '.join(pattern.sizes)}.",
        )
    sorted_: dict[str, list[str]] = {"yarn": [], "other": [], "tool": []}
    for entry in pattern.materials:
        sorted_[_sort(entry)].append(entry)
    sorted_["tool"] += _missing(fabric)
    for name, sort in (("Yarn", "yarn"), ("Also needed", "other"), ("Tools", "tool")):
        if sorted_[sort]:
            yield Line("heading", name)
            yield from (Line("item", entry) for entry in sorted_[sort])
    found = needs(fabric)
    if found is not None:
        yield Line("heading", "How much it takes")
        yield from _amounts(fabric, found)
    if not pattern.materials:
        yield Line(
            "note",
            "The pattern names no materials; the figures above are reckoned from its stitches."
            if found is not None
            else "The pattern names no materials and no gauge, so no amounts can be reckoned.",
        )


def _sort(entry: str) -> str:
    found = {sort: m.start() for sort, words in SORTS.items() if (m := words.search(entry))}
    return min(found, key=found.get) if found else "other"


def _missing(fabric: Fabric) -> Iterator[str]:
    """Tools that the work asks for and the list does not name."""
    named = " ".join(fabric.pattern.materials).lower()
    rounds = [r.source for part in fabric.parts for r in part.rounds]
    if "hook" not in named:
        yield "A hook: the pattern does not say which size"
    spiral = any(
        r.kind == "round" and not any(isinstance(n, Action) and n.kind == "join" for n in r.body) for r in rounds
    )
    if spiral and "marker" not in named:
        yield "A stitch marker, for the first stitch of each round"
    if "needle" not in named:
        yield "A blunt yarn needle, for the ends"
    if "scissors" not in named:
        yield "Scissors"


def _amounts(fabric: Fabric, found: Needs) -> Iterator[Line]:
    rests_on = {"pattern": "the pattern's gauge", "usual": "the usual gauge for this yarn"}[found.gauge.said]
    weight = f", {_range(found.grams)} g" if found.grams else ""
    yield Line("item", f"Yarn in all: {_metres(found.metres)}{weight}, tails included")
    colours = yarn_by_colour(fabric.parts, found.parts, found.gauge)
    for colour, metres in colours.items() if len(colours) > 1 else ():
        weighs = f", {_range(grams(metres, found.weight))} g" if found.weight else ""
        named = spelled(colour[:1].upper() + colour[1:] or "No colour named", fabric.pattern.terms)
        yield Line("item", f"{named}: {_metres(metres)}{weighs}")
    if len(found.parts) > 1:
        for part in found.parts:
            yield Line("item", f"{part.name}{f', all {part.make}' if part.make > 1 else ''}: {_metres(part.yarn)}")
    if found.stuffing.high >= 1:
        yield Line("item", f"Filling: {_range(found.stuffing)} g")
    yield Line("item", f"Time at the hook: {_hours(found.minutes)}")
    for part in fabric.parts:
        yield from (Line("note", f"{part.name}: {sentence}") for sentence in told(part))
    yield Line("note", f"Reckoned from {rests_on}. Yarn and hands differ: buy by the larger figure.")


def _metres(of: Range) -> str:
    told = _range(of)
    return f"{told} metre" if told == "1" else f"{told} metres"


def _range(of: Range) -> str:
    low, high = _round(of.low), _round(of.high)
    return f"{low} to {high}" if low != high else f"{high}"


def _round(amount: float) -> int:
    """To two figures: more would claim to know more than can be known."""
    step = 1 if amount < 20 else 5 if amount < 100 else 10
    return max(round(amount / step) * step, 1)


def _hours(of: Range) -> str:
    if of.high < 90:
        return f"{_range(of)} minutes"
    low, high = (round(minutes / HOURS * 2) / 2 for minutes in (of.low, of.high))
    return f"{low:g} to {high:g} hours" if low != high else f"{high:g} hours"
