"""How rounds close: what the last chain passes over, and the stitch that stands for the end of a space."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from coach.fabric import work
from coach.fabric.closing import Closing, closing
from coach.notation import read
from coach.notation.model import Chain, Stitch


def last_round(text: str):
    fabric = work(read(text))
    return fabric.parts[0].rounds[-1], [f.kind for f in fabric.faults]


def closing_of(line: str) -> Closing:
    return closing(read(f"Rnd 1: 12 sc in magic ring.\nRnd 2: {line}").parts[0].rounds[1], 0)


ENDS = [  # the round's end → chains of the last space, stitches it passes over, what closes it, for how many chains
    ("*ch 3, sk 1, sc in next; rep from * around, ch 3, join.", 3, 1, None, 0),
    ("*ch 5, sk 2, sc in next; rep from * around, ch 2, dc in first sc.", 2, 2, "dc", 3),
    ("*ch 3, sk 1, sc in next; rep from * around, ch 1, dc in first sc to join.", 1, 1, "dc", 2),  # as the others
    ("*ch 6, sk 1, sc in next; rep from * around, ch 2, tr in first sc.", 2, 1, "tr", 4),
    ("*sk 1, ch 3, sc in next; rep from * around, ch 1, hdc in top of beg ch.", 1, 1, "hdc", 2),
    ("*ch 3, sc in next ch-3 sp; rep from * around, ch 3, join.", 3, 0, None, 0),
]


@pytest.mark.parametrize(("line", "chains", "passes", "stitch", "more"), ENDS)
def test_the_end_of_a_round(line, chains, passes, stitch, more):
    found = closing_of(f"Ch 1, sc in first st, {line}")
    assert isinstance(found.chain, Chain) and found.chain.count == chains
    assert (found.passes, found.stitch and found.stitch.stitch, found.more if found.stitch else 0) == (passes, stitch, more)


@pytest.mark.parametrize("line", ["Sc in each st around, join.", "*Sc in next, ch 3, sk 1; rep from * around, sc in last st.",
    "*Ch 3, sk 1, sc in next; rep from * around, sl st in first sc."])
def test_a_round_that_does_not_end_with_a_chain(line: str):
    assert closing_of(line) == Closing()


def test_rows_do_not_close():
    rows = "Ch 13.\nRow 1: Sc in 2nd ch from hook and in each ch across, turn.\nRow 2: Ch 1, *sc, ch 3, sk 1; rep from * across, ch 3."
    assert closing(read(rows).parts[0].rounds[1], 0) == Closing()


@given(spaces=st.integers(3, 40), over=st.integers(1, 6), chains=st.integers(2, 9))
def test_the_last_chain_passes_over_as_many_as_the_others(spaces, over, chains):
    n = spaces * (over + 1)
    worked, faults = last_round(
        f"Rnd 1: {n} sc in magic ring. ({n})\n"
        f"Rnd 2: Ch 1, sc in first st, *ch {chains}, sk {over}, sc in next; rep from * around, ch {chains}, join.")
    assert faults == []
    assert (worked.made, worked.takes, worked.tree.tally) == (spaces, n, {"sc": spaces, f"space {chains}": spaces})


@given(spaces=st.integers(3, 40), over=st.integers(2, 6), short=st.integers(1, 5))
def test_fewer_are_a_fault(spaces, over, short):
    n = spaces * (over + 1) - min(short, over - 1)
    _, faults = last_round(
        f"Rnd 1: {n} sc in magic ring. ({n})\nRnd 2: Ch 1, sc in first st, *ch 4, sk {over}, sc in next; rep from * around, ch 4, join.")
    assert faults == ["repeat"]


@pytest.mark.parametrize(("first", "stitch"), [(1, "hdc"), (2, "dc"), (1, "dc"), (3, "tr")])
def test_a_round_starts_where_the_last_space_was_closed(first: int, stitch: str):
    """Six spaces, one stitch in each: the first of them into the space that the stitch has closed."""
    fabric = work(read(
        "Rnd 1: 12 sc in magic ring. (12)\n"
        f"Rnd 2: Ch 1, sc in first st, *ch 5, sk 1, sc in next; rep from * around, ch {first}, {stitch} in first sc. (6 sc)\n"
        "Rnd 3: Ch 1, 3 sc in same sp, *ch 1, 3 sc in next sp; rep from * around, ch 1, join. (18 sc)"))
    assert fabric.faults == ()
    lace, fill = fabric.parts[0].rounds[1:]
    assert (lace.tree.spaces, fill.made) == (6, 18)
    assert stitch not in lace.tree.tally


def test_the_stitch_that_closes_is_told_as_written():
    worked, _ = last_round(
        "Rnd 1: 12 sc in magic ring. (12)\nRnd 2: Ch 1, sc in first st, *ch 3, sk 1, sc in next; rep from * around, ch 1, hdc in first sc.")
    last = worked.step_at(worked.steps - 1)
    assert isinstance(last.node, Stitch) and last.node.stitch == "hdc" and last.makes == 0


def test_two_together_in_one_stitch_or_over_two():
    text = "Rnd 1: {n} sc in magic ring. ({n})\nRnd 2: Ch 1, *dc2tog in next st, ch 2; rep from * around, join. (6)"
    one, _ = last_round(text.format(n=6))
    over, faults = last_round(text.format(n=12))
    assert (one.takes, one.readings) == (6, ())
    assert (over.takes, faults) == (12, [])
    assert over.readings == ("The decrease is worked over the next two stitches, since that uses 12 stitches",)
