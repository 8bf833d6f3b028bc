"""Patterns as text in, their counts out."""

from __future__ import annotations

from coach.fabric import Fabric, Worked, work
from coach.fabric.tree import Leaf, leaves
from coach.notation import read


def fabric(text: str, size: int = 0) -> Fabric:
    return work(read(text), size=size)


def rounds(text: str, size: int = 0) -> list[Worked]:
    """Every round of every part, in order."""
    return [round for part in fabric(text, size).parts for round in part.rounds]


def made(text: str, size: int = 0) -> list[int]:
    return [round.made for round in rounds(text, size)]


def takes(text: str) -> list[int]:
    return [round.takes for round in rounds(text)]


def kinds(text: str, size: int = 0) -> list[str]:
    """The kinds of faults, in the order of the text."""
    return [fault.kind for fault in fabric(text, size).faults]


def after(stitches: int, *lines: str) -> str:
    """These rounds above a round of so many single crochet; lines without a label are numbered on."""
    return "\n".join([f"Rnd 1: {stitches} sc in magic ring.", *(f"Rnd {n}: {line}" for n, line in enumerate(lines, 2))])


def flat(stitches: int, *lines: str) -> str:
    """These rows above a row of so many single crochet."""
    return "\n".join([f"Ch {stitches + 1}.", "Row 1: Sc in 2nd ch from hook and in each ch across, turn.",
                      *(f"Row {n}: {line}" for n, line in enumerate(lines, 2))])


def landings(round: Worked) -> list[int | None]:
    """For each step of a round the top of the base it goes into, counted from 0 (None: it goes into none)."""
    found, passed = [], 0
    for step in leaves(round.tree):
        found.append(None if step.at is None else passed + step.at)
        passed += step.moves
    return found


def steps(round: Worked) -> list[Leaf]:
    return list(leaves(round.tree))
