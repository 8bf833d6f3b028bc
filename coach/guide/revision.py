"""A pattern and its revision: which parts and rounds are the same work, and what has changed, in a few sentences.

Rounds are compared by what is worked, not by their words: a round that is written otherwise, renumbered, with other
notes or moved with its part is the same; one whose words are the same and whose stitches aren't (it repeats a round
that was changed) is another.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from difflib import SequenceMatcher
from functools import cached_property

from coach.fabric.model import Fabric, Worked, WorkedPart
from coach.fabric.words import abbreviated
from coach.guide.announce import as_written
from coach.guide.messages import named, say
from coach.guide.model import Message
from coach.guide.shaping import kinds
from coach.notation.model import Action, Note
from coach.notation.printer import write

MOST_TOLD = 3  # changes that are told one by one
MOST_ALIGNED = 400  # rounds in which moved ones are searched for; more are compared by their order
UNSAID = ("ring", "colour")  # what a foundation need not say: the first stitches do

Touched = frozenset[tuple[int, int]]  # (part, round) of the older pattern, from 0
Messages = tuple[Message, ...]


@dataclass(frozen=True)
class Revision:
    """Two versions of a pattern in one size. Indexes of parts and rounds are from 0."""

    old: Fabric
    new: Fabric

    @cached_property
    def parts(self) -> dict[int, int]:
        """Which part of the new version each old part is: by its name, else by its rounds."""
        found: dict[int, int] = {}
        if len(self.old.parts) == len(self.new.parts) == 1:
            return {0: 0}
        names = [_name(part) for part in self.old.parts], [_name(part) for part in self.new.parts]
        for old, new in (names, self._work):
            free = [n for n in range(len(new)) if n not in found.values()]
            for o, same in enumerate(old):
                match = next((n for n in free if new[n] == same), None)
                if o not in found and match is not None:
                    found[o] = match
                    free.remove(match)
        return found

    @cached_property
    def _work(self) -> tuple[list[list[tuple[object, ...]]], ...]:
        """What is worked in each round of each part, of both versions."""
        return tuple(
            [[work_of(fabric, worked) for worked in part.rounds] for part in fabric.parts]
            for fabric in (self.old, self.new)
        )

    @cached_property
    def _rounds(self) -> dict[int, tuple[tuple[int | None, int | None], ...]]:
        return {o: tuple(aligned(self._work[0][o], self._work[1][n])) for o, n in self.parts.items()}

    def rounds(self, part: int) -> tuple[tuple[int | None, int | None], ...]:
        """The rounds of an old part beside those of the new one, (old, new), in order; None where there is none."""
        return self._rounds.get(part, ())

    def is_same(self, part: int, old: int, new: int) -> bool:
        """Whether a round of an old part is worked as a round of the same part of the new version."""
        return self._work[0][part][old] == self._work[1][self.parts[part]][new]

    def told(self, touched: Touched = frozenset()) -> Messages:
        """What has changed, first what concerns rounds that were worked; nothing where only words have."""
        changes = sorted(self._changes(), key=lambda change: change[0] not in touched)
        found: list[Message] = []
        named = None
        for (part, _), name, message in changes[:MOST_TOLD]:
            if name and part != named and len(self.new.parts) > 1:
                found.append(say("part", part=name))
            found.append(message)
            named = part
        if len(changes) > MOST_TOLD:
            found.append(say("more_changed", n=len(changes) - MOST_TOLD))
        return tuple(found)

    def _changes(self) -> Iterator[tuple[tuple[int, int], str, Message]]:
        """(old part and round, name of the part where it has to be said, what has changed there)."""
        for o, part in enumerate(self.old.parts):
            if o not in self.parts:
                yield (o, 0), "", say("part_gone", part=part.name)
                continue
            new = self.new.parts[self.parts[o]]
            if new.make != part.make:
                yield (o, 0), "", say("part_make", part=part.name, make=new.make, before=part.make)
            at = 0
            for old_round, new_round in self.rounds(o):
                at = at if old_round is None else old_round
                if message := self._round_change(o, old_round, new_round):
                    yield (o, at), part.name, message
        for n, part in enumerate(self.new.parts):
            if n not in self.parts.values():
                yield (len(self.old.parts), n), "", say("part_new", part=part.name)
        if _texts(self.old.assembly) != _texts(self.new.assembly):
            yield (len(self.old.parts), len(self.new.parts)), "", say("making_up_changed")

    def _round_change(self, part: int, old: int | None, new: int | None) -> Message | None:
        before = None if old is None else self.old.parts[part].rounds[old]
        after = None if new is None else self.new.parts[self.parts[part]].rounds[new]
        if before is None or after is None:
            return say("round_gone", **named(before)) if after is None else say("round_new", **named(after))
        if self.is_same(part, old, new):
            return None
        if not (before.counted and after.counted):
            return say("round_changed", **named(after))
        if before.made != after.made:
            return say("round_makes", **named(after), made=after.made, before=before.made)
        return say("round_makes_still", **named(after), made=after.made)


def work_of(fabric: Fabric, worked: Worked) -> tuple[object, ...]:
    """What is worked in a round: equal for rounds that are the same work, whatever their numbers and words."""
    source = worked.source
    steps = (
        abbreviated((worked.tree,))
        if worked.steps
        else " ".join(str(as_written(fabric, worked).values["text"]).split())
    )
    begun = tuple(node for node in source.foundation if not (isinstance(node, Action) and node.kind in UNSAID))
    leaves = tuple(write((leaf.node,)) for leaf, _ in kinds(worked.tree) if leaf.node is not None)
    return (source.kind, steps, leaves, write(begun), worked.made, worked.takes, source.side, source.colour)


def aligned(old: list, new: list) -> Iterator[tuple[int | None, int | None]]:
    """The places of two lists side by side: equal items together, then what stands between them in order."""
    start = next((i for i, (a, b) in enumerate(zip(old, new)) if a != b), min(len(old), len(new)))
    yield from ((i, i) for i in range(start))
    end = 0
    while end < min(len(old), len(new)) - start and old[-1 - end] == new[-1 - end]:
        end += 1
    middle = range(start, len(old) - end), range(start, len(new) - end)
    if max(map(len, middle)) > MOST_ALIGNED:
        yield from _side_by_side(*middle)
    else:
        search = SequenceMatcher(None, old[start : len(old) - end], new[start : len(new) - end], autojunk=False)
        for kind, a, b, c, d in search.get_opcodes():
            pair = range(start + a, start + b), range(start + c, start + d)
            yield from zip(*pair) if kind == "equal" else _side_by_side(*pair)
    yield from ((len(old) - i, len(new) - i) for i in range(end, 0, -1))


def _side_by_side(one: range, other: range) -> Iterator[tuple[int | None, int | None]]:
    for i in range(max(len(one), len(other))):
        yield one[i] if i < len(one) else None, other[i] if i < len(other) else None


def _name(part: WorkedPart) -> str:
    return "".join(filter(str.isalnum, part.name.lower()))


def _texts(notes: Iterable[Note]) -> tuple[str, ...]:
    return tuple(" ".join(note.text.split()) for note in notes)
