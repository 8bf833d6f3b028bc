"""What the order of a round's steps tells of one of them."""

from __future__ import annotations

from itertools import zip_longest

from coach.notation.model import Action, Chain, Group, Node, Repeat, Stitch


def is_slip(node: Node) -> bool:
    """Whether a node is slip stitches and nothing else."""
    if isinstance(node, Stitch):
        return node.stitch == "slst"
    once = isinstance(node, Repeat) and node.times.kind == "exact" and bool(node.body)
    return once and all([is_slip(n) for n in node.body])


def fills_a_rest(node: Node) -> bool:
    """Whether a node fills a rest, or does in another reading, or holds one that does."""
    if not isinstance(node, Repeat):
        return False
    if node.times.kind != "exact" or node.other is not None and fills_a_rest(node.other):
        return True
    return any([fills_a_rest(n) for n in node.body])


def starts_later(nodes: tuple[Node, ...], k: int) -> bool:
    """Whether only slip stitches come between here and the chain that the round starts with."""
    for node, after in zip_longest(nodes[k + 1 :], nodes[k + 2 :]):
        if isinstance(node, Chain) or (isinstance(node, Group) and node.body and isinstance(node.body[0], Chain)):
            picot = isinstance(node, Chain) and isinstance(after, Stitch) and is_slip(after)
            return not (picot and after.into.kind == "same")
        if isinstance(node, (Stitch, Group)) and node.into.kind == "same" and not is_slip(node):
            return True  # "sl st in next 2 ch, sc in same sp"
        if not is_slip(node) and not (isinstance(node, Action) and node.kind == "colour"):
            return False
    return False


def begins_a_row(nodes: tuple[Node, ...], k: int) -> bool:
    """Whether the k-th node is the first that is worked, and others follow it."""
    before = all(isinstance(n, (Chain, Action)) for n in nodes[:k])
    return before and any(isinstance(n, (Stitch, Group, Repeat)) and not is_slip(n) for n in nodes[k + 1 :])


def chain_before(nodes: tuple[Node, ...], k: int) -> bool:
    """Whether a chain stands before the k-th node."""
    return k > 0 and isinstance(nodes[k - 1], Chain)
