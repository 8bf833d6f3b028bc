"""What may have gone wrong in a round whose count is wrong.

A slip is one mistake of the hand, applied to the round as worked; what counts is by how much it changes the stitches
that the round makes. Single slips are tried, then every two of them, and those kept that give the maker's count.

    kind      the slip                                        changes the count by
    missed    one stitch where an increase should be          1 - what the increase makes
    apart     a decrease worked as separate stitches          what the decrease takes - 1
    few, many a repeat left out, worked once too often        -/+ what one time through makes
    fewer, more  the same of single stitches in a ring        -/+ 1
    join      a stitch worked into the joining slip stitch    +1   (joined rounds)
    turning   a stitch worked into the turning chain          +1   (rows whose chain is no stitch)
    first     the first stitch left out                       - what it makes
    last      the last stitch left out                        - what it makes  (rows)
    skipped   a stitch of the round below left out            - what goes into it
    extra     two stitches in a place for one                 +1
    together  two stitches worked together                    -1

The rule by which they are ranked, the likeliest first:

1. One slip before two.
2. Of two slips those that work the same way before those of which one hides the other.
3. By `RANK`, of two slips by the sum: what changes the shape is missed more easily than a plain stitch; the edges of a
   joined round and of a row are harder to see than those of a spiral.
4. What can happen in more places of this round first.

Source of the ranks: common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import combinations_with_replacement

from coach.fabric.model import Worked
from coach.fabric.tree import Leaf, Loop, Run, Tree
from coach.guide.shaping import is_decrease, is_increase, kinds, last_before, repeats, times
from coach.notation.model import Action, Chain, Stitch

MOST = 6  # explanations of one count
RANK = {
    "missed": 1,
    "apart": 1,
    "few": 2,
    "many": 2,
    "fewer": 2,
    "more": 2,
    "join": 2,
    "turning": 2,
    "skipped": 3,
    "first": 4,
    "last": 4,
    "extra": 5,
    "together": 6,
}


@dataclass(frozen=True, slots=True)
class Slip:
    """One mistake. effect: stitches more (or fewer) than the round should have; places: where in the round it can have
    happened; tree: the step, or the repeat, that went wrong (None for join and turning)."""

    kind: str
    effect: int
    places: int
    tree: Tree | None = None


Explanation = tuple[Slip, ...]  # one slip, or two


def explanations(worked: Worked, counted: int) -> tuple[Explanation, ...]:
    """What explains that a round has `counted` stitches, the likeliest first; nothing where the count is right."""
    wrong = counted - worked.made
    if not wrong:
        return ()
    single = slips(worked)
    found: list[Explanation] = [(slip,) for slip in single if slip.effect == wrong]
    found += [
        pair
        for pair in combinations_with_replacement(single, 2)
        if pair[0].effect + pair[1].effect == wrong and (pair[0] is not pair[1] or pair[0].places > 1)
    ]
    return tuple(sorted(found, key=_rank)[:MOST])


def highest_count(worked: Worked) -> int:
    """The highest count of this round that one or two slips lead to."""
    return worked.made + 2 * max((slip.effect for slip in slips(worked)), default=0)


def _rank(slips: Explanation) -> tuple[int, bool, int, int]:
    hides = len({slip.effect > 0 for slip in slips}) > 1
    return len(slips), hides, sum(RANK[slip.kind] for slip in slips), -sum(slip.places for slip in slips)


def slips(worked: Worked) -> tuple[Slip, ...]:
    """Every slip that can happen in this round and changes its count; of equal ones the one in the most places."""
    found: dict[tuple[str, int], Slip] = {}
    for slip in _every(worked):
        known = found.get((slip.kind, slip.effect))
        if not known:
            found[slip.kind, slip.effect] = slip
        else:
            more = slip if slip.places > known.places else known
            found[slip.kind, slip.effect] = Slip(slip.kind, slip.effect, slip.places + known.places, more.tree)
    return tuple(found.values())


def _every(worked: Worked) -> Iterator[Slip]:
    tree = worked.tree
    row = worked.source.kind == "row"
    for leaf, n in kinds(tree):
        if is_increase(leaf):
            yield Slip("missed", 1 - leaf.makes, n, leaf)
            yield Slip("skipped", -leaf.makes, n, leaf)
        elif is_decrease(leaf):
            yield Slip("apart", leaf.takes - 1, n, leaf)
        elif is_single(leaf):
            yield Slip("skipped", -1, n, leaf)
            yield Slip("extra", 1, n, leaf)
    for loop, begun in repeats(tree):
        each = loop.child.makes
        if each:
            ring = isinstance(loop.child, Leaf)
            yield Slip("fewer" if ring else "few", -each, begun * (loop.times - 1), loop)
            if not row:
                yield Slip("more" if ring else "many", each, begun * loop.times, loop)
    if pairs := neighbours(tree)[0]:
        yield Slip("together", -1, pairs, next(leaf for leaf, _ in kinds(tree) if is_single(leaf)))
    if not row and is_joined(worked):
        yield Slip("join", 1, 1)
    if row and _turning_chain(tree):
        yield Slip("turning", 1, 1)
    for kind, edge in (("first", edge_step(tree, 0)), ("last", edge_step(tree, -1) if row else None)):
        if edge is not None and edge.takes == 1 and edge.makes:
            yield Slip(kind, -edge.makes, 1, edge)


def is_single(leaf: Leaf) -> bool:
    """Whether it is one stitch in one stitch of the round below."""
    return leaf.takes == leaf.makes == 1 and isinstance(leaf.node, Stitch)


def is_joined(worked: Worked) -> bool:
    """Whether the round ends with a joining slip stitch."""
    return any(is_join(leaf) for leaf, _ in kinds(worked.tree))


def is_join(leaf: Leaf) -> bool:
    """Whether it is a slip stitch that closes a round (or, at its start, moves that along): no stitch of it."""
    node = leaf.node
    return (
        isinstance(node, Action)
        and node.kind == "join"
        or isinstance(node, Stitch)
        and node.stitch == "slst"
        and not leaf.takes
    )


def _turning_chain(tree: Tree) -> bool:
    first = next((leaf for leaf, _ in kinds(tree)), None)
    return first is not None and isinstance(first.node, Chain) and not first.makes


def edge_step(tree: Tree, end: int) -> Leaf | None:
    """The first (end 0) or the last (end -1) step that makes stitches."""
    if isinstance(tree, Leaf):
        return tree if tree.steps and tree.makes else None
    if isinstance(tree, Loop):
        return edge_step(tree.child, end) if tree.times else None
    for child in tree.children if end == 0 else reversed(tree.children):
        if (found := edge_step(child, end)) is not None:
            return found
    return None


def neighbours(tree: Tree) -> tuple[int, bool, bool]:
    """(pairs of single stitches side by side, whether it begins with one, whether it ends with one)."""
    if isinstance(tree, Leaf):
        single = bool(tree.steps) and is_single(tree)
        return 0, single, single
    if isinstance(tree, Loop):
        inside, begins, ends = neighbours(tree.child)
        return inside * tree.times + (begins and ends) * (tree.times - 1), begins, ends
    pairs, first, last = 0, None, False
    for child in tree.children:
        if not child.steps:
            continue
        inside, begins, ends = neighbours(child)
        pairs += inside + (last and begins)
        first, last = begins if first is None else first, ends
    return pairs, bool(first), last


# ---- where it is, and how much has to be undone

AS_WORKED = {  # so many stitches stand where the slip was made
    "missed": lambda leaf: 1,
    "apart": lambda leaf: leaf.takes,
    "extra": lambda leaf: 2,
    "skipped": lambda leaf: 0,
}


def around(worked: Worked, slip: Slip) -> Loop | None:
    """The repeat that has the step once each time, where the step is nowhere else in the round."""

    def same(leaf: Leaf) -> bool:
        return leaf is slip.tree

    total = times(worked.tree, same)
    return next(
        (
            loop
            for loop, begun in repeats(worked.tree)
            if times(loop.child, same) == 1 and loop.times * begun == total == loop.times
        ),
        None,
    )


def run_of(worked: Worked, slip: Slip) -> int | None:
    """How many stitches stand in a row without an increase (or decrease) where one was missed; None: not to be told."""
    loop = around(worked, slip)
    if loop is None or sum(n for leaf, n in kinds(loop.child) if not is_single(leaf)) != 1:
        return None
    gap = loop.child.makes - slip.tree.makes
    return 2 * gap + AS_WORKED[slip.kind](slip.tree) if gap else None


def to_undo(worked: Worked, slip: Slip) -> tuple[int, int] | None:
    """(stitches to undo if the slip is at its last place, how many more for each repeat before; 0: there is no other).

    None where its places don't lie evenly.
    """
    if slip.kind in ("join", "turning"):
        return 1, 0
    if slip.kind in ("many", "more"):
        return slip.tree.child.makes + _made_after(worked, slip.tree), 0
    if slip.kind not in AS_WORKED:
        return None
    at = last_before(worked.tree, worked.steps, lambda leaf: leaf is slip.tree)
    last = worked.made - worked.made_before(at) - slip.tree.makes + AS_WORKED[slip.kind](slip.tree)
    if times(worked.tree, lambda leaf: leaf is slip.tree) == 1:
        return last, 0
    loop = around(worked, slip)
    return (last, loop.child.makes) if loop else None


def _made_after(worked: Worked, loop: Loop) -> int:
    """Stitches after the last time that a repeat is worked."""

    def inside(tree: Tree) -> int | None:
        if tree is loop:
            return 0
        if isinstance(tree, Loop):
            return inside(tree.child)
        after = 0
        for child in reversed(tree.children if isinstance(tree, Run) else ()):
            if (found := inside(child)) is not None:
                return found + after
            after += child.makes
        return None

    return inside(worked.tree) or 0
