"""Worked trees in plain abbreviations, US or UK, with the numbers that the arithmetic gave them."""

from __future__ import annotations

from coach.fabric.changing import is_change
from coach.fabric.tree import Leaf, Run, Tree
from coach.notation.model import Stitch
from coach.notation.printer import abbreviation, write


def abbreviated(trees: tuple[Tree, ...], terms: str = "US") -> str:
    """`sc 2, inc`; a whole round: `(sc 2, inc) x 6`."""
    return ", ".join(filter(None, (_one(tree, terms) for tree in trees)))


def _one(tree: Tree, terms: str) -> str:
    if isinstance(tree, Leaf):
        return write((tree.node,), terms) if tree.node is not None and (tree.steps or is_change(tree)) else ""
    if isinstance(tree, Run):
        return abbreviated(tree.children, terms)
    child = tree.child
    if isinstance(child, Leaf) and isinstance(child.node, Stitch) and child.node.into.kind in ("next", "ring", "chain"):
        node = child.node
        loop = {"back": " BLO", "front": " FLO"}.get(node.loop, "")
        if node.into.kind == "ring":
            return f"{tree.times} {abbreviation(node.stitch, terms)} in ring"
        return f"{abbreviation(node.stitch, terms)} {tree.times}{loop}"
    if isinstance(child, Leaf) and isinstance(child.node, Stitch) and child.node.into.kind in ("side", "edge", "piece"):
        return f"{tree.times} {abbreviation(child.node.stitch, terms)} {child.node.into.words}"
    text = _one(child, terms)
    return f"{text} x {tree.times}" if " " not in text else f"({text}) x {tree.times}"
