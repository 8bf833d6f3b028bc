"""The words of one stitch: its numbers before or behind it, its loop, its place, and the places that follow."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st
from passages import around, body, cursor, inc, kinds, plain, rest, times
from passages import st as stitch

from coach.notation.building import Context
from coach.notation.model import Group, Into
from coach.notation.stitches import read_stitch

SC, DC = stitch("sc"), stitch("dc")

# words → nodes
WORDS = [
    ("sc", [SC]), ("1 sc", [SC]), ("sc 1", [SC]), ("sc 5", [times(5, SC)]), ("5 sc", [times(5, SC)]),
    ("5sc", [times(5, SC)]), ("sc x 5", [times(5, SC)]),
    ("sc in next 5 sts", [times(5, SC)]), ("sc 5 sts", [times(5, SC)]),
    ("plain sc", [SC]),
    ("2 sc in next st", [inc()]), ("2 sc in each of next 3 sts", [times(3, inc())]), ("2 sc around", [around(inc())]),
    ("inc", [inc()]), ("inc 3 times", [times(3, inc())]),
    ("sc2tog", [stitch("sc2tog")]), ("sc 2 together", [stitch("sc2tog")]),
    ("dc next 3 sts together", [stitch("dc3tog")]), ("hdc2tog 4 times", [times(4, stitch("hdc2tog"))]),
    ("BLO sc", [stitch("sc", loop="back")]), ("sc BLO", [stitch("sc", loop="back")]),
    ("sc in FLO of next 2 sts", [times(2, stitch("sc", loop="front"))]),
    ("back loop sc in next st", [stitch("sc", loop="back")]), ("sc in ring", [stitch("sc", Into("ring"))]),
    ("6 sc in ring", [times(6, stitch("sc", Into("ring")))]),
    ("sc in next st and in each st around", [SC, around(SC)]),
    ("dc in next st and in next ch-1 sp", [DC, stitch("dc", Into("space", 1))]),
    ("dc4tog", [stitch("dc4tog")]), ("picot", [stitch("picot")]),
    ("fpdc around next dc", [stitch("fpdc", Into(stitch="dc"))]),
]


@pytest.mark.parametrize(("text", "nodes"), WORDS)
def test_one_stitch(text, nodes):
    c = cursor(text)
    assert list(plain(read_stitch(c, Context(text)))) == nodes
    assert c.done, rest(c)


@pytest.mark.parametrize("text", ["", "ch 3", "turn", "in next st", "(sc)", "6 (sc, inc)", "sk 2", "x 6"])
def test_no_stitch(text):
    assert read_stitch(cursor(text), Context(text)) is None


class TestNamedBefore:
    """`dc in next st, 2 in next`: the stitch that was named before."""

    def test_a_number_alone_is_of_the_stitch_before_it(self):
        assert body("Dc in next st, 2 in next st.") == (DC, inc("dc"))

    def test_and_so_are_stitches_without_a_name(self):
        assert body("Dc in next st, 3 sts in next st.") == (DC, inc("dc", 3))


class TestDefinedAtItsFirstUse:
    def test_what_a_name_means_may_stand_behind_it(self):
        nodes = body("Shell (5 dc in same st) in next st, sc in next st, shell in next st.")
        assert nodes[0] == nodes[2] == Group((times(5, DC),))
        assert kinds("Rnd 1: 6 sc in magic ring.\nRnd 2: Shell (5 dc in same st) in next st, sc in next 5 sts.") == []


class TestTwoReadings:
    """`5 sc in next 5 sts`: one in each, or five in each; the arithmetic chooses."""

    def test_both_are_kept(self):
        (node,) = body("5 sc in next 5 sts.")
        assert (node.body, node.other.body) == ((SC,), (Group((times(5, SC),)),))

    def test_each_says_which(self):
        (node,) = body("3 sc in each of next 3 sts.")
        assert node == times(3, inc(n=3))


class TestAnyNumber:
    @given(st.integers(2, 10**6))
    def test_before_behind_and_in_the_place(self, n):
        expected = (times(n, SC),)
        assert body(f"{n} sc.") == body(f"Sc {n}.") == body(f"Sc in next {n} sts.") == body(f"Sc x {n}.") == expected

    @given(st.sampled_from(["sc", "hdc", "dc", "tr"]), st.integers(2, 6))
    def test_together(self, id, n):
        assert body(f"{id}{n}tog.") == body(f"{id} next {n} sts together.") == (stitch(f"{id}{n}tog"),)

    @pytest.mark.parametrize("n", [7, 9, 12])
    def test_very_many_together(self, n):
        assert body(f"Sc{n}tog.") == body(f"Sc next {n} sts together.") == (stitch(f"sc{n}tog"),)
