"""Planning: how big it gets, how much yarn it takes, how long it goes on, by the gauge that is known.

Every figure is a range or a round number, and is said with what it rests on: the maker's gauge, the pattern's, or the
usual one for the yarn. What the maker measured ("my swatch of 20 by 20 took 9 metres") is kept in the state.
"""

from __future__ import annotations

from math import ceil, floor

from coach.fabric.colours import UNNAMED, yarn_by_colour
from coach.fabric.gauge import Gauge
from coach.fabric.model import Fabric
from coach.fabric.needs import Needs, PartNeeds, Range, minutes_for, needs, part_needs
from coach.fabric.shape import Shape
from coach.fabric.swatch import own_gauge, read_swatch
from coach.guide import pieces
from coach.guide.messages import say
from coach.guide.model import Message, Place, State
from coach.guide.moves import Answer, Messages, changed
from coach.guide.places import part_at, total

MOST_TOLD = 5  # parts and colours at once
KNOWN_AFTER = 600.0  # seconds of work from which on the maker's own pace is known
STITCHES_KNOWN = 100  # and stitches
SLOWEST, FASTEST = 1.0, 60.0  # stitches a minute; what is outside was no steady work (rounds skipped, work put down)
HOURS_FROM = 180.0  # minutes; what takes longer is told in hours
_BASIS = {"own": "by_own_gauge", "pattern": "by_the_gauge", "usual": "by_usual_gauge"}


def planned(fabric: Fabric, state: State, pace: float | None = None) -> Needs | None:
    """What the work takes by what the maker measured; None where neither gauge nor yarn is known."""
    gauge = _gauge(fabric, state, state.gauge)
    swatch = read_swatch(state.swatch) if state.swatch else None
    return needs(fabric, gauge, swatch, pace)


def _gauge(fabric: Fabric, state: State, text: str) -> Gauge | None:
    """The gauge in a text, in the terms that the maker hears, else in those of the pattern."""
    heard = own_gauge(text, state.terms or fabric.pattern.terms)
    return heard or own_gauge(text, fabric.pattern.terms)


def _basis(found: Needs) -> Message:
    return say(_BASIS[found.gauge.said])


# ---- how big

def how_big(fabric: Fabric, state: State, value: object) -> Answer:
    """The size of this part, or of every part ("whole")."""
    found = planned(fabric, state)
    if found is None:
        return state, (say("no_gauge"),)
    part = part_at(fabric, state.place)
    if value != "whole" and part is not None:
        swatch = read_swatch(state.swatch) if state.swatch else None
        one = part_needs(fabric, part, found.gauge, swatch)
        if one is None:
            return state, (say("no_size"),)
        return state, (say("part", part=part.name), *_size(part, one), _basis(found))
    if not found.parts:
        return state, (say("no_size"),)
    told = [m for need in found.parts[:MOST_TOLD] for m in (say("part", part=need.name), _measures(need.shape))]
    more = len(found.parts) - MOST_TOLD
    return state, (*told, *((say("and_more", more=more),) if more > 0 else ()), _basis(found))


def _size(part, need: PartNeeds) -> Messages:
    found = [_measures(need.shape)]
    if need.shape.ruffled:
        worked = next(w for w in part.rounds if w.label == need.shape.ruffled[0])
        found.append(say("ruffles", kind=worked.source.kind, number=worked.source.number, label=worked.label))
    return tuple(found)


def _measures(shape: Shape) -> Message:
    """The size in words; in centimetres to the half."""
    width, height = _halves(shape.width), _halves(shape.height)
    if shape.kind == "square":
        return say("size_square", width=width)
    if shape.kind in ("flat", "oval"):
        return say("size_flat", width=width, height=height)
    return say("size_disc", width=width) if height < width / 6 else say("size_round", width=width, height=height)


def _halves(cm: float) -> float:
    """To the half centimetre, from 10 on to the whole one; never nothing."""
    return max(round(cm * 2) / 2, 0.5) if cm < 10 else float(round(cm))


# ---- how much yarn

def yarn(fabric: Fabric, state: State, _: object) -> Answer:
    """Yarn for the whole work, for each colour where there are several, for this part; and the filling."""
    found = planned(fabric, state)
    if found is None:
        return state, (say("no_gauge"),)
    if not found.parts:
        return state, (say("no_size"),)
    told = [say("yarn", **_whole(found.metres))]
    if found.grams:
        told.append(say("grams", **_whole(found.grams)))
    colours = yarn_by_colour(fabric.parts, found.parts, found.gauge)
    if len(colours) > 1:
        listed = sorted(colours.items(), key=lambda item: -item[1].high)
        told += [say("yarn_colour", colour=colour, **_whole(metres)) if colour != UNNAMED else say("yarn_rest", **_whole(metres))
                 for colour, metres in listed[:MOST_TOLD]]
    part = part_at(fabric, state.place)
    here = next((need for need in found.parts if part and need.name == part.name), None)
    if here and len(found.parts) > 1:
        told.append(say("yarn_here", **_whole(here.yarn)))
    if found.stuffing.high >= 1:
        told.append(say("filling", **_whole(found.stuffing)))
    return state, (*told, say("by_swatch") if state.swatch else _basis(found))


def _whole(found: Range) -> dict[str, int]:
    """A range outward to whole numbers; a long one to fives."""
    step = 5 if found.high >= 100 else 1
    return {"low": max(floor(found.low / step) * step, 0), "high": max(ceil(found.high / step) * step, 1)}


def swatch(fabric: Fabric, state: State, text: object) -> Answer:
    """Keep what the maker's swatch took."""
    if not isinstance(text, str) or read_swatch(text) is None:
        return state, (say("which_swatch"),)
    after = changed(state, swatch=text)
    return after, (say("kept_that"), *yarn(fabric, after, None)[1])


def gauge(fabric: Fabric, state: State, text: object) -> Answer:
    """Keep the maker's own gauge: with another yarn or hook everything gets another size."""
    if not isinstance(text, str) or _gauge(fabric, state, text) is None:
        return state, (say("which_gauge"),)
    after = changed(state, gauge=text)
    return after, (say("kept_that"), *how_big(fabric, after, None)[1])


# ---- how long

def own_pace(fabric: Fabric, state: State) -> float | None:
    """The maker's stitches a minute in this work; None where too little is known, or it was no steady work."""
    if state.worked < KNOWN_AFTER or made_so_far(fabric, state) < STITCHES_KNOWN:
        return None
    pace = made_so_far(fabric, state) / (state.worked / 60)
    return pace if SLOWEST <= pace <= FASTEST else None


def made_so_far(fabric: Fabric, state: State) -> int:
    """Stitches of the finished pieces, of those left in the middle, and of this one."""
    done, here = pieces.made(fabric, state), pieces.piece_of(state.place)
    places = [Place(p, i, len(fabric.parts[p].rounds)) for p, i in done if (p, i) != here]
    places += [place for place, _ in state.left if pieces.piece_of(place) not in (*done, here)]
    return sum(total(fabric, place) for place in (*places, state.place))


def how_long(fabric: Fabric, state: State, _: object) -> Answer:
    """How long the rest takes: at the maker's own pace where it is known, else as usual."""
    every = sum(sum(w.made for w in part.rounds) * part.make for part in fabric.parts)
    left = max(every - made_so_far(fabric, state), 0)
    if not left:
        return state, (say("stitches_all_made"),)
    own = own_pace(fabric, state)
    minutes = minutes_for(left, own)
    if minutes.high <= HOURS_FROM:
        told = say("minutes_left", low=max(floor(minutes.low / 5) * 5, 1), high=ceil(minutes.high / 5) * 5)
    else:
        told = say("hours_left", low=max(floor(minutes.low / 30) / 2, 1.0), high=ceil(minutes.high / 30) / 2)
    return state, (told, say("by_own_pace") if own else say("by_usual_pace"), say("without_making_up"))
