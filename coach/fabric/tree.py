"""Worked rounds as trees: every walk and count in O(depth · log n), memory by the text and not by the stitches.

A `Leaf` is one step on the hook; a `Run` is nodes after one another; a `Loop` is one node several times. Every node
knows its sums:

    steps    steps on the hook
    makes    stitches the trade counts
    tops     places the next round can work into: counted stitches, chain spaces, single chains
    stitches those of the tops that are stitches (or single chains), the rest are spaces
    moves    tops of the round below that are passed, used or skipped or not
    takes    stitches of the round below among them
"""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Iterator
from itertools import accumulate

from coach.notation.model import Node
from coach.values import value


@value
class Top:
    """A place on top of a round. kind: a catalogue id, "ch" (one chain) or "space" (a space of `chains` chains)."""

    kind: str
    chains: int = 0

    @property
    def is_space(self) -> bool:
        return self.kind == "space"


def tally_of(tops: tuple[Top, ...]) -> dict[str, int]:
    """Tops by kind: {"dc": 2, "space 2": 1}."""
    if len(tops) == 1 and not tops[0].is_space:
        return {tops[0].kind: 1}
    found: dict[str, int] = {}
    for top in tops:
        kind = f"space {top.chains}" if top.is_space else top.kind
        found[kind] = found.get(kind, 0) + 1
    return found


class Leaf:
    """One step. at: which top it goes into, counted from where the step starts (-1: the place before; None: no top);
    tally: what it makes by kind ("dc": 2, "space 2": 1)."""

    __slots__ = ("node", "takes", "moves", "makes", "made_tops", "at", "tally", "steps", "tops", "stitches", "spaces")

    def __init__(
        self,
        node: Node | None,
        *,
        takes: int = 0,
        moves: int | None = None,
        makes: int = 0,
        tops: tuple[Top, ...] = (),
        at: int | None = None,
        tally: dict[str, int] | None = None,
        steps: int = 1,
    ):
        self.node = node
        self.takes = takes
        self.moves = takes if moves is None else moves
        self.makes = makes
        self.made_tops = tops
        self.at = at
        self.tally = tally or {}
        self.steps = steps  # 0 for what was worked at the end of the round before (a turning chain)
        self.tops = len(tops)
        self.spaces = 0
        for top in tops:
            if top.kind == "space":
                self.spaces += 1
        self.stitches = self.tops - self.spaces

    def same(self, other: Tree) -> bool:
        return isinstance(other, Leaf) and (self.node, self.takes, self.moves, self.makes, self.made_tops, self.at) == (
            other.node,
            other.takes,
            other.moves,
            other.makes,
            other.made_tops,
            other.at,
        )


SUMS = ("steps", "takes", "moves", "makes", "tops", "stitches", "spaces")


class Run:
    """Nodes one after another."""

    __slots__ = ("children", "tally", "_before", *SUMS)

    def __init__(self, children: tuple[Tree, ...]):
        self.children = children
        self._before: dict[str, list[int]] = {}
        self.steps = self.takes = self.moves = self.makes = self.tops = self.stitches = 0
        self.tally: dict[str, int] = {}
        for child in children:
            self.steps += child.steps
            self.takes += child.takes
            self.moves += child.moves
            self.makes += child.makes
            self.tops += child.tops
            self.stitches += child.stitches
            for kind, n in child.tally.items():
                self.tally[kind] = self.tally.get(kind, 0) + n
        self.spaces = self.tops - self.stitches

    def find(self, unit: str, index: int) -> tuple[int, int]:
        """(child, sum before it) of the child that holds the index-th unit."""
        before = self.sums(unit)
        i = min(bisect_right(before, index) - 1, len(self.children) - 1)
        while i and before[i] == before[i + 1]:  # only when index is past the end
            i -= 1
        return i, before[i]

    def before(self, unit: str, child: int) -> int:
        return self.sums(unit)[child]

    def sums(self, unit: str) -> list[int]:
        """Sums before each child, and of all; worked out when they are first asked for."""
        if unit not in self._before:
            self._before[unit] = list(accumulate([getattr(c, unit) for c in self.children], initial=0))
        return self._before[unit]

    def same(self, other: Tree) -> bool:
        return (
            isinstance(other, Run)
            and len(self.children) == len(other.children)
            and all(a.same(b) for a, b in zip(self.children, other.children, strict=True))
        )


class Loop:
    """One node several times; `node` is the repeat as written, where it was one."""

    __slots__ = ("child", "times", "node", "tally", *SUMS)

    def __init__(self, child: Tree, times: int, node: Node | None = None):
        self.child = child
        self.times = times
        self.node = node
        self.steps = child.steps * times
        self.takes = child.takes * times
        self.moves = child.moves * times
        self.makes = child.makes * times
        self.tops = child.tops * times
        self.stitches = child.stitches * times
        self.spaces = child.spaces * times
        self.tally = {kind: n * times for kind, n in child.tally.items()}

    def same(self, other: Tree) -> bool:
        return isinstance(other, Loop) and self.times == other.times and self.child.same(other.child)


Tree = Leaf | Run | Loop


def path(tree: Tree, unit: str, index: int) -> Iterator[tuple[Tree, int, dict[str, int]]]:
    """The nodes down to the leaf that holds the index-th `unit` (from 0).

    Gives (node, which child or time is entered, sums before the node) for each; the last is the leaf with 0.
    Raises IndexError when the tree holds fewer.
    """
    if not 0 <= index < getattr(tree, unit):
        raise IndexError(index)
    before = dict.fromkeys(SUMS, 0)
    while not isinstance(tree, Leaf):
        offset = index - before[unit]
        if isinstance(tree, Loop):
            which = offset // getattr(tree.child, unit)
            yield tree, which, dict(before)
            for name in SUMS:
                before[name] += which * getattr(tree.child, name)
            tree = tree.child
        else:
            which, _ = tree.find(unit, offset)
            yield tree, which, dict(before)
            for name in SUMS:
                before[name] += tree.before(name, which)
            tree = tree.children[which]
    yield tree, 0, before


def leaf_at(tree: Tree, step: int) -> tuple[Leaf, dict[str, int]]:
    """The leaf of a step (from 0) and the sums of everything before it. Raises IndexError."""
    *_, (node, _, before) = path(tree, "steps", step)
    return node, before


def sums_before(tree: Tree, step: int) -> dict[str, int]:
    """The sums of the first `step` steps; `step` may be the number of all steps."""
    if step >= tree.steps:
        return {name: getattr(tree, name) for name in SUMS}
    return leaf_at(tree, step)[1]


def _down(tree: Tree, unit: str, index: int, counted: str) -> tuple[Leaf, int, int]:
    """(leaf that holds the index-th `unit`, how many of them lie before it in the leaf, `counted`s before the leaf)."""
    if not 0 <= index < getattr(tree, unit):
        raise IndexError(index)
    total = 0
    while (kind := type(tree)) is not Leaf:
        if kind is Loop:
            tree, (which, index) = tree.child, divmod(index, getattr(tree.child, unit))
            total += which * getattr(tree, counted)
        else:
            sums = tree.sums(unit)
            which = bisect_right(sums, index) - 1
            index -= sums[which]
            total += tree.sums(counted)[which]
            tree = tree.children[which]
    return tree, index, total


def top_at(tree: Tree, index: int) -> Top:
    """The index-th top (from 0). Raises IndexError."""
    leaf, inside, _ = _down(tree, "tops", index, "tops")
    return leaf.made_tops[inside]


def tops_before(tree: Tree, unit: str, index: int) -> int:
    """How many tops come before the index-th `unit` ("spaces" or "stitches"). Raises IndexError."""
    leaf, left, before = _down(tree, unit, index, "tops")
    for i, top in enumerate(leaf.made_tops):
        if top.is_space == (unit == "spaces"):
            if left == 0:
                return before + i
            left -= 1
    raise IndexError(index)


def count_before(tree: Tree, unit: str, tops: int) -> int:
    """How many `unit`s ("spaces" or "stitches") are among the first `tops` tops."""
    if tops >= tree.tops:
        return getattr(tree, unit)
    if tops <= 0:
        return 0
    leaf, inside, before = _down(tree, "tops", tops, unit)
    return before + sum([t.is_space == (unit == "spaces") for t in leaf.made_tops[:inside]])


def leaves(tree: Tree) -> Iterator[Leaf]:
    """Every step in order; for short rounds and tests only, it takes as long as the work is."""
    if isinstance(tree, Leaf):
        yield tree
    elif isinstance(tree, Run):
        for child in tree.children:
            yield from leaves(child)
    else:
        for _ in range(tree.times):
            yield from leaves(tree.child)
