"""Stitches told by the kind below them are worked as those come, whatever comes first, and what is not spoken of is skipped."""

from __future__ import annotations

from coach.fabric import work
from coach.fabric.model import Worked
from coach.fabric.tree import leaves
from coach.notation import read
from coach.notation.model import Skip, Stitch

BELOW = """UK terms.
Ch 20, join.
1st round: 1 double in each chain.
2nd round: * 1 double, 5 chain, miss 1; repeat from *.
3rd round: 1 treble in each double, 1 double in centre of each loop, 2 chain between.
"""


def last(text: str) -> Worked:
    fabric = work(read(text))
    assert [f.message for f in fabric.faults] == []
    return fabric.parts[0].rounds[-1]


def stitches(worked: Worked) -> list[str]:
    return [leaf.node.stitch for leaf in leaves(worked.tree) if isinstance(leaf.node, Stitch)]


def test_they_take_turns_as_the_round_below_has_them():
    third = last(BELOW)
    assert stitches(third) == ["dc", "sc"] * 10
    assert third.tree.tally == {"dc": 10, "sc": 10, "space 2": 20}


def test_the_order_of_the_words_is_not_that_of_the_work():
    fourth = last(BELOW + "4th round: 1 double on each double, 1 treble on each treble, 3 chain between.")
    assert stitches(fourth) == ["dc", "sc"] * 10
    assert (fourth.made, fourth.takes) == (20, 20)


def test_a_kind_that_is_not_spoken_of_is_skipped():
    fourth = last(BELOW + "4th round: 1 double on each treble, 3 chain between.")
    assert (fourth.made, fourth.takes) == (10, 20)
    assert sum(isinstance(leaf.node, Skip) for leaf in leaves(fourth.tree)) == 10


def test_a_kind_that_is_not_there_is_a_fault():
    fabric = work(read(BELOW + "4th round: 1 double on each double treble, 3 chain between."))
    assert [f.kind for f in fabric.faults] == ["repeat"]
    assert "nothing of this kind" in fabric.faults[0].message


def test_over_the_chains_and_over_the_trebles():
    fourth = last(BELOW + "4th round: 2 double over 2 chain, 1 treble over each treble, 1 double over each double.")
    assert fourth.tree.tally == {"dc": 10, "sc": 50}


def test_where_all_are_of_one_kind_it_costs_nothing():
    fabric = work(read("UK terms.\nRnd 1: 6 dc in ring.\nRnd 2: Dc in next st, (dc in next st) 1000000000 times. \n"
                       "1st row: 1 treble on each double, 1 double on each treble."))
    assert fabric.parts  # returns at once, whatever it finds
