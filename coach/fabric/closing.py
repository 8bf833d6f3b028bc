"""How a round closes: its last chain passes over stitches as those before it do, and a stitch may stand for its end.

*ch 3, sk 1, sc in next; rep from * around, ch 3, join      the last chain passes over the last stitch, too
*sk 1, sc in next, ch 3; rep from * around, join            so does that of the last time
... ch 1, hdc in first sc to join                           the half double makes the other two chains of the space
"""

from __future__ import annotations

from itertools import pairwise

from coach.notation.model import Action, Chain, Node, Repeat, Round, Skip, Stitch, for_size
from coach.stitches.catalogue import stitch as entry_of
from coach.values import value


@value
class Closing:
    """chain: the last one of a round (None: of the repeat that it ends with); passes: stitches that it may pass over;
    stitch: what closes its space, in place of so many chains (`more`): as many as it is high, or those that the other
    spaces have, where that is one off."""

    chain: Chain | None = None
    passes: int = 0
    stitch: Stitch | None = None
    more: int = 0


UNTOLD = Closing()


def closing(round: Round, size: int) -> Closing:
    """How a round in the size with this index ends; of a row nothing is known."""
    made = [n for n in round.body if not isinstance(n, Action)]
    last = made[-1] if made and round.kind != "row" else None
    stitch = last if isinstance(last, Stitch) and last.into.kind in ("first", "tch") and last.stitch != "slst" else None
    made = _before_skips(made[:-1]) if stitch else made
    if isinstance(last, Repeat) and last.body and isinstance(last.body[-1], Chain):
        return Closing(passes=_passed(last, size))
    if last is None or not made or not isinstance(made[-1], Chain):
        return UNTOLD
    entry = entry_of(stitch.stitch) if stitch else None
    if stitch and (entry is None or entry.kind != "stitch"):
        return UNTOLD
    before = next((n for n in reversed(made[:-1]) if isinstance(n, Repeat)), made[-1])
    more = int(entry.turning_chain or 1) if entry else 0
    further = _others(before, size) - for_size(made[-1].count, size)
    return Closing(made[-1], _passed(before, size), stitch, further if stitch and abs(further - more) <= 1 else more)


def _before_skips(nodes: list[Node]) -> list[Node]:
    """`ch 2, sk last 2 sts, dc in first sc`: what the chain passes over may be told."""
    last = next((i for i in range(len(nodes), 0, -1) if not isinstance(nodes[i - 1], Skip)), 0)
    return nodes[:last]


def _others(node: Node, size: int) -> int:
    """The chains of the spaces that a repeat makes."""
    chains = [n for n in node.body if isinstance(n, Chain)] if isinstance(node, Repeat) else []
    return for_size(chains[-1].count, size) if chains else 0


def _passed(node: Node, size: int) -> int:
    """The stitches that each chain of a repeat passes over."""
    for a, b in pairwise((*node.body, node.body[0]) if isinstance(node, Repeat) else ()):
        chain, skip = (a, b) if isinstance(a, Chain) else (b, a)
        if isinstance(chain, Chain) and isinstance(skip, Skip) and skip.what == "stitch":
            return for_size(skip.count, size)
    return 0
