"""A work taken over into a revision of its pattern: whether its place is safe there, and where it stands then.

The place is safe where all that was worked so far is the same work in the new version: finished pieces whole, others up
to the round that is being worked. Then nobody has to be asked. Otherwise the maker chooses; whoever chooses the new
version stands in the same round, after as many stitches, as far as there is such a place.
"""

from __future__ import annotations

from dataclasses import replace

from coach.fabric.model import Fabric, Worked
from coach.guide import pieces
from coach.guide.messages import named, say
from coach.guide.model import Message, OwnNote, Place, Question, Request, State
from coach.guide.moves import Answer
from coach.guide.places import fitted, length, own_steps, part_at, stop_after, worked_at
from coach.guide.returning import recap
from coach.guide.revision import Revision, Touched

Messages = tuple[Message, ...]
_LEAVE_ASKED = ("yes", "no", "finish", "repeat", "slower", "faster", "louder", "quieter")


def offered(old: Fabric, new: Fabric, pattern: str, state: State, choice: str = "") -> tuple[Fabric, State, Messages]:
    """What a start with a changed pattern file leads to: the version to work from, the state, and what is said of it.

    pattern: the key of the new version; choice: "new" or "old" where the maker has chosen already. Else, where the
    place is not safe, the old version is kept and the state asks.
    """
    revision = Revision(old, new)
    changes = revision.told(touched(old, state))
    told = (say("file_changed"), *(changes or (say("only_words"),)))
    if choice == "old":
        return old, _passed_over(state, pattern), (*told, say("old_kept"))
    if is_safe(revision, state):
        return new, carried(revision, pattern, state), (*told, say("place_safe"))
    if choice == "new":
        return new, carried(revision, pattern, state), (*told, say("new_taken"), *unlike(revision, state))
    return old, state.having(asking=Question("pattern", pattern)), (*told, say("new_or_old"))


def yes(fabric: Fabric, state: State, _: object) -> Answer:
    """The new version, into which the state was carried already, with what is to be said of that."""
    return state.having(asking=None), (say("new_taken"), *state.said, *recap(fabric, state))


def no(fabric: Fabric, state: State, _: object) -> Answer:
    """The old version is kept, and this new one not offered again."""
    return _passed_over(state, str(state.asking.value)), (say("old_kept"), *recap(fabric, state))


def _passed_over(state: State, pattern: str) -> State:
    return state.having(before=state.having(asking=None), asking=None, passed_over=pattern)


def after_undo(state: State) -> dict[str, object]:
    """What of the versions stands after an undo: one that was left or passed over is not offered anew, and where only
    "no" is undone the coach asks again."""
    before = state.before
    if before.pattern != state.pattern:
        return {"passed_over": state.pattern, "asking": None}
    told = {
        name: getattr(state, name)
        for name in ("passed_over", "said", "asking", "worked", "spent", "rested", "cautioned")
    }
    if before.passed_over != state.passed_over and before.having(**told) == state:
        return {"passed_over": before.passed_over, "asking": Question("pattern", state.passed_over)}
    return {"passed_over": state.passed_over, "asking": None}


def is_asked(state: State) -> bool:
    """Whether the coach asks which version to work from."""
    return state.asking is not None and state.asking.kind == "pattern"


def is_lapsed(state: State, after: State, request: Request) -> bool:
    """Whether that question is over by a request that is no answer to it: the old version is worked from."""
    return (
        is_asked(state)
        and request.name not in _LEAVE_ASKED
        and after.pattern == state.pattern
        and (after.asking is None or after.asking is state.asking)
    )


def touched(fabric: Fabric, state: State) -> Touched:
    """The rounds that were worked, the one being worked too."""
    return frozenset((part, i) for part, _, rounds in _worked(fabric, state) for i in range(rounds))


def _worked(fabric: Fabric, state: State) -> list[tuple[int, int, int]]:
    """(part, piece, rounds begun) of every piece that is finished or begun."""
    found = [(p, i, len(fabric.parts[p].rounds)) for p, i in pieces.made(fabric, state)]
    for place, announced in (*state.left, (state.place, state.announced)):
        part = part_at(fabric, place)
        begun = place.round + (announced > 0 or place.steps > 0)
        if part and begun:
            found.append((place.part, place.piece, min(begun, len(part.rounds))))
    return found


def is_safe(revision: Revision, state: State) -> bool:
    """Whether all that was worked is the same work in the new version."""
    done = pieces.made(revision.old, state)
    for part, piece, rounds in _worked(revision.old, state):
        new = revision.parts.get(part)
        if new is None or piece >= revision.new.parts[new].make:
            return False
        pairs = revision.rounds(part)[:rounds]
        if any(one is None or one != other or not revision.is_same(part, one, other) for one, other in pairs):
            return False
        if (part, piece) in done and len(revision.new.parts[new].rounds) != rounds:
            return False
    if part_at(revision.old, state.place) is None:
        steps = state.place.steps + (state.announced > state.place.steps)
        texts = [[note.text for note in fabric.assembly[:steps]] for fabric in (revision.old, revision.new)]
        return texts[0] == texts[1]
    return True


def unlike(revision: Revision, state: State) -> Messages:
    """From which round on what is made is other than in the new version, in the piece that is worked or else in the
    first that is; nothing where only what was announced is."""
    begun = state.having(announced=0, left=tuple((place, 0) for place, _ in state.left))
    worked = sorted(_worked(revision.old, begun), key=lambda found: found[:2] != pieces.piece_of(state.place))
    for part, _, rounds in worked:
        for one, other in revision.rounds(part)[:rounds]:
            if one is not None and other is not None and revision.is_same(part, one, other):
                continue
            old, new = revision.old.parts[part], revision.new.parts[revision.parts[part]]
            name = (say("part", part=new.name),) if part != state.place.part else ()
            return *name, say("made_otherwise", **named(old.rounds[one] if other is None else new.rounds[other]))
    return ()


def carried(revision: Revision, pattern: str, state: State) -> State:
    """The state in the new version, with `unlike` as what was said; undo leads back to the old version."""
    old, new = revision.old, revision.new
    place = place_in(revision, state.place)
    announced = _announced(revision, state.place, state.announced, place, state.settings.by)
    here = pieces.piece_of(place)
    made = {(revision.parts[p], i) for p, i in pieces.made(old, state) if p in revision.parts}
    made = {(p, i) for p, i in made if i < new.parts[p].make} - {here}
    if pieces.is_finished(new, place):
        made.add(here)
    done = tuple(sorted(made))
    known = {*revision.parts, len(old.parts)}  # the making up too
    left = []
    for kept, stop in state.left:
        if kept.part in revision.parts:
            there = place_in(revision, kept)
            if pieces.piece_of(there) not in (pieces.piece_of(other) for other, _ in left):
                left.append((there, _announced(revision, kept, stop, there, state.settings.by)))
    return state.having(
        pattern=pattern,
        passed_over=None,
        place=place,
        announced=announced,
        left=tuple(left),
        made=None if done == pieces.in_order(new, place) else done,
        notes=tuple(OwnNote(place_in(revision, note.place), note.text) for note in state.notes),
        markers=tuple(dict.fromkeys(place_in(revision, m) for m in state.markers if m.part in known)),
        spent=_spent(revision, state),
        detours=(),
        asking=None,
        guess=None,
        lesson=None,
        counting="",
        said=unlike(revision, state),
        before=state.having(asking=None),
    )


def place_in(revision: Revision, place: Place) -> Place:
    """The place in the new version: the same work, or else the same round after as many stitches."""
    old, new = revision.old, revision.new
    if place.part >= len(old.parts):
        return fitted(new, replace(place, part=len(new.parts)))
    part = revision.parts.get(place.part)
    if part is None:
        return fitted(new, Place(min(place.part, len(new.parts))))
    there = replace(place, part=part, piece=min(place.piece, new.parts[part].make - 1))
    pairs = revision.rounds(place.part)
    if place.round >= len(old.parts[place.part].rounds):  # its end, or the first of the rounds that were added there
        ends = max((at for at, (one, _) in enumerate(pairs) if one is not None), default=-1)
        return replace(there, round=len(new.parts[part].rounds) - len(pairs[ends + 1 :]), steps=0)
    at = next(i for i, (one, _) in enumerate(pairs) if one == place.round)
    index = pairs[at][1]
    if index is None:  # the round is gone: the start of what comes next
        after = next((other for _, other in pairs[at:] if other is not None), len(new.parts[part].rounds))
        return replace(there, round=after, steps=0)
    there = replace(there, round=index)
    if revision.is_same(place.part, place.round, index):
        return fitted(new, there)  # its notes may be fewer
    return replace(there, steps=_steps_in(worked_at(old, place), worked_at(new, there), place.steps))


def _steps_in(old: Worked, new: Worked, steps: int) -> int:
    """How many steps of another round make as many stitches; all of them where all were made."""
    if not steps:
        return 0
    if steps >= own_steps(old):
        return min(own_steps(new), length(new) - 1)
    made = old.made_before(steps)
    return min(new.first_step_with(min(made, new.made)) if made else 0, own_steps(new) - 1)


def _announced(revision: Revision, was: Place, announced: int, place: Place, by: str) -> int:
    """Where what is announced ends in the new version; it is announced anew where the round is another."""
    if not announced:
        return 0
    old, new = worked_at(revision.old, was), worked_at(revision.new, place)
    same = was.part in revision.parts and old and new and place == replace(was, part=place.part, round=place.round)
    if same and revision.is_same(was.part, was.round, place.round):
        return announced
    return stop_after(revision.new, place, by)


def _spent(revision: Revision, state: State) -> tuple[tuple[int, float], ...]:
    """The time that was worked at each part; that of a part that is gone belongs to none."""
    parts = {**revision.parts, len(revision.old.parts): len(revision.new.parts)}
    return tuple(sorted((parts[p], seconds) for p, seconds in state.spent if p in parts))
