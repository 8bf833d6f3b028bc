"""What is said at a place: the instruction there, how a round or a piece begins and ends, how far it is."""

from __future__ import annotations

import re

from coach.fabric.chunks import chunk_at
from coach.fabric.foundation import begun_with
from coach.fabric.model import Fabric, Worked
from coach.fabric.tree import Tree
from coach.guide.messages import say
from coach.guide.model import Message, Place, State
from coach.guide.places import (
    done_in_round,
    following,
    introduced,
    notes_ahead,
    own_steps,
    part_at,
    readings_after,
    round_numbers,
    spoken,
    total,
    worked_at,
)
from coach.notation.model import Action, Fault, Node, Note, Pattern

Messages = tuple[Message, ...]
_IN_THE_HEAD = re.compile(
    r"^(?:(?:skill )?level|terms|terminology|language|time|difficulty|finished size|sizes?)(?: used)?\s*:",
    re.IGNORECASE,
)


def instruction(fabric: Fabric, place: Place, stop: int, by: str, then: Place | None = None) -> Messages:
    """What is to be done from this place to `stop`; with the head of the round where it is the round's first.

    then: where the work goes on after this piece (here and below; None: as the pattern has it).
    """
    if place.part >= len(fabric.parts):
        if place.steps < len(fabric.assembly):
            return (note(fabric, fabric.assembly[place.steps]),)
        return (say("all_done"),)
    worked = worked_at(fabric, place)
    if worked is None:
        return piece_end(fabric, place, then)
    if stop <= place.steps:
        return (say("say_next"),)
    head = round_head(fabric, place) if place.steps == 0 else ()
    return head + _steps(fabric, worked, place.steps, stop, by)


def _steps(fabric: Fabric, worked: Worked, start: int, stop: int, by: str) -> Messages:
    if start >= own_steps(worked):
        return tuple(note(fabric, n) for n in readings_after(worked)[start - own_steps(worked)])
    if worked.steps == 0:
        return (as_written(fabric, worked),)
    chunk = spoken(worked, start, stop, by)
    if chunk.time is not None and chunk.times != 1:
        step = say("steps_time", trees=chunk.trees, time=chunk.time, times=chunk.times)
    else:
        step = say("steps", trees=chunk.trees)
    return (step, *makes(worked)) if stop == worked.steps else (step,)


def makes(worked: Worked) -> Messages:
    """The count at the end of a round."""
    if not worked.counted:
        return (say("stated", stated=worked.stated),) if worked.stated else ()
    if worked.stated is not None and worked.stated != worked.made:
        return (say("makes_but", made=worked.made, stated=worked.stated),)
    return (say("makes", made=worked.made),) if worked.made else ()


def announced_trees(fabric: Fabric, state: State) -> tuple[Tree, ...]:
    """The steps that are announced now."""
    worked = worked_at(fabric, state.place)
    if worked is None or state.announced <= state.place.steps or state.place.steps >= worked.steps:
        return ()
    return spoken(worked, state.place.steps, state.announced, state.settings.by).trees


def as_written(fabric: Fabric, worked: Worked) -> Message:
    """A round that can't be worked as steps, in the pattern's words."""
    spans = [node.span for node in worked.source.body if node.span.end] or [worked.source.span]
    text = fabric.pattern.text[spans[0].start : spans[-1].end]
    if not worked.source.body:
        text = text.partition(":")[2] or text  # without the label
    return say("as_written", text=text, terms=fabric.pattern.terms)


def note(fabric: Fabric, written: Note) -> Message:
    """A note in the pattern's own words."""
    return say("note", text=written.text, terms=fabric.pattern.terms)


# ---- beginnings


def round_name(worked: Worked) -> Message:
    source = worked.source
    key = "round_same" if worked.same else "round"
    return say(key, kind=source.kind, number=source.number, label=source.label)


def no_round(fabric: Fabric, place: Place, number: int, highest: int) -> Message:
    """Why this part has no round with that number to go to, or none up to the highest that can be gone to."""
    numbers = round_numbers(fabric, place)
    if len(fabric.pattern.sizes) > 1 and min(numbers) < number < highest and number not in numbers:
        kind = part_at(fabric, place).rounds[0].source.kind
        return say("size_lacks", kind=kind, number=number, label=str(number))
    return say("no_such_round", lowest=min(numbers), highest=highest)


def round_head(fabric: Fabric, place: Place, again: bool = False) -> Messages:
    """How a round begins: its name, side and colour, what is wrong with it, and what is worked before its first step.

    again: the maker has been in it already, and need not hear once more what is wrong.
    """
    worked = worked_at(fabric, place)
    source = worked.source
    found = [round_name(worked)]
    if source.side in ("RS", "WS"):
        found.append(say("right_side" if source.side == "RS" else "wrong_side"))
    if worked.yarn.first != worked.yarn.before:
        found.append(say("colour", colour=worked.yarn.first))
    terms = fabric.pattern.terms
    if not (worked.same or again):
        found += [say("off", text=f.message, terms=terms) for f in worked.faults if _tells(f) and worked.steps][:1]
        found += [say("reading", text=text, terms=terms) for text in worked.readings]
    if not again:
        found += [note(fabric, n) for n in notes_ahead(worked)]
    begun = tuple(n for n in begun_with(worked) if not (isinstance(n, Action) and n.kind == "colour"))
    if begun:
        found.append(say("foundation", nodes=begun))
    return tuple(found)


def foundation(worked: Worked) -> tuple[Node, ...]:
    """What is worked before the first step of a round, as written: a chain, a ring."""
    return tuple(n for n in worked.source.foundation if not (isinstance(n, Action) and n.kind == "colour"))


def _tells(fault: Fault) -> bool:
    """Whether a fault is worth hearing; what was not understood is read as written anyway."""
    return fault.severity == "error" and fault.kind != "unknown"


def part_name(fabric: Fabric, place: Place) -> Message:
    """The part, and which of several pieces."""
    part = part_at(fabric, place)
    if part.make > 1:
        return say("part_of", part=part.name, piece=place.piece + 1, make=part.make)
    return say("part", part=part.name)


def introduction(fabric: Fabric, place: Place) -> Messages:
    """How a piece begins. The notes of a part are read with its first piece."""
    notes = part_at(fabric, place).source.notes if place.piece == 0 else ()
    return (part_name(fabric, place), *(note(fabric, n) for n in notes))


def welcome(fabric: Fabric, place: Place) -> Messages:
    """What is said before the first step of all."""
    cautions = tuple(note(fabric, n) for n in fabric.pattern.notes if n.kind == "caution")
    if introduced(fabric, place):
        start = introduction(fabric, place)
    else:
        start = where(fabric, place) if part_at(fabric, place) else _then(fabric, place, place)
    offered = (say("notes_offered"),) if has_notes(fabric.pattern) else ()
    return (*title(fabric, place), *size(fabric), *cautions, *start, *offered, say("say_next"))


def has_notes(pattern: Pattern) -> bool:
    """Whether the pattern says more before its first round than how hard it is, how large, and the cautions."""
    return any(n.kind != "caution" and not _IN_THE_HEAD.match(n.text) for n in pattern.notes)


def size(fabric: Fabric) -> Messages:
    """Which size is worked, where there are several."""
    names = fabric.pattern.sizes
    return (say("size", size=names[fabric.size], sizes=", ".join(names)),) if len(names) > 1 else ()


def title(fabric: Fabric, place: Place) -> Messages:
    """The pattern's title, unless the part that is named after it is called the same."""
    part = part_at(fabric, place)
    name = fabric.pattern.title
    return () if not name or (part and part.name.lower() == name.lower()) else (say("title", title=name),)


# ---- ends


def piece_end(fabric: Fabric, place: Place, then: Place | None = None) -> Messages:
    """A piece is finished, and what comes next. A part without rounds is told here with its notes."""
    part = part_at(fabric, place)
    onward = _then(fabric, place, following(fabric, place) if then is None else then)
    if part.make > 1:
        done = say("piece_done_of", part=part.name, piece=place.piece + 1, make=part.make)
    else:
        done = say("piece_done", part=part.name)
    if not part.rounds:
        return (*introduction(fabric, place), *onward)
    return (done, *onward)


def _then(fabric: Fabric, here: Place, place: Place) -> Messages:
    part = part_at(fabric, place)
    if part is None:
        return (say("then_assembly"),) if fabric.assembly else (say("all_done"),)
    if place.part == here.part and place != here:
        return (say("then_piece", piece=place.piece + 1, make=part.make),)
    if place.piece:
        return (say("then_part_of", part=part.name, piece=place.piece + 1, make=part.make),)
    return (say("then_part", part=part.name),)


# ---- how far it is


def where(fabric: Fabric, place: Place, then: Place | None = None) -> Messages:
    """Part and piece, round, count so far."""
    if place.part >= len(fabric.parts):
        return progress(fabric, place, then)
    worked = worked_at(fabric, place)
    if worked is None:
        return piece_end(fabric, place, then)
    return (part_name(fabric, place), round_name(worked), *progress(fabric, place, then))


def progress(fabric: Fabric, place: Place, then: Place | None = None) -> Messages:
    """How much of the round is done."""
    worked = worked_at(fabric, place)
    if place.part >= len(fabric.parts):
        steps = len(fabric.assembly)
        return (say("assembly_at", done=place.steps, steps=steps),) if place.steps < steps else (say("all_done"),)
    if worked is None:
        return piece_end(fabric, place, then)
    if worked.made:
        return (say("done", done=done_in_round(fabric, place), made=worked.made),)
    return (say("done_steps", done=min(place.steps, own_steps(worked)), steps=own_steps(worked)),)


def count(fabric: Fabric, place: Place, then: Place | None = None) -> Messages:
    """The count so far."""
    worked = worked_at(fabric, place)
    if worked is not None and not worked.counted:
        return (say("uncounted"), *progress(fabric, place, then))
    if worked is None or not worked.made:
        return progress(fabric, place, then)
    return (say("count", done=done_in_round(fabric, place), made=worked.made),)


def in_all(fabric: Fabric, place: Place) -> Messages:
    """The stitches of the piece so far, where all of its rounds are counted."""
    part = part_at(fabric, place)
    known = part is not None and all(w.counted for w in part.rounds[: place.round + 1])
    made = total(fabric, place)
    return (say("total", total=made),) if made and known else ()


def left(fabric: Fabric, place: Place, then: Place | None = None) -> Messages:
    """What is left of the round: stitches, and repeats after this one."""
    worked = worked_at(fabric, place)
    if worked is None:
        return progress(fabric, place, then)
    if worked.made:
        found = [say("left", left=worked.made - done_in_round(fabric, place))]
    else:
        found = [say("left_steps", left=max(own_steps(worked) - place.steps, 0))]
    if place.steps < worked.steps:
        chunk = chunk_at(worked, place.steps, "group")
        if chunk.time is not None and chunk.times > 1:
            found.append(say("repeats_left", left=chunk.times - chunk.time))
    return tuple(found)


def read_round(fabric: Fabric, place: Place, then: Place | None = None) -> Messages:
    """The whole round, and how much of it is done."""
    worked = worked_at(fabric, place)
    if worked is None:
        return instruction(fabric, place, place.steps, "round", then)
    whole = _steps(fabric, worked, 0, own_steps(worked), "round")
    return (*round_head(fabric, place, again=True), *whole, *progress(fabric, place, then))
