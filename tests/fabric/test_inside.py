"""What stands in one place: the stitches and spaces that a group leaves there."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st
from worked import after, kinds, made, rounds

from coach.fabric.inside import WIDEST, Inside, tallied, tops_of
from coach.fabric.tree import Top, tally_of
from coach.notation.model import Chain, Group, Into, Repeat, Stitch, Times

SC, DC, V2 = Top("sc"), Top("dc"), Top("space", 2)
ONE = Inside("dc", 0)

# a group on one stitch of twelve → its tops
GROUPS = [
    ("2 sc in next st", [SC, SC]),
    ("inc", [SC, SC]),
    ("3 dc in next st", [DC, DC, DC]),
    ("(dc, ch 2, dc) in next st", [DC, V2, DC]),
    ("(2 dc, ch 2, 2 dc) in next st", [DC, DC, V2, DC, DC]),
    ("(sc, hdc, dc) in next st", [SC, Top("hdc"), DC]),
    ("([dc, ch 2] twice, dc) in next st", [DC, V2, DC, V2, DC]),
    ("shell in next st", [DC] * 5),
    ("bobble in next st", [Top("bobble")]),
    ("sc2tog", [SC]),
]


@pytest.mark.parametrize(("group", "tops"), GROUPS)
def test_what_a_group_leaves(group, tops):
    left = "sc in next 10 sts" if group == "sc2tog" else "sc in next 11 sts"
    text = after(12, f"{group[0].upper()}{group[1:]}, {left}.")
    tree = rounds(text)[1].tree
    assert list(tree.children[0].made_tops) == tops
    assert kinds(text) == []


class TestTopsOf:
    @pytest.mark.parametrize(("id", "makes", "tops"), [
        ("sc", 1, (SC,)), ("sc", 3, (SC,) * 3), ("sc2tog", 1, (SC,)), ("dc3tog", 1, (DC,)), ("dc4tog", 1, (DC,)),
        ("shell", 5, (DC,) * 5),
        ("vst", 2, (DC, Top("space", 1), DC)), ("fpdc", 1, (Top("fpdc"),)), ("picot", 0, ()),
        ("pebble", 1, (Top("pebble"),))])
    def test_of_one_stitch(self, id, makes, tops):
        assert tops_of(id, makes) == tops
        assert tallied(id, makes) == (tops, tally_of(tops))


class TestInside:
    def test_chains_between_are_spaces(self):
        assert ONE.of((Stitch("dc"), Chain(2), Stitch("dc"))) == ((DC, V2, DC), 2)

    def test_a_chain_that_counts_is_a_stitch(self):
        assert ONE.of((Chain(3, True, "dc"), Stitch("dc"))) == ((DC, DC), 2)
        assert ONE.of((Chain(3, True), Stitch("dc"))) == ((DC, DC), 2)

    def test_a_picot_is_nothing(self):
        picot = (Stitch("sc"), Chain(3), Stitch("slst", Into("hook", 3)), Stitch("sc"))
        assert ONE.of(picot) == ((SC, SC), 2)

    def test_groups_in_groups(self):
        assert ONE.of((Group((Stitch("dc"), Stitch("dc"))), Chain(2))) == ((DC, DC, V2), 2)

    @given(st.integers(1, 60), st.integers(1, 60))
    def test_repeats_are_written_out_as_far_as_one_step_goes(self, outer, inner):
        body = (Repeat((Repeat((Stitch("dc"),), Times("exact", inner)),), Times("exact", outer)),)
        found = ONE.of(body)
        assert found == (None if outer * inner > WIDEST else ((DC,) * (outer * inner), outer * inner))

    def test_a_billion_is_refused_at_once(self):
        assert ONE.of((Repeat((Stitch("dc"),), Times("exact", 10**9)),)) is None

    def test_and_is_worked_as_steps_of_its_own(self):
        assert made(after(3, "1000000 dc in next st, sc 2.")) == [3, 1_000_002]

    def test_a_number_for_each_size(self):
        body = (Repeat((Stitch("dc"),), Times("exact", (2, 3, 4))),)
        assert [Inside("dc", size).of(body)[1] for size in range(3)] == [2, 3, 4]


@pytest.mark.parametrize(("start", "makes", "tops"), [
    ("ch 3", 3, [DC, DC, V2, DC]),
    ("ch 5", 3, [DC, V2, DC, V2, DC]),
    ("ch 1", 2, [DC, V2, DC]),
])
def test_the_chain_that_a_round_begins_with_in_a_bracket_counts_by_its_height(start, makes, tops):
    round = rounds(after(12, f"({start}, dc, ch 2, dc) in first st, dc in each st around."))[1]
    step = round.step_at(0)
    assert (step.makes, list(step.made_tops)) == (makes, tops)
