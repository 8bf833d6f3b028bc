"""Moving the work: the state after a change, and what is said where it then stands."""

from __future__ import annotations

from coach.fabric.model import Fabric
from coach.guide import announce, pieces
from coach.guide.messages import say
from coach.guide.model import Message, Place, State
from coach.guide.places import preceding, stop_after

MOST_DETOURS = 64  # kept for `back`; undo goes further

Messages = tuple[Message, ...]
Answer = tuple[State, Messages]


def changed(state: State, **changes: object) -> State:
    """The state after a change that can be undone. What was asked, guessed or counted along is over with it."""
    over = {"finished": False, "asking": None, "guess": None, "counting": ""}
    return state.having(**{"before": state, **over, **changes})


def moved(fabric: Fabric, state: State, place: Place, announced: int, **changes: object) -> State:
    """The state after going to a place. `back` goes to the instruction before, unless `detours` say otherwise."""
    made, left = pieces.made_at(fabric, state, place), pieces.left_behind(fabric, state, place)
    gone = {"place": place, "announced": announced, "detours": (), "made": made, "left": left}
    return changed(state, **{**gone, **changes})


def gone_on(fabric: Fabric, state: State, place: Place, announced: int, **changes: object) -> State:
    """The state after going on to a place, from which `back` leads to where the work stands now."""
    detours = state.detours
    if preceding(fabric, place, announced, state.settings.by) != (state.place, state.announced):
        detours = (*detours, (place, announced, state.place, state.announced))[-MOST_DETOURS:]
    return moved(fabric, state, place, announced, detours=detours, **changes)


def instruction(fabric: Fabric, state: State) -> Messages:
    """What is announced where the work stands, after the notes that the maker left there."""
    place, stop = state.place, state.announced
    then = pieces.onward(fabric, state)[0]
    return (*own_notes(state, place, stop), *announce.instruction(fabric, place, stop, state.settings.by, then))


def standing(fabric: Fabric, state: State, head: bool = True) -> Messages:
    """What is announced now, again; the head of a round may be left out where it was just said."""
    found = instruction(fabric, state)
    if not head:
        dropped = {m.key for m in where(fabric, state)}
        found = tuple(m for m in found if m.key not in dropped)
    return found


def where(fabric: Fabric, state: State) -> Messages:
    """Part and piece, round, count so far."""
    return announce.where(fabric, state.place, pieces.onward(fabric, state)[0])


def own_notes(state: State, place: Place, stop: int) -> Messages:
    """The maker's notes at the steps from a place on to `stop`; a note counts for every piece of its part."""
    return tuple(
        say("own_note", own=note.text)
        for note in state.notes
        if (note.place.part, note.place.round) == (place.part, place.round)
        and place.steps <= note.place.steps < max(stop, place.steps + 1)
    )


def jump(fabric: Fabric, state: State, place: Place) -> Answer:
    """Go to a place and say what is to be done there. From another piece, `back` comes back."""
    same = pieces.piece_of(place) == pieces.piece_of(state.place)
    after = (moved if same else gone_on)(fabric, state, place, stop_after(fabric, place, state.settings.by))
    return after, instruction(fabric, after)


def to_piece(fabric: Fabric, state: State, piece: pieces.Piece) -> Answer:
    """Go to a piece: to where it was left, else to its start."""
    place, announced = pieces.taken_up(state, piece)
    begun = place != Place(*piece) or announced
    if announced <= place.steps:
        announced = stop_after(fabric, place, state.settings.by)
    after = gone_on(fabric, state, place, announced)
    if not begun:
        return after, (*announce.introduction(fabric, place), *instruction(fabric, after))
    return after, (*where(fabric, after), *standing(fabric, after, head=False))
