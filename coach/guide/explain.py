"""Which stitch or technique of the catalogue a step is, for "what is it"."""

from __future__ import annotations

from collections.abc import Iterator

from coach.fabric.tree import Leaf, Run, Tree
from coach.notation.model import NEXT, Action, Chain, Group, Node, Skip, Stitch
from coach.stitches.catalogue import catalogue

_ACTIONS = {
    "ring": "ring",
    "turn": "turn",
    "join": "join",
    "marker": "marker",
    "colour": "colour",
    "fasten_off": "fastenoff",
}


def first_stitch(trees: tuple[Tree, ...]) -> str | None:
    """The catalogue id of the first thing in these steps that can be explained."""
    return next((id for id, _ in explained(trees)), None)


def explained(trees: tuple[Tree, ...]) -> Iterator[tuple[str, Node]]:
    """What can be explained in these steps, in their order, a repeat once: catalogue ids, and the steps."""
    for tree in trees:
        while not isinstance(tree, (Leaf, Run)):
            tree = tree.child
        if isinstance(tree, Run):
            yield from explained(tree.children)
        elif found := stitch_of(tree.node):
            yield found, tree.node


def stitch_of(node: Node | None) -> str | None:
    """The catalogue id for a step, or None."""
    match node:
        case Stitch():
            return node.stitch
        case Chain():
            return "ch"
        case Skip():
            return "skip"
        case Action():
            return _ACTIONS.get(node.kind)
        case Group():
            return increase(node) or (stitch_of(node.body[0]) if node.body else None)
    return None


def increase(group: Group) -> str | None:
    """The id of the increase that a group of equal stitches in one next stitch is, where it has a name of its own."""
    kinds = {node.stitch if isinstance(node, Stitch) and node.loop == "both" else None for node in group.body}
    if group.into != NEXT or len(kinds) != 1 or None in kinds:
        return None
    (of,) = kinds
    for entry in catalogue().stitch:
        if (entry.kind, entry.of, entry.makes) == ("increase", of, len(group.body)):
            return entry.id
    return None
