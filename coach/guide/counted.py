"""What the maker counted or took out, and where the work stands by that: "I have seventeen", "I ripped back three".

Which round was counted, in prose
---------------------------------
- Once the last instruction of a round was read out, a count is taken for that of the finished round, where the round
  should have so many, or where slips explain it; where the whole round was read out at once, the coach asks first.
- Where nothing of a round is done yet, the count is the round's before, where that should have so many, or where a slip
  explains it; where the maker can have so many of what is announced now too, the coach asks.
- Where much was read out at once, a count at which the maker can be in it is not taken for that of the
  finished round unasked.
- Otherwise the maker is in the middle, and the place is where the round has so many stitches. More than the round has
  are too many, wherever in it the maker is; the place stays, and the count after the repair finds it.
"""

from __future__ import annotations

from dataclasses import replace

from coach.fabric.model import Fabric, Worked
from coach.guide import announce, slips
from coach.guide.messages import named, say
from coach.guide.model import Guess, Message, Place, Question, State
from coach.guide.moves import Answer, Messages, jump, moved
from coach.guide.places import (
    done_in_round,
    following,
    length,
    own_steps,
    part_at,
    round_numbered,
    round_numbers,
    stop_after,
    worked_at,
)
from coach.guide.shaping import is_increase, is_shaping, times_before

MUCH = 6  # steps read out at once of which a maker may well be in the middle
SMALL = 2  # stitches that a finished round may well be off by


def have(fabric: Fabric, state: State, count: object) -> Answer:
    """The maker has so many stitches in a round."""
    part, worked, place = part_at(fabric, state.place), worked_at(fabric, state.place), state.place
    if part is None or not part.rounds:
        return state, (say("no_rounds_here"),)
    if not isinstance(count, int):
        return state, (say("how_many"),)
    before = part.rounds[place.round - 1] if place.round and place.steps == 0 else None
    if before and not before.counted:
        before = None
    if not (worked or part.rounds[-1]).counted:
        if before and count == before.made:
            return _compared(fabric, state, place.round - 1, count)
        return state, (say("uncounted"),)
    if worked is None:
        return _compared(fabric, state, len(part.rounds) - 1, count)
    ended = place.steps >= own_steps(worked) or state.announced >= own_steps(worked)
    if ended and count == worked.made:
        return _compared(fabric, state, place.round, count)
    if before and count == before.made:
        return _compared(fabric, state, place.round - 1, count)
    if ended and place.steps == 0 and _explained_at_once(worked, count) and (before or count < worked.made):
        return state.having(asking=Question("finished", count)), (say("is_it_finished", **named(worked)),)
    if before and _explained_at_once(before, count) and not _may_be_at(worked, state, count):
        return _compared(fabric, state, place.round - 1, count)
    if before and _may_be_slip(before, count):
        return state.having(asking=Question("before", count)), (say("is_it_before", **named(before), made=before.made),)
    much = state.announced > min(stop_after(fabric, place, "group"), place.steps + MUCH)
    if ended and place.steps and much and _may_be_at(worked, state, count):
        if _explained_at_once(worked, count):
            return state.having(asking=Question("finished", count)), (say("is_it_finished", **named(worked)),)
    elif ended and place.steps and slips.explanations(worked, count) or count > worked.made:
        return _compared(fabric, state, place.round, count, ended)
    return _found(fabric, state, count)


def _may_be_slip(worked: Worked, count: int) -> bool:
    """Whether a single slip explains a count of this round."""
    found = slips.explanations(worked, count)
    return bool(found) and len(found[0]) == 1


def _explained_at_once(worked: Worked, count: int) -> bool:
    """Whether one slip, or two small ones, explain a count of this round."""
    return _may_be_slip(worked, count) or abs(count - worked.made) <= SMALL and bool(slips.explanations(worked, count))


def _may_be_at(worked: Worked, state: State, count: int) -> bool:
    """Whether the maker can have so many stitches while doing what is announced now."""
    step = worked.first_step_with(count)
    return step <= state.announced and worked.made_before(step) == count


# ---- the place from a count


def _found(fabric: Fabric, state: State, count: int) -> Answer:
    """The place in this round at which so many stitches are made."""
    worked = worked_at(fabric, state.place)
    start = worked.first_step_with(count)
    made = worked.made_before(start)
    if made != count:
        before, shaping = worked.made_before(start - 1), worked.step_at(start - 1)
        return state, (say("inside", count=count, before=before, after=made, shaping=shaping),)
    stop = worked.first_step_with(count + 1) - 1 if count < worked.made else worked.steps
    if start >= worked.steps:
        return _at_the_end(fabric, state)
    after, then = jump(fabric, state, replace(state.place, steps=start))
    several = (say("several_fit", places=stop - start + 1),) if stop > start else ()
    return after, (*_described(worked, start), *several, *then)


def _at_the_end(fabric: Fabric, state: State) -> Answer:
    """All stitches of the round are made: what comes after it."""
    worked, place = worked_at(fabric, state.place), state.place
    there = replace(place, steps=own_steps(worked)) if length(worked) > own_steps(worked) else following(fabric, place)
    after, then = jump(fabric, state, there)
    return after, (say("right", count=worked.made), *then)


def _described(worked: Worked, steps: int) -> Messages:
    """Where in a round it is, by what was worked last: "after the second increase"."""
    if not steps:
        return (say("at_the_beginning"),)
    last = worked.step_at(steps - 1)
    if is_shaping(last):
        alike = is_increase(last)
        nth = times_before(worked.tree, steps, lambda leaf: is_shaping(leaf) and is_increase(leaf) == alike)
        return (say("after_nth", nth=nth, shaping=last),)
    return (say("after_stitch", nth=worked.made_before(steps)),)


# ---- a finished round whose count is right or wrong


def _compared(fabric: Fabric, state: State, index: int, count: int, ended: bool = True) -> Answer:
    """The count of a whole round, with the likeliest slip where it is wrong. ended: its last instruction was read out;
    else there are too many stitches in its middle."""
    worked = part_at(fabric, state.place).rounds[index]
    name = () if index == state.place.round else (announce.round_name(worked),)
    if count == worked.made:
        return state.having(guess=None), (*name, say("right", count=count))
    if count == worked.stated:
        return state, (*name, say("as_stated", count=count, made=worked.made))
    by = abs(count - worked.made)
    if not ended:
        told = say("too_many", **named(worked), over=by, made=worked.made)
    else:
        told = (
            say("short", short=by, made=worked.made) if count < worked.made else say("over", over=by, made=worked.made)
        )
    found = slips.explanations(worked, count)
    if not found:
        return state.having(guess=None), (*name, told, say("unexplained"))
    guess = Guess(index, count)
    return state.having(guess=guess), (*name, told, *_explained(worked, found, guess))


def _explained(worked: Worked, found: tuple[slips.Explanation, ...], guess: Guess) -> Messages:
    chosen = found[guess.number]
    if len(chosen) == 2:
        twice = chosen[0] is chosen[1]
        what = [say("slip_twice" if twice else "two_slips")]
        for slip in chosen[:1] if twice else chosen:
            what += [_slip(slip), *_seen(worked, slip)]
        what.append(say("undo_to"))
    else:
        what = [_slip(chosen[0]), *_seen(worked, chosen[0]), *_remedy(worked, chosen[0])]
    more = guess.number + 1 < len(found)
    return (*what, say("fix_or_else" if more else "or_fix"))


def _slip(slip: slips.Slip) -> Message:
    if slip.kind in ("missed", "apart") or slip.kind == "skipped" and slip.effect < -1:
        return say(f"slip_{slip.kind}_of" if slip.kind == "skipped" else f"slip_{slip.kind}", shaping=slip.tree)
    return say(f"slip_{slip.kind}")


def _seen(worked: Worked, slip: slips.Slip) -> Messages:
    """How to see it in the work."""
    match slip.kind:
        case "missed" | "apart":
            run = slips.run_of(worked, slip)
            return (say(f"see_{slip.kind}", run=run) if run else say(f"see_{slip.kind}_alone"),)
        case "few" if slip.tree.child.takes:
            return (say("see_few", left=slip.tree.child.takes),)
        case "few" | "many":
            return (say("see_repeats", times=slip.tree.times),)
        case "fewer" | "more":
            return (say("see_ring"),)
    return (say(f"see_{slip.kind}"),)


def _remedy(worked: Worked, slip: slips.Slip) -> Messages:
    """How much has to be undone, where that is the way."""
    match slip.kind:
        case "few":
            return (say("work_once_more", makes=slip.tree.child.makes),)
        case "fewer":
            return (say("work_one_more"),)
        case "first" | "last":
            return (say(f"work_{slip.kind}"),)
    match slips.to_undo(worked, slip):
        case None:
            return (say("undo_to"),)
        case (last, 0):
            return (say("undo_n", n=last),)
        case (last, each):
            return (say("undo_each", last=last, each=each),)


def _asked_again(fabric: Fabric, state: State) -> Answer | None:
    """The question of which round a count is, as long as it is not answered: without that nothing can be explained."""
    match state.asking:
        case Question("finished", count):
            return state.having(asking=Question("finished", count)), (
                say("is_it_finished", **named(worked_at(fabric, state.place))),
            )
        case Question("before", count):
            before = part_at(fabric, state.place).rounds[state.place.round - 1]
            return state.having(asking=Question("before", count)), (
                say("is_it_before", **named(before), made=before.made),
            )
    return None


def what_else(fabric: Fabric, state: State, _: object) -> Answer:
    """The next explanation of the count that was told."""
    if asked := _asked_again(fabric, state):
        return asked
    guess = state.guess
    if guess is None:
        return state, (say("nothing_counted"),)
    worked = part_at(fabric, state.place).rounds[guess.round]
    found = slips.explanations(worked, guess.count)
    if guess.number + 1 >= len(found):
        return state, (say("nothing_else"),)
    guess = replace(guess, number=guess.number + 1)
    return state.having(guess=guess), _explained(worked, found, guess)


def fix(fabric: Fabric, state: State, _: object) -> Answer:
    """A repair at the end of the round that keeps its count, and what it does to the rounds after it."""
    if asked := _asked_again(fabric, state):
        return asked
    guess = state.guess
    if guess is None:
        return state, (say("nothing_counted"),)
    rounds = part_at(fabric, state.place).rounds
    worked, wrong = rounds[guess.round], guess.count - rounds[guess.round].made
    after = rounds[guess.round + 1] if guess.round + 1 < len(rounds) else None
    then: Messages = ()
    if guess.round == state.place.round and state.place.steps < own_steps(worked):  # the place is in the round still
        then = (say("then_next") if own_steps(worked) <= state.announced else say("then_count"),)
    return state, (*_repair(worked, wrong), *_consequence(after, abs(wrong)), *then)


def _repair(worked: Worked, wrong: int) -> Messages:
    last = slips.edge_step(worked.tree, -1)
    if wrong < 0:
        if last is not None and last.takes - 1 == -wrong:
            return (say("repair_apart", takes=last.takes),)
        return (say("repair_more", n=-wrong),)
    if last is not None and last.takes == 1 and last.makes - 1 == wrong:
        return (say("repair_single"),)
    return (say("repair_together", n=wrong + 1),)


def _consequence(after: Worked | None, off: int) -> Messages:
    """What a repair away from the slip does to the next round."""
    if after is None:
        return (say("no_round_after"),)
    shaped = any(is_shaping(leaf) for leaf, _ in slips.kinds(after.tree))
    return (say("shapings_off", off=off),) if shaped else (say("plain_after"),)


# ---- ripping back


def ripped(fabric: Fabric, state: State, count: object) -> Answer:
    """So many stitches were taken out, from where the work stands."""
    part, place = part_at(fabric, state.place), state.place
    if part is None or not part.rounds:
        return state, (say("no_rounds_here"),)
    if not isinstance(count, int) or count < 1:
        return state, (say("how_many_ripped"),)
    worked = worked_at(fabric, place)
    if worked and place.steps == 0 and state.announced >= own_steps(worked) and count <= worked.made:
        return state, (say("how_many_left"),)  # of a whole round that was read out, nobody told how much is worked
    index, left = place.round, done_in_round(fabric, place) - count
    while left < 0 and index and (worked is None or worked.counted):
        index -= 1
        worked = part.rounds[index]
        left += worked.made
    if worked and not worked.counted:
        return state, (say("uncounted"),)
    after, told = _ripped_to(fabric, state, replace(place, round=index, steps=0), part.rounds[index], max(left, 0))
    return after, (*((say("only_so_many", made=count + left),) if left < 0 else ()), *told)


def _ripped_to(fabric: Fabric, state: State, start: Place, worked: Worked, left: int) -> Answer:
    steps = worked.first_step_with(left) if left else 0
    made = worked.made_before(steps)
    inside: Messages = ()
    if made > left:
        inside = (say("inside_start", shaping=worked.step_at(steps - 1)),)
        steps -= 1
    after, then = jump(fabric, state, replace(start, steps=steps))
    if not steps:
        return after, (*inside, *then)
    told = (announce.round_name(worked),) if start.round != state.place.round else ()
    return after, (*inside, *told, *announce.progress(fabric, after.place), *then)


def ripped_round(fabric: Fabric, state: State, number: object) -> Answer:
    """All was taken out down to a round. Whether that one stands is asked; until then it is to be worked again."""
    numbers, place = round_numbers(fabric, state.place), state.place
    if not numbers:
        return state, (say("no_rounds_here"),)
    if not isinstance(number, int):
        return state, (say("which_ripped"),)
    index = round_numbered(fabric, place, number)
    if index is None or index > place.round:
        return state, (announce.no_round(fabric, place, number, numbers[min(place.round, len(numbers) - 1)]),)
    after = moved(fabric, state, replace(place, round=index, steps=0), 0, asking=Question("whole", index))
    return after, (say("is_it_whole", **named(worked_at(fabric, after.place))),)


# ---- answers to what was asked


def yes(fabric: Fabric, state: State, _: object) -> Answer:
    match state.asking:
        case Question("finished", count):
            return _compared(fabric, state, state.place.round, count)
        case Question("before", count):
            return _compared(fabric, state, state.place.round - 1, count)
        case Question("whole", index):
            return jump(fabric, state, following(fabric, replace(state.place, round=index, steps=0)))
    return state, (say("nothing_asked"),)


def no(fabric: Fabric, state: State, _: object) -> Answer:
    match state.asking:
        case Question("finished", count):
            worked, index = worked_at(fabric, state.place), state.place.round
            if index and (count > worked.made or worked.made_before(worked.first_step_with(count)) != count):
                return _compared(fabric, state, index - 1, count)
            return _found(fabric, state, count)
        case Question("before", count):
            return _found(fabric, state, count)
        case Question("whole"):
            return jump(fabric, state, state.place)
    return state, (say("nothing_asked"),)
