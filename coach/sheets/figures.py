"""The drawings that large print shows beside its words: a chart after each part, the shapes of all parts at the end."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from coach.fabric.model import Fabric
from coach.sheets.errors import SheetError
from coach.sheets.lines import Drawings, Line

if TYPE_CHECKING:
    from coach.sheets import Wishes


def drawings(fabric: Fabric, wishes: Wishes) -> Drawings:
    """What is drawn of a part by its name, or (None) of all of them. What can't be drawn is told in its place. Raises
    SheetError for a place that is not there."""
    from coach.sheets.chart import AHEAD, chart, check_place, not_drawn, place_in_words
    from coach.sheets.profile import profile, sizes

    if wishes.place is not None:
        check_place(fabric, wishes.place)

    def drawn(part: str | None) -> Iterator[Line]:
        try:
            if part is None:
                yield Line("figure", f"The parts from the side. {' '.join(sizes(fabric))}", drawing=profile(fabric))
                return
            index = next(i for i, one in enumerate(fabric.parts) if one.name == part)
            svg = chart(fabric, part=part, place=wishes.place, left=wishes.left, terms=wishes.terms)
            missing = "".join(f" {sentence}" for sentence in not_drawn(fabric.parts[index]))
            told = f"Stitch chart of {part}; it shows the rounds that are written above.{missing}"
            if wishes.place and index >= wishes.place.part:
                here = index == wishes.place.part
                told += f" {place_in_words(fabric, wishes.place) if here else AHEAD}"
            yield Line("figure", told, drawing=svg)
        except SheetError as error:
            if part is not None:  # without a gauge there is no size, and nobody asked for one
                yield Line("note", error.message)

    return drawn
