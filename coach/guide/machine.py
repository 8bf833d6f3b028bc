"""The state machine: a state and a request give the next state and what to answer.

The rules in prose
------------------
- `next` says that what was announced is done, and announces what follows. At a start nothing is announced yet.
- `back` undoes `next` exactly; where the maker came by a jump it goes to the instruction before in the work.
- Whatever changed the state can be undone, however far back; `undo` itself takes a change away and is none.
- While paused only `carry_on` acts (and `stop`, which only silences); a pause is no change to undo.
- The next instruction is the acknowledgement. `repeat` says the last answer again, word for word; answers about the
  coach's own voice don't count as one.
- In a lesson `next` and `back` go through its steps (`lessons.py`); whatever moves the work ends it.
- A question of the coach may be answered with yes or no, at once; any other request is obeyed, and the question is
  over.
- While the coach counts along, any request but `next`, `tap`, `pace` and those about the voice ends the counting.
- Nothing here walks stitch by stitch: a round may have 10^9 of them.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

from coach.fabric.chunks import BY
from coach.fabric.model import Fabric
from coach.fabric.words import abbreviated
from coach.guide import (
    along,
    announce,
    carried,
    counted,
    finishing,
    hours,
    lessons,
    looking,
    pieces,
    plan,
    returning,
    wording,
)
from coach.guide.explain import first_stitch
from coach.guide.messages import say
from coach.guide.model import Place, Reply, Request, State
from coach.guide.moves import Answer, Messages, changed, gone_on, instruction, jump, standing, where
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
from coach.guide.requests import HELP, REQUESTS
from coach.notation.printer import write
from coach.stitches.catalogue import catalogue

RATES = (80, 100, 125, 150, 175, 200, 225, 250, 300, 350, 400)  # words a minute
VOLUMES = (0.1, 0.15, 0.2, 0.3, 0.45, 0.65, 0.9, 1.0)  # about 3 dB apart


def begin(fabric: Fabric, state: State, news: Messages = ()) -> tuple[State, Reply]:
    """What is said when the work is begun or taken up again. A place that the fabric lacks becomes the nearest one.

    news: what is said of a changed pattern file (see `carried.offered`); where that ends with a question, nothing more
    is.
    """
    place = fitted(fabric, state.place)
    moved = place != state.place
    announced = stop_after(fabric, place, state.settings.by) if moved else state.announced
    state = state.having(place=place, announced=announced, paused=False, finished=False, counting="")
    if moved:
        state = state.having(detours=(), left=(), made=None, markers=(), asking=None, guess=None, lesson=None)
    if carried.is_asked(state):
        messages = (*announce.title(fabric, place), *news)
        return _reply(fabric, state.having(said=messages), messages)
    if place == Place() and not announced:
        messages = announce.welcome(fabric, place)
    else:
        messages = (*announce.title(fabric, place), *announce.size(fabric), *returning.recap(fabric, state))
    if moved:
        messages = (say("pattern_changed"), *messages)
    messages = (*news, *messages)
    messages = (
        *messages,
        *wording.told(fabric, state),
        *wording.told_of_hand(fabric, state),
        *lessons.current(fabric, state),
    )
    state, messages = finishing.with_cautions(fabric, state, messages)
    return _reply(fabric, state.having(said=messages), messages)


def answer(fabric: Fabric, state: State, request: Request) -> tuple[State, Reply]:
    """The state after a request, and the answer. A request that can't be done leaves the place and says why."""
    if request.name == "stop":
        return _reply(fabric, state.having(counting="") if state.counting else state, ())
    if state.paused and request.name != "carry_on":
        return _reply(fabric, state, (say("still_paused"),))
    handler = _HANDLERS.get(request.name)
    if handler is None:
        return _reply(fabric, state, (say("not_understood"),))
    after, messages = handler(fabric, state, request.value)
    if after.lesson is not None and after.lesson is state.lesson and _ends_lesson(fabric, state, request):
        after = after.having(lesson=None)
    if carried.is_lapsed(state, after, request):
        messages = (say("old_for_now"), *messages)
    if request.name not in _ASIDE:
        after, messages = finishing.with_cautions(fabric, after, messages)
    if request.name not in _UNREPEATED and messages != _NOTHING_ASKED:
        after = after.having(said=messages)
    if after.asking is not None and after.asking is state.asking and request.name not in _ASIDE:
        after = after.having(asking=None)
    if after.counting and request.name not in (*_ASIDE, *_COUNTING):
        after = after.having(counting="")
    return _reply(fabric, after, messages)


def _ends_lesson(fabric: Fabric, state: State, request: Request) -> bool:
    """Whether a request that left the lesson as it was ends it: it moved the work. `undo` brings back the lesson of
    before."""
    return (
        REQUESTS[request.name].moves
        and request.name != "undo"
        and not (request.name in ("next", "back") and lessons.is_on(fabric, state))
    )


def _reply(fabric: Fabric, state: State, messages: Messages) -> tuple[State, Reply]:
    trees = announce.announced_trees(fabric, state)
    if not trees:
        return state, Reply(messages)
    begun = announce.foundation(worked_at(fabric, state.place)) if state.place.steps == 0 else ()
    return state, Reply(messages, ", ".join(filter(None, (write(begun), abbreviated(trees)))))


# ---- going along


def _next(fabric: Fabric, state: State, _: object) -> Answer:
    if lessons.is_on(fabric, state):
        return lessons.onward(fabric, state)
    if state.counting and (called := along.go_on(fabric, state)):
        return called
    place, by = state.place, state.settings.by
    worked = worked_at(fabric, place)
    if worked is not None:
        onward = replace(place, steps=max(state.announced, place.steps))
        if onward.steps >= length(worked):
            onward = following(fabric, place)
    elif place.part < len(fabric.parts):
        return _next_piece(fabric, state)
    elif place.steps == len(fabric.assembly):
        return state, (say("all_done"),)
    else:
        onward = replace(place, steps=state.announced)
    after = gone_on(fabric, state, onward, stop_after(fabric, onward, by))
    return after, instruction(fabric, after)


def _next_piece(fabric: Fabric, state: State) -> Answer:
    """From the end of a piece to the next one: to its start, or to where it was left."""
    onward, announced = pieces.onward(fabric, state)
    worked, fresh = worked_at(fabric, onward), onward == Place(*pieces.piece_of(onward)) and not announced
    if fresh and worked and introduced(fabric, onward):
        return gone_on(fabric, state, onward, 0), announce.introduction(fabric, onward)
    if announced <= onward.steps:
        announced = stop_after(fabric, onward, state.settings.by)
    after = gone_on(fabric, state, onward, announced)
    if fresh:
        return after, (*(announce.introduction(fabric, onward) if worked else ()), *instruction(fabric, after))
    return after, (*where(fabric, after), *standing(fabric, after, head=False))


def _back(fabric: Fabric, state: State, _: object) -> Answer:
    if state.lesson is not None:
        return lessons.back(fabric, state)
    detours = state.detours
    if detours and _arrived(state) == (detours[-1][0], detours[-1][1] > 0):
        (_, _, place, announced), detours = detours[-1], detours[:-1]
    else:
        found = preceding(fabric, state.place, state.announced, state.settings.by)
        if found is None or not _may_enter(fabric, state, found[0]):
            return state, (say("at_the_start"), *standing(fabric, state))
        place, announced = found
    after = changed(state, place=place, announced=announced, detours=detours, made=pieces.made_at(fabric, state, place))
    if not announced and introduced(fabric, place) and place.round == 0:
        return after, announce.introduction(fabric, place)
    return after, standing(fabric, after)


def _arrived(state: State) -> tuple[Place, bool]:
    """The stop that the work stands at: its place, and whether an instruction is announced there or only the piece."""
    return state.place, state.announced > 0


def _may_enter(fabric: Fabric, state: State, place: Place) -> bool:
    """Whether `back` may go there: not over the start of a piece into the end of one that isn't finished."""
    piece = pieces.piece_of(place)
    return piece == pieces.piece_of(state.place) or piece in pieces.made(fabric, state)


def _start_round(fabric: Fabric, state: State, _: object) -> Answer:
    part = part_at(fabric, state.place)
    if part is None or not part.rounds:
        return state, (say("no_rounds_here"),)
    return jump(fabric, state, replace(state.place, round=min(state.place.round, len(part.rounds) - 1), steps=0))


def _go_round(fabric: Fabric, state: State, number: object) -> Answer:
    numbers = round_numbers(fabric, state.place)
    if not numbers:
        return state, (say("no_rounds_here"),)
    if not isinstance(number, int):
        return state, (say("which_round"),)
    index = round_numbered(fabric, state.place, number)
    if index is None:
        return state, (announce.no_round(fabric, state.place, number, max(numbers)),)
    return jump(fabric, state, replace(state.place, round=index, steps=0))


def _undo(fabric: Fabric, state: State, _: object) -> Answer:
    """The state before; the time that was worked since stays worked, and what was said for safety said."""
    if state.before is None:
        return state, (say("nothing_to_undo"),)
    revised = state.before.pattern != state.pattern
    after = state.before.having(
        finished=False,
        counting="",
        **carried.after_undo(state),
        worked=state.worked,
        spent=state.spent,
        rested=state.rested,
        cautioned=state.cautioned,
    )
    terms = wording.terms_of(fabric, after)
    other = wording.told(fabric, after) or (say("terms_as_written", terms=terms),)
    told = (say("old_again"),) if revised else other if terms != wording.terms_of(fabric, state) else ()
    if carried.is_asked(after):
        return after, (say("undone"), say("new_or_old"))
    return after, (say("undone"), *told, *(lessons.current(fabric, after) or standing(fabric, after)))


def _by(fabric: Fabric, state: State, value: object) -> Answer:
    if value not in BY:
        return state, (say("by_what"),)
    after = changed(state, settings=replace(state.settings, by=value))
    if state.announced > state.place.steps:
        after = after.having(announced=stop_after(fabric, state.place, value))
    worked = worked_at(fabric, state.place)
    rows = value == "round" and worked is not None and worked.source.kind == "row"
    return after, (say("by_row" if rows else f"by_{value}"), *standing(fabric, after))


# ---- asking


def _told(tell: Callable[[Fabric, Place, Place], Messages]) -> Callable[[Fabric, State, object], Answer]:
    """An answer that changes nothing."""
    return lambda fabric, state, _: (state, tell(fabric, state.place, pieces.onward(fabric, state)[0]))


def _recap(fabric: Fabric, state: State, _: object) -> Answer:
    return state, (*returning.recap(fabric, state), *wording.told(fabric, state))


def _where(fabric: Fabric, state: State, _: object) -> Answer:
    told = where(fabric, state)
    here = 1 if worked_at(fabric, state.place) is None else len(told)  # the stitches are not the next piece's
    return state, (*told[:here], *announce.in_all(fabric, state.place), *told[here:])


def _repeat(fabric: Fabric, state: State, _: object) -> Answer:
    return state, state.said or standing(fabric, state)


def _help(fabric: Fabric, state: State, _: object) -> Answer:
    last = state.said[0] if state.said else None
    page = (int(last.values["page"]) % len(HELP)) if last and last.key == "help" else 0
    return state, (say("help", requests=HELP[page], page=page + 1),)


def _what_is(fabric: Fabric, state: State, value: object) -> Answer:
    stitch = value if isinstance(value, str) else first_stitch(announce.announced_trees(fabric, state))
    if stitch in catalogue() and stitch not in lessons.own_stitches(fabric.pattern):
        return state, (say("what_is", stitch=stitch),)
    for name, meaning in fabric.pattern.abbreviations:
        if stitch and name.lower() == stitch.lower():
            return state, (say("as_written", text=f"{name}: {meaning}", terms=fabric.pattern.terms),)
    fresh = value is None and state.announced == state.place.steps == 0 and worked_at(fabric, state.place)
    return state, (say("say_next" if fresh else "which_stitch"),)


# ---- pausing and the voice


def _pause(fabric: Fabric, state: State, _: object) -> Answer:
    return state.having(paused=True), (say("paused"),)


def _carry_on(fabric: Fabric, state: State, _: object) -> Answer:
    after = state.having(paused=False)
    if state.paused and lessons.is_on(fabric, after):
        return after, (*returning.recap(fabric, after), *lessons.current(fabric, after))
    return after, returning.recap(fabric, after) if state.paused else standing(fabric, after)


def _finish(fabric: Fabric, state: State, _: object) -> Answer:
    return state.having(finished=True), (*where(fabric, state), say("finished"))


def _stepped(name: str, scale: tuple[float, ...], up: bool, did: str, end: str) -> Callable[..., Answer]:
    """One step up or down a scale of the settings."""

    def answered(fabric: Fabric, state: State, _: object) -> Answer:
        now = getattr(state.settings, name)
        further = [v for v in scale if (v > now if up else v < now)]
        if not further:
            return state, (say(end),)
        value = further[0] if up else further[-1]
        return changed(state, settings=replace(state.settings, **{name: value})), (say(did),)

    return answered


def _counted(start: Callable[[Fabric, State, object], Answer]) -> Callable[[Fabric, State, object], Answer]:
    """Counting along; after the last stitch of a round it leads on to what comes next."""

    def answered(fabric: Fabric, state: State, _: object) -> Answer:
        worked = worked_at(fabric, state.place)
        if state.counting and worked and state.announced >= worked.steps:
            return _next(fabric, state, None)
        return start(fabric, state, None)

    return answered


_HANDLERS: dict[str, Callable[[Fabric, State, object], Answer]] = {
    "next": _next,
    "repeat": _repeat,
    "back": _back,
    "count": _told(announce.count),
    "left": _told(announce.left),
    "rounds_left": returning.rounds_left,
    "where": _where,
    "recap": _recap,
    "recap_part": returning.recap_part,
    "read_round": looking.read_round,
    "start_round": _start_round,
    "go_round": _go_round,
    "by": _by,
    "go_stitch": returning.go_stitch,
    "go_part": returning.go_part,
    "next_part": returning.next_part,
    "parts": returning.parts,
    "mark": returning.mark,
    "go_marker": returning.go_marker,
    "note": returning.note,
    "my_notes": returning.my_notes,
    "forget_note": returning.forget_note,
    "have": counted.have,
    "what_else": counted.what_else,
    "fix": counted.fix,
    "ripped": counted.ripped,
    "ripped_round": counted.ripped_round,
    "did": looking.did,
    "last": looking.last,
    "under": looking.under,
    "count_me": _counted(along.count_me),
    "tap": _counted(along.tap),
    "pace": along.pace,
    "teach": lessons.how,
    "to_work": lessons.to_work,
    "read_notes": lessons.read_notes,
    "how_big": plan.how_big,
    "yarn": plan.yarn,
    "how_long": plan.how_long,
    "how_long_worked": hours.how_long_worked,
    "swatch": plan.swatch,
    "gauge": plan.gauge,
    "terms": wording.terms,
    "hand": wording.hand,
    "breaks": finishing.breaks,
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
    "yes": lambda fabric, state, _: (carried if carried.is_asked(state) else counted).yes(fabric, state, _),
    "no": lambda fabric, state, _: (carried if carried.is_asked(state) else counted).no(fabric, state, _),
}
_NOTHING_ASKED = (say("nothing_asked"),)
_ASIDE = ("repeat", "slower", "faster", "louder", "quieter")  # about how the coach talks
_UNREPEATED = (*_ASIDE, "pause")
_COUNTING = ("next", "tap", "count_me", "pace")
