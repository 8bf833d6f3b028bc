"""The state machine: a state and a request give the next state and what to answer.

The rules in prose
------------------
- `next` says that what was announced is done, and announces what follows. At a start nothing is announced yet.
- `back` undoes `next` exactly; where the maker came by a jump it goes to the instruction before in the work.
- Whatever changed the state can be undone, however far back; `undo` itself takes a change away and is none.
- While paused only `carry_on` acts (and `stop`, which only silences); a pause is no change to undo.
- The next instruction is the acknowledgement. `repeat` says the last answer again, word for word; answers about the
  coach's own voice don't count as one.
- Nothing here walks stitch by stitch: a round may have 10^9 of them.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

from coach.fabric.chunks import BY
from coach.fabric.model import Fabric
from coach.guide import announce
from coach.guide.explain import first_stitch
from coach.guide.messages import say
from coach.guide.model import Message, Place, Reply, Request, State
from coach.guide.places import (
    fitted,
    following,
    introduced,
    length,
    part_at,
    preceding,
    round_numbered,
    round_numbers,
    stop_after,
    worked_at,
)
from coach.guide.requests import HELP
from coach.stitches.catalogue import catalogue

RATES = (80, 100, 125, 150, 175, 200, 225, 250, 300, 350, 400)  # words a minute
VOLUMES = (0.1, 0.15, 0.2, 0.3, 0.45, 0.65, 0.9, 1.0)  # about 3 dB apart

Messages = tuple[Message, ...]
Answer = tuple[State, Messages]


def begin(fabric: Fabric, state: State) -> tuple[State, Reply]:
    """What is said when the work is begun or taken up again. A place that the fabric lacks becomes the nearest one."""
    place = fitted(fabric, state.place)
    moved = place != state.place
    announced = stop_after(fabric, place, state.settings.by) if moved else state.announced
    state = state.having(place=place, announced=announced, paused=False, finished=False,
                         detours=() if moved else state.detours)
    if place == Place() and not announced:
        messages = announce.welcome(fabric, place)
    else:
        standing = _standing(fabric, state, head=False)
        messages = (*announce.title(fabric, place), *announce.where(fabric, place), *standing)
    if moved:
        messages = (say("pattern_changed"), *messages)
    return _reply(fabric, state.having(said=messages), messages)


def answer(fabric: Fabric, state: State, request: Request) -> tuple[State, Reply]:
    """The state after a request, and the answer. A request that can't be done leaves the place and says why."""
    if request.name == "stop":
        return _reply(fabric, state, ())
    if state.paused and request.name != "carry_on":
        return _reply(fabric, state, (say("still_paused"),))
    handler = _HANDLERS.get(request.name)
    if handler is None:
        return _reply(fabric, state, (say("not_understood"),))
    after, messages = handler(fabric, state, request.value)
    if request.name not in _UNREPEATED:
        after = after.having(said=messages)
    return _reply(fabric, after, messages)


def _reply(fabric: Fabric, state: State, messages: Messages) -> tuple[State, Reply]:
    from coach.fabric.words import abbreviated

    trees = announce.announced_trees(fabric, state)
    return state, Reply(messages, abbreviated(trees) if trees else "")


def _changed(state: State, **changes: object) -> State:
    """The state after a change that can be undone."""
    return state.having(before=state, finished=False, **changes)


def _standing(fabric: Fabric, state: State, head: bool = True) -> Messages:
    """What is announced now, again; the head of a round may be left out where it was just said."""
    found = announce.instruction(fabric, state.place, state.announced, state.settings.by)
    if not head:
        dropped = {m.key for m in announce.where(fabric, state.place)}
        found = tuple(m for m in found if m.key not in dropped)
    return found


# ---- going along


def _next(fabric: Fabric, state: State, _: object) -> Answer:
    place, announced, by = state.place, state.announced, state.settings.by
    intro: Messages = ()
    worked = worked_at(fabric, place)
    if worked is None:
        if place.part >= len(fabric.parts):
            if place.steps == len(fabric.assembly):
                return state, (say("all_done"),)
            onward = replace(place, steps=announced)
        else:
            onward = following(fabric, place)
            if worked_at(fabric, onward):
                intro = announce.introduction(fabric, onward)
    else:
        onward = replace(place, steps=max(announced, place.steps))
        if onward.steps >= length(worked):
            onward = following(fabric, place)
    if intro and introduced(fabric, onward):
        stop, messages = 0, intro
    else:
        stop = stop_after(fabric, onward, by)
        messages = (*intro, *announce.instruction(fabric, onward, stop, by))
    detours = state.detours
    if preceding(fabric, onward, stop, by) != (place, announced):
        detours = (*detours, (onward, place, announced))
    return _changed(state, place=onward, announced=stop, detours=detours), messages


def _back(fabric: Fabric, state: State, _: object) -> Answer:
    detours = state.detours
    if detours and detours[-1][0] == state.place:
        (_, place, announced), detours = detours[-1], detours[:-1]
    else:
        found = preceding(fabric, state.place, state.announced, state.settings.by)
        if found is None:
            return state, (say("at_the_start"), *_standing(fabric, state))
        place, announced = found
    after = _changed(state, place=place, announced=announced, detours=detours)
    if not announced and introduced(fabric, place) and place.round == 0:
        return after, announce.introduction(fabric, place)
    return after, _standing(fabric, after)


def _jump(fabric: Fabric, state: State, place: Place) -> Answer:
    by = state.settings.by
    stop = stop_after(fabric, place, by)
    return (_changed(state, place=place, announced=stop, detours=()), announce.instruction(fabric, place, stop, by))


def _start_round(fabric: Fabric, state: State, _: object) -> Answer:
    part = part_at(fabric, state.place)
    if part is None or not part.rounds:
        return state, (say("no_rounds_here"),)
    return _jump(fabric, state, replace(state.place, round=min(state.place.round, len(part.rounds) - 1), steps=0))


def _go_round(fabric: Fabric, state: State, number: object) -> Answer:
    numbers = round_numbers(fabric, state.place)
    if not numbers:
        return state, (say("no_rounds_here"),)
    if not isinstance(number, int):
        return state, (say("which_round"),)
    index = round_numbered(fabric, state.place, number)
    if index is None:
        return state, (say("no_such_round", lowest=min(numbers), highest=max(numbers)),)
    return _jump(fabric, state, replace(state.place, round=index, steps=0))


def _undo(fabric: Fabric, state: State, _: object) -> Answer:
    if state.before is None:
        return state, (say("nothing_to_undo"),)
    after = state.before.having(finished=False)
    return after, (say("undone"), *_standing(fabric, after))


def _by(fabric: Fabric, state: State, value: object) -> Answer:
    if value not in BY:
        return state, (say("by_what"),)
    after = _changed(state, settings=replace(state.settings, by=value))
    if state.announced > state.place.steps:
        after = after.having(announced=stop_after(fabric, state.place, value))
    return after, (say(f"by_{value}"), *_standing(fabric, after))


# ---- asking


def _told(tell: Callable[[Fabric, Place], Messages]) -> Callable[[Fabric, State, object], Answer]:
    """An answer that changes nothing."""
    return lambda fabric, state, _: (state, tell(fabric, state.place))


def _where(fabric: Fabric, state: State, _: object) -> Answer:
    return state, (*announce.where(fabric, state.place), *announce.in_all(fabric, state.place))


def _repeat(fabric: Fabric, state: State, _: object) -> Answer:
    return state, state.said or _standing(fabric, state)


def _help(fabric: Fabric, state: State, _: object) -> Answer:
    last = state.said[0] if state.said else None
    page = (int(last.values["page"]) % len(HELP)) if last and last.key == "help" else 0
    return state, (say("help", requests=HELP[page], page=page + 1),)


def _what_is(fabric: Fabric, state: State, value: object) -> Answer:
    stitch = value if isinstance(value, str) else first_stitch(announce.announced_trees(fabric, state))
    if stitch in catalogue():
        return state, (say("what_is", stitch=stitch),)
    for name, meaning in fabric.pattern.abbreviations:
        if stitch and name.lower() == stitch.lower():
            return state, (say("as_written", text=f"{name}: {meaning}", terms=fabric.pattern.terms),)
    return state, (say("which_stitch"),)


# ---- pausing and the voice


def _pause(fabric: Fabric, state: State, _: object) -> Answer:
    return state.having(paused=True), (say("paused"),)


def _carry_on(fabric: Fabric, state: State, _: object) -> Answer:
    after = state.having(paused=False)
    if not state.paused:
        return after, _standing(fabric, after)
    return after, (*announce.where(fabric, state.place), *_standing(fabric, after, head=False))


def _finish(fabric: Fabric, state: State, _: object) -> Answer:
    return state.having(finished=True), (*announce.where(fabric, state.place), say("finished"))


def _stepped(name: str, scale: tuple[float, ...], up: bool, did: str, end: str) -> Callable[..., Answer]:
    """One step up or down a scale of the settings."""

    def answered(fabric: Fabric, state: State, _: object) -> Answer:
        now = getattr(state.settings, name)
        further = [v for v in scale if (v > now if up else v < now)]
        if not further:
            return state, (say(end),)
        value = further[0] if up else further[-1]
        return _changed(state, settings=replace(state.settings, **{name: value})), (say(did),)

    return answered


def _nothing_asked(fabric: Fabric, state: State, _: object) -> Answer:
    return state, (say("nothing_asked"),)


_HANDLERS: dict[str, Callable[[Fabric, State, object], Answer]] = {
    "next": _next,
    "repeat": _repeat,
    "back": _back,
    "count": _told(announce.count),
    "left": _told(announce.left),
    "where": _where,
    "recap": _told(announce.recap),
    "start_round": _start_round,
    "go_round": _go_round,
    "by": _by,
    "undo": _undo,
    "pause": _pause,
    "carry_on": _carry_on,
    "slower": _stepped("rate", RATES, False, "slower", "slowest"),
    "faster": _stepped("rate", RATES, True, "faster", "fastest"),
    "louder": _stepped("volume", VOLUMES, True, "louder", "loudest"),
    "quieter": _stepped("volume", VOLUMES, False, "quieter", "quietest"),
    "help": _help,
    "what_is": _what_is,
    "finish": _finish,
    "yes": _nothing_asked,
    "no": _nothing_asked,
}
_UNREPEATED = {"repeat", "pause", "slower", "faster", "louder", "quieter", "yes", "no"}
