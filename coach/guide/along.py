"""Counting along: the coach calls each stitch at the maker's pace, and waits at each increase and decrease.

What is called is what is announced: done only when the next is called. Paced, the clock of the conversation asks for
the next (`tap`); tapped, the maker does, with a key. At whatever is no single stitch the coach says what it is and
waits for `next` or a tap. Any other request ends the counting, and `stop` does at once.
"""

from __future__ import annotations

from dataclasses import replace

from coach.fabric.model import Fabric
from coach.guide import announce
from coach.guide.messages import say
from coach.guide.model import Place, State
from coach.guide.moves import Answer, changed, gone_on
from coach.guide.places import spoken, worked_at
from coach.guide.shaping import is_plain

PACES = (1.0, 1.5, 2.0, 3.0, 4.0, 5.0, 6.5, 8.0, 10.0)  # seconds for a stitch
NAMED = {"quick": 2.0, "steady": 4.0, "slow": 6.5}  # common practice, no source


def count_me(fabric: Fabric, state: State, _: object) -> Answer:
    """Count the stitches from here on, at the pace of the settings."""
    return _begin(fabric, state, "paced")


def tap(fabric: Fabric, state: State, _: object) -> Answer:
    """The next stitch; where nothing is counted, counting begins at the maker's taps."""
    if state.counting:
        return go_on(fabric, state)
    return _begin(fabric, state, "tapped")


def pace(fabric: Fabric, state: State, value: object) -> Answer:
    """Another pace: by its name, or one step slower or faster. Counting goes on."""
    now = state.settings.pace
    if value in NAMED:
        seconds = NAMED[value]
    elif value == "slower":
        seconds = next((p for p in PACES if p > now), now)
    elif value == "faster":
        seconds = next((p for p in reversed(PACES) if p < now), now)
    else:
        return state, (say("which_pace"),)
    told = say("pace_end") if seconds == now and value not in NAMED else say("pace_is", seconds=_short(seconds))
    if seconds == now:
        return state, (told,)
    counting = state.counting
    return changed(state, settings=replace(state.settings, pace=seconds), counting=counting), (told,)


def _short(seconds: float) -> int | float:
    return int(seconds) if seconds == int(seconds) else seconds


def _begin(fabric: Fabric, state: State, counting: str) -> Answer:
    worked, place = worked_at(fabric, state.place), state.place
    if worked is None or place.steps >= worked.steps:
        return state, (say("nothing_to_count"),)
    head = announce.round_head(fabric, place, again=True) if place.steps == 0 else ()
    after, called = _call(fabric, state, place, counting)
    return after, (*head, *called)


def go_on(fabric: Fabric, state: State) -> Answer | None:
    """What was called is done: call the next, or None after the last one of the round."""
    worked, counting = worked_at(fabric, state.place), state.counting
    if worked is None or not state.place.steps < state.announced < worked.steps:
        return None
    there = replace(state.place, steps=state.announced)
    return _call(fabric, state, there, "paced" if counting == "held" else counting)


def _call(fabric: Fabric, state: State, place: Place, counting: str) -> Answer:
    worked = worked_at(fabric, place)
    leaf, stop = worked.step_at(place.steps), place.steps + 1
    made = worked.made_before(stop)
    last = stop == worked.steps
    trees = spoken(worked, place.steps, stop, "stitch").trees
    plain = worked.counted and is_plain(leaf) and len(trees) == 1  # no change of colour with it
    called = (say("call", nth=made),) if plain else (say("steps", trees=trees),)
    if last:
        called = (*called, *announce.makes(worked))
    elif not plain and leaf.makes and worked.counted:
        called = (*called, say("call_after", nth=made))
    if counting == "paced" and (last or not plain):
        counting = "held"
    if place == state.place:
        return changed(state, announced=stop, counting=counting), called
    return gone_on(fabric, state, place, stop, counting=counting), called
