"""The places of a work in order, and counting at a place.

A round is passed step by step. After its last step its notes are read, a few sentences at a time, and `Place.steps`
counts these readings on; a round without any step is passed in one, as written. A finished piece is a place of its own
(round == number of rounds, steps 0), and so is the end of all.
"""

from __future__ import annotations

import re
from dataclasses import replace

from coach.fabric.changing import changes, colour_at, is_change
from coach.fabric.chunks import chunk_at
from coach.fabric.model import Chunk, Fabric, Worked, WorkedPart
from coach.fabric.tree import Leaf, Loop, Run, Tree
from coach.guide.model import Place
from coach.notation.model import Note

WORDS_IN_A_READING = 24  # two breaths
_OF_THE_ROUND = (
    r"\b(?:of|in|on|for|work|working) {round}(?!\s*(?:and|to|or|-|\N{{EN DASH}}|,)\s*\d)|\b{round} (?:is|are) worked\b"
)
_HELD = re.compile(r"(?:with|using) [\w. -]{0,30}\b(?:hook|facing(?: you)?)(?: and \w+)?\.?", re.IGNORECASE)
_LOOKS_BACK = re.compile(r"\b(?:now|then|have|had|was|were|after)\b", re.IGNORECASE)

# ---- what is at a place


def part_at(fabric: Fabric, place: Place) -> WorkedPart | None:
    """The part being made; None when all parts are made."""
    return fabric.parts[place.part] if place.part < len(fabric.parts) else None


def worked_at(fabric: Fabric, place: Place) -> Worked | None:
    """The round being worked; None at the end of a piece and after all parts."""
    part = part_at(fabric, place)
    return part.rounds[place.round] if part and place.round < len(part.rounds) else None


def own_steps(worked: Worked) -> int:
    """Steps before the notes: those on the hook, or one for a round that has none."""
    return max(worked.steps, 1)


def length(worked: Worked) -> int:
    """Steps to pass in a round: its own, then one for each reading of the notes after it."""
    return own_steps(worked) + len(readings_after(worked))


def notes_ahead(worked: Worked) -> tuple[Note, ...]:
    """The notes of a round that tell how it is worked ("the last sc of Row 14 goes into ...", "with larger hook"): too
    late after it."""
    name = rf"(?:{'row' if worked.source.kind == 'row' else 'round|rnd|rd'})s?\.? {worked.source.number}\b"
    about = re.compile(_OF_THE_ROUND.format(round=f"(?:{name})"), re.IGNORECASE)
    return tuple(
        n
        for n in worked.source.notes
        if _HELD.fullmatch(n.text) or (n.kind == "note" and about.search(n.text) and not _LOOKS_BACK.search(n.text))
    )


def readings_after(worked: Worked) -> tuple[tuple[Note, ...], ...]:
    """What is read once a round is worked, in portions."""
    ahead = notes_ahead(worked)
    return readings(tuple(n for n in worked.source.notes if n not in ahead))


def readings(notes: tuple[Note, ...]) -> tuple[tuple[Note, ...], ...]:
    """The notes in the portions in which they are read: short neighbours together."""
    found: list[tuple[Note, ...]] = []
    words = 0
    for note in notes:
        length = len(note.text.split())
        if found and words + length <= WORDS_IN_A_READING:
            found[-1] = (*found[-1], note)
            words += length
        else:
            found.append((note,))
            words = length
    return tuple(found)


def done_in_round(fabric: Fabric, place: Place) -> int:
    """The count so far: stitches of this round made before the place."""
    worked = worked_at(fabric, place)
    return worked.made_before(place.steps) if worked else 0


def total(fabric: Fabric, place: Place) -> int:
    """Stitches made in this piece before the place."""
    part = part_at(fabric, place)
    return sum(w.made for w in part.rounds[: place.round]) + done_in_round(fabric, place) if part else 0


def round_numbers(fabric: Fabric, place: Place) -> tuple[int, ...]:
    """The numbers in the labels of this part's rounds, in the order of work."""
    part = part_at(fabric, place)
    return tuple(w.source.number for w in part.rounds) if part else ()


def round_numbered(fabric: Fabric, place: Place, number: int) -> int | None:
    """The index of the round with this number; the nearest one where the part's numbers start anew."""
    found = [i for i, n in enumerate(round_numbers(fabric, place)) if n == number]
    return min(found, key=lambda i: abs(i - place.round), default=None)


def fitted(fabric: Fabric, place: Place) -> Place:
    """The place itself, or the nearest one that this fabric has."""
    if place.part >= len(fabric.parts):
        return Place(len(fabric.parts), 0, 0, min(place.steps, len(fabric.assembly)))
    part = fabric.parts[place.part]
    place = replace(place, piece=min(place.piece, part.make - 1), round=min(place.round, len(part.rounds)))
    worked = worked_at(fabric, place)
    return replace(place, steps=min(place.steps, length(worked) - 1 if worked else 0))


# ---- going along


def following(fabric: Fabric, place: Place) -> Place | None:
    """Where the work goes on after a finished round, or a finished piece; None after all parts."""
    part = part_at(fabric, place)
    if part is None:
        return None
    if place.round < len(part.rounds):
        return Place(place.part, place.piece, place.round + 1)
    if place.piece + 1 < part.make:
        return Place(place.part, place.piece + 1)
    return Place(place.part + 1)


def stop_after(fabric: Fabric, place: Place, by: str) -> int:
    """Where an instruction that starts at this place ends; the place's own steps where nothing is to be done."""
    if place.part >= len(fabric.parts):
        return min(place.steps + 1, len(fabric.assembly))
    worked = worked_at(fabric, place)
    if worked is None:
        return place.steps
    return chunk_at(worked, place.steps, by).stop if place.steps < worked.steps else place.steps + 1


def preceding(fabric: Fabric, place: Place, announced: int, by: str) -> tuple[Place, int] | None:
    """The instruction before the one now announced: its place and where it ends; None at the very start."""
    if place.steps:
        worked = worked_at(fabric, place)
        start = place.steps - 1
        if worked and start < worked.steps:
            start = chunk_at(worked, start, by).start
        return replace(place, steps=start), place.steps
    if place.round == 0 and introduced(fabric, place) and announced:
        return place, 0
    if place.round:
        before = replace(place, round=place.round - 1)
    elif place.piece:
        before = Place(place.part, place.piece - 1, len(fabric.parts[place.part].rounds))
    elif place.part:
        part = fabric.parts[place.part - 1]
        before = Place(place.part - 1, part.make - 1, len(part.rounds))
    else:
        return None
    worked = worked_at(fabric, before)
    if worked is None:
        return before, 0
    return preceding(fabric, replace(before, steps=length(worked)), 0, by)


def introduced(fabric: Fabric, place: Place) -> bool:
    """Whether a piece is told of before its first step is: the first one of all, and one with notes of its own."""
    part = part_at(fabric, place)
    if part is None or not part.rounds:
        return False
    return place.part == place.piece == 0 or (place.piece == 0 and bool(part.source.notes))


# ---- steps between two places of a round


def between(tree: Tree, start: int, stop: int) -> tuple[Tree, ...]:
    """The steps `start` (included) to `stop` (excluded) of a tree as trees, never copied out stitch by stitch."""
    start, stop = max(start, 0), min(stop, tree.steps)
    if start >= stop:
        return ()
    if isinstance(tree, Leaf) or (start == 0 and stop == tree.steps):
        return (tree,)
    if isinstance(tree, Loop):
        child, times = tree.child, tree.child.steps
        first, inside = divmod(start, times)
        last, rest = divmod(stop, times)
        if first == last:
            return between(child, inside, rest)
        head = between(child, inside, times) if inside else ()
        whole = last - first - bool(inside)
        middle = (child,) if whole == 1 else (Loop(child, whole, tree.node),) if whole else ()
        return head + middle + between(child, 0, rest)
    found: list[Tree] = []
    index, before = tree.find("steps", start)
    for child in tree.children[index:]:
        if before > stop or (before == stop and child.steps):
            break
        found += between(child, start - before, stop - before) or ((child,) if found and is_change(child) else ())
        before += child.steps
    return tuple(found)


def spoken(worked: Worked, start: int, stop: int, by: str) -> Chunk:
    """The steps from `start` to `stop` as they are read out, each change of colour with the step that makes it."""
    chunk = chunk_at(worked, start, by)
    if (chunk.start, chunk.stop) != (start, stop):
        inside = stop <= chunk.stop
        trees = between(worked.tree, start, stop)
        chunk = Chunk(start, stop, trees, chunk.time if inside else None, chunk.times if inside else None)
    return replace(chunk, trees=_with_changes(worked, chunk))


def _with_changes(worked: Worked, chunk: Chunk) -> tuple[Tree, ...]:
    if not worked.yarn.changes:
        return chunk.trees
    first = colour_at(worked.tree, chunk.start, worked.yarn.first)
    after = worked.yarn.after if chunk.stop >= worked.steps else colour_at(worked.tree, chunk.stop, worked.yarn.first)
    return changes(Run(between(worked.tree, chunk.start, chunk.stop)), first, after)
