"""Where the hook is in the round below, and where it goes next."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st
from trees import DC, V2, V3, leaf
from worked import after, kinds, landings, made, rounds

from coach.fabric.base import Base
from coach.fabric.hand import Hand, are, sts
from coach.fabric.tree import Run
from coach.notation.model import NEXT, RING, SAME, Into, Span

HERE = Span(0, 1)
LACE = Base(Run((leaf(), leaf(takes=0, tops=(V2,)), leaf(), leaf(takes=0, tops=(V3,)),
    leaf(tops=(DC,)))))  # sc _2_ sc _3_ dc


def places(base: Base, *intos: Into | str, take: int = 1) -> list[int | None]:
    """The tops of the base that these go into, one after another."""
    hand, found = Hand(base, 0), []
    for into in intos:
        start = hand.i
        _, _, at = hand.reach(Into(into) if isinstance(into, str) else into, HERE, take)
        found.append(start + at)
    return found


class TestPlainStitches:
    PLAIN = Base.chain(6)

    def test_one_after_another(self):
        assert places(self.PLAIN, "next", "next", "next") == [0, 1, 2]

    def test_the_same_again(self):
        assert places(self.PLAIN, "next", "same", "same", "next") == [0, 0, 0, 1]

    def test_the_same_before_anything_is_the_first(self):
        assert places(self.PLAIN, "same", "next") == [0, 1]

    def test_the_first_is_the_next_at_the_start(self):
        assert places(self.PLAIN, "first", "next") == [0, 1]

    def test_the_last(self):
        assert places(Base.chain(3), "next", "next", "last") == [0, 1, 2]

    def test_the_nth(self):
        assert places(self.PLAIN, Into("nth", 4), "next") == [3, 4]

    def test_two_at_once(self):
        hand = Hand(self.PLAIN, 0)
        assert hand.reach(NEXT, HERE, 2) == (2, 2, 0)
        assert hand.reach(NEXT, HERE, 3) == (3, 3, 0)
        assert (hand.i, hand.left()) == (5, 1)

    def test_a_ring_is_always_there(self):
        assert places(Base(None), "ring", "ring", "next") == [0, 0, 0]
        assert Hand(self.PLAIN, 0).reach(RING, HERE) == (0, 0, 0)

    @given(st.lists(st.integers(1, 3), max_size=12))
    def test_it_moves_by_what_it_takes(self, takes):
        hand = Hand(Base.chain(100), 0)
        for take in takes:
            before = hand.i
            assert hand.reach(NEXT, HERE, take) == (take, take, 0)
            assert (hand.prev, hand.i) == (before + take - 1, before + take)
        assert hand.left() == 100 - sum(takes)


class TestSpaces:
    def test_the_next_stitch_passes_over_spaces(self):
        assert places(LACE, "next", "next", "next") == [0, 2, 4]

    def test_the_next_space_passes_over_stitches(self):
        assert places(LACE, "space", "space") == [1, 3]

    def test_of_so_many_chains(self):
        assert places(LACE, Into("space", 3)) == [3]

    def test_a_corner_is_the_largest(self):
        assert places(LACE, Into("space", corner=True)) == [3]

    def test_the_same_space_again(self):
        assert places(LACE, "space", SAME, "space") == [1, 1, 3]

    def test_the_next_top_is_either(self):
        assert places(LACE, "top", "top", "top") == [0, 1, 2]

    def test_what_it_passes_counts_as_passed(self):
        hand = Hand(LACE, 0)
        assert hand.reach(Into("space"), HERE) == (2, 1, 1)  # past one stitch, into the space behind it
        assert hand.into_spaces

    def test_where_there_is_none_it_is_a_trouble_with_its_place(self):
        hand = Hand(Base.chain(6), 0)
        assert hand.reach(Into("space"), Span(7, 9)) == (0, 0, 0)
        assert [(t.kind, t.span) for t in hand.troubles] == [("short", Span(7, 9))]

    def test_each_chain_of_a_space(self):
        hand = Hand(LACE, 0)
        hand.reach(NEXT, HERE)
        into = [hand.i + hand.reach(Into("chain"), HERE)[2] for _ in range(1)]
        assert into == [1] and hand.inside == 1


class TestTakingBack:
    @given(st.lists(st.sampled_from(["next", "same", "space", "top"]), max_size=8))
    def test_what_is_taken_back_was_never_worked(self, kinds_):
        hand = Hand(LACE, 0)
        state = hand.state()
        for kind in kinds_:
            hand.reach(Into(kind), HERE)
        hand.restore(state)
        assert (hand.i, hand.prev, hand.entered, hand.troubles, hand.into_spaces) == (0, 0, False, [], False)

    def test_a_trouble_is_noted_once_for_a_place(self):
        hand = Hand(Base.chain(3), 0)
        for _ in range(3):
            hand.trouble("short", Span(1, 2), "There is no chain space left.")
        hand.trouble("short", Span(5, 6), "There is no chain space left.")
        assert len(hand.troubles) == 2


class TestTravelling:
    """Slip stitches at the start of a joined round move its beginning."""

    def test_to_the_next_stitch(self):
        hand = Hand(Base.chain(6), 0)
        hand.travel(NEXT)
        assert hand.base.start == 1

    def test_into_the_space(self):
        hand = Hand(LACE, 0)
        hand.travel(Into("space", 2))
        assert hand.base.start == 1 and hand.into_spaces
        assert hand.base.top(0) == V2 and hand.i == 1

    def test_in_a_pattern(self):
        text = ("Rnd 1: (3 dc in ring, ch 2) 4 times, join. (12)\n"
                "Rnd 2: Sl st in next 2 dc and in ch-2 sp, ch 3 (counts as dc), (2 dc, ch 2, 3 dc) in same sp, "
                "*(3 dc, ch 2, 3 dc) in next ch-2 sp; rep from * 2 more times, join. (24)")
        assert made(text) == [12, 24]
        assert kinds(text) == []


class TestBothSides:
    def test_on_the_second_side_it_goes_back(self):
        text = ("Ch 6.\nRnd 1: Sc in 2nd ch from hook, sc in next 3 chs, 3 sc in last ch, "
                "on other side of ch: sc in next 3 chs, 2 sc in last ch.")
        where = [w for w in landings(rounds(text)[0]) if w is not None]
        assert where == sorted(where)
        assert made(text) == [12]


class TestInAPattern:
    @pytest.mark.parametrize(("line", "where"), [
        ("Sc in next st, hdc in same st, sc in next 5 sts.", [0, 0, 1, 2, 3, 4, 5]),
        ("Sk 1, dc in next 5 sts.", [1, 2, 3, 4, 5]),
        ("Sc in each st to last 2 sts, sc2tog.", [0, 1, 2, 3, 4]),
        ("Sc in 3rd st, sc in next 3 sts.", [2, 3, 4, 5]),
    ])
    def test_where_each_stitch_goes(self, line, where):
        round = rounds(after(6, line))[1]
        assert [w for w in landings(round) if w is not None and w >= 0][-len(where):] == where


@pytest.mark.parametrize(("n", "some", "verb"), [(1, "1 stitch", "1 stitch is"), (3, "3 stitches", "3 stitches are"),
    (0, "0 stitches", "0 stitches are")])
def test_numbers_in_sentences(n, some, verb):
    assert (sts(n), are(n)) == (some, verb)


