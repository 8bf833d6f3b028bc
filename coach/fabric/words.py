"""Worked trees in plain US abbreviations, with the numbers that the arithmetic gave them."""

from __future__ import annotations

from coach.fabric.changing import is_change
from coach.fabric.tree import Leaf, Run, Tree
from coach.notation.model import Stitch
from coach.notation.printer import abbreviation, write


def abbreviated(trees: tuple[Tree, ...]) -> str:
    """`sc 2, inc`; a whole round: `(sc 2, inc) x 6`."""
    return ", ".join(filter(None, (_one(tree) for tree in trees)))


def _one(tree: Tree) -> str:
    if isinstance(tree, Leaf):
        return write((tree.node,)) if tree.node is not None and (tree.steps or is_change(tree)) else ""
    if isinstance(tree, Run):
        return abbreviated(tree.children)
    child = tree.child
    if isinstance(child, Leaf) and isinstance(child.node, Stitch) and child.node.into.kind in ("next", "ring", "chain"):
        node = child.node
        loop = {"back": " BLO", "front": " FLO"}.get(node.loop, "")
        if node.into.kind == "ring":
            return f"{tree.times} {abbreviation(node.stitch)} in ring"
        return f"{abbreviation(node.stitch)} {tree.times}{loop}"
    text = _one(child)
    return f"{text} x {tree.times}" if " " not in text else f"({text}) x {tree.times}"
