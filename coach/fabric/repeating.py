"""Repeats: worked once or twice and then counted, never copied out; looked at each time only where the base asks for
it.
"""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from coach.fabric import along
from coach.fabric.checks import repeat as faults
from coach.fabric.edges import ALONG, is_corner
from coach.fabric.kinds import as_they_come
from coach.fabric.middles import next_middle, row_middle
from coach.fabric.tree import Leaf, Loop, Run, Tree
from coach.notation.extents import AROUND
from coach.notation.model import Action, Chain, Evenly, Group, Node, Repeat, Skip, Stitch, for_size

if TYPE_CHECKING:
    from coach.fabric.worker import Worker

MOST_TURNS = (
    2_000  # times that the repeats of a round are worked one by one, where the base is no plain run of stitches
)
MOST_TROUBLES = 20
_LOOKED_FOR = (
    "last",
    "nth",
    "first",
    "space",
    "hook",
    "tch",
    "middle",
    "centre",
    *ALONG,
)  # places that depend on where one is


def repeat(worker: Worker, node: Repeat, after: int) -> Tree:
    """A repeat as its times say; `after`: stitches that what follows it needs."""
    worker.begun = worker.begun or _begins_anew(worker, node)
    if node.other is not None and worker.choose((_doubt(node), node.span.start), 2, node):
        node = node.other
    if node.ending is not None and len(node.body) > 1:
        dropped = worker.choose(("ending", node.span.start), len(node.body), node, node.ending)
        node = replace(node, cut=len(node.body) - dropped if dropped else None)
    elif _may_end_before_its_skip(worker, node):
        node = replace(node, cut=len(node.body) - 1 if worker.choose(("ending", node.span.start), 2, node) else None)
    times = node.times
    if worker.edged is not None:
        if (n := along.places(worker, node)) is not None:
            return _along(worker, node, n)
        if times.kind in ("space", "middle"):
            return fill(worker, node, worker.stop, 0)
        if times.kind == "fill" and any(_is_turned(n) for n in node.body):
            return _around(worker, node)
        after = 0 if is_corner(node.body[0]) else after  # what follows is on another edge
    if times.kind == "exact":
        amounts = (times.amount, *times.readings)
        which = worker.choose(("times", node.span.start), len(amounts), node) if times.readings else 0
        amount = for_size(amounts[min(which, len(amounts) - 1)], worker.size)
        if node.cut is None or amount < 1:
            return exactly(worker, node, amount, after)
        last = node.body[: node.cut]
        whole = exactly(worker, node, amount - 1, after + sum(worker.needs(n) for n in last))
        return Run((whole, worker.run(last, after)))
    if times.kind == "space":
        return _to_a_space(worker, node)
    if times.kind in ("middle", "centre"):
        middle = row_middle(worker.base) if times.kind == "centre" else next_middle(worker.base, worker.i)
        return fill(worker, node, middle if middle is not None else worker.i, 0)
    if times.kind == "kinds" and not worker.base.is_ring:
        return as_they_come(worker, node)
    if times.kind == "last space":
        spaces = worker.base.spaces_in(worker.i, worker.base.tops)
        stop = worker.base.nth("spaces", worker.i, spaces) if spaces else None
        return fill(worker, node, stop if stop is not None else worker.base.tops, 0)
    if times.kind == "made":
        return until_left(worker, node, for_size(times.amount, worker.size), after)
    return fill(worker, node, worker.stop, for_size(times.amount, worker.size) if times.said else after)


def _begins_anew(worker: Worker, node: Repeat) -> bool:
    """Whether what a repeat begins with is of each time: `*sl st in next st, ch 3, sc in same st; rep from *`, and no
    way to where the round starts."""
    first = node.body[0] if len(node.body) > 1 and node.times.amount != 1 else None
    slips = isinstance(first, Stitch) and first.stitch == "slst" and first.into.kind == "next"
    return slips or isinstance(first, Chain) and first.counts is None and not worker.base.is_ring


def _to_a_space(worker: Worker, node: Repeat) -> Tree:
    """Up to the next space; to the next corner where smaller spaces are worked into on the way. Behind stitches that
    are skipped up to a space, and where some are to be skipped, the way goes on from that space."""
    here, body = worker.base.top(worker.i), node.body[0]
    passed: tuple[Tree, ...] = ()
    if here is not None and here.is_space and (worker.skipped or isinstance(body, Skip)):
        worker.i += 1
        passed = (Leaf(None, moves=1, steps=0),)
    on_the_way = isinstance(body, (Stitch, Group)) and body.into.kind in ("top", "chain")
    stop = worker.base.next_space(worker.i, worker.base.corner_chains() if on_the_way else None)
    return Run((*passed, fill(worker, node, stop if stop is not None else worker.base.tops, 0)))


def _may_end_before_its_skip(worker: Worker, node: Repeat) -> bool:
    """`*sc in next st, ch 3, sk 1; rep from * around`: the last chain comes to where the round begins."""
    lace = len(node.body) > 1 and isinstance(node.body[-1], Skip) and any(isinstance(n, Chain) for n in node.body)
    return lace and node.cut is None and node.times == AROUND and not worker.row and not worker.base.is_ring


def _doubt(node: Repeat) -> str:
    """What is open about a repeat that the same words can mean another way."""
    if isinstance(node.other.body[0], Evenly):
        return "spread"
    return "around" if node.other.times.kind == "fill" else "each"


def _is_turned(node: Node) -> bool:
    """Whether a node stands at a corner."""
    return isinstance(node, (Stitch, Group)) and node.into.corner


def _along(worker: Worker, node: Repeat, n: int) -> Tree:
    """A stitch so many times along an edge that has as many places."""
    if n <= 0:
        return Run(())
    one = worker.run(node.body)
    worker.i, worker.prev = worker.i + n - 1, worker.i + n - 2
    return Loop(one, n, node) if n > 1 else one


def _around(worker: Worker, node: Repeat) -> Tree:
    """`*sc in each st to next corner, 3 sc in corner; rep from * around`: once for each edge."""
    trees: list[Tree] = []
    last = len(worker.edged.edges) - 1
    while worker.turn() and (worker.edge < last or worker.i < worker.stop):
        begun = worker.edge, worker.i
        trees.append(worker.run(node.body))
        if (worker.edge, worker.i) == begun:
            faults.takes_nothing(worker, node)
            break
    return folded(trees, node) if trees else Run(())


def exactly(worker: Worker, node: Repeat, times: int, after: int) -> Tree:
    """The body so many times."""
    if times <= 0 or not node.body:
        return Run(())
    first = _body(worker, node, after)
    if times == 1:
        return first
    if is_static(worker, node):
        begun = worker.i
        second = _once_more(worker, node, first, after)
        moved = worker.i - begun
        worker.i += moved * (times - 2)
        worker.prev += moved * (times - 2)
        return _loop(first, second, times, node)
    trees, often = [first], [1]
    done = 1
    while done < times and len(worker.troubles) <= MOST_TROUBLES:
        if not worker.turn():
            faults.too_often(worker, node)
            break
        if more := min(_alike(worker, node, trees[-1]), times - done):
            worker.i += more * trees[-1].takes
            worker.prev = worker.i - 1
            often[-1] += more
        else:
            trees.append(worker.run(node.body, after))
            often.append(1)
        done += more or 1
    return folded(trees, node, often)


def _is_lone(node: Repeat) -> bool:
    """Whether the body is one stitch into the next place."""
    stitch = node.body[0]
    return len(node.body) == 1 and isinstance(stitch, Stitch) and stitch.into.kind == "next" and stitch.stitch != "slst"


def _alike(worker: Worker, node: Repeat, last: Tree) -> int:
    """How many more times a lone stitch comes out as it just did: up to the next space."""
    if not _is_lone(node) or worker.side is not None or not last.takes or (last.moves, last.tops) != (last.takes, 1):
        return 0
    stop = worker.base.next_space(worker.i)
    return max((worker.base.tops if stop is None else stop) - worker.i, 0) // last.takes


def _once_more(worker: Worker, node: Repeat, first: Tree, after: int) -> Tree:
    """The body again; a lone stitch into the next place comes out as it did the first time."""
    if not _is_lone(node) or not worker.base.plain or worker.side is not None:
        return _body(worker, node, after)
    if first.takes:
        worker.reach(node.body[0].into, node.span, first.takes)
    return first


def _body(worker: Worker, node: Repeat, after: int) -> Tree:
    """The body once. Repeats inside repeats are worked once for each way they are come to, not twice at each depth."""
    if not any(isinstance(n, Repeat) for n in node.body) or not is_static(worker, node):
        return worker.run(node.body, after)
    way, start = (id(node), *worker.stance()), worker.i
    if way in worker.worked:
        tree, moved, stance = worker.worked[way]
        worker.stand(start + moved, stance)
        return tree
    left = worker.may_leave
    tree = worker.run(node.body, after)
    if worker.side is None and worker.may_leave == left:
        worker.worked[way] = tree, worker.i - start, worker.stance()
    return tree


def until_left(worker: Worker, node: Repeat, wanted: int, after: int) -> Tree:
    """Decreases until the round has `wanted` stitches, those made and those not yet worked together."""
    saved = worker.state()
    first = worker.run(node.body)
    takes, gone = worker.i - saved[0], worker.i - saved[0] - first.makes
    worker.restore(saved)
    if gone <= 0 or not worker.base.plain:
        return fill(worker, node, worker.stop, wanted)
    return exactly(worker, node, max(min((worker.left() - wanted) // gone, worker.left() // takes), 1), after)


def fill(worker: Worker, node: Repeat, stop: int, leave: int) -> Tree:
    """The body until `leave` stitches are left before `stop`."""
    if not worker.begun and worker.entered and worker.into_spaces and _uses_spaces(node.body[:1]):
        worker.i, worker.prev, worker.entered = 0, -1, False  # "sl st in next sp, ch 1, 3 sc in each sp around"
    if worker.side is not None and worker.side > 0:
        return exactly(worker, node, worker.side, 0)
    worker.side = None
    if worker.base.is_ring:
        if worker.base_known:
            faults.in_a_ring(worker, node)
            worker.endless = True
        worker.begun = True
        return Leaf(node)  # how often is not known: it is told as written
    if not is_static(worker, node):
        return _fill_looking(worker, node, stop, leave)
    cut = sum(worker.needs(n) for n in node.body[: node.cut or 0])
    if node.cut is not None and leave >= cut and node.times.said:
        leave -= cut  # "to last 5 sts, ending at **": the part before ** is worked on those
    left = stop - worker.i - leave
    saved = worker.state()
    first = worker.run(node.body)
    takes = worker.i - saved[0]
    if takes <= 0:
        if not worker.troubles or worker.troubles[-1].kind != "short":
            faults.takes_nothing(worker, node)
        return first
    begun = worker.i
    second = _once_more(worker, node, first, 0) if left > takes else first
    each = worker.i - begun if left > takes else takes  # "sc in same st" is a place of its own the first time only
    if each <= 0:
        faults.takes_nothing(worker, node)
        return first
    if node.times.partly and not worker.troubles and 0 < left < takes:
        worker.restore(saved)
        return _as_far_as_it_goes(worker, node, stop, leave)
    room = left - takes - (cut if node.cut is not None and left >= cut else 0)
    whole = 1 + room // each if room >= 0 else 0
    if not whole:
        worker.restore(saved)
        if left > 0 and node.cut is None:
            faults.too_few(worker, node, takes, left)
            return worker.run(node.body)
        tree: Tree = Run(())
    else:
        worker.i = begun + (whole - 1) * each
        worker.prev = worker.i - 1
        tree = first if whole == 1 else _loop(first, second, whole, node)
    if node.cut is not None:
        last = worker.run(node.body[: node.cut])
        tree = Run((tree, last)) if tree.steps else last
    over = left - (worker.i - saved[0])
    if over == worker.closing.passes and stop == worker.base.tops:
        over = 0  # the chain that the round ends with passes over them
    if over > 0 and node.times.partly:
        tree = Run((tree, _as_far_as_it_goes(worker, node, stop, leave)))
    elif over > 0 and whole > 0:
        faults.left_over(worker, node, each, whole, over, saved[0] + left - over + leave)
    return tree


def _fill_looking(worker: Worker, node: Repeat, stop: int, leave: int) -> Tree:
    """A fill over stitches and spaces: each time is worked, and the last one taken back when it goes too far."""
    trees: list[Tree] = []
    spaces = _uses_spaces(node.body)
    while True:
        if not worker.turn():
            faults.too_often(worker, node)
            break
        saved = worker.state()
        known = saved[-1]
        if worker.left(stop) <= leave and not (spaces and (worker.inside or worker.base.spaces_in(worker.i, stop))):
            break
        tree = worker.run(node.body)
        over = worker.i > stop or worker.left(stop) < leave or len(worker.troubles) > known
        if over and not trees and (not worker.base.spaces and spaces or _seeks_a_middle(node.body)):
            return Run(())  # no such place at all: that is the fault
        if worker.i == saved[0] and not over and not worker.inside and not saved[4]:
            faults.takes_nothing(worker, node)
            break
        if over:
            worker.restore(saved)
            break
        trees.append(tree)
        last = saved
    if node.cut:
        saved = worker.state()
        ending = worker.run(node.body[: node.cut])
        if trees and len(worker.troubles) > saved[-1]:  # the last of the whole times is the one that is cut short
            trees.pop()
            worker.restore(last)
            ending = worker.run(node.body[: node.cut])
        trees.append(ending)
    if node.times.partly:
        trees.append(_as_far_as_it_goes(worker, node, stop, leave))
    return folded(trees, node) if trees else Run(())


def _as_far_as_it_goes(worker: Worker, node: Repeat, stop: int, leave: int) -> Tree:
    """The beginning of the body on what is left of the base."""
    done: list[Tree] = []
    for k, part in enumerate(node.body):
        room = worker.left(stop) - leave
        if room <= 0:
            break
        if isinstance(part, Repeat) and part.times.kind == "exact" and _is_lone(part):
            done.append(exactly(worker, part, min(for_size(part.times.amount, worker.size), room), 0))
        elif worker.needs(part) > room:
            break
        else:
            done.append(worker.work(part, 0, node.body, k))
    return Run(tuple(done))


def is_static(worker: Worker, node: Repeat) -> bool:
    """Whether every time through the body takes up the same, wherever it is."""
    if worker.side is not None:
        return False
    if worker.base.is_ring:
        return True
    return worker.base.plain and not any(looks_at_base(n) for n in node.body) and not _seeks_a_kind(worker, node.body)


def looks_at_base(node: Node) -> bool:
    """Whether what a node takes up depends on where it is."""
    if isinstance(node, Repeat):
        return node.times.kind != "exact" or any(looks_at_base(n) for n in node.body)
    if isinstance(node, Evenly):
        return True
    if isinstance(node, Skip):
        return node.what == "rest" or node.first
    if isinstance(node, (Stitch, Group)):
        return node.into.kind in _LOOKED_FOR or node.into.corner
    return isinstance(node, Action) and node.kind == "other_side"


def _seeks_a_kind(worker: Worker, nodes: tuple[Node, ...]) -> bool:
    """Whether chains pass over stitches of one kind to the next of another."""
    tally, stitches = worker.base.tree.tally if worker.base.tree else {}, worker.base.stitches
    return any(isinstance(n, Chain) for n in nodes) and any(
        isinstance(n, (Stitch, Group)) and n.into.kind == "next" and 0 < tally.get(n.into.stitch, 0) < stitches
        for n in nodes
    )


def _uses_spaces(nodes: tuple[Node, ...]) -> bool:
    return any(
        isinstance(n, (Stitch, Group))
        and n.into.kind in ("space", "chain", "top")
        or isinstance(n, Repeat)
        and _uses_spaces(n.body)
        or isinstance(n, Skip)
        and n.what == "space"
        for n in nodes
    )


def _seeks_a_middle(nodes: tuple[Node, ...]) -> bool:
    return any(
        n.into.kind == "middle" if isinstance(n, (Stitch, Group)) else isinstance(n, Repeat) and _seeks_a_middle(n.body)
        for n in nodes
    )


def _loop(first: Tree, second: Tree, times: int, node: Repeat) -> Tree:
    return Loop(first, times, node) if first.same(second) else Run((first, Loop(second, times - 1, node)))


def folded(trees: list[Tree], node: Repeat, often: list[int] | None = None) -> Tree:
    """Equal neighbours become one loop, so that memory follows the text. often: how many times each tree comes."""
    groups: list[tuple[Tree, int]] = []
    for tree, n in zip(trees, often or [1] * len(trees), strict=True):
        if groups and tree.same(groups[-1][0]):
            groups[-1] = (groups[-1][0], groups[-1][1] + n)
        else:
            groups.append((tree, n))
    out = tuple(Loop(tree, n, node) if n > 1 else tree for tree, n in groups)
    return out[0] if len(out) == 1 else Run(out)
