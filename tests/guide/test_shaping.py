"""Increases and decreases found in trees, against lists of every step."""

from __future__ import annotations

import pytest
from harbour_works import DEC, INC, JOIN, sc, trees
from hypothesis import given
from hypothesis import strategies as st

from coach.fabric.tree import Leaf, Loop, Run
from coach.fabric.tree import leaves as every_step
from coach.guide.shaping import (
    has_loops,
    is_decrease,
    is_increase,
    is_plain,
    is_shaping,
    kinds,
    last_before,
    repeats,
    times,
    times_before,
)
from coach.notation.model import RING, Chain, Group, Stitch

tests = st.sampled_from([is_increase, is_decrease, is_plain, is_shaping])


def walked(tree) -> list[Leaf]:
    return [leaf for leaf in every_step(tree) if leaf.steps]


@pytest.mark.parametrize("leaf, what", [
    (sc(), "plain"), (sc(RING), "plain"), (INC, "increase"), (DEC, "decrease"), (JOIN, ""), (Leaf(Chain(1)), ""),
])
def test_each_step_is_of_one_kind(leaf, what):
    tests_ = {"plain": is_plain, "increase": is_increase, "decrease": is_decrease}
    assert [name for name, test in tests_.items() if test(leaf)] == ([what] if what else [])
    assert is_shaping(leaf) == (what in ("increase", "decrease"))


@given(trees, tests, st.integers(-1, 400))
def test_counting_is_as_walking(tree, test, step):
    steps = walked(tree)
    assert times(tree, test) == sum(map(test, steps))
    assert times_before(tree, step, test) == sum(map(test, steps[: max(step, 0)]))


@given(trees, tests, st.integers(-1, 400))
def test_the_last_one_is_as_walking(tree, test, step):
    found = [i for i, leaf in enumerate(walked(tree)[: max(step, 0)]) if test(leaf)]
    assert last_before(tree, step, test) == (found[-1] if found else None)


@given(trees)
def test_every_step_of_the_text_with_how_often_it_is_worked(tree):
    steps = walked(tree)
    assert sum(n for _, n in kinds(tree)) == len(steps)
    for leaf, _ in kinds(tree):
        assert sum(n for other, n in kinds(tree) if other is leaf) == sum(step is leaf for step in steps)


def test_repeats_of_several_steps_and_into_a_ring():
    inner = Loop(Run((sc(), INC)), 3)
    outer = Loop(Run((inner, Loop(DEC, 4))), 2)
    assert [(loop is inner, n) for loop, n in repeats(outer)] == [(False, 1), (True, 2)]
    assert len(list(repeats(Loop(sc(RING), 6)))) == 1 and not list(repeats(Loop(sc(), 6)))


def test_a_thousand_million_are_not_walked():
    huge = Loop(Run((Loop(sc(), 2), INC)), 10**9)
    assert times(huge, is_increase) == 10**9
    assert times_before(huge, 3 * 10**9 - 1, is_increase) == 10**9 - 1
    assert last_before(huge, 3 * 10**9 - 1, is_increase) == 3 * 10**9 - 4
    assert last_before(Run((INC, Loop(sc(), 10**12))), 10**12, is_increase) == 0


def test_a_loop_that_the_hook_goes_under_is_found_however_deep():
    plain, back = sc(), sc(loop="back")
    assert not has_loops(Loop(Run((plain, Loop(INC, 3))), 4))
    assert has_loops(back) and has_loops(Loop(Run((plain, Loop(back, 3))), 4))
    assert has_loops(Leaf(Group((Stitch("sc"), Stitch("sc", loop="front"))), takes=1, makes=2))
