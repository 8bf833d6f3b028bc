"""Trees of worked steps: the answer is always that of a list of every step, and takes no longer for a billion."""

from __future__ import annotations

import itertools

import pytest
from hypothesis import given
from hypothesis import strategies as st
from trees import DC, SC, V2, V3, all_tops, leaf, total, trees

from coach.fabric.tree import (
    SUMS,
    Leaf,
    Loop,
    Run,
    Top,
    count_before,
    leaf_at,
    leaves,
    path,
    sums_before,
    top_at,
    tops_before,
)

INC = leaf(tops=(SC, SC), name="inc")
PLAIN = leaf()
DEC = leaf(takes=2, name="sc2tog")
SHELL = leaf(tops=(DC, V2, DC), name="shell")
BILLION = 10**9


class TestLeaf:
    def test_a_top_is_a_stitch_or_a_space(self):
        assert not SC.is_space and not Top("ch").is_space
        assert V2.is_space and V2.chains == 2

    def test_spaces_and_stitches_are_counted_apart(self):
        assert (SHELL.tops, SHELL.stitches, SHELL.spaces, SHELL.makes) == (3, 2, 1, 2)

    def test_a_step_moves_past_what_it_takes_up_unless_it_says_otherwise(self):
        assert DEC.moves == 2
        assert Leaf(None, takes=1, moves=3).moves == 3

    def test_what_was_worked_at_the_end_of_the_round_before_is_no_step(self):
        standing = Leaf(None, makes=1, tops=(DC,), steps=0)
        round = Run((standing, Loop(leaf(tops=(DC,), name="dc"), 19)))
        assert (round.steps, round.makes) == (19, 20)

    def test_equal_steps_are_the_same_and_others_are_not(self):
        assert PLAIN.same(leaf())
        for other in (INC, DEC, leaf(tops=(DC,)), leaf(moves=2), leaf(at=1), leaf(name="dc"), Run((PLAIN,)),
            Loop(PLAIN, 1)):
            assert not PLAIN.same(other)


class TestSums:
    def test_a_run_is_the_sum_of_what_is_in_it(self):
        run = Run((PLAIN, INC, DEC))
        assert {name: getattr(run, name) for name in SUMS} == {
            "steps": 3, "takes": 4, "moves": 4, "makes": 4, "tops": 4, "stitches": 4, "spaces": 0}

    def test_a_loop_is_so_many_of_what_is_in_it(self):
        loop = Loop(Run((PLAIN, INC)), 6)
        assert (loop.steps, loop.takes, loop.makes) == (12, 12, 18)
        assert loop.tally == {"sc": 18}

    def test_a_tally_is_by_kind_and_spaces_by_their_chains(self):
        round = Loop(Run((SHELL, leaf(tops=(V3,), takes=0, name="ch"), PLAIN)), 4)
        assert round.tally == {"dc": 8, "space 2": 4, "space 3": 4, "sc": 4}

    def test_an_empty_run_is_nothing(self):
        assert not any(getattr(Run(()), name) for name in SUMS)
        assert Run(()).tally == {}

    @given(trees)
    def test_every_sum_is_that_of_the_steps_written_out(self, tree):
        steps = list(leaves(tree))
        for name in SUMS:
            assert getattr(tree, name) == total(steps, name), name

    @given(trees)
    def test_the_tally_is_that_of_the_tops_written_out(self, tree):
        written = [f"space {t.chains}" if t.is_space else t.kind for t in all_tops(tree)]
        assert tree.tally == {kind: written.count(kind) for kind in set(written)}

    @given(trees)
    def test_stitches_and_spaces_together_are_all_tops(self, tree):
        assert tree.stitches + tree.spaces == tree.tops


class TestSame:
    @given(trees)
    def test_a_tree_is_the_same_as_itself(self, tree):
        assert tree.same(tree)

    @given(trees, trees)
    def test_it_goes_both_ways(self, a, b):
        assert a.same(b) == b.same(a)

    @given(trees, trees)
    def test_trees_that_are_the_same_have_the_same_steps(self, a, b):
        if a.same(b):
            assert len(list(leaves(a))) == len(list(leaves(b)))
            assert all(x.same(y) for x, y in zip(leaves(a), leaves(b)))

    def test_a_loop_of_other_times_is_another(self):
        assert Loop(PLAIN, 3).same(Loop(leaf(), 3))
        assert not Loop(PLAIN, 3).same(Loop(PLAIN, 4))

    def test_a_longer_run_is_another(self):
        assert not Run((PLAIN, INC)).same(Run((PLAIN, INC, INC)))
        assert not Run((PLAIN, INC)).same(Run((INC, PLAIN)))


class TestLeafAt:
    @given(trees)
    def test_it_finds_every_step_in_order(self, tree):
        assert [leaf_at(tree, i)[0] for i in range(tree.steps)] == list(leaves(tree))

    @given(trees, st.data())
    def test_the_sums_before_a_step_are_those_of_the_steps_before_it(self, tree, data):
        step = data.draw(st.integers(0, tree.steps - 1))
        _, before = leaf_at(tree, step)
        done = list(leaves(tree))[:step]
        assert before == {name: total(done, name) for name in SUMS}

    @given(trees)
    def test_past_the_end_and_before_the_start_is_no_step(self, tree):
        for outside in (-1, tree.steps, tree.steps + BILLION):
            with pytest.raises(IndexError):
                leaf_at(tree, outside)

    def test_steps_of_no_length_are_passed_over(self):
        standing = Leaf(None, makes=1, tops=(DC,), steps=0)
        round = Run((standing, PLAIN, standing, INC))
        assert [leaf_at(round, i)[0] for i in (0, 1)] == [PLAIN, INC]


class TestSumsBefore:
    @given(trees)
    def test_after_all_steps_they_are_the_sums_of_the_tree(self, tree):
        assert sums_before(tree, tree.steps) == {name: getattr(tree, name) for name in SUMS}

    @given(trees)
    def test_before_any_step_they_are_nothing(self, tree):
        assert not any(sums_before(tree, 0).values())

    @given(trees)
    def test_each_step_adds_what_it_makes(self, tree):
        made = [sums_before(tree, i)["makes"] for i in range(tree.steps + 1)]
        assert [b - a for a, b in itertools.pairwise(made)] == [step.makes for step in leaves(tree)]


class TestTops:
    @given(trees)
    def test_top_at_is_the_list_of_tops(self, tree):
        assert [top_at(tree, i) for i in range(tree.tops)] == all_tops(tree)

    @given(trees)
    def test_past_the_end_is_no_top(self, tree):
        for outside in (-1, tree.tops):
            with pytest.raises(IndexError):
                top_at(tree, outside)

    @given(trees)
    def test_tops_before_finds_each_space_and_each_stitch(self, tree):
        written = all_tops(tree)
        spaces = [i for i, t in enumerate(written) if t.is_space]
        stitches = [i for i, t in enumerate(written) if not t.is_space]
        assert [tops_before(tree, "spaces", n) for n in range(tree.spaces)] == spaces
        assert [tops_before(tree, "stitches", n) for n in range(tree.stitches)] == stitches

    @given(trees)
    def test_there_is_no_space_after_the_last(self, tree):
        for unit in ("spaces", "stitches"):
            with pytest.raises(IndexError):
                tops_before(tree, unit, getattr(tree, unit))

    @given(trees)
    def test_count_before_counts_among_the_first_tops(self, tree):
        written = all_tops(tree)
        for n in range(tree.tops + 1):
            assert count_before(tree, "spaces", n) == sum(t.is_space for t in written[:n])
            assert count_before(tree, "stitches", n) == sum(not t.is_space for t in written[:n])

    def test_count_before_holds_beyond_both_ends(self):
        assert count_before(SHELL, "stitches", -3) == 0
        assert count_before(SHELL, "stitches", 99) == 2


class TestPath:
    def test_it_goes_from_the_whole_round_down_to_the_step(self):
        inner = Run((PLAIN, INC))
        round = Loop(inner, 6)
        walked = [(node, which) for node, which, _ in path(round, "steps", 7)]  # the second of the fourth time
        assert walked == [(round, 3), (inner, 1), (INC, 0)]

    @given(trees, st.data())
    def test_it_ends_at_the_step_that_holds_the_unit(self, tree, data):
        unit = data.draw(st.sampled_from([n for n in SUMS if getattr(tree, n)]))
        index = data.draw(st.integers(0, getattr(tree, unit) - 1))
        last, _, before = list(path(tree, unit, index))[-1]
        assert isinstance(last, Leaf)
        assert before[unit] <= index < before[unit] + getattr(last, unit)


class TestHugeRounds:
    """`[([sc, inc] 10^3 times) 10^3 times] 10^3 times`: two billion steps, and no longer than two."""

    ROUND = Loop(Loop(Loop(Run((PLAIN, INC)), 1000), 1000), 1000)

    def test_it_counts(self):
        assert self.ROUND.steps == 2 * BILLION
        assert self.ROUND.makes == 3 * BILLION
        assert self.ROUND.tally == {"sc": 3 * BILLION}

    def test_the_last_step_is_reached(self):
        last, before = leaf_at(self.ROUND, 2 * BILLION - 1)
        assert last is INC
        assert before["makes"] == 3 * BILLION - 2

    @given(st.integers(0, 2 * BILLION - 1))
    def test_any_step_is_reached_and_counted(self, step):
        found, before = leaf_at(self.ROUND, step)
        assert found is (INC if step % 2 else PLAIN)
        assert before["makes"] == step // 2 * 3 + step % 2
        assert before["takes"] == step

    @given(st.integers(0, 3 * BILLION - 1))
    def test_any_top_is_reached(self, index):
        assert top_at(self.ROUND, index) == SC

    @given(st.integers(0, BILLION - 1))
    def test_any_space_of_a_billion_is_found(self, n):
        lace = Loop(Run((PLAIN, leaf(takes=0, tops=(V3,), name="ch"))), BILLION)
        assert tops_before(lace, "spaces", n) == 2 * n + 1
        assert count_before(lace, "spaces", 2 * n + 2) == n + 1
