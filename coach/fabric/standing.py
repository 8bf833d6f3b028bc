"""What the chains before the first stitch of a row stand for."""

from __future__ import annotations

from coach.fabric.tree import Leaf, Top, tally_of
from coach.stitches.catalogue import stitch as entry_of

LOOP = 2  # chains of the loop that a low stitch far from the hook leaves before it


def standing_chains(id: str, skipped: int, counts: bool | None) -> Leaf | None:
    """The chains before the first stitch of a foundation row: a stitch, where they count (`dc in 4th ch from hook`),
    and
    a space, where there are more of them than the stitch is high."""
    entry = entry_of(id)
    height = entry.turning_chain if entry else 1
    extra = (skipped - height) // 2  # of the rest, half stands up as a space and half lies under it
    space = (Top("space", extra),) if extra > 0 else ()
    usual = height >= 3 and skipped >= height
    if (usual if counts is None else counts) and skipped >= (1 if counts else 2):
        tops = (Top(id), *space)
        return Leaf(None, makes=1, tops=tops, tally=tally_of(tops), steps=0)
    if extra >= LOOP:
        return Leaf(None, tops=space, tally=tally_of(space), steps=0)
    return None
