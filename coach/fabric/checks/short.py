"""short: a round needs more stitches than the round below has.

Fails:

    Rnd 1: 6 sc in magic ring. (6)
    Rnd 2: (Sc in next st, 2 sc in next st) 4 times.

Passes:

    Rnd 1: 6 sc in magic ring. (6)
    Rnd 2: (Sc in next st, 2 sc in next st) 3 times.
"""

from __future__ import annotations

from collections.abc import Iterator

from coach.fabric.checks.seen import Seen
from coach.fabric.hand import Trouble


def short(seen: Seen) -> Iterator[Trouble]:
    if seen.base.is_ring or seen.has("short", "repeat") or seen.worker.into_spaces:
        return
    if seen.tree.takes > seen.base.stitches:
        yield Trouble(
            "short",
            seen.last,
            f"{seen.round.label} runs out of stitches: it takes up {seen.tree.takes}, but the round below has "
            f"{seen.base.stitches}.",
            "Check how many times it is repeated, or the count of the round below.",
        )
