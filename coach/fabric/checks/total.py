"""total: the text says how many squares, loops or spaces there are in all, and the row can't give them.

Old patterns state such totals in the middle of a row ("making 12 loops in all"); the space that a turning chain makes
at
the start is one of them.

Fails:

    Ch 41.
    Row 1: Dc in 9th ch from hook, *ch 3, sk 3 chs, dc in next ch; rep from * 7 more times, in all 12 spaces.

Passes:

    Ch 41.
    Row 1: Dc in 9th ch from hook, *ch 3, sk 3 chs, dc in next ch; rep from * 7 more times, in all 9 spaces.
"""

from __future__ import annotations

from collections.abc import Iterator

from coach.fabric.checks.seen import Seen
from coach.fabric.hand import Trouble
from coach.notation.model import Chain, for_size


def total(seen: Seen) -> Iterator[Trouble]:
    for c in seen.round.stated:
        said = for_size(c.amount, seen.size)
        if c.kind == "ray" and (rays := _rays(seen)) != said:
            yield Trouble(
                "total",
                c.span,
                f"{seen.round.label} gives {rays} rays in all, but {said} are stated.",
                "Check how often it is repeated.",
            )
        if c.kind == "loop" and (made := seen.tree.spaces) != said:
            yield Trouble(
                "total",
                c.span,
                f"{seen.round.label} gives {made} in all, but {said} are stated.",
                "Check the length of the chain, or how often it is repeated.",
            )


def _rays(seen: Seen) -> int:
    """What the round makes; the chain that it stands on is one."""
    return seen.tree.makes + any(isinstance(n, Chain) for n in seen.round.foundation)
