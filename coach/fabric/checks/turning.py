"""turning: the chain at the start of a row counts as a stitch here and not there, or counts beside a stitch in its
place.

A chain that counts stands on the first stitch; a stitch into the first one as well makes the row grow at its edge
each time.
Where a count is stated the growth is meant; where none is, this warning asks.

Fails:

    Ch 12.
    Row 1: Dc in 4th ch from hook (skipped chs count as dc) and in each ch across, turn. (10)
    Row 2: Ch 3 (counts as dc), sk first st, dc in each st across, turn. (10)
    Row 3: Ch 3 (does not count as a st), dc in each st across, turn. (10)

Passes:

    Ch 12.
    Row 1: Dc in 4th ch from hook (skipped chs count as dc) and in each ch across, turn. (10)
    Row 2: Ch 3 (counts as dc), sk first st, dc in each st across, turn. (10)
    Row 3: Ch 3 (counts as dc), sk first st, dc in each st across, turn. (10)
"""

from __future__ import annotations

from collections.abc import Iterator

from coach.fabric.model import WorkedPart
from coach.notation.model import Amount, Chain, Fault, Pattern, Repeat, Stitch


def turning(pattern: Pattern, part: WorkedPart) -> Iterator[Fault]:
    said: dict[Amount, bool] = {}
    for worked in part.rounds:
        body = worked.source.body
        chain = body[0] if body else None
        if not isinstance(chain, Chain) or chain.counts is None:
            continue
        if said.setdefault(chain.count, chain.counts) != chain.counts:
            does, did = ("counts", "does not") if chain.counts else ("does not count", "does")
            yield pattern.fault(
                "turning",
                "warning",
                chain.span,
                f"The chain at the start {does} as a stitch here, and {did} in an earlier row.",
                "Let it count in every row, or in none.",
            )
            return
        if chain.counts and worked.stated is None and worked.source.kind == "row" and _in_its_place(body[1:2]):
            yield pattern.fault(
                "turning",
                "warning",
                chain.span,
                "The chain counts as a stitch, and a stitch goes into the same place: the row grows.",
                "Skip the first stitch, or state the count of the row.",
            )
            return


def _in_its_place(body: tuple) -> bool:
    node = body[0] if body else None
    if isinstance(node, Repeat) and node.body:
        node = node.body[0]
    return isinstance(node, Stitch) and node.into.kind in ("first", "same")
