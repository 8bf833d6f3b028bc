"""Rounds told without a label: how many, of which stitch, for which sizes. One that can't be read is a fault."""

from __future__ import annotations

import pytest

from coach.fabric import work
from coach.notation import read
from coach.notation.plain_rounds import tells_rounds

CAP = """Pilot's cap
Sizes: S (M, L)

Rnd 1: 8 hdc in a magic ring, join. (8)
Rnd 2: Ch 2, 2 hdc in each st around, join. (16)
{told}

Brim
Rnd 1: Ch 1, sc in each st around, join.
"""


def counts(told: str, size: int = 0) -> list[int]:
    fabric = work(read(CAP.format(told=told)), size=size)
    assert fabric.faults == ()
    return [r.made for r in fabric.parts[0].rounds][2:]


@pytest.mark.parametrize("told", [
    "Work 3 more rounds of hdc.",
    "Work 3 rounds of hdc even. (16)",
    "Work 3 rounds in hdc",
    "Hdc in each st around for 3 rounds. (16)",
    "Work hdc in each hdc for a total of 3 rounds.",
    "Continue in half double crochet for 3 more rounds.",
    "Hdc 3 rounds.",
    "Half double crochet in each stitch around for 3 rounds.",
    "Next 3 rnds: ch 2, hdc in each st around, join. (16)",
    "For the next 3 rounds: ch 2, hdc in each st around, join.",
    "For the next 3 rounds, ch 2, hdc in each st around, join.",
    "Work the next 3 rounds: ch 2, hdc in each st around, join.",
    "Work 3 rounds: ch 2, hdc in each st around, join.",
    "Work 3 rounds even: ch 2, hdc in each st around, join. (16)",
    "All sizes: Work even for 3 rounds. (16)",
    "All sizes: Next 3 rounds: ch 2, hdc in each st around, join.",
])
@pytest.mark.parametrize("heading", ["", "\nBody\n"])
def test_three_rounds(told: str, heading: str):
    assert counts(heading + told) == [16, 16, 16]


@pytest.mark.parametrize(("told", "rounds"), [
    ("Work 3 (4, 5) rounds of sc.", (3, 4, 5)),
    ("All sizes: Work 3 (4, 5) rounds even: ch 2, hdc in each st around, join.", (3, 4, 5)),
    ("Sizes M and L only: Work 2 rounds even.", (0, 2, 2)),
    ("Sizes M and L only:\nWork 2 rounds even.", (0, 2, 2)),
    ("Size L only: Next 2 rounds: ch 2, hdc in each st around, join.", (0, 0, 2)),
    ("Size L only: Work 2 rounds even.\nRnd 5: Hdc in each st around.", (1, 1, 3)),
    ("Size L only:\nWork 2 rounds even.\nAll sizes: Work 1 round of sc.", (1, 1, 3)),
    ("Body\nSizes M and L only:\nWork 3 (4, 5) rounds of sc.", (0, 4, 5)),
])
def test_of_each_size(told: str, rounds: tuple[int, ...]):
    assert tuple(len(counts(told, size)) for size in range(3)) == rounds


def test_the_stitch_is_the_one_that_is_told():
    by_stitch = [read(CAP.format(told=f"Work 2 rounds of {stitch}.")).parts[0].rounds[-1] for stitch in ("sc", "dc")]
    assert [r.body[0].body[0].stitch for r in by_stitch] == ["sc", "dc"]


def test_in_the_terms_of_the_pattern():
    text = "Square, UK terms\nRow 1: Ch 9, dc in 2nd ch from hook and in each ch, turn. (8)\nWork 2 rows of dc.\n"
    assert read(text).parts[0].rounds[-1].body[0].body[0].stitch == "sc"


@pytest.mark.parametrize("told", ["Work 3 rounds of hdc, twirling each st as a knot.",
    "Continue with 3 rounds of shimmer sc."])
def test_what_is_not_understood_is_a_fault(told: str):
    fabric = work(read(CAP.format(told=told)))
    assert [(f.line, f.kind) for f in fabric.faults] == [(6, "unknown")]


@pytest.mark.parametrize("remark", ["The next 3 rounds are the hardest.", "Count the 16 stitches after 3 rounds.",
    "Work loosely.", "For the next round, you will need a marker.", "Leave the last 3 rounds for the brim."])
def test_remarks_are_none(remark: str):
    assert not tells_rounds(remark)
    assert counts(remark) == []
