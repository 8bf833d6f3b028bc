"""With how many stitches a round is reckoned where its count is in doubt, and which rounds these are.

A round that can't be counted is taken as the count that is written for it, and left out where none is written. A round
with a fault is taken as it works out. Whoever shows a size, an amount or a picture says so beside it (`told`).
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import NamedTuple

from coach.fabric.model import Worked, WorkedPart

RUN = 3  # so many rounds in a row are told by the first and the last
_ONE = (
    "can't be counted and is left out, so the true figures may be larger.",
    "can't be counted and is taken as the count written for it.",
    "has a fault and is taken as it works out.",
)
_SEVERAL = (
    "can't be counted and are left out, so the true figures may be larger.",
    "can't be counted and are taken as the counts written for them.",
    "have faults and are taken as they work out.",
)


class Doubts(NamedTuple):
    """The rounds of a part that a figure is unsure of, in order. left_out: neither counted nor with a count written;
    written: taken as their written count; faulty: counted, but something in them is wrong."""

    left_out: tuple[Worked, ...] = ()
    written: tuple[Worked, ...] = ()
    faulty: tuple[Worked, ...] = ()


def stitches(worked: Worked) -> int:
    """The stitches that a round is reckoned with; 0 for one that is left out."""
    return worked.made if worked.counted else worked.stated or 0


def doubts(part: WorkedPart) -> Doubts:
    """The rounds of a part that are in doubt."""
    uncounted = [r for r in part.rounds if not r.counted]
    return Doubts(
        tuple(r for r in uncounted if not r.stated),
        tuple(r for r in uncounted if r.stated),
        tuple(r for r in part.rounds if r.counted and not r.sound),
    )


def told(part: WorkedPart) -> Iterator[str]:
    """What figures of a part leave out or take on trust, a sentence each; nothing where every round is sure."""
    for rounds, one, several in zip(doubts(part), _ONE, _SEVERAL, strict=True):
        if rounds:
            yield f"{listed(rounds, part)} {one if len(rounds) == 1 else several}"


def listed(rounds: Sequence[Worked], part: WorkedPart) -> str:
    """`Rnd 3`, `Rnd 3 and Rnd 5`, `Rnd 3, Rnd 5 to Rnd 9 and Rnd 12`."""
    names = [a.label if n == 1 else f"{a.label} to {b.label}" for a, b, n in runs(rounds, part)]
    return " and ".join(filter(None, (", ".join(names[:-1]), names[-1])))


def runs(rounds: Sequence[Worked], part: WorkedPart) -> Iterator[tuple[Worked, Worked, int]]:
    """(first, last, number) of rounds of a part that lie in a row, from three on; the others singly."""
    at = {id(worked): index for index, worked in enumerate(part.rounds)}
    start = 0
    for end, worked in enumerate(rounds):
        if end + 1 < len(rounds) and at[id(rounds[end + 1])] == at[id(worked)] + 1:
            continue
        if (many := end - start + 1) >= RUN:
            yield rounds[start], worked, many
        else:
            yield from ((one, one, 1) for one in rounds[start : end + 1])
        start = end + 1
