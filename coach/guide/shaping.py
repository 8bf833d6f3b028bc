"""Increases and decreases in a worked round: which steps they are, how many come before a step, which was the last.

Every question goes down the tree once: nothing walks a round stitch by stitch.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator

from coach.fabric.tree import Leaf, Loop, Run, Tree
from coach.notation.model import Group, Stitch

Test = Callable[[Leaf], bool]


def is_increase(leaf: Leaf) -> bool:
    """Whether it makes more stitches than the one place it goes into."""
    return leaf.takes == 1 and leaf.makes > 1


def is_decrease(leaf: Leaf) -> bool:
    return leaf.makes == 1 and leaf.takes > 1


def is_plain(leaf: Leaf) -> bool:
    """Whether it is one stitch in one place, which counting along calls by its number alone."""
    return leaf.makes == 1 and leaf.takes <= 1 and isinstance(leaf.node, Stitch | Group)


def is_shaping(leaf: Leaf) -> bool:
    return is_increase(leaf) or is_decrease(leaf)


def times(tree: Tree, test: Test) -> int:
    """How many steps of a tree pass the test."""
    if isinstance(tree, Leaf):
        return int(bool(tree.steps) and test(tree))
    if isinstance(tree, Loop):
        return tree.times * times(tree.child, test)
    return sum(times(child, test) for child in tree.children)


def times_before(tree: Tree, step: int, test: Test) -> int:
    """How many of the first `step` steps pass the test."""
    if step <= 0:
        return 0
    if step >= tree.steps:
        return times(tree, test)
    if isinstance(tree, Loop):
        whole, rest = divmod(step, tree.child.steps)
        return whole * times(tree.child, test) + times_before(tree.child, rest, test)
    found = 0
    for child in tree.children:
        found += times_before(child, step, test)
        step -= child.steps
        if step <= 0:
            break
    return found


def last_before(tree: Tree, step: int, test: Test) -> int | None:
    """The last of the first `step` steps that passes the test, from 0."""
    step = min(step, tree.steps)
    if step <= 0 or not times(tree, test):
        return None
    if isinstance(tree, Leaf):
        return 0
    start, after = 0, None
    if isinstance(tree, Loop):
        whole, rest = divmod(step, tree.child.steps)
        for time, until in ((whole, rest), (whole - 1, tree.child.steps)):
            if time >= 0 and (found := last_before(tree.child, until, test)) is not None:
                return time * tree.child.steps + found
        return None
    for child in tree.children:
        if start >= step:
            break
        if (found := last_before(child, step - start, test)) is not None:
            after = start + found
        start += child.steps
    return after


def kinds(tree: Tree) -> Iterator[tuple[Leaf, int]]:
    """Every step as it stands in the text, with how often it is worked."""
    if isinstance(tree, Leaf):
        if tree.steps:
            yield tree, 1
    elif isinstance(tree, Loop):
        for leaf, n in kinds(tree.child):
            yield leaf, n * tree.times
    else:
        for child in tree.children:
            yield from kinds(child)


def repeats(tree: Tree, outside: int = 1) -> Iterator[tuple[Loop, int]]:
    """Every repeat of more than one step, and of stitches into a ring; with how often it is begun."""
    if isinstance(tree, Run):
        for child in tree.children:
            yield from repeats(child, outside)
    elif isinstance(tree, Loop):
        if tree.times > 1 and (not isinstance(tree.child, Leaf) or not tree.child.takes):
            yield tree, outside
        yield from repeats(tree.child, outside * tree.times)


def has_loops(tree: Tree) -> bool:
    """Whether a step in it goes under something else than both loops of a stitch."""
    if isinstance(tree, Leaf):
        nodes = (tree.node, *getattr(tree.node, "body", ()))
        return any(getattr(node, "loop", "both") != "both" for node in nodes)
    return has_loops(tree.child) if isinstance(tree, Loop) else any(map(has_loops, tree.children))
