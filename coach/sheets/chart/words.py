"""A chart in words: the caption of each figure, what is not drawn, and all of it for those who don't see it."""

from __future__ import annotations

from collections.abc import Iterator

from coach.fabric.model import Fabric, WorkedPart
from coach.fabric.reckoned import listed
from coach.sheets.chart.place import Place, place_in_words
from coach.sheets.chart.plan import Figure, courses, undrawn
from coach.sheets.lines import count_of, named, repeated, steps_of


def caption(figure: Figure, part: WorkedPart, left: bool) -> str:
    drawn = figure.courses
    first, last = drawn[0].worked.label, drawn[-1].worked.label
    span = first if len(drawn) == 1 else f"{first} to {last}"
    row = drawn[0].worked.source.kind == "row"
    ways = ("clockwise", "anticlockwise")
    if figure.shape == "flat":
        way = "from left to right" if left != drawn[0].back else "from right to left"
        rest = ", the next one back" if row and len(drawn) > 1 else ""
        return (
            f"{span}, from the bottom up: {drawn[0].worked.label} {way}{rest}"
            if row
            else f"{span}, laid open: each round {way}, from the bottom up"
        )
    if figure.shape == "inward":
        return f"{span}, from the edge to the middle, {ways[left != drawn[0].back]}"
    return f"{span}, from the middle outwards, {ways[left == drawn[0].back]}"


def told(fabric: Fabric, chosen: list[int], place: Place | None, terms: str) -> Iterator[str]:
    """The chart in words, for those who don't see it."""
    yield f"In {terms} terms."
    if place is not None:
        yield place_in_words(fabric, place)
    for index in chosen:
        part = fabric.parts[index]
        yield f"{part.name}{f', make {part.make}' if part.make > 1 else ''}."
        for round_, as_ in repeated(part.rounds):
            steps = named(round_, as_, terms) if as_ else steps_of(round_, terms)
            yield f"{round_.label}: {steps}. {count_of(round_)}."
        yield from not_drawn(part)


def not_drawn(part: WorkedPart) -> Iterator[str]:
    """Which rounds a chart of the part does not show, and which it shows apart, a sentence each."""
    left_out = undrawn(part)
    if left_out and len(left_out) == len(part.rounds):
        yield f"{part.name} is not drawn: none of its rounds can be counted."
        return
    if left_out:
        which = "it, or what it stands on," if len(left_out) == 1 else "they, or what they stand on,"
        yield f"Not drawn: {listed(left_out, part)}, since {which} can't be counted."
    beside = [course.worked for course in courses(part, 0) if course.apart]
    apart = [worked for worked in beside if worked.edged is None]
    for worked in beside:
        if worked.edged is not None:
            yield f"{worked.label} is drawn apart, since it goes along the edges of the piece."
    if apart:
        what = "is drawn apart, since what it stands" if len(apart) == 1 else "are drawn apart, since what they stand"
        yield f"{listed(apart, part)} {what} on is missing here or does not fit."
