"""ring_again: a round goes into the ring although another round is worked on it already.

A ring is made once, for the first round; what comes after goes into the round below.

Fails:

    Rnd 1: 6 sc in magic ring. (6)
    Rnd 2: 12 sc in magic ring. (12)

Passes:

    Rnd 1: 6 sc in magic ring. (6)
    Rnd 2: 2 sc in each st around. (12)
"""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise

from coach.fabric.model import WorkedPart
from coach.notation.model import Action, Fault, Group, Pattern, Round, Span, Stitch
from coach.notation.walk import acts, places, walk


def ring_again(pattern: Pattern, part: WorkedPart) -> Iterator[Fault]:
    for below, worked in pairwise(part.rounds):
        place = into_ring(worked.source)
        if place is not None and below.made > 0:
            yield pattern.fault(
                "ring_again",
                "error",
                place,
                f"{worked.label} goes into the ring again, and {below.label} is worked on it already.",
                "Work into the stitches of the round below, or begin a new part.",
            )


def into_ring(round: Round) -> Span | None:
    """Where a round makes a ring or works into one; None where it doesn't, or says that it does so past the round
    below."""
    if not round.foundation and not acts(round.body) and "ring" not in places(round.body):
        return None
    nodes = (*walk(round.foundation), *walk(round.body))
    rings = [
        n.span
        for n in nodes
        if isinstance(n, Action)
        and (n.kind == "ring" or n.text == "ring")
        or isinstance(n, (Stitch, Group))
        and n.into.kind == "ring"
    ]
    if not rings or any(isinstance(n, Action) and n.kind == "elsewhere" for n in nodes):
        return None
    return rings[0]
