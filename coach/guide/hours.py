"""How long was worked, in all and at each part. Pauses and long breaks are left out by whoever has the clock."""

from __future__ import annotations

from dataclasses import replace

from coach.fabric.model import Fabric
from coach.guide.messages import say
from coach.guide.model import State
from coach.guide.moves import Answer, Messages
from coach.guide.places import part_at

SHORTEST = 30.0  # seconds of work that are worth telling


def spent(state: State, seconds: float) -> State:
    """The state after so many seconds of work at its part; the making up counts as the part after the last."""
    return replace(state, worked=state.worked + seconds, spent=_added(state.spent, state.place.part, seconds))


def _added(spent: tuple[tuple[int, float], ...], part: int, seconds: float) -> tuple[tuple[int, float], ...]:
    known = dict(spent)
    known[part] = known.get(part, 0.0) + seconds
    return tuple(sorted(known.items()))


def time_worked(state: State) -> Messages:
    """How long was worked in all, where that is worth telling."""
    return (say("worked", duration=state.worked),) if state.worked >= SHORTEST else ()


def how_long_worked(fabric: Fabric, state: State, _: object) -> Answer:
    """How long was worked in all; of several parts how long at this one too."""
    part, here = part_at(fabric, state.place), dict(state.spent).get(state.place.part, 0.0)
    at_part = (say("part_worked", part=part.name, duration=here),) if part and len(fabric.parts) > 1 else ()
    return state, (say("worked", duration=state.worked), *at_part)
