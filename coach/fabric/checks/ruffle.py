"""ruffle: a piece that the text calls flat has far more stitches than lie flat, so that its edge must ruffle.

A flat circle grows by the same number every round: about 6 in single, 8 in half double, 12 in double crochet.

Fails:

    Mat: a flat circle.
    Rnd 1: 6 sc in magic ring. (6)
    Rnd 2: 2 sc in each st around. (12)
    Rnd 3: 2 sc in each st around. (24)
    Rnd 4: 2 sc in each st around. (48)

Passes:

    Mat: a flat circle.
    Rnd 1: 6 sc in magic ring. (6)
    Rnd 2: 2 sc in each st around. (12)
    Rnd 3: (Sc in next st, inc) 6 times. (18)
    Rnd 4: (Sc in next 2 sts, inc) 6 times. (24)
"""

from __future__ import annotations

from collections.abc import Iterator

from coach.fabric.checks.flat import flat_counts, is_called_flat
from coach.fabric.model import WorkedPart
from coach.notation.model import Fault, Pattern

TOO_MANY = 1.6  # times the stitches of a flat round


def ruffle(pattern: Pattern, part: WorkedPart) -> Iterator[Fault]:
    if not is_called_flat(pattern, part):
        return
    for worked, flat in flat_counts(part):
        if worked.made > TOO_MANY * flat:
            yield pattern.fault(
                "ruffle",
                "warning",
                worked.source.span,
                f"{worked.label} has {worked.made} stitches where about {flat:.0f} lie flat: it ruffles.",
                "Increase less often, or do not call it flat.",
            )
            return
