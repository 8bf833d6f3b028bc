"""foundation: a row is worked along a foundation chain, and how long that is, is not said.

"Chain a multiple of 4 plus 3" leaves the length to the maker: the count of the first row can't be known until it is
chosen.

Fails:

    Chain a multiple of 2 plus 1.
    Row 1: Sc in 2nd ch from hook and in each ch across.

Passes:

    Ch 21.
    Row 1: Sc in 2nd ch from hook and in each ch across. (20)
"""

from __future__ import annotations

from collections.abc import Iterator

from coach.fabric.checks.seen import Seen
from coach.fabric.hand import Trouble
from coach.notation.model import Chain, Repeat, Stitch, for_size
from coach.notation.walk import walk


def foundation(seen: Seen) -> Iterator[Trouble]:
    round, worker = seen.round, seen.worker
    if worker.base_known:
        return
    first = next((n for n in walk(round.body) if isinstance(n, Stitch)), None)
    along = first is not None and first.into.kind == "hook"
    if not along or any(isinstance(n, Chain) for n in (*round.foundation, *walk(round.body))):
        return
    if not any(isinstance(n, Repeat) and n.times.kind != "exact" for n in walk(round.body)):
        return
    needed = seen.base.stitches + for_size(first.into.number or 1, seen.size) - 1 if not seen.base.is_ring else None
    yield Trouble(
        "foundation",
        first.span,
        f"{round.label} is worked along a chain, and how long that is, is not said.",
        f"Write before it: Ch {needed}." if needed else "Write before it how many to chain, for example: Ch 21.",
    )
