"""ambiguous: a repeat can be read in two ways, and neither the stitches nor a count tells which.

"Rep from * 3 times" is three times in all to some, three times more to others. Where the stitches of the round below and the
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


def ambiguous(node: Repeat, amounts: list[int], picked: int) -> Trouble:
    return Trouble("ambiguous", node.span, f"This can mean {amounts[0]} or {amounts[1]} times in all, and nothing here tells which; {picked} is taken.",
                   f'Write "{picked} times in all", or the count of the round.', "warning")
