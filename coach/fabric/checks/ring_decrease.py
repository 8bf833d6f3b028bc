"""ring_decrease: a decrease is worked into the ring that a piece begins with.

A decrease draws stitches of the round below together, and a ring has none.

Fails:

    Rnd 1: Sc2tog 6 times in magic ring. (6)

Passes:

    Rnd 1: Sc 6 times in magic ring. (6)
"""

from __future__ import annotations

from collections.abc import Iterator

from coach.fabric.checks.seen import Seen
from coach.fabric.hand import Trouble
from coach.notation.model import Stitch
from coach.notation.walk import walk
from coach.stitches.catalogue import stitch as entry_of


def ring_decrease(seen: Seen) -> Iterator[Trouble]:
    if not seen.worker.base.is_ring or not seen.worker.base_known:
        return
    for node in walk(seen.round.body):
        entry = entry_of(node.stitch) if isinstance(node, Stitch) else None
        if (
            entry and entry.kind == "decrease" and not entry.id.startswith(("dc", "tr", "dtr"))
        ):  # those are clusters there
            yield Trouble(
                "ring_decrease",
                node.span,
                f"{seen.round.label} decreases right into the ring, which has no stitches to draw together.",
                "Work plain stitches into the ring.",
                "warning",
            )
            return
