"""The arithmetic of slips, recomputed by brute force: each slip made at each place of a small round."""

from __future__ import annotations

from itertools import combinations, product

import pytest
from harbour_works import DEC, INC, JOIN, rnd, sc, trees
from hypothesis import assume, given
from hypothesis import strategies as st

from coach.fabric import work
from coach.fabric.model import Worked
from coach.fabric.tree import Leaf, Loop, Run, Tree
from coach.fabric.tree import leaves as every_step
from coach.guide.slips import RANK, Slip, around, explanations, highest_count, run_of, slips, to_undo
from coach.notation import read
from coach.notation.model import RING, Chain, Stitch

MOST_STEPS = 60


def steps(tree: Tree) -> list[Leaf]:
    return [leaf for leaf in every_step(tree) if leaf.steps]


def single(leaf: Leaf) -> bool:
    return isinstance(leaf.node, Stitch) and leaf.takes == 1 and leaf.makes == 1


def by_hand(worked: Worked) -> dict[tuple[str, int], int]:
    """(kind, stitches that the round then has) of every slip at every place: in how many places."""
    walked, made = steps(worked.tree), worked.made
    found: dict[tuple[str, int], int] = {}

    def slip(kind: str, *makes: int) -> None:
        found[kind, sum(makes)] = found.get((kind, sum(makes)), 0) + 1

    for i, leaf in enumerate(walked):
        others = [other.makes for j, other in enumerate(walked) if j != i]
        if leaf.takes == 1 and leaf.makes > 1:
            slip("missed", *others, 1)
            slip("skipped", *others)
        elif leaf.makes == 1 and leaf.takes > 1:
            slip("apart", *others, leaf.takes)
        elif single(leaf):
            slip("skipped", *others)
            slip("extra", *others, 2)
        if i + 1 < len(walked) and single(leaf) and single(walked[i + 1]):
            slip("together", *(other.makes for j, other in enumerate(walked) if j not in (i, i + 1)), 1)
    making = [leaf for leaf in walked if leaf.makes]
    if making and making[0].takes == 1:
        slip("first", made - making[0].makes)
    if making and making[-1].takes == 1 and worked.source.kind == "row":
        slip("last", made - making[-1].makes)
    return found


def with_other_repeats(tree: Tree, more: int) -> list[Tree]:
    """The tree with one repeat worked once less or more, in every way."""
    if isinstance(tree, Leaf):
        return []
    if isinstance(tree, Run):
        return [Run((*tree.children[:i], other, *tree.children[i + 1 :]))
                for i, child in enumerate(tree.children) for other in with_other_repeats(child, more)]
    found = [Run((*(tree.child,) * i, other, *(tree.child,) * (tree.times - i - 1)))
             for i in range(tree.times) for other in with_other_repeats(tree.child, more)]
    repeat = not isinstance(tree.child, Leaf) or not tree.child.takes
    if tree.times > 1 and repeat and tree.child.makes:
        found.append(Loop(tree.child, tree.times + more))
    return found


@st.composite
def small_rounds(draw) -> Worked:
    tree = draw(trees)
    assume(0 < tree.steps <= MOST_STEPS)
    return rnd(3, tree, kind=draw(st.sampled_from(["round", "row"])))


class TestAgainstBruteForce:
    @given(small_rounds())
    def test_every_slip_of_a_stitch_and_no_other(self, worked):
        kinds = {kind for kind, _ in by_hand(worked)}
        found = {(s.kind, worked.made + s.effect): s.places for s in slips(worked)
                 if s.kind in {"missed", "apart", "skipped", "extra", "together", "first", "last"}}
        assert found == by_hand(worked) and kinds <= set(RANK)

    @given(small_rounds())
    def test_every_repeat_too_few_or_too_many(self, worked):
        for more, names in ((-1, {"few", "fewer"}), (1, {"many", "more"})):
            found = {worked.made + s.effect for s in slips(worked) if s.kind in names}
            wanted = {tree.makes for tree in with_other_repeats(worked.tree, more)}
            assert found == (set() if more > 0 and worked.source.kind == "row" else wanted)

    @given(small_rounds(), st.integers(-8, 8))
    def test_each_explanation_gives_the_count_that_was_told(self, worked, off):
        for explanation in explanations(worked, worked.made + off):
            assert sum(slip.effect for slip in explanation) == off and 1 <= len(explanation) <= 2

    @given(small_rounds())
    def test_whatever_one_slip_gives_is_explained_by_one_slip_first(self, worked):
        for _, count in by_hand(worked):
            if count != worked.made:
                assert len(explanations(worked, count)[0]) == 1

    @given(small_rounds())
    def test_whatever_two_slips_at_two_places_give_is_explained(self, worked):
        """One stitch too few or too many in one place, and in another."""
        options = [[0, 2] if single(leaf) else [0, 1] for leaf in steps(worked.tree)
                   if single(leaf) or leaf.takes == 1 and leaf.makes == 2]
        usual = [1 if option == [0, 2] else 2 for option in options]
        for i, j in combinations(range(len(options)), 2):
            for one, other in product(options[i], options[j]):
                off = one - usual[i] + other - usual[j]
                assert not off or explanations(worked, worked.made + off)


class TestRule:
    ROUND = rnd(3, Loop(Run((sc(), INC)), 6))

    @given(small_rounds(), st.integers(-8, 8))
    def test_one_slip_comes_before_two_and_no_more_than_a_handful(self, worked, off):
        found = explanations(worked, worked.made + off)
        assert [len(e) for e in found] == sorted(len(e) for e in found) and len(found) <= 6

    def kinds(self, count: int) -> list[tuple[str, ...]]:
        return [tuple(slip.kind for slip in e) for e in explanations(self.ROUND, count)]

    def test_a_missed_increase_is_the_likeliest_where_one_is_short(self):
        assert self.kinds(17)[:3] == [("missed",), ("skipped",), ("first",)]

    def test_a_whole_repeat_is_likelier_than_three_stitches_lost(self):
        assert self.kinds(15)[0] == ("few",) and self.kinds(21)[0] == ("many",)

    def test_the_same_slip_twice_is_likelier_than_two_that_differ(self):
        assert self.kinds(16)[:2] == [("skipped",), ("missed", "missed")]

    def test_what_hides_another_comes_last(self):
        assert self.kinds(17)[-1] == ("extra", "skipped")

    def test_a_right_count_and_an_impossible_one_are_not_explained(self):
        assert explanations(self.ROUND, 18) == explanations(self.ROUND, 40) == ()

    def test_one_place_can_go_wrong_only_once(self):
        once = rnd(2, Run((INC, JOIN)))
        assert all(e[0] is not e[1] for n in range(6) for e in explanations(once, n) if len(e) == 2)

    def test_counts_that_can_be_told_go_as_far_as_two_slips(self):
        assert highest_count(self.ROUND) == 24
        assert highest_count(rnd(1, Run(()))) == 0

    def test_a_round_of_a_thousand_million_is_not_walked(self):
        huge = rnd(3, Loop(Run((Loop(sc(), 2), INC)), 10**9))
        (likely, *_), *_ = explanations(huge, huge.made - 1)
        assert (likely.kind, likely.places) == ("missed", 10**9)
        assert to_undo(huge, likely) == (1, 4) and run_of(huge, likely) == 5


class TestEdges:
    def test_a_join_can_be_worked_into_where_there_is_one(self):
        joined = rnd(2, Run((Loop(sc(), 6), JOIN)))
        assert explanations(joined, 7)[0][0].kind == "join"
        assert "join" not in {s.kind for s in slips(rnd(2, Loop(sc(), 6)))}

    def test_a_turning_chain_that_is_no_stitch_can_be_worked_into(self):
        row = rnd(2, Run((Leaf(Chain(1)), Loop(sc(), 5))), kind="row")
        assert explanations(row, 6)[0][0].kind == "turning"
        assert {"first", "last"} <= {s.kind for s in slips(row)}
        assert "turning" not in {s.kind for s in slips(rnd(2, Loop(sc(), 5), kind="row"))}

    def test_in_a_ring_there_is_nothing_to_skip(self):
        ring = rnd(1, Loop(sc(RING), 6))
        assert {(s.kind, s.effect) for s in slips(ring)} == {("fewer", -1), ("more", 1)}


class TestSeeingAndUndoing:
    def test_a_missed_increase_leaves_two_runs_and_one(self):
        for gap, run in ((1, 3), (2, 5), (5, 11)):
            worked = rnd(3, Loop(Run((Loop(sc(), gap), INC)), 6))
            ((slip,), *_) = explanations(worked, worked.made - 1)
            assert run_of(worked, slip) == run == longest_run_without(worked, "missed")

    def test_a_decrease_worked_apart_leaves_two_runs_and_two(self):
        worked = rnd(3, Loop(Run((Loop(sc(), 2), DEC)), 6))
        ((slip,), *_) = explanations(worked, worked.made + 1)
        assert run_of(worked, slip) == 6 == longest_run_without(worked, "apart")

    @pytest.mark.parametrize("tree", [Loop(INC, 6), Loop(Run((sc(), INC, sc(), INC)), 3),
                                      Run((INC, Loop(sc(), 4), INC))])
    def test_where_the_gaps_differ_or_are_none_nothing_is_told(self, tree):
        worked = rnd(3, tree)
        missed = next(s for s in slips(worked) if s.kind == "missed")
        assert run_of(worked, missed) is None

    @given(st.integers(0, 4), st.integers(2, 6), st.integers(0, 3), st.sampled_from([INC, DEC]))
    def test_what_has_to_be_undone_is_what_stands_after_it(self, gap, n, after, shaping):
        """Worked with the slip in the last repeat and in the one before it, counted from the end."""
        worked = rnd(3, Run((Loop(Run((Loop(sc(), gap), shaping)), n), Loop(sc(), after))))
        slip = next(s for s in slips(worked) if s.kind == ("missed" if shaping is INC else "apart"))
        last, each = to_undo(worked, slip)
        wrong = 1 if shaping is INC else 2
        assert last == after + wrong and each == gap + shaping.makes

    def test_a_repeat_too_many_is_undone_with_all_after_it(self):
        worked = rnd(3, Run((Loop(Run((sc(), INC)), 4), Loop(sc(), 2))))
        many = next(s for s in slips(worked) if s.kind == "many")
        assert to_undo(worked, many) == (5, 0)

    def test_a_single_increase_is_at_one_place_only(self):
        worked = rnd(3, Run((Loop(sc(), 4), INC, Loop(sc(), 3))))
        missed = next(s for s in slips(worked) if s.kind == "missed")
        assert around(worked, missed) is None and to_undo(worked, missed) == (4, 0)

    def test_a_skipped_stitch_among_many_can_be_anywhere(self):
        plain = rnd(3, Loop(sc(), 24))
        assert to_undo(plain, next(s for s in slips(plain) if s.kind == "skipped")) is None
        assert to_undo(plain, Slip("join", 1, 1)) == (1, 0)


def longest_run_without(worked: Worked, kind: str) -> int:
    """The longest run of single stitches when one shaping in the middle is worked wrongly, counted around the ring."""
    walked = steps(worked.tree)
    shapings = [i for i, leaf in enumerate(walked) if not single(leaf)]
    wrong = shapings[len(shapings) // 2]
    made = []
    for i, leaf in enumerate(walked):
        made += ["."] * (1 if kind == "missed" else leaf.takes) if i == wrong else ["." if single(leaf) else "|"]
    return max(map(len, "".join(made).split("|")))


def test_a_real_pattern_read_from_its_text():
    text = "# Buoy\n\nRnd 1: 6 sc in magic ring. (6)\nRnd 2: inc x 6. (12)\nRnd 3: (sc, dec) x 4. (8)\n"
    worked = work(read(text)).parts[0].rounds
    assert [explanations(w, n)[0][0].kind for w, n in zip(worked, (5, 11, 9))] == ["fewer", "missed", "apart"]
