"""What a round is worked into: turned, begun elsewhere, with spaces or without, as a list of tops would have it."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st
from trees import DC, SC, V2, V3, all_tops, leaf, trees

from coach.fabric.base import Base
from coach.fabric.tree import Loop, Run, Top, Tree

CORNER = leaf(tops=(DC, V2, DC))
LACE = Run((leaf(), leaf(takes=0, tops=(V2,)), leaf(), leaf(takes=0, tops=(V3,)), leaf()))  # sc _2_ sc _3_ sc


@st.composite
def bases(draw) -> tuple[Base, list[Top]]:
    """A base, and the list of its tops in the order of working, the slow way."""
    tree: Tree = draw(trees.filter(lambda t: t.tops))
    turned = draw(st.booleans())
    written = all_tops(tree)[::-1] if turned else all_tops(tree)
    by = draw(st.integers(0, len(written) - 1))
    return Base(tree, turned).rotated(by), written[by:] + written[:by]


class TestKinds:
    def test_a_ring_has_room_for_any_number(self):
        ring = Base(None)
        assert ring.is_ring
        assert (ring.tops, ring.stitches, ring.spaces) == (0, 0, 0)
        assert ring.top(0) is None
        assert ring.next_stitch(0) is None and ring.next_space(0) is None
        assert ring.corner_chains() is None

    def test_a_chain_has_one_place_for_each_chain(self):
        chain = Base.chain(20)
        assert (chain.tops, chain.stitches, chain.plain, chain.is_ring) == (20, 20, True, False)
        assert chain.top(0) == chain.top(19) == Top("ch")
        assert chain.top(20) is None

    def test_a_chain_of_a_billion_costs_nothing(self):
        assert Base.chain(10**9).top(10**9 - 1) == Top("ch")
        assert Base.chain(10**9).stitches_in(5, 10**9) == 10**9 - 5

    def test_a_chain_of_fewer_than_none_is_none(self):
        assert Base.chain(-3).tops == 0

    def test_the_corners_are_the_largest_spaces(self):
        assert Base(Run((LACE, CORNER))).corner_chains() == 3
        assert Base(CORNER).corner_chains() == 2
        assert Base(leaf()).corner_chains() is None


class TestTurned:
    def test_the_last_stitch_comes_first(self):
        row = Base(Run((leaf(tops=(SC,)), leaf(tops=(DC,)), leaf(tops=(V2,)))), turned=True)
        assert [row.top(i) for i in range(3)] == [V2, DC, SC]

    def test_turned_twice_is_not_turned(self):
        assert [Base(LACE).top(i) for i in range(5)] == [Base(LACE, True).top(4 - i) for i in range(5)]


class TestRotated:
    def test_it_begins_later_and_ends_with_what_was_passed(self):
        round = Base(LACE).rotated(2)
        assert [round.top(i) for i in range(5)] == [SC, V3, SC, SC, V2]

    def test_all_the_way_around_is_where_it_was(self):
        assert [Base(LACE).rotated(5).top(i) for i in range(5)] == [Base(LACE).top(i) for i in range(5)]

    def test_an_empty_base_can_be_rotated(self):
        assert Base(None).rotated(3).top(0) is None


class TestNextSpace:
    def test_it_is_the_first_from_here_on(self):
        base = Base(LACE)
        assert [base.next_space(i) for i in range(6)] == [1, 1, 3, 3, None, None]

    def test_with_so_many_chains(self):
        assert Base(LACE).next_space(0, 3) == 3
        assert Base(LACE).next_space(0, 2) == 1
        assert Base(LACE).next_space(0, 5) is None

    def test_turned_it_is_met_from_the_other_end(self):
        assert Base(LACE, turned=True).next_space(0) == 1
        assert Base(LACE, turned=True).top(1) == V3


class TestAgainstAList:
    @given(bases())
    def test_every_top(self, both):
        base, written = both
        assert [base.top(i) for i in range(base.tops)] == written
        assert base.top(-1) is None and base.top(base.tops) is None

    @given(bases())
    def test_every_next_space_and_next_stitch(self, both):
        base, written = both
        for i in range(base.tops + 1):
            assert base.next_space(i) == next((j for j in range(i, len(written)) if written[j].is_space), None)
            assert base.next_stitch(i) == next((j for j in range(i, len(written)) if not written[j].is_space), None)

    @given(bases(), st.lists(st.tuples(st.booleans(), st.integers(0, 40)), max_size=12))
    def test_in_whatever_order_they_are_asked_for(self, both, asked):
        base, written = both
        for space, i in asked:
            found = base.next_space(i) if space else base.next_stitch(i)
            later = [j for j in range(i, len(written)) if written[j].is_space == space]
            assert found == (later[0] if later else None)

    @given(bases(), st.integers(1, 12))
    def test_the_nth_of_each_from_everywhere_and_what_is_past_it(self, both, n):
        base, written = both
        for i in range(base.tops + 1):
            for unit in ("stitches", "spaces"):
                there = [j for j in range(i, len(written)) if written[j].is_space == (unit == "spaces")]
                assert base.nth(unit, i, n) == (there[n - 1] if n <= len(there) else None)
                assert base.past(i, n, unit) == (there[n - 1] + 1 if n <= len(there) else len(written))
                assert base.past(i, 0, unit) == i

    @given(bases(), st.integers(1, 4))
    def test_every_next_space_of_so_many_chains(self, both, chains):
        base, written = both
        for i in range(base.tops):
            assert base.next_space(i, chains) == next((j for j in range(i, len(written)) if written[j] == Top("space",
                chains)), None)

    @given(bases(), st.integers(-3, 40), st.integers(-3, 40))
    def test_stitches_and_spaces_between_any_two_places(self, both, start, stop):
        base, written = both
        inside = written[max(start, 0):max(stop, 0)]
        assert base.stitches_in(start, stop) == sum(not t.is_space for t in inside)
        assert base.spaces_in(start, stop) == sum(t.is_space for t in inside)

    @given(bases(), st.integers(0, 20))
    def test_rotating_on_is_rotating_by_the_sum(self, both, by):
        base, written = both
        again = base.rotated(by)
        k = by % len(written)
        assert [again.top(i) for i in range(again.tops)] == written[k:] + written[:k]


class TestHuge:
    LACE = Base(Loop(Run((leaf(), leaf(takes=0, tops=(V2,)))), 10**9), turned=True)

    @given(st.integers(0, 2 * 10**9 - 2))
    def test_a_space_of_a_billion_is_found_at_once(self, i):
        assert self.LACE.next_space(i) == i + i % 2

    @given(st.integers(0, 10**9 - 1), st.integers(0, 10**9))
    def test_stitches_are_counted_at_once(self, start, length):
        assert self.LACE.stitches_in(2 * start, 2 * (start + length)) == min(length, 10**9 - start)
