"""Pieces of the work in any order: which are finished, where the others were left, which comes next.

A piece is (part, piece) from 0. A piece is finished while the work stands at its end, and stays so when the work goes
on elsewhere; whoever goes back into it takes it up again.
"""

from __future__ import annotations

from coach.fabric.model import Fabric
from coach.guide.model import Place, State
from coach.guide.places import part_at

Piece = tuple[int, int]


def every_piece(fabric: Fabric) -> list[Piece]:
    """All pieces in the order of the pattern."""
    return [(p, i) for p, part in enumerate(fabric.parts) for i in range(part.make)]


def piece_of(place: Place) -> Piece:
    return place.part, place.piece


def is_finished(fabric: Fabric, place: Place) -> bool:
    """Whether the place is the end of its piece."""
    part = part_at(fabric, place)
    return part is not None and place.round >= len(part.rounds)


def in_order(fabric: Fabric, place: Place) -> tuple[Piece, ...]:
    """The pieces that are finished where nobody left the order of the pattern."""
    here = piece_of(place)
    return tuple(p for p in every_piece(fabric) if p < here or p == here and is_finished(fabric, place))


def made(fabric: Fabric, state: State) -> tuple[Piece, ...]:
    """The finished pieces."""
    return in_order(fabric, state.place) if state.made is None else state.made


def made_at(fabric: Fabric, state: State, place: Place) -> tuple[Piece, ...] | None:
    """The finished pieces when the work goes from a state to a place, as `State.made` has them."""
    found = set(made(fabric, state)) - {piece_of(place)}
    if is_finished(fabric, place):
        found.add(piece_of(place))
    pieces = tuple(sorted(found))
    return None if pieces == in_order(fabric, place) else pieces


def left_behind(fabric: Fabric, state: State, place: Place) -> tuple[tuple[Place, int], ...]:
    """Where pieces were left, when the work goes from a state to a place of another piece."""
    here = piece_of(state.place)
    if here == piece_of(place) or part_at(fabric, state.place) is None:
        return state.left
    others = tuple(kept for kept in state.left if piece_of(kept[0]) != here)
    begun = state.announced or state.place != Place(*here)
    return (*others, (state.place, state.announced)) if begun and not is_finished(fabric, state.place) else others


def taken_up(state: State, piece: Piece) -> tuple[Place, int]:
    """Where a piece goes on, and what is announced there: its start, where it was never begun."""
    return next((kept for kept in state.left if piece_of(kept[0]) == piece), (Place(*piece), 0))


def upcoming(fabric: Fabric, state: State) -> Piece | None:
    """The unfinished piece after this one, in the order of the pattern and round to its start; None: all are made."""
    here, done = piece_of(state.place), {*made(fabric, state), piece_of(state.place)}
    open_ = [piece for piece in every_piece(fabric) if piece not in done]
    return next((piece for piece in open_ if piece > here), open_[0] if open_ else None)


def onward(fabric: Fabric, state: State) -> tuple[Place, int]:
    """Where the work goes on after this piece, and what is announced there."""
    piece = upcoming(fabric, state)
    return (Place(len(fabric.parts)), 0) if piece is None else taken_up(state, piece)
