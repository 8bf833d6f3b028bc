"""The maker's place as a chart shows it, and in words."""

from __future__ import annotations

from dataclasses import dataclass

from coach.fabric.model import Fabric
from coach.sheets.errors import SheetError


@dataclass(frozen=True, slots=True)
class Place:
    """Where the maker is. part: its index; round: counted from 1 within the part; stitch: made so far in this round."""

    part: int
    round: int
    stitch: int


def check_place(fabric: Fabric, place: Place) -> None:
    """Raises SheetError for a place that is not there."""
    rounds = fabric.parts[place.part].rounds if 0 <= place.part < len(fabric.parts) else ()
    if not 1 <= place.round <= len(rounds):
        raise SheetError(f"There is no round {place.round} here.", f"The rounds go from 1 to {len(rounds)}.")
    made = rounds[place.round - 1].made
    if not 0 <= place.stitch <= made:
        raise SheetError(f"Round {place.round} has no stitch {place.stitch}.", f"It has {made} stitches.")


def place_in_words(fabric: Fabric, place: Place) -> str:
    """`The place: Head, Rnd 5, 12 of 30 stitches made.`"""
    part = fabric.parts[place.part]
    at = part.rounds[place.round - 1]
    if not at.counted:
        return f"The place: {part.name}, {at.label}, which can't be counted."
    return f"The place: {part.name}, {at.label}, {place.stitch} of {at.made} stitches made."
