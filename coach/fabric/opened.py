"""Chains over skipped stitches that the next round works one by one (a thumb hole, a mesh): places of one each."""

from __future__ import annotations

from dataclasses import replace

from coach.fabric.tree import Leaf, Loop, Run, Top, Tree
from coach.notation.model import NEXT, Node, Repeat, Round, Stitch
from coach.notation.walk import places


def opened(tree: Tree) -> Tree:
    """The tree of a round with each chain of its spaces a place to work into; only its tops are kept of such a step."""
    if not tree.spaces:
        return tree
    if isinstance(tree, Run):
        return Run(tuple([opened(child) for child in tree.children]))
    if isinstance(tree, Loop):
        return Loop(opened(tree.child), tree.times, tree.node)
    places = [Loop(_CHAIN, top.chains) if top.is_space else _place(top) for top in tree.made_tops]
    return Run(tuple(places))


def _place(top: Top) -> Leaf:
    return Leaf(None, tops=(top,))


_CHAIN = _place(Top("ch"))


def says_chains(round: Round, below: Tree | None) -> bool:
    """Whether a round's words work into single chains of the round below ("sc in next 5 chs", "in each st and ch")."""
    if below is None or not below.spaces:
        return False
    kinds = places(round.body)
    single = all(kind == "space 1" for kind in below.tally if kind.startswith("space"))
    return "space" not in kinds and ("chain" in kinds or "top" in kinds and single)


def into_each(body: tuple[Node, ...]) -> tuple[Node, ...]:
    """`sc in each st and ch around` where chains and stitches are places alike: in each place."""
    return tuple([_into_each(n) if isinstance(n, Repeat) and n.times.kind == "fill" else n for n in body])


def _into_each(node: Repeat) -> Repeat:
    return replace(
        node,
        body=tuple(
            [
                replace(n, into=NEXT) if isinstance(n, Stitch) and n.into.kind in ("chain", "top") else n
                for n in node.body
            ]
        ),
    )
