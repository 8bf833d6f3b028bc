"""space: a round works into spaces of so many chains, and those of the round below are of other numbers.

Fails:

    Rnd 1: 6 sc in magic ring. (6)
    Rnd 2: (Sc in next st, ch 2) 6 times. (6 sc, 6 ch-2 sps)
    Rnd 3: (3 dc in next ch-3 sp) 6 times. (18)

Passes:

    Rnd 1: 6 sc in magic ring. (6)
    Rnd 2: (Sc in next st, ch 3) 6 times. (6 sc, 6 ch-3 sps)
    Rnd 3: (3 dc in next ch-3 sp) 6 times. (18)
"""

from __future__ import annotations

from collections.abc import Iterator

from coach.fabric.checks.seen import Seen
from coach.fabric.hand import Trouble
from coach.fabric.tree import Leaf, Run, Tree
from coach.notation.model import Chain, Group, Stitch, for_size
from coach.notation.walk import places, walk


def space(seen: Seen) -> Iterator[Trouble]:
    below = seen.base.tree
    if below is None or not below.spaces or not seen.worker.base_known or _begins_with_a_loop(below):
        return
    if "space" not in places(seen.round.body):
        return
    for node in walk(seen.round.body):
        if not isinstance(node, (Stitch, Group)) or node.into.kind != "space" or node.into.number is None:
            continue
        chains = for_size(node.into.number, seen.size)
        if f"space {chains}" not in below.tally:
            there = sorted(int(kind.split()[1]) for kind in below.tally if kind.startswith("space"))
            yield Trouble(
                "space",
                node.span,
                f"{seen.round.label} works into a ch-{chains} space, but the round below has "
                f"only {' and '.join(f'ch-{n}' for n in there)} spaces.",
                "Check the chains of the round below.",
                "warning",
            )
            return


def _begins_with_a_loop(tree: Tree) -> bool:
    """Whether a round begins with chains of which some are a space: patterns name that by all of them, or by some."""
    while not isinstance(tree, Leaf):
        children = [c for c in tree.children if c.tops] if isinstance(tree, Run) else [tree.child]
        if not children:
            return False
        tree = children[0]
    return tree.spaces > 0 and (tree.node is None or isinstance(tree.node, Chain))
