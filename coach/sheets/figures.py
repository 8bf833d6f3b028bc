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
    """What is drawn of a part by its name, or (None) of all of them. What can't be drawn is told in its place."""
    from coach.sheets.chart import chart
    from coach.sheets.profile import profile, sizes

    def drawn(part: str | None) -> Iterator[Line]:
        try:
            if part is None:
                yield Line("figure", f"The parts from the side. {' '.join(sizes(fabric))}", drawing=profile(fabric))
                return
            svg = chart(fabric, part=part, place=_place(fabric, part, wishes), left=wishes.left, terms=wishes.terms)
            yield Line("figure", f"Stitch chart of {part}; it shows the rounds that are written above.", drawing=svg)
        except SheetError as error:
            if part is not None:  # without a gauge there is no size, and nobody asked for one
                yield Line("note", error.message)

    return drawn


def _place(fabric: Fabric, part: str, wishes: Wishes):
    place = wishes.place
    return place if place is not None and fabric.parts[place.part].name == part else None
