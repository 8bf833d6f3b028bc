"""count: a round makes another number of stitches than is stated for it.

The number in brackets at a round's end is what the round should have. Joins, picots and the chains of a space are not
counted; a pattern may count each chain space as one stitch, or state each kind of stitch for itself.

Fails:

    Rnd 1: 6 sc in magic ring. (6)
    Rnd 2: 2 sc in each st around. (13)

Passes:

    Rnd 1: 6 sc in magic ring. (6)
    Rnd 2: 2 sc in each st around. (12)
"""

from __future__ import annotations

from collections.abc import Iterator

from coach.fabric.blocks import blocks
from coach.fabric.checks.seen import Seen
from coach.fabric.hand import Trouble
from coach.fabric.tree import Tree
from coach.notation.model import Count, Round, for_size
from coach.notation.walk import acts
from coach.stitches.catalogue import stitch as entry_of

_UNCOUNTED = ("ch", "picot", "loop", "ray", "block")


def stated(round: Round, size: int) -> int | None:
    """The number of stitches that the text says the round has."""
    plain = [c for c in round.stated if c.kind is None]
    if plain:
        return for_size(plain[0].amount, size)
    kinds = [c for c in round.stated if c.kind and not c.kind.startswith("space") and c.kind not in _UNCOUNTED]
    return sum(for_size(c.amount, size) for c in kinds) if kinds else None


def count(seen: Seen) -> Iterator[Trouble]:
    round, tree = seen.round, seen.tree
    said = stated(round, seen.size)
    if not tree.steps or seen.worker.endless:
        return
    off = [c for c in round.stated if c.kind and not _comes_out(c, tree, seen.size)]
    if (
        said is None
        or said == tree.makes
        or (not off and any(c.kind for c in round.stated))
        or said in _with_spaces(tree)
    ):
        for c in off:
            yield Trouble(
                "count",
                c.span,
                f"{round.label} makes {_made(tree, c.kind)} of these, but {for_size(c.amount, seen.size)} are stated.",
                "Check the repeat against the count.",
            )
            return
        return
    if "moves" in acts(round.body):  # what a stitch makes that is told by the moves of the hook is not known
        return
    span = next((c.span for c in round.stated if c.kind is None), round.stated[0].span)
    more = "more" if tree.makes > said else "fewer"
    yield Trouble(
        "count",
        span,
        f"{round.label} makes {_stitches(tree.makes)}, but {said} are stated: {abs(tree.makes - said)} {more}.",
        "Check the repeat against the count, or count the round below.",
    )


def _stitches(n: int) -> str:
    return "1 stitch" if n == 1 else f"{n} stitches"


def _with_spaces(tree: Tree) -> tuple[int, ...]:
    """The counts of a pattern that counts each space as a stitch, or each chain of a space."""
    spaces = [(int(kind.split()[1]), n) for kind, n in tree.tally.items() if kind.startswith("space")]
    if not spaces:
        return ()
    return tree.makes + sum(n for _, n in spaces), tree.makes + sum(chains * n for chains, n in spaces)


def _made(tree: Tree, kind: str | None) -> int | None:
    """How many of a stated kind there are; None where the stitches can't tell (a picot, a cluster by another name)."""
    if kind in ("space", "ch"):
        return sum(n for k, n in tree.tally.items() if k.startswith("space"))
    if kind == "block":
        return blocks(tree)
    if kind is None or kind in ("picot", "loop", "ray"):
        return None
    entry = entry_of(kind)
    if (
        kind not in tree.tally
        and not kind.startswith("space")
        and (entry is None or entry.kind in ("group", "decrease", "increase"))
    ):
        return None
    return tree.tally.get(kind, 0)


def _comes_out(c: Count, tree: Tree, size: int) -> bool:
    made = _made(tree, c.kind)
    return made is None or made == for_size(c.amount, size)
