"""ambiguous: a repeat can be read in two ways, and neither the stitches nor a count tells which.

"Rep from * 3 times" is three times in all to some, three times more to others. Where the stitches of the round below
and the
stated count fit one of the two, that one is taken and said; this warning is for the rest.

Fails:

    Rnd 1: 6 sc in magic ring.
    Rnd 2: *Sc in next st; rep from * 3 times, leave remaining sts unworked.

Passes:

    Rnd 1: 6 sc in magic ring.
    Rnd 2: *Sc in next st; rep from * 3 times, leave remaining sts unworked. (4)
"""

from __future__ import annotations

from coach.fabric.hand import Trouble
from coach.notation.model import Repeat

MOST_DOUBTED = 3  # more than three in each of several stitches is nothing that anybody reads there


def one_or_more_each(node: Repeat, amount: int, picked: int) -> Trouble | None:
    """`2 sc in next 2 sts`: one in each of them, or two; picked: 0 for one."""
    if amount > MOST_DOUBTED:
        return None
    return Trouble(
        "ambiguous",
        node.span,
        f"This can mean one in each, or {amount} in each, and nothing here tells which; "
        f"{'one' if not picked else amount} "
        "is taken.",
        f'Write "one in each of next {amount}", "{amount} in each", or the count of the round.',
        "warning",
    )


def ambiguous(node: Repeat, amounts: list[int], picked: int) -> Trouble:
    return Trouble(
        "ambiguous",
        node.span,
        f"This can mean {amounts[0]} or {amounts[1]} times in all, and nothing here tells which; {picked} is taken.",
        f'Write "{picked} times in all", or the count of the round.',
        "warning",
    )
