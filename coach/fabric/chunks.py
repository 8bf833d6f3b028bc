"""How much is read out at once: by stitch, by group or by round.

A group is what a maker keeps in mind in one go: a run of the same stitch, one time through a repeat, or up to three
single steps. Where a group starts and ends depends only on the round, so walking and jumping meet the same groups.
"""

from __future__ import annotations

from coach.fabric.changing import is_change
from coach.fabric.model import Chunk, Worked
from coach.fabric.tree import Leaf, Loop, Run, Tree, leaf_at
from coach.notation.model import Action, Chain

BY = ("stitch", "group", "round")
ITEMS_IN_A_GROUP = 3  # short enough for one breath
MOST_ATTACHED = 2  # "chain 1" before, "join, turn" after


def chunk_at(worked: Worked, step: int, by: str) -> Chunk:
    """The chunk that holds the step with this index (from 0); a chunk may begin before it. Raises IndexError."""
    if not 0 <= step < worked.steps:
        raise IndexError(step)
    if by == "round":
        return Chunk(0, worked.steps, (worked.tree,))
    if by == "stitch":
        leaf, _ = leaf_at(worked.tree, step)
        return Chunk(step, step + 1, (leaf,))
    lead, tail = _attached(worked.tree)
    last = worked.steps - tail - 1
    chunk = _group(worked.tree, min(max(step, lead), last), 0, None, None)
    if lead and chunk.start <= lead:
        chunk = Chunk(0, chunk.stop, _from(worked.tree, chunk, lead), chunk.time, chunk.times)
    if tail and chunk.stop > last:
        chunk = Chunk(
            chunk.start, worked.steps, (*chunk.trees, *_last(worked.tree, chunk, tail)), chunk.time, chunk.times
        )
    return chunk


def _attached(tree: Tree) -> tuple[int, int]:
    """How many steps at the start and at the end of a round make nothing (a chain to its height, a join, a turn); they
    are read with what stands beside them. (0, 0) when nothing else is in the round."""
    if not isinstance(tree, Run):
        return 0, 0
    steps = [child for child in tree.children if child.steps]
    counts = []
    for children in (steps, steps[::-1]):
        n = 0
        while (
            n < min(len(children), MOST_ATTACHED)
            and isinstance(children[n], Leaf)
            and isinstance(children[n].node, (Chain, Action))
            and not children[n].makes
        ):
            n += 1
        counts.append(n)
    return (0, 0) if sum(counts) >= len(steps) else (counts[0], counts[1])


def _from(tree: Run, chunk: Chunk, lead: int) -> tuple[Tree, ...]:
    first = tuple(child for child in tree.children if child.steps)[:lead]
    return chunk.trees if chunk.start == 0 else (*first, *chunk.trees)


def _last(tree: Run, chunk: Chunk, tail: int) -> tuple[Tree, ...]:
    last = tuple(child for child in tree.children if child.steps)[-tail:]
    return () if chunk.stop > tree.steps - tail else last


def _group(tree: Tree, step: int, start: int, time: int | None, times: int | None) -> Chunk:
    if isinstance(tree, Run):
        for trees in _bundles(tree.children):
            stop = start + sum(t.steps for t in trees)
            if step < stop:
                if len(trees) == 1 and not _simple(trees[0]):
                    return _group(trees[0], step, start, time, times)
                return Chunk(start, stop, trees, time, times)
            start = stop
        raise IndexError(step)
    if isinstance(tree, Loop) and not _simple(tree):
        which = (step - start) // tree.child.steps
        start += which * tree.child.steps
        items = tuple(c for c in tree.child.children if c.steps) if isinstance(tree.child, Run) else (tree.child,)
        if len(items) <= ITEMS_IN_A_GROUP + 1 and all(_simple(i) for i in items):
            return Chunk(start, start + tree.child.steps, items, which + 1, tree.times)
        return _group(tree.child, step, start, which + 1, tree.times)
    return Chunk(start, start + tree.steps, (tree,), time, times)


def _simple(tree: Tree) -> bool:
    """Whether it is said in one phrase: one step, or the same step several times."""
    return isinstance(tree, Leaf) or (isinstance(tree, Loop) and isinstance(tree.child, Leaf))


def _bundles(children: tuple[Tree, ...]) -> list[tuple[Tree, ...]]:
    """The children in groups; simple neighbours go together, up to three, and no further than a change of colour."""
    bundles: list[tuple[Tree, ...]] = []
    changed = False
    for child in children:
        if not child.steps:
            changed = changed or is_change(child)
            continue
        last = bundles[-1] if bundles and not changed else ()
        changed = False
        if _simple(child) and last and len(last) < ITEMS_IN_A_GROUP and all(_simple(t) for t in last):
            bundles[-1] = (*last, child)
        else:
            bundles.append((child,))
    return bundles
