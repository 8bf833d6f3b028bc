"""Stitches told by the kind of stitch below them (`1 double on each double, 1 treble on each treble`), worked as those
come."""

from __future__ import annotations

from typing import TYPE_CHECKING

from coach.fabric.checks import repeat as faults
from coach.fabric.tree import Leaf, Loop, Run, Top, Tree
from coach.notation.extents import AROUND
from coach.notation.model import Group, Node, Repeat, Skip, Stitch

if TYPE_CHECKING:
    from coach.fabric.worker import Worker


LONGEST_PERIOD = 12  # places after which the same may come again


def as_they_come(worker: Worker, node: Repeat) -> Tree:
    """What is worked on each place up to the end; places of a kind that nothing is said of are passed over."""
    base = worker.base
    kinds = {top for top in base.tree.tally} if base.tree else set()
    if len(kinds) == 1 and base.plain and (only := _said_of(node, Top(next(iter(kinds))))) is not None:
        return worker.run((Repeat(only.body, AROUND, None, node.span),))
    trees: list[Tree] = []
    found = False
    while worker.i < worker.stop:
        if not worker.turn():
            faults.too_often(worker, node)
            break
        top = base.top(worker.i)
        said = _said_of(node, top) if top else None
        if said is None:
            space = top is None or top.is_space
            trees.append(
                Leaf(None if space else Skip(span=node.span), takes=int(not space), moves=1, steps=int(not space))
            )
            worker.i += 1
            continue
        found = True
        trees.append(worker.run(said.body))
    if not found and worker.base.tops:
        faults.no_such_kind(worker, node)
    return _periodic(trees, node)


def _periodic(trees: list[Tree], node: Repeat) -> Tree:
    """The trees as a loop of those that come again and again; a first one, and some last ones, may be unlike."""
    for first in (0, 1):
        rest = trees[first:]
        for period in range(1, LONGEST_PERIOD + 1):
            times = next((i for i, t in enumerate(rest) if not t.same(rest[i % period])), len(rest)) // period
            if times > 1 and len(rest) - times * period < period:
                each = rest[0] if period == 1 else Run(tuple(rest[:period]))
                return Run((*trees[:first], Loop(each, times, node), *rest[times * period :]))
    return Run(tuple(trees))


def _said_of(node: Repeat, top: Top) -> Repeat | None:
    """What is worked on a place of this kind."""
    return next((n for n in node.body if isinstance(n, Repeat) and _is_for(n.body[0], top)), None)


def _is_for(node: Node, top: Top) -> bool:
    if not isinstance(node, (Stitch, Group)):
        return False
    if top.is_space:
        chains = node.into.number
        return node.into.kind in ("space", "middle") and chains in (None, top.chains)
    return node.into.kind == "next" and node.into.stitch == top.kind
