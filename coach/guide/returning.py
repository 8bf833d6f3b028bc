"""Coming back to a work: the recap, own notes and markers, stitches by number, the parts and their state."""

from __future__ import annotations

from dataclasses import replace

from coach.fabric.model import Fabric, Worked
from coach.fabric.tree import Leaf, Loop, Run, Tree, path
from coach.guide import announce, pieces
from coach.guide.hours import time_worked
from coach.guide.messages import named, say
from coach.guide.model import OwnNote, Place, State
from coach.guide.moves import Answer, Messages, changed, instruction, jump, standing, to_piece, where
from coach.guide.places import done_in_round, part_at, spoken, stop_after, total, worked_at
from coach.guide.shaping import has_loops

MOST_ITEMS = 3  # of a repeat that a recap names
MOST_TOLD = 5  # notes, parts and markers that are read out at once


# ---- the recap


def recap(fabric: Fabric, state: State) -> Messages:
    """Part and piece, round, what it repeats, how far it is, the last thing done, the next thing to do; then notes."""
    worked, place = worked_at(fabric, state.place), state.place
    if worked is None:
        progress = () if part_at(fabric, place) else where(fabric, state)
        then = instruction(fabric, state)
        return (*progress, *(m for m in then if m not in progress))
    name = announce.part_name(fabric, place)
    if not worked.steps or place.steps >= worked.steps:
        return (name, announce.round_name(worked), *announce.progress(fabric, place), *instruction(fabric, state))
    announced = state.announced if state.announced > place.steps else stop_after(fabric, place, state.settings.by)
    chunk = spoken(worked, place.steps, announced, state.settings.by)
    if chunk.time is not None and chunk.times != 1:
        if chunk.time == 1 or any(map(has_loops, chunk.trees)):  # their brief names leave the loops out
            then = say("do_next_time", trees=chunk.trees, time=chunk.time, times=chunk.times)
        else:
            then = say("do_next_again", repeat=chunk.trees, time=chunk.time, times=chunk.times)
    else:
        then = say("do_next", trees=chunk.trees)
    head = announce.round_head(fabric, place, again=True) if place.steps == 0 else (announce.round_name(worked),)
    whole = announced - place.steps == worked.steps
    repeated = () if whole else _repeated(worked, place.steps, announced)
    return (name, *head, *repeated, *_last(fabric, place), then, *_notes_of_round(state))


def _repeated(worked: Worked, step: int, stop: int) -> Messages:
    """What the round repeats, unless that is what comes next; the count so far, and the repeats done."""
    found = next(
        (
            (loop, which)
            for loop, which, _ in path(worked.tree, "steps", step)
            if isinstance(loop, Loop) and loop.times > 1 and not isinstance(loop.child, Leaf)
        ),
        None,
    )
    done = worked.made_before(step)
    if found is None:
        return (say("recap_done", done=done, made=worked.made),) if worked.made and step else ()
    loop, which = found
    far = (say("recap_repeats", done=done, made=worked.made, repeats=which),) if step else ()
    items = _items(loop.child)
    repeats = (say("repeats", repeat=items, times=loop.times),)
    if stop - step == loop.child.steps or len(items) > MOST_ITEMS:
        repeats = ()
    return (*repeats, *far)


def _items(tree: Tree) -> tuple[Tree, ...]:
    return tuple(c for c in tree.children if c.steps) if isinstance(tree, Run) else (tree,)


def _last(fabric: Fabric, place: Place) -> Messages:
    if place.steps:
        return (say("last_done", repeat=(worked_at(fabric, place).step_at(place.steps - 1),)),)
    if place.round:
        before = part_at(fabric, place).rounds[place.round - 1]
        if not before.counted:
            return (say("last_round_uncounted", **named(before)),)
        return (say("last_round", **named(before), made=before.made),)
    return ()


def _notes_of_round(state: State) -> Messages:
    here = state.place.part, state.place.round
    return tuple(say("own_note", own=n.text) for n in state.notes if (n.place.part, n.place.round) == here)[-MOST_TOLD:]


def recap_part(fabric: Fabric, state: State, _: object) -> Answer:
    """The longer story: how much of the part is worked and how it grew, then the recap, the notes, and the time."""
    part, place = part_at(fabric, state.place), state.place
    if part is None or not part.rounds:
        return state, recap(fabric, state)
    done = min(place.round, len(part.rounds))
    story = [announce.part_name(fabric, place), say("part_rounds", done=done, rounds=len(part.rounds))]
    counts = [w.made for w in part.rounds[:done] if w.made]
    if len(counts) > 1:
        story.append(say("grown", first=counts[0], last=counts[-1]))
    story += [say("total", total=total(fabric, place))] if total(fabric, place) else []
    here = recap(fabric, state)
    kept = {m.values["own"] for m in here if m.key == "own_note"}
    notes = tuple(n for n in state.notes if n.place.part == place.part and n.text not in kept)
    return state, (*story, *(m for m in here if m not in story), *_told_notes(fabric, notes), *time_worked(state))


# ---- notes and markers


def note(fabric: Fabric, state: State, text: object) -> Answer:
    """Keep a note at this place."""
    if not isinstance(text, str) or not text.strip():
        return state, (say("what_note"),)
    kept = OwnNote(state.place, text.strip())
    return changed(state, notes=(*state.notes, kept)), (say("noted", own=kept.text),)


def forget_note(fabric: Fabric, state: State, _: object) -> Answer:
    """Throw away the last note of this round, or else the last one of all; undo brings it back."""
    here = state.place.part, state.place.round
    last = max(
        range(len(state.notes)),
        default=None,
        key=lambda i: ((state.notes[i].place.part, state.notes[i].place.round) == here, i),
    )
    if last is None:
        return state, (say("no_notes"),)
    kept = tuple(note for i, note in enumerate(state.notes) if i != last)
    return changed(state, notes=kept), (say("note_forgotten", own=state.notes[last].text),)


def my_notes(fabric: Fabric, state: State, _: object) -> Answer:
    return state, _told_notes(fabric, state.notes) or (say("no_notes"),)


def _told_notes(fabric: Fabric, notes: tuple[OwnNote, ...]) -> Messages:
    found = []
    for kept in notes[-MOST_TOLD:]:
        worked, part = worked_at(fabric, kept.place), part_at(fabric, kept.place)
        if worked:
            found.append(say("own_note_at", part=part.name, **named(worked), own=kept.text))
        else:
            found.append(say("own_note", own=kept.text))
    return tuple(found)


def mark(fabric: Fabric, state: State, _: object) -> Answer:
    """A marker at this place."""
    markers = tuple(m for m in state.markers if m != state.place)
    return changed(state, markers=(*markers, state.place)), (say("marked"), *_marker_at(fabric, state.place))


def _marker_at(fabric: Fabric, place: Place) -> Messages:
    worked = worked_at(fabric, place)
    return (say("marker_at", **named(worked), nth=done_in_round(fabric, place)),) if worked else ()


def go_marker(fabric: Fabric, state: State, _: object) -> Answer:
    """To the marker set last; from there to the one before it."""
    if not state.markers:
        return state, (say("no_marker"),)
    here = state.markers.index(state.place) if state.place in state.markers else 0
    place = state.markers[here - 1]
    after, then = jump(fabric, state, place)
    return after, (*where(fabric, after), *(m for m in then if m.key != "round"))


def go_stitch(fabric: Fabric, state: State, number: object) -> Answer:
    """To the stitch with this number in the round: it is the next to be worked."""
    worked = worked_at(fabric, state.place)
    if worked is None or not worked.made:
        return state, (say("no_rounds_here"),)
    if not isinstance(number, int):
        return state, (say("which_one", highest=worked.made),)
    if not 0 < number <= worked.made:
        return state, (say("no_such_stitch", highest=worked.made),)
    after, then = jump(fabric, state, replace(state.place, steps=max(worked.first_step_with(number) - 1, 0)))
    return after, (*announce.progress(fabric, after.place), *then)


# ---- parts


def go_part(fabric: Fabric, state: State, name: object) -> Answer:
    """To a part by its name: to the first of its pieces that is not finished."""
    named = [p for p, part in enumerate(fabric.parts) if isinstance(name, str) and _same(part.name, name)]
    if not named:
        return state, (say("no_such_part"), *_part_names(fabric))
    here, done = pieces.piece_of(state.place), pieces.made(fabric, state)
    open_ = [piece for piece in pieces.every_piece(fabric) if piece[0] in named and piece not in done]
    if here in open_:
        return state, (*where(fabric, state), *standing(fabric, state, head=False))
    if open_:
        return to_piece(fabric, state, open_[0])
    last = fabric.parts[named[-1]]
    return jump(fabric, state, Place(named[-1], last.make - 1, len(last.rounds)))


def _same(one: str, other: str) -> bool:
    return "".join(filter(str.isalnum, one.lower())) == "".join(filter(str.isalnum, other.lower()))


def _part_names(fabric: Fabric) -> Messages:
    return tuple(say("part", part=name) for name in dict.fromkeys(part.name for part in fabric.parts))[:MOST_TOLD]


def next_part(fabric: Fabric, state: State, _: object) -> Answer:
    """To the next part (or piece of one) that is not finished."""
    piece = pieces.upcoming(fabric, state)
    if piece is None:
        return state, (say("no_other_part"),)
    return to_piece(fabric, state, piece)


def rounds_left(fabric: Fabric, state: State, _: object) -> Answer:
    """The rounds of this piece after this one, and the pieces after it."""
    part, worked = part_at(fabric, state.place), worked_at(fabric, state.place)
    if part is None or worked is None:
        return state, announce.left(fabric, state.place, pieces.onward(fabric, state)[0])
    key = "rows_left" if worked.source.kind == "row" else "rounds_left"
    found = [say(key, left=len(part.rounds) - state.place.round - 1)]
    if len(every := pieces.every_piece(fabric)) > 1:
        made = {*pieces.made(fabric, state), pieces.piece_of(state.place)}
        found.append(say("pieces_left", left=len(every) - len(made)))
    return state, tuple(found)


def parts(fabric: Fabric, state: State, _: object) -> Answer:
    """What is finished, what is under way, what remains, and how long was worked."""
    every, done = pieces.every_piece(fabric), pieces.made(fabric, state)
    found = [say("pieces_done", done=len(done), pieces=len(every))]
    open_ = [piece for piece in every if piece not in done]
    for piece in open_[:MOST_TOLD]:
        place = state.place if piece == pieces.piece_of(state.place) else pieces.taken_up(state, piece)[0]
        worked = worked_at(fabric, place)
        begun = place != Place(*piece) or piece == pieces.piece_of(state.place)
        found.append(announce.part_name(fabric, Place(*piece)))
        if worked and begun:
            found.append(say("under_way", **named(worked)))
    if len(open_) > MOST_TOLD:
        found.append(say("and_more", more=len(open_) - MOST_TOLD))
    return state, (*found, *time_worked(state))
