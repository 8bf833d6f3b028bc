"""How much is read out at once: every step is in exactly one chunk, and the chunks make up the round."""

from __future__ import annotations

import itertools

import pytest
from hypothesis import given
from hypothesis import strategies as st
from trees import DC, SC, leaf, trees

from coach.fabric import work
from coach.fabric.chunks import BY, ITEMS_IN_A_GROUP, chunk_at
from coach.fabric.model import Chunk, Worked
from coach.fabric.tree import Leaf, Loop, Run, Tree, leaf_at, leaves
from coach.fabric.words import abbreviated
from coach.notation import read
from coach.notation.model import Round

PLAIN, INC, DEC = leaf(), leaf(tops=(SC, SC), name="inc"), leaf(takes=2, name="sc2tog")
rounds = trees.map(lambda tree: worked(tree))


def worked(tree: Tree) -> Worked:
    return Worked(Round("Rnd 1", 1, "round", ()), tree, tree.takes, None)


def chunks(round: Worked, by: str) -> list[Chunk]:
    """Every chunk of a round, one after another, as a walk meets them."""
    found, at = [], 0
    while at < round.steps:
        found.append(chunk_at(round, at, by))
        at = found[-1].stop
    return found


def spoken(text: str, by: str = "group", base: int = 36) -> list[tuple[str, int | None, int | None]]:
    """(words, time, times) of the chunks of a round worked into `base` stitches."""
    fabric = work(read(f"Rnd 1: {base} sc in magic ring.\nRnd 2: {text}"))
    return [(abbreviated(c.trees), c.time, c.times) for c in chunks(fabric.parts[0].rounds[1], by)]


class TestTiling:
    @given(rounds, st.sampled_from(BY))
    def test_the_chunks_make_up_the_round(self, round, by):
        found = chunks(round, by)
        assert found[0].start == 0 and found[-1].stop == round.steps
        assert all(a.stop == b.start for a, b in itertools.pairwise(found))

    @given(rounds, st.sampled_from(BY))
    def test_any_step_is_in_exactly_one(self, round, by):
        """Jumping to a step and walking to it meet the same chunk."""
        for chunk in chunks(round, by):
            for step in range(chunk.start, chunk.stop):
                assert chunk_at(round, step, by) == chunk

    @given(rounds, st.sampled_from(BY))
    def test_its_trees_are_its_steps(self, round, by):
        for chunk in chunks(round, by):
            assert sum(tree.steps for tree in chunk.trees) == chunk.stop - chunk.start
            inside = [step for tree in chunk.trees for step in leaves(tree) if step.steps]
            assert inside == [leaf_at(round.tree, i)[0] for i in range(chunk.start, chunk.stop)]

    @given(rounds)
    def test_a_step_outside_the_round_is_in_none(self, round):
        for by in BY:
            for outside in (-1, round.steps):
                with pytest.raises(IndexError):
                    chunk_at(round, outside, by)


class TestByStitch:
    @given(rounds)
    def test_every_step_is_its_own(self, round):
        found = chunks(round, "stitch")
        assert len(found) == round.steps
        assert all(isinstance(tree, Leaf) for chunk in found for tree in chunk.trees)


class TestByRound:
    @given(rounds)
    def test_there_is_one(self, round):
        assert chunks(round, "round") == [Chunk(0, round.steps, (round.tree,))]


class TestByGroup:
    @given(rounds)
    def test_it_is_short_enough_for_one_breath(self, round):
        assert all(1 <= len(chunk.trees) <= ITEMS_IN_A_GROUP + 1 for chunk in chunks(round, "group"))

    @given(rounds)
    def test_time_counts_up_to_times(self, round):
        for chunk in chunks(round, "group"):
            assert (chunk.time is None) == (chunk.times is None)
            assert chunk.time is None or 1 <= chunk.time <= chunk.times

    def test_a_run_of_one_stitch_is_one(self):
        run = Loop(PLAIN, 18)
        assert chunk_at(worked(run), 7, "group") == Chunk(0, 18, (run,))

    def test_once_through_a_repeat_is_one_and_says_which(self):
        round = worked(Loop(Run((Loop(PLAIN, 3), INC)), 6))
        found = chunks(round, "group")
        assert [(c.start, c.stop) for c in found] == [(0, 4), (4, 8), (8, 12), (12, 16), (16, 20), (20, 24)]
        assert [(c.time, c.times) for c in found] == [(n, 6) for n in range(1, 7)]

    def test_up_to_three_single_steps_go_together(self):
        found = chunks(worked(Run((PLAIN, INC, PLAIN, INC, DEC))), "group")
        assert [(c.start, c.stop) for c in found] == [(0, 3), (3, 5)]

    def test_a_repeat_among_single_steps_stands_alone(self):
        repeat = Loop(Run((PLAIN, INC)), 5)
        found = chunks(worked(Run((PLAIN, repeat, DEC))), "group")
        assert [(c.start, c.stop, c.time) for c in found] == [(0, 1, None),
            *((1 + 2 * n, 3 + 2 * n, n + 1) for n in range(5)), (11, 12, None)]

    def test_the_innermost_repeat_is_the_one_counted(self):
        inner = Loop(Run((PLAIN, INC)), 2)
        found = chunks(worked(Loop(Run((inner, Loop(PLAIN, 5), DEC, INC, leaf(tops=(DC,)))), 3)), "group")
        assert [(c.time, c.times) for c in found[:4]] == [(1, 2), (2, 2), (1, 3), (1, 3)]
        assert (found[4].time, found[4].times) == (1, 2)

    def test_what_was_worked_before_the_round_is_not_said(self):
        standing = Leaf(None, makes=1, tops=(DC,), steps=0)
        found = chunks(worked(Run((standing, Loop(leaf(tops=(DC,), name="dc"), 19)))), "group")
        assert len(found) == 1 and len(found[0].trees) == 1


class TestAsRead:
    def test_a_plain_round(self):
        assert spoken("Sc in each st around.") == [("sc 36", None, None)]

    def test_increases(self):
        assert spoken("(Sc 2, inc) x 12.")[:2] == [("sc 2, inc", 1, 12), ("sc 2, inc", 2, 12)]

    def test_one_stitch_before_a_repeat(self):
        assert spoken("Sc, (inc, sc 2) x 11, inc, sc.") == [
            ("sc", None, None), *(("inc, sc 2", n, 11) for n in range(1, 12)), ("inc, sc", None, None)]

    def test_by_stitch(self):
        assert spoken("(Sc, inc) around.", "stitch")[:3] == [("sc", None, None), ("inc", None, None),
            ("sc", None, None)]

    def test_by_round(self):
        assert spoken("(Sc 4, dec) x 6.", "round") == [("(sc 4, sc2tog) x 6", None, None)]


class TestHuge:
    ROUND = worked(Loop(Run((Loop(PLAIN, 3), INC)), 10**9))

    @given(st.integers(0, 4 * 10**9 - 1))
    def test_the_billionth_time_is_reached_at_once(self, step):
        chunk = chunk_at(self.ROUND, step, "group")
        assert (chunk.time, chunk.times, chunk.start) == (step // 4 + 1, 10**9, step // 4 * 4)
