"""The faults of arithmetic, one small check each. A check's docstring is its manual entry."""

from __future__ import annotations

import re
from collections.abc import Iterator

from coach.fabric.base import Base
from coach.fabric.foundation import walk
from coach.fabric.model import Fabric
from coach.fabric.tree import Tree
from coach.fabric.worker import Trouble, Worker
from coach.notation.model import Action, Fault, Round, Skip, Unread, for_size


def round_troubles(round: Round, tree: Tree, worker: Worker, base: Base, size: int) -> list[Trouble]:
    """What is wrong with one round as worked."""
    if any(isinstance(n, Unread) for n in walk(round.body)):
        return []  # what could not be read is a fault already, and its count is not known
    found = []
    for check in (runs_out, leaves, count):
        found += check(round, tree, worker, base, size)
    return found


def stated(round: Round, size: int) -> int | None:
    """The number of stitches that the text says the round has."""
    plain = [c for c in round.stated if c.kind is None]
    if plain:
        return for_size(plain[0].amount, size)
    kinds = [c for c in round.stated if c.kind and not c.kind.startswith("space") and c.kind not in ("ch", "picot")]
    return sum(for_size(c.amount, size) for c in kinds) if kinds else None


def count(round: Round, tree: Tree, worker: Worker, base: Base, size: int) -> Iterator[Trouble]:
    """The round does not make the stitches that are stated for it."""
    said = stated(round, size)
    if said is None or not tree.steps:
        return
    if said != tree.makes:
        several = [c for c in round.stated if c.kind and not c.kind.startswith("space")]
        if several and _kinds_fit(round, tree, size):
            return
        spaces = sum(n for kind, n in tree.tally.items() if kind.startswith("space"))
        if said == tree.makes + spaces and spaces:  # some patterns count each space as one
            return
        if said == tree.makes + sum(int(kind.split()[1]) * n for kind, n in tree.tally.items() if kind.startswith("space")) and spaces:
            return
        span = next((c.span for c in round.stated if c.kind is None), round.stated[0].span)
        more = "more" if tree.makes > said else "fewer"
        difference = abs(tree.makes - said)
        yield Trouble("count", span, f"{round.label} makes {tree.makes} stitches, but {said} are stated: {difference} {more}.",
                      "Check the repeat against the count, or count the round below.")
    elif not _kinds_fit(round, tree, size):
        for c in round.stated:
            n, made = for_size(c.amount, size), _made(tree, c.kind)
            if c.kind and n != made:
                yield Trouble("count", c.span, f"{round.label} makes {made} of these, but {n} are stated.", "Check the repeat against the count.")
                return


def _made(tree: Tree, kind: str | None) -> int:
    if kind is None:
        return tree.makes
    if kind in ("space", "ch"):
        return sum(n for k, n in tree.tally.items() if k.startswith("space"))
    if kind == "picot":
        return -1
    return tree.tally.get(kind, 0)


def _kinds_fit(round: Round, tree: Tree, size: int) -> bool:
    """Whether every stated kind comes out (a kind that the tally can't tell apart fits)."""
    for c in round.stated:
        n, made = for_size(c.amount, size), _made(tree, c.kind)
        if c.kind in ("picot",) or (c.kind and not c.kind.startswith("space") and c.kind not in tree.tally and len(round.stated) == 1):
            continue
        if n != made:
            return False
    return True


def runs_out(round: Round, tree: Tree, worker: Worker, base: Base, size: int) -> Iterator[Trouble]:
    """The round takes up more stitches than the round below has."""
    if base.is_ring or any(t.kind == "short" for t in worker.troubles):
        return
    over = tree.takes - base.stitches
    if over > 0 and not worker.into_spaces:
        yield Trouble("short", round.body[-1].span if round.body else round.span,
                      f"{round.label} runs out of stitches: it takes up {tree.takes}, but the round below has {base.stitches}.",
                      "Check how many times it is repeated, or the count of the round below.")


def leaves(round: Round, tree: Tree, worker: Worker, base: Base, size: int) -> Iterator[Trouble]:
    """The round leaves stitches of the round below unworked, and does not say so."""
    if base.is_ring or worker.leaves_rest or any(t.kind in ("repeat", "leaves", "short") for t in worker.troubles) or not round.body:
        return
    left = worker.base.stitches_in(worker.i, worker.base.tops)
    if worker.into_spaces:
        left_spaces = worker.base.spaces_in(worker.i, worker.base.tops)
        if left_spaces and not worker.base.start:
            yield Trouble("leaves", round.body[-1].span, f"{round.label} leaves {left_spaces} chain {'space' if left_spaces == 1 else 'spaces'} unworked.",
                          "Check how many times it is repeated.")
        return
    both = any(isinstance(n, Action) and n.kind == "other_side" for n in walk(round.body))
    if left > worker.may_leave + (1 if both else 0):
        yield Trouble("leaves", round.body[-1].span, f"{round.label} leaves {left} {'stitch' if left == 1 else 'stitches'} of the round below unworked.",
                      'Check how many times it is repeated, or write "leave the remaining sts unworked".')


def whole(fabric: Fabric) -> list[Fault]:
    """What is wrong with the pattern as a whole."""
    return [fault for check in (unmade_parts,) for fault in check(fabric)]


def unmade_parts(fabric: Fabric) -> Iterator[Fault]:
    """A part that the assembly uses is not made anywhere."""
    names = {_stem(word) for part in fabric.parts for word in re.findall(r"[a-z]+", part.name.lower())}
    for note in fabric.assembly:
        for m in re.finditer(r"\b(?:sew|attach|join|stitch|pin)\s+(?:on\s+)?(?:the|both|each)\s+(?:two\s+)?([a-z]+)\b", note.text, re.IGNORECASE):
            word = m[1].lower()
            if names and _stem(word) not in names and _stem(word) in BODY_PARTS:
                yield fabric.pattern.fault("assembly", "error", note.span, f'The assembly uses "{m[1]}", but no part of that name is made.',
                                           "Look for the missing part, or for another name of it.")


BODY_PARTS = frozenset("arm leg head body ear tail wing fin flipper beak foot feet nose muzzle horn hat brim crown base roof lamp handle strap pocket sleeve spike shell eye snout "
                       "mane antler paw hoof trunk belly door window mast sail flag anchor rope ring band collar".split())


def _stem(word: str) -> str:
    if word in ("feet", "teeth", "leaves"):
        return {"feet": "foot", "teeth": "tooth", "leaves": "leaf"}[word]
    return word[:-1] if word.endswith("s") and not word.endswith("ss") else word


__all__ = ["Skip", "count", "leaves", "round_troubles", "runs_out", "stated", "unmade_parts", "whole"]
