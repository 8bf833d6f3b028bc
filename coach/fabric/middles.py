"""The middle stitch of the groups in the round below (a corner of three, a shell, a chain worked one by one), and of a
whole row."""

from __future__ import annotations

from coach.fabric.base import Base
from coach.fabric.tree import Leaf, Loop, Run, Tree

SMALLEST = 3  # stitches of a group that has a middle


def next_middle(base: Base, i: int) -> int | None:
    """The middle of the next group whose middle is top `i` or comes after it; None when there is none."""
    if base.tree is None or not 0 <= i < base.tops:
        return None
    w = i + base.start
    if base.turned:
        found = _last(base.tree, base.tops - 1 - w) if w < base.tops else None
        return None if found is None else base.tops - 1 - found - base.start
    found = _first(base.tree, w) if w < base.tops else None
    if found is None and base.start:  # where the tree's tops begin again
        found = _first(base.tree, max(w - base.tops, 0))
        found = None if found is None or found >= base.start else found + base.tops
    return None if found is None else found - base.start


def row_middle(base: Base) -> int | None:
    """The top in the middle of the row; None where the row has an even number of them."""
    return base.tops // 2 if base.tops % 2 else None


def _own(tree: Tree) -> int | None:
    """The middle of a tree that is one group; None when it is none."""
    if isinstance(tree, Leaf):
        n = tree.tops if not tree.spaces else 0
    else:
        single = isinstance(tree, Loop) and isinstance(tree.child, Leaf) and [t.kind for t in tree.child.made_tops]
        n = tree.times if single == ["ch"] else 0
    return n // 2 if n >= SMALLEST and n % 2 else None


def _first(tree: Tree, low: int) -> int | None:
    """The first middle from top `low` on."""
    if (own := _own(tree)) is not None:
        return own if own >= low else None
    if isinstance(tree, Run):
        before = tree.sums("tops")
        for k, child in enumerate(tree.children):
            if before[k + 1] > low and (found := _first(child, max(low - before[k], 0))) is not None:
                return before[k] + found
    elif isinstance(tree, Loop) and (each := tree.child.tops):
        time, inside = divmod(max(low, 0), each)
        for t, start in ((time, inside), (time + 1, 0)):
            if t < tree.times and (found := _first(tree.child, start)) is not None:
                return t * each + found
            if not start:  # the whole of it was looked through: no other time has one
                return None
    return None


def _last(tree: Tree, high: int) -> int | None:
    """The last middle up to top `high`."""
    if (own := _own(tree)) is not None:
        return own if own <= high else None
    if isinstance(tree, Run):
        before = tree.sums("tops")
        for k in range(len(tree.children) - 1, -1, -1):
            if before[k] <= high and (found := _last(tree.children[k], high - before[k])) is not None:
                return before[k] + found
    elif isinstance(tree, Loop) and (each := tree.child.tops):
        time = min(high // each, tree.times - 1)
        for t in (time, time - 1):
            stop = min(high - t * each, each - 1)
            if t >= 0 and (found := _last(tree.child, stop)) is not None:
                return t * each + found
            if stop == each - 1:
                return None
    return None
