"""The faults of arithmetic, one small check each. A check's docstring is its manual entry, its examples are tested.

A check of a round is given a `Seen` and yields `Trouble`s; a check of a part or of the whole yields `Fault`s. To add
one,
write its file and put it into the list here.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from coach.fabric.checks import ambiguous, repeat
from coach.fabric.checks.count import count, stated
from coach.fabric.checks.cup import cup
from coach.fabric.checks.foundation import foundation
from coach.fabric.checks.leaves import leaves
from coach.fabric.checks.ring_again import ring_again
from coach.fabric.checks.ring_decrease import ring_decrease
from coach.fabric.checks.ruffle import ruffle
from coach.fabric.checks.seen import Seen
from coach.fabric.checks.short import short
from coach.fabric.checks.space import space
from coach.fabric.checks.total import total
from coach.fabric.checks.turning import turning
from coach.fabric.checks.unmade import unmade

if TYPE_CHECKING:
    from coach.fabric.base import Base
    from coach.fabric.hand import Trouble
    from coach.fabric.model import Fabric, WorkedPart
    from coach.fabric.tree import Tree
    from coach.fabric.worker import Worker
    from coach.notation.model import Fault, Pattern, Round

OF_A_ROUND = (foundation, short, leaves, count, total, ring_decrease, space)
OF_A_PART = (ring_again, turning, ruffle, cup)
OF_THE_WHOLE = (unmade,)


def round_troubles(round: Round, tree: Tree, worker: Worker, base: Base, size: int) -> list[Trouble]:
    """What is wrong with one round as worked (of which everything was read)."""
    seen = Seen(round, tree, worker, base, size)
    return [trouble for check in OF_A_ROUND for trouble in check(seen)]


def part_faults(pattern: Pattern, part: WorkedPart) -> list[Fault]:
    """What is wrong with a part over several rounds."""
    return [fault for check in OF_A_PART for fault in check(pattern, part)]


def whole(fabric: Fabric) -> list[Fault]:
    """What is wrong with the pattern as a whole."""
    return [fault for check in OF_THE_WHOLE for fault in check(fabric)]


__all__ = [
    "OF_A_PART",
    "OF_A_ROUND",
    "OF_THE_WHOLE",
    "Seen",
    "ambiguous",
    "count",
    "cup",
    "foundation",
    "leaves",
    "part_faults",
    "repeat",
    "ring_again",
    "ring_decrease",
    "round_troubles",
    "ruffle",
    "short",
    "space",
    "stated",
    "total",
    "turning",
    "unmade",
    "whole",
]
