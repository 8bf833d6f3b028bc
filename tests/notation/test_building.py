"""How the words of one stitch become nodes."""

from __future__ import annotations

import pytest
from passages import around, inc, plain, times
from passages import st as stitch

from coach.notation.building import Context, Own, hooked, placed
from coach.notation.model import NEXT, RING, SAME, Action, Chain, Group, Into, Span, Stitch, Times
from coach.notation.places import AROUND, Where

HERE = Span(0, 0)
SC, DC = stitch("sc"), stitch("dc")
SHELL = Own((DC,) * 5)
CTX = Context("", special={"shell": SHELL, "pair": Own((SC, DC), spread=True), "x": Own((DC,))})


class TestOne:
    @pytest.mark.parametrize(("unit", "node"), [
        ("sc", SC), ("inc", inc()), ("dec", stitch("sc2tog")), ("dc inc", inc("dc")), ("invdec", stitch("invdec")),
        ("shell", Group((DC,) * 5)), ("x", DC), ("pair", times(1, SC, DC)),
    ])
    def test_one_working(self, unit, node):
        assert plain(CTX.one(unit, NEXT, "both", HERE)) == node

    def test_shaping_is_of_the_stitch_of_the_round(self):
        ctx = Context("", main="dc")
        assert plain(ctx.one("inc", NEXT, "both", HERE)) == inc("dc")
        assert plain(ctx.one("dec", NEXT, "both", HERE)) == stitch("dc2tog")

    def test_dec_as_the_pattern_means_it(self):
        assert Context("", dec="invdec").one("dec", NEXT, "both", HERE) == stitch("invdec")

    def test_place_and_loop_are_kept(self):
        assert CTX.one("sc", SAME, "back", HERE) == Stitch("sc", SAME, "back")


class TestMany:
    def test_a_few_are_written_out_and_more_are_a_repeat(self):
        assert CTX.many("dc", 3, NEXT, "both", HERE) == Group((DC,) * 3)
        assert CTX.many("dc", 7, NEXT, "both", HERE) == Group((times(7, DC),))

    def test_one_is_one(self):
        assert CTX.many("dc", 1, SAME, "both", HERE) == stitch("dc", SAME)

    def test_a_number_for_each_size(self):
        assert CTX.many("dc", (2, 3), NEXT, "both", HERE) == Group((times((2, 3), DC),))


class TestWorked:
    """At a place as written."""

    @pytest.mark.parametrize(("unit", "amount", "counted", "where", "nodes"), [
        ("sc", 1, False, Where(NEXT), [SC]),
        ("sc", 2, True, Where(NEXT), [inc()]),
        ("sc", 1, False, Where(NEXT, count=3), [times(3, SC)]),
        ("sc", 2, True, Where(NEXT, count=3), [times(3, inc())]),
        ("sc", 3, True, Where(NEXT, count=3, each=True), [times(3, inc(n=3))]),
        ("sc", 1, False, Where(NEXT, fill=AROUND), [around(SC)]),
        ("sc", 2, True, Where(NEXT, fill=AROUND), [around(inc())]),
        ("sc", 6, True, Where(RING), [times(6, stitch("sc", RING))]),
        ("sc2tog", 1, False, Where(NEXT, count=4), [times(2, stitch("sc2tog"))]),
        ("dc3tog", 1, False, Where(NEXT), [Group((stitch("dc3tog"),))]),
        ("sc", 1, False, Where(NEXT, loop="back"), [stitch("sc", loop="back")]),
        ("sc", 1, False, Where(NEXT, side=True), [Action("other_side"), SC]),
        ("sc", 2, True, Where(Into("hook", 2)), [stitch("sc", Into("hook", 2)), times(1, stitch("sc", SAME))]),
        ("sc", 1, False, Where(Into("last"), count=2), [times(2, SC)]),
    ])
    def test_a_stitch(self, unit, amount, counted, where, nodes):
        assert list(plain(CTX.worked(unit, amount, counted, where, "both", HERE))) == nodes


class TestTakes:
    @pytest.mark.parametrize(("unit", "takes"), [("sc", 1), ("dec", 2), ("invdec", 2), ("sc2tog", 2), ("dc3tog", 3),
        ("shell", 1), ("pair", 2), ("inc", 1)])
    def test_places_of_one_working(self, unit, takes):
        assert CTX.takes(unit) == takes


class TestPlaced:
    GROUP = Group((DC, Chain(2), DC))

    def test_at_each_place(self):
        assert placed(self.GROUP, Where(NEXT), HERE) == [self.GROUP]
        assert placed(self.GROUP, Where(NEXT, count=4), HERE) == [times(4, self.GROUP)]
        assert placed(self.GROUP, Where(NEXT, fill=AROUND), HERE) == [around(self.GROUP)]
        assert placed(self.GROUP, Where(NEXT, side=True), HERE) == [Action("other_side"), self.GROUP]


class TestHooked:
    """`starting in the 2nd ch from hook`: the first stitch goes there."""

    @pytest.mark.parametrize(("nodes", "first"), [([SC, DC], SC), ([times(5, SC)], SC), ([around(SC)], SC), ([inc()],
        SC)])
    def test_the_first_goes_into_the_chain(self, nodes, first):
        found = hooked(nodes, 2)
        assert found[0] == stitch(first.stitch, Into("hook", 2))

    def test_a_number_of_them_stays_that_number(self):
        assert hooked([times(5, SC)], 2)[1].times == Times("exact", 4)

    def test_nothing_stays_nothing(self):
        assert hooked([], 2) == []
