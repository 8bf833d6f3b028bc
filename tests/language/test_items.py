"""Steps gathered as they are said."""

from __future__ import annotations

import pytest

from coach.fabric import work
from coach.fabric.changing import told_in_colours
from coach.fabric.tree import Leaf, Loop, Run
from coach.language.items import Cycle, Item, bare, folded, items_of, loosened, merged, plain_times
from coach.notation import read
from coach.notation.model import NEXT, Action, Chain, Group, Into, Repeat, Skip, Span, Stitch, Times

SC, DC, INC = Stitch("sc"), Stitch("dc"), Stitch("inc")
TO_B, DROP_B = Action("colour", "change to b"), Action("colour", "drop b")


def leaf(node, moves: int = 1) -> Leaf:
    return Leaf(node, takes=moves, makes=1)


# ---- of worked trees
def test_a_stitch_so_often_is_one_item():
    assert items_of((Loop(leaf(SC), 6),)) == [Item(SC, 6)]
    assert items_of((Loop(Loop(leaf(SC), 3), 4),)) == [Item(SC, 12)]


def test_a_repeat_of_several_is_a_cycle():
    assert items_of((Loop(Run((Loop(leaf(SC), 2), leaf(INC))), 6),)) == [Cycle((Item(SC, 2), Item(INC, 1)), 6)]


def test_a_run_is_what_it_holds():
    assert items_of((Run((leaf(SC), Run((leaf(DC), leaf(INC))))),)) == [Item(SC, 1), Item(DC, 1), Item(INC, 1)]


def test_stitches_in_one_place_do_not_go_on():
    assert items_of((Loop(leaf(SC, moves=0), 6),)) == [Item(SC, 6, goes_on=False)]


def test_what_was_worked_at_the_end_of_the_round_before_is_not_said_again():
    assert items_of((Leaf(Chain(3), steps=0), leaf(DC))) == [Item(DC, 1)]


def test_a_change_of_colour_makes_no_step_and_is_said():
    flag = work(read("Rnd 1: With A, 6 sc in magic ring. (6)\nRnd 2: Inc around. (12)\nRnd 3: With B, sc around. (12)"))
    said = [item.node for item in items_of(told_in_colours(flag.parts[0].rounds[1]))]
    assert [node.kind for node in said if isinstance(node, Action)] == ["colour"]


# ---- neighbours
def test_equal_neighbours_are_one():
    assert merged([Item(SC, 1), Item(SC, 2), Item(DC, 1), Item(SC, 1)]) == [Item(SC, 3), Item(DC, 1), Item(SC, 1)]
    assert merged([Item(Skip(1), 1), Item(Skip(1), 1)]) == [Item(Skip(1), 2)]


def test_one_place_and_the_next_are_no_equals():
    assert len(merged([Item(SC, 1), Item(SC, 1, goes_on=False)])) == 2


@pytest.mark.parametrize("node", [Chain(1), Action("turn")])
def test_chains_and_actions_are_told_singly(node):
    assert merged([Item(node, 1), Item(node, 1)]) == [Item(node, 1), Item(node, 1)]


# ---- colours
def test_a_change_goes_with_the_step_that_it_ends():
    assert folded([Item(SC, 3), Item(TO_B, 1), Item(SC, 2)]) == [Item(SC, 3, change=TO_B), Item(SC, 2)]
    assert folded([Cycle((Item(SC, 1),), 2), Item(TO_B, 1)]) == [Cycle((Item(SC, 1),), 2, TO_B)]
    assert folded([Item(Action("join"), 1), Item(TO_B, 1)]) == [Item(Action("join"), 1, change=TO_B)]


@pytest.mark.parametrize("before, change", [
    ([], TO_B),  # nothing to end
    ([Item(SC, 3)], DROP_B),  # no change
    ([Item(SC, 3, change=TO_B)], TO_B),  # that has one
    ([Item(Action("turn"), 1)], TO_B),  # no pull to take it up with
])
def test_a_change_that_ends_no_step_is_told_on_its_own(before, change):
    assert folded([*before, Item(change, 1)]) == [*before, Item(change, 1)]


# ---- groups and repeats as written
def test_the_steps_of_a_group_have_its_place():
    body = (Stitch("dc", Into("space")), Chain(2), Repeat((DC,), Times("exact", 3)))
    assert loosened(body) == [Item(DC, 1), Item(Chain(2), 1), Item(DC, 3)]
    assert loosened((Repeat((DC, Chain(1)), Times("exact", 2)),)) == [Cycle((Item(DC, 1), Item(Chain(1), 1)), 2)]


@pytest.mark.parametrize("node, found", [
    (Repeat((DC,), Times("exact", 2)), (DC, 2)),
    (Repeat((DC, SC), Times("exact", 2)), None),
    (Repeat((DC,), Times("fill", 0)), None),
    (Repeat((Chain(1),), Times("exact", 2)), None),
    (Repeat((DC,), Times("exact", (2, 3))), None),  # in two sizes
])
def test_a_repeat_that_is_nothing_but_a_number(node, found):
    assert plain_times(node) == found


def test_a_bare_node_has_no_place_in_the_text_and_neither_has_what_it_holds():
    inner = Stitch("dc", span=Span(3, 5))
    assert bare(Group((inner, inner), NEXT, span=Span(0, 9))) == Group((DC, DC), NEXT)
    assert bare(inner) == DC


def test_along_a_chain_of_its_own_each_stitch_goes_on():
    """`ch 6, dc in 4th ch from hook and in next 2 ch`: nothing of the round below is passed."""
    assert items_of((Loop(leaf(Stitch("dc", Into("chain")), moves=0), 2),)) == [Item(Stitch("dc", Into("chain")), 2)]
