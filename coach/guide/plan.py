"""Planning: how big it gets, how much yarn it takes, how long it goes on, by the gauge that is known.

Every figure is a range or a round number, and is said with what it rests on: the maker's gauge, the pattern's, the
usual one for the yarn, or another yarn or hook. What the maker measured ("my swatch of 20 by 20 took 9 metres") is kept
in the state.
"""

from __future__ import annotations

from math import ceil, floor

from coach.fabric.colours import UNNAMED, yarn_by_colour
from coach.fabric.gauge import Weight
from coach.fabric.model import Fabric, WorkedPart
from coach.fabric.needs import Needs, PartNeeds, Range, Swatch, minutes_for, needs, part_needs
from coach.fabric.other import Other, hook_named, other_gauge, yarn_named
from coach.fabric.reckoned import Doubts, doubts, runs, stitches
from coach.fabric.shape import Shape
from coach.fabric.swatch import own_gauge, read_swatch
from coach.guide import pieces
from coach.guide.messages import say
from coach.guide.model import Message, Place, State
from coach.guide.moves import Answer, Messages, changed
from coach.guide.places import done_in_round, part_at

MOST_TOLD = 5  # parts and colours at once
KNOWN_AFTER = 600.0  # seconds of work from which on the maker's own pace is known
STITCHES_KNOWN = 100  # and stitches
SLOWEST, FASTEST = 1.0, 60.0  # stitches a minute; what is outside was no steady work (rounds skipped, work put down)
HOURS_FROM = 180.0  # minutes; what takes longer is told in hours
_BASIS = {"own": "by_own_gauge", "pattern": "by_the_gauge", "usual": "by_usual_gauge", "hook": "by_hook"}
_RECKONED = {"left_out": "reckoned_without", "written": "reckoned_as_written", "faulty": "reckoned_as_worked"}
_WITH = " | "  # between a swatch and the yarn and hook that it was made with
SPOKEN_SWATCH = "20 by 20 took {} metres"  # what a number alone means
SPOKEN_GAUGE = "{} stitches to 10 cm"


def planned(fabric: Fabric, state: State) -> Needs | None:
    """What the work takes by what the maker measured or wants to use; None where neither gauge nor yarn is known."""
    other = _other(fabric, state, state.gauge)
    return needs(fabric, other and other.gauge, _swatch(fabric, state), yarn=other and other.yarn)


def _other(fabric: Fabric, state: State, text: str) -> Other | None:
    return other_gauge(text, fabric.pattern, state.terms or None) if text else None


def _swatch(fabric: Fabric, state: State) -> Swatch | None:
    """What the maker measured; of no use for another yarn or hook than it was made with."""
    measured, _, used = state.swatch.partition(_WITH)
    return read_swatch(measured) if _used(fabric, state, used) == _used(fabric, state, state.gauge) else None


def _used(fabric: Fabric, state: State, text: str) -> tuple[Weight | None, float | None]:
    """The yarn and the hook that a text names; None for the pattern's."""
    other = _other(fabric, state, text)
    return (other.yarn, other.hook) if other else (None, None)


def _basis(fabric: Fabric, state: State, found: Needs) -> Message:
    other = _other(fabric, state, state.gauge)
    if other and other.yarn and found.gauge.said == "yarn":
        named = state.gauge.lower()
        return say(
            "by_yarn", yarn=max((n for n in other.yarn.names if n in named), key=len, default=other.yarn.names[0])
        )
    return say(_BASIS[found.gauge.said])


# ---- how big


def how_big(fabric: Fabric, state: State, value: object) -> Answer:
    """The size of this part, or of every part ("whole")."""
    found = planned(fabric, state)
    if found is None:
        return state, (say("no_gauge"),)
    part = part_at(fabric, state.place)
    if value != "whole" and part is not None:
        one = part_needs(fabric, part, found.gauge)
        if one is None:
            return state, (say("no_size"), *_doubts(part))
        return state, (say("part", part=part.name), *_size(part, one), *_doubts(part), _basis(fabric, state, found))
    if not found.parts:
        return state, (say("no_size"), *_all_doubts(fabric))
    sized = {need.name: need for need in found.parts}
    told: list[Message] = []
    parts = [part for part in fabric.parts if part.name in sized or doubts(part).left_out]
    for part in parts[:MOST_TOLD]:
        size = _measures(sized[part.name].shape) if part.name in sized else say("no_size")
        told += say("part", part=part.name), size, *_doubts(part)
    more = len(parts) - MOST_TOLD
    return state, (*told, *((say("and_more", more=more),) if more > 0 else ()), _basis(fabric, state, found))


def _size(part, need: PartNeeds) -> Messages:
    found = [_measures(need.shape)]
    if need.shape.ruffled:
        worked = next(w for w in part.rounds if w.label == need.shape.ruffled[0])
        found.append(say("ruffles", kind=worked.source.kind, number=worked.source.number, label=worked.label))
    return tuple(found)


def _doubts(part: WorkedPart, of: tuple[str, ...] = Doubts._fields) -> Messages:
    """What the figures leave out or take on trust."""
    found = doubts(part)._asdict()
    return tuple(
        say(_RECKONED[kind], runs=tuple(runs(found[kind], part)), n=len(found[kind])) for kind in of if found[kind]
    )


def _all_doubts(fabric: Fabric, of: tuple[str, ...] = Doubts._fields) -> Messages:
    """The same of all parts, each with its name where there are several."""
    told: list[Message] = []
    for part in fabric.parts:
        if found := _doubts(part, of):
            told += (say("part", part=part.name), *found) if len(fabric.parts) > 1 else found
    return tuple(told)


def _measures(shape: Shape) -> Message:
    """The size in words; in centimetres to the half."""
    width, height = _halves(shape.width), _halves(shape.height)
    if shape.kind == "square":
        return say("size_square", width=width)
    if shape.kind == "edging":
        return say("size_edging", width=width, height=height)
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
        return state, (say("no_size"), *_all_doubts(fabric))
    told = [say("yarn", **_whole(found.metres))]
    if found.grams:
        told.append(say("grams", **_whole(found.grams)))
    colours = yarn_by_colour(fabric.parts, found.parts, found.gauge)
    if len(colours) > 1:
        listed = sorted(colours.items(), key=lambda item: -item[1].high)
        told += [
            say("yarn_colour", colour=colour, **_whole(metres))
            if colour != UNNAMED
            else say("yarn_rest", **_whole(metres))
            for colour, metres in listed[:MOST_TOLD]
        ]
    part = part_at(fabric, state.place)
    here = next((need for need in found.parts if part and need.name == part.name), None)
    if here and len(found.parts) > 1:
        told.append(say("yarn_here", **_whole(here.yarn)))
    if found.stuffing.high >= 1:
        told.append(say("filling", **_whole(found.stuffing)))
    basis = say("by_swatch") if _swatch(fabric, state) else _basis(fabric, state, found)
    return state, (*told, *_all_doubts(fabric), basis)


def _whole(found: Range) -> dict[str, int]:
    """A range outward to whole numbers; a long one to fives."""
    step = 5 if found.high >= 100 else 1
    return {"low": max(floor(found.low / step) * step, 0), "high": max(ceil(found.high / step) * step, 1)}


def swatch(fabric: Fabric, state: State, value: object) -> Answer:
    """Keep what the maker's swatch took: as typed, or the metres for 20 by 20."""
    text = SPOKEN_SWATCH.format(value) if isinstance(value, int) else value
    if isinstance(text, str) and read_swatch(text) is None:
        text = f"20 by 20 {text}"  # "took 9 metres"
    if not isinstance(text, str) or read_swatch(text) is None:
        return state, (say("which_swatch"),)
    used = _WITH + state.gauge if any(_used(fabric, state, state.gauge)) else ""
    after = changed(state, swatch=text + used)
    return after, (say("kept_that"), *yarn(fabric, after, None)[1])


def gauge(fabric: Fabric, state: State, value: object) -> Answer:
    """Keep the maker's own gauge, or another yarn or hook: everything gets another size. value: as typed, or the
    stitches to 10 cm. A hook goes with the yarn that was named before, stitches that are counted with both."""
    text = SPOKEN_GAUGE.format(value) if isinstance(value, int) else value
    if isinstance(text, str) and not yarn_named(text) and (hook_named(text) or own_gauge(text)):
        text = ", ".join((text, *_named_before(state, hook=not hook_named(text))))
    if not isinstance(text, str) or _other(fabric, state, text) is None:
        return state, (say("which_gauge"),)
    after = changed(state, gauge=text)
    return after, (say("kept_that"), *how_big(fabric, after, None)[1])


def _named_before(state: State, hook: bool) -> list[str]:
    """What the maker called the yarn that is reckoned with, and with `hook` the hook."""
    named = state.gauge.split(", ")
    return [words for words in named if yarn_named(words) or hook and hook_named(words)]


# ---- how long


def own_pace(fabric: Fabric, state: State) -> float | None:
    """The maker's stitches a minute, in this work or else in those before; None where too little is known."""
    return steady_pace(made_so_far(fabric, state), state.worked) or state.pace or None


def steady_pace(stitches: int, seconds: float) -> float | None:
    """Stitches a minute; None where they are too few to tell, or it was no steady work."""
    if seconds < KNOWN_AFTER or stitches < STITCHES_KNOWN:
        return None
    pace = stitches / (seconds / 60)
    return pace if SLOWEST <= pace <= FASTEST else None


def made_so_far(fabric: Fabric, state: State) -> int:
    """Stitches of the finished pieces, of those left in the middle, and of this one."""
    done, here = pieces.made(fabric, state), pieces.piece_of(state.place)
    places = [Place(p, i, len(fabric.parts[p].rounds)) for p, i in done if (p, i) != here]
    places += [place for place, _ in state.left if pieces.piece_of(place) not in (*done, here)]
    return sum(_reckoned(fabric, place) for place in (*places, state.place))


def _reckoned(fabric: Fabric, place: Place) -> int:
    """Stitches of a piece before the place, by what each round is reckoned with."""
    part = part_at(fabric, place)
    return sum(map(stitches, part.rounds[: place.round])) + done_in_round(fabric, place) if part else 0


def how_long(fabric: Fabric, state: State, _: object) -> Answer:
    """How long the rest takes: at the maker's own pace where it is known, else as usual."""
    every = sum(sum(map(stitches, part.rounds)) * part.make for part in fabric.parts)
    left = max(every - made_so_far(fabric, state), 0)
    if not left:
        return state, (say("stitches_all_made"),)
    own = own_pace(fabric, state)
    minutes = minutes_for(left, own)
    if minutes.high <= HOURS_FROM:
        told = say("minutes_left", low=max(floor(minutes.low / 5) * 5, 1), high=ceil(minutes.high / 5) * 5)
    else:
        told = say("hours_left", low=max(floor(minutes.low / 30) / 2, 1.0), high=ceil(minutes.high / 30) / 2)
    pace = say("by_own_pace") if own else say("by_usual_pace")
    return state, (told, *_all_doubts(fabric, ("left_out",)), pace, say("without_making_up"))
