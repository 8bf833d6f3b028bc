"""Blocks worked from corner to corner: each is a chain and a few stitches into the chain of the block it stands on.

    Row 1: Ch 6, dc in 4th ch from hook and in next 2 ch                                        the first block
    Row 2: Ch 6, dc in 4th ch from hook and in next 2 ch, sl st in ch-3 sp of block below, ch 3, 3 dc in same sp
    later: Ch 1, sl st in next 3 dc and in ch-3 sp, ch 3, 3 dc in same sp, ...                  one block fewer

The chains that are skipped are the space of a new block; slip stitches only lead from one block to the next.
"""

from __future__ import annotations

from dataclasses import replace

from coach.fabric.tree import Tree
from coach.notation.model import Action, Chain, Group, Node, Round, Stitch, for_size
from coach.notation.walk import walk

WIDEST = 5  # stitches of a block


def diagonal(rounds: tuple[Round, ...]) -> bool:
    """Whether rows are made of such blocks: one begins with a new block, and goes on into the chain of another."""
    return any(round.kind == "row" and _begins_a_block(round.body) and _goes_on(round.body) for round in rounds[1:6])


def _begins_a_block(body: tuple[Node, ...]) -> bool:
    nodes = [n for n in body if not isinstance(n, Action)]
    return len(nodes) > 2 and isinstance(nodes[0], Chain) and _place(nodes[1]) == "hook"


def _goes_on(body: tuple[Node, ...]) -> bool:
    """Whether a slip stitch into a space is followed by a chain, or begins a group with one."""
    nodes = walk(body)
    pairs = zip(nodes, nodes[1:], strict=False)
    return any(_slips_into_a_space(a) and isinstance(b, Chain) or _is_a_block(a) for a, b in pairs)


def _slips_into_a_space(node: Node) -> bool:
    return isinstance(node, Stitch) and node.stitch == "slst" and _place(node) == "space"


def _is_a_block(node: Node) -> bool:
    slip = node.body[0] if isinstance(node, Group) and _place(node) == "space" and len(node.body) > 2 else None
    return isinstance(slip, Stitch) and slip.stitch == "slst" and isinstance(node.body[1], Chain)


def _place(node: Node) -> str:
    return node.into.kind if isinstance(node, (Stitch, Group)) else ""


def begun_as_a_block(round: Round) -> Round:
    """The first row with its chain among what it works, as the rows after it have theirs."""
    return replace(round, body=(*round.foundation, *round.body), foundation=())


def skipped(node: Stitch, size: int) -> int:
    """The chains before the first stitch of a new block."""
    return max(for_size(node.into.number or 2, size) - 1, 0)


def blocks(tree: Tree) -> int | None:
    """How many blocks a row has; None where it is made of something else."""
    n = tree.spaces
    even = bool(n) and tree.makes % n == 0 and tree.makes // n <= WIDEST
    return n if even else None
