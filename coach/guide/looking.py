"""Looking at the work: what was worked last, whether it was an increase, what the next stitch goes into."""

from __future__ import annotations

from coach.fabric.base import Base
from coach.fabric.hand import Hand, slips
from coach.fabric.model import Fabric, Worked
from coach.fabric.opened import opened
from coach.fabric.tree import Leaf, leaf_at, path
from coach.guide import announce, pieces
from coach.guide.messages import named, say
from coach.guide.model import Place, State
from coach.guide.moves import Answer, Messages, own_notes
from coach.guide.places import own_steps, part_at, worked_at
from coach.guide.shaping import is_decrease, is_increase, last_before
from coach.guide.slips import is_join
from coach.notation.model import RING, Repeat, Stitch

FURTHER = 8  # steps that are looked through for the next one that goes into something


def last_done(fabric: Fabric, place: Place) -> tuple[Worked, int] | None:
    """The round, and its step, that made the last stitch of this piece; None where none is made."""
    part = part_at(fabric, place)
    if part is None:
        return None
    for index in range(min(place.round, len(part.rounds) - 1), -1, -1):
        worked = part.rounds[index]
        done = place.steps if index == place.round else worked.steps
        step = last_before(worked.tree, done, lambda leaf: leaf.makes > 0)
        if step is not None:
            return worked, step
    return None


def last(fabric: Fabric, state: State, _: object) -> Answer:
    """What the last step was, by what the coach knows to be done."""
    found = last_done(fabric, state.place)
    if found is None:
        return state, (say("nothing_done"),)
    worked, step = found
    name = (announce.round_name(worked),) if worked is not worked_at(fabric, state.place) else ()
    last_was = say("last_was", trees=(worked.step_at(step),))
    number = (say("stitch_number", nth=worked.made_before(step + 1)),) if worked.counted else ()
    return state, (*name, last_was, *number)


def did(fabric: Fabric, state: State, value: object) -> Answer:
    """Whether the last step was an increase (a decrease), and how the count tells, where one is announced now."""
    test = is_decrease if value == "decrease" else is_increase
    found = last_done(fabric, state.place)
    if found is None:
        return state, _by_count(fabric, state, test) or (say("nothing_done"),)
    worked, step = found
    leaf = worked.step_at(step)
    if test(leaf):
        answer: Messages = (say("yes_the_last"),)
    else:
        answer = (say("no_the_last", trees=(leaf,)),)
        at = last_before(worked.tree, step + 1, test)
        if at is not None:
            since = worked.made_before(step + 1) - worked.made_before(at + 1)
            answer = (*answer, say(f"last_{value or 'increase'}", since=since))
    return state, (*answer, *_by_count(fabric, state, test))


def _by_count(fabric: Fabric, state: State, test) -> Messages:
    """What the maker has with the shaping that is announced now, and without it."""
    worked, place = worked_at(fabric, state.place), state.place
    stop = min(state.announced, worked.steps) if worked else 0
    at = last_before(worked.tree, stop, test) if worked else None
    if at is None or at < place.steps:
        return ()
    leaf, counted = worked.step_at(at), worked.made_before(at + 1)
    without = counted - leaf.makes + (leaf.takes if test is is_decrease else 1)
    return (say("by_the_count", shaping=leaf, counted=counted, without=without),)


# ---- the round below


def under(fabric: Fabric, state: State, _: object) -> Answer:
    """Which stitch of the round below the next step goes into."""
    worked, place = worked_at(fabric, state.place), state.place
    step = _next_into(worked, place.steps) if worked else None
    if step is None:
        ahead = range(place.steps, min(place.steps + FURTHER, worked.steps)) if worked else ()
        return state, (say("under_join" if any(is_join(worked.step_at(i)) for i in ahead) else "nothing_under"),)
    leaf, before = leaf_at(worked.tree, step)
    if getattr(leaf.node, "into", None) == RING:
        return state, (say("under_ring"),)
    index = before["moves"] + leaf.at
    if worked.edged is not None:
        return state, _on_an_edge(worked, index)
    if not place.round:
        return state, (say("under_chain", nth=index + 1),) if index >= 0 else (say("nothing_under"),)
    below = part_at(fabric, place).rounds[place.round - 1]
    base = _base(worked, below)
    return state, _below(below, base, index + _start(worked, base, fabric.size))


def _on_an_edge(worked: Worked, index: int) -> Messages:
    """A place along the edges of a piece: the end of a row, a stitch of the last one, a chain of the beginning."""
    edge, place = worked.edged.at(max(index, 0))
    if (row := worked.edged.row(max(index, 0))) is not None:
        return (say("under_row_end", nth=row),)
    if edge.kind == "chain":
        return (say("under_chain", nth=place + 1),)
    return (say("under_last_row", nth=place + 1),)


def _next_into(worked: Worked, first: int) -> int | None:
    """The next step, from this one on, that goes into something."""
    for step in range(first, min(first + FURTHER, worked.steps)):
        if worked.step_at(step).at is not None and worked.step_at(step).makes:
            return step
    return None


def _start(worked: Worked, base: Base, size: int) -> int:
    """How many tops of the round below the slip stitches at the start of a round go over, to where its stitches are
    counted from."""
    hand = Hand(base, size)
    for step in range(min(FURTHER, worked.steps)):
        leaf = worked.step_at(step)
        if leaf.takes or leaf.makes or not isinstance(leaf.node, Stitch | Repeat):
            break
        stitch, times = slips(leaf.node, size)
        if stitch.stitch != "slst":
            break
        hand.travel(stitch.into, times)
    return hand.base.start + hand.i


def _base(worked: Worked, below: Worked) -> Base:
    """The round below as this one is worked into it: with each chain a place, where they are worked one by one."""
    one_by_one = below.tree.spaces and worked.base == opened(below.tree).stitches
    return Base(opened(below.tree) if one_by_one else below.tree, turned=below.source.kind == "row")


def _below(below: Worked, base: Base, index: int) -> Messages:
    """A place of the round below by its number and kind; index: of its tops as this round meets them, past the end from
    the start again."""
    index = index % base.tops if index >= 0 and base.tops else index
    top = base.top(index)
    if top is None:
        return (say("nothing_under"),)
    if top.is_space:
        return (say("under_space", nth=base.spaces_in(0, index) + 1, chains=top.chains, **named(below)),)
    found = (say("under", nth=base.stitches_in(0, index) + 1, stitch_name=top.kind, **named(below)),)
    leaf, which = _maker(below, below.tree.tops - 1 - index if base.turned else index)
    if is_increase(leaf):
        return (*found, say("of_an_increase", nth=leaf.makes - which if base.turned else which + 1, shaping=leaf))
    if is_decrease(leaf):
        return (*found, say("a_decrease", shaping=leaf))
    return found


def _maker(below: Worked, top: int) -> tuple[Leaf, int]:
    """The step that made a top, and which of its tops that is, from 0."""
    for node, _, before in path(below.tree, "tops", top):
        pass
    return node, top - before["tops"]


def read_round(fabric: Fabric, state: State, _: object) -> Answer:
    """The whole round, and how much of it is done; the maker's notes in it first."""
    place, worked = state.place, worked_at(fabric, state.place)
    notes = own_notes(state, Place(place.part, place.piece, place.round), own_steps(worked)) if worked else ()
    return state, (*notes, *announce.read_round(fabric, place, pieces.onward(fabric, state)[0]))
