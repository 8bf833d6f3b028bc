"""Which stitch a step is."""

from __future__ import annotations

import pytest
from harbour_works import DEC, INC, JOIN, sc

from coach.fabric.tree import Leaf, Loop, Run
from coach.guide.explain import explained, first_stitch, increase, stitch_of
from coach.notation.model import RING, Action, Chain, Evenly, Group, Repeat, Skip, Stitch, Times, Unread

TWO_DC = (Stitch("dc"), Stitch("dc"))


@pytest.mark.parametrize("node, id", [
    (Stitch("dc"), "dc"), (Chain(3), "ch"), (Skip(2), "skip"), (Action("ring"), "ring"),
    (Action("fasten_off"), "fastenoff"),
    (Group((Stitch("sc"),) * 2), "inc"), (Group(TWO_DC), "dcinc"), (Group((Stitch("sc"),) * 6, RING), "sc"),
    (Group((Stitch("dc"), Chain(2), Stitch("dc"))), "dc"), (Group(()), None), (Action("note"), None), (None, None),
    (Unread("twirl"), None), (Evenly("inc", 6), None), (Repeat(TWO_DC, Times("exact", 2)), None),
])
def test_a_step_is_explained_by_its_stitch(node, id):
    assert stitch_of(node) == id


def test_only_equal_stitches_in_one_next_stitch_are_an_increase():
    assert increase(Group((Stitch("sc"), Stitch("hdc")))) is None
    assert increase(Group((Stitch("sc", loop="back"),) * 2)) is None
    assert increase(Group((Stitch("sc"),) * 9)) is None


def test_the_first_thing_that_can_be_explained_is_taken():
    assert first_stitch((Leaf(None, steps=0), Loop(Run((Loop(sc(), 2), INC)), 10**9))) == "sc"
    assert first_stitch((Leaf(Unread("twirl")), DEC)) == "invdec"
    assert first_stitch((JOIN,)) == "join"
    assert first_stitch(()) is None


def test_all_that_is_in_the_steps_is_explained_in_its_order_and_a_repeat_once():
    trees = (Loop(Run((Loop(sc(), 2), INC)), 10**9), JOIN)
    assert [id for id, _ in explained(trees)] == ["sc", "inc", "join"]
