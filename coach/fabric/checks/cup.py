"""cup: a piece that the text calls flat has far fewer stitches than lie flat, so that it must cup.

Fails:

    Coaster: a flat disc.
    Rnd 1: 6 sc in magic ring. (6)
    Rnd 2: Sc in each st around. (6)
    Rnd 3: Sc in each st around. (6)
    Rnd 4: Sc in each st around. (6)

Passes:

    Coaster: a flat disc.
    Rnd 1: 6 sc in magic ring. (6)
    Rnd 2: 2 sc in each st around. (12)
    Rnd 3: (Sc in next st, inc) 6 times. (18)
    Rnd 4: Sc in each st around. (18)
"""

from __future__ import annotations

from collections.abc import Iterator

from coach.fabric.checks.flat import flat_counts, is_called_flat
from coach.fabric.model import WorkedPart
from coach.notation.model import Fault, Pattern

TOO_FEW = 0.55  # of the stitches of a flat round; an edge worked even for a round or two stays above it


def cup(pattern: Pattern, part: WorkedPart) -> Iterator[Fault]:
    if not is_called_flat(pattern, part):
        return
    for worked, flat in flat_counts(part):
        if worked.made and worked.made < TOO_FEW * flat:
            yield pattern.fault(
                "cup",
                "warning",
                worked.source.span,
                f"{worked.label} has {worked.made} stitches where about {flat:.0f} lie flat: it cups.",
                "Increase more often, or do not call it flat.",
            )
            return
