"""The words of one round: instructions, stated counts, and the prose among them kept apart."""

from __future__ import annotations

import pytest
from passages import around, plain, times
from passages import st as stitch

from coach.notation.body import BodyReader, instructs, is_foundation_stitch
from coach.notation.building import Own
from coach.notation.lexer import fold, tokens
from coach.notation.model import Action, Count, Repeat, Skip, Stitch, Times

SC = stitch("sc")


def read(text: str):
    return BodyReader(text, "US", {}, None, 0).read(fold(text), 0)


class TestApart:
    @pytest.mark.parametrize(("text", "nodes", "stated", "notes"), [
        ("Sc in each st around. (18) Stuff.", [around(SC)], [18], ["Stuff."]),
        ("Sc in each st around (18). Fasten off.", [around(SC)], [18], ["Fasten off."]),
        ("Sc in each st around. The work will cup. (18)", [around(SC)], [18], ["The work will cup."]),
        ("Tip: count first. Sc in each st around.", [around(SC)], [], ["Tip: count first."]),
        ("Sc in each st around.", [around(SC)], [], []),
        ("Stuff firmly.", [], [], ["Stuff firmly."]),
        ("", [], [], []),
    ])
    def test_instructions_counts_and_prose(self, text, nodes, stated, notes):
        found = read(text)
        assert list(plain(found.nodes)) == nodes
        assert [c.amount for c in found.stated] == stated
        assert [n.text.rstrip(".") for n in found.notes] == [n.rstrip(".") for n in notes]

    def test_a_bracket_left_open_is_a_problem_with_its_place(self):
        text = "Sc, (inc, sc x 3."
        (problem,) = read(text).problems
        assert (problem.kind, text[problem.span.start]) == ("bracket", "(")


class TestMagicRing:
    @pytest.mark.parametrize(("text", "stated"), [("MR 6", []), ("MR 6 (6)", [6]), ("Magic ring 6.", []), ("mr, 6 = 6",
        [6])])
    def test_six_in_shorthand(self, text, stated):
        found = read(text)
        assert list(plain(found.nodes)) == [Action("ring"), times(6, SC)]
        assert [c.amount for c in found.stated] == stated

    def test_what_follows_it_is_read(self):
        assert plain(read("MR 6, ch 1. (6)").stated) == (Count(6),)


class TestOneRoundTellsTheNext:
    def test_the_stitch_it_was_made_of(self):
        reader = BodyReader("Hdc 6. Inc x 6.", "US", {}, None, 0)
        reader.read("hdc 6.", 0)
        (node,) = plain(reader.read("inc x 6.", 7).nodes)
        assert node.body[0].body[0] == stitch("hdc")


class TestInstructs:
    @pytest.mark.parametrize("text", ["sc", "ch 3", "3 ch", "turn", "join", "inc", "skip 2", "*", "6 in next",
        "leave the rest unworked", "in BLO", "other side", "ch-2 sp"])
    def test_something_for_the_hook(self, text):
        assert instructs(tokens(text, 0, "US"))

    @pytest.mark.parametrize("text", ["the seal looks left", "count", "", "18", "with care"])
    def test_nothing_for_it(self, text):
        assert not instructs(tokens(text, 0, "US"))


class TestFoundationStitches:
    @pytest.mark.parametrize(("node", "is_one"), [
        (stitch("fsc"), True), (stitch("fdc"), True), (times(24, stitch("fsc")), True), (stitch("sc"), False),
        (times(2, stitch("fsc"), SC), False),
        (Repeat((Stitch("fhdc"),), Times("exact", 8)), True)])
    def test_a_chain_and_a_stitch_in_one(self, node, is_one):
        assert is_foundation_stitch(node) == is_one


class TestOrders:
    @pytest.mark.parametrize(("text", "note"), [
        ("Stuff lightly, then sc in each st around.", "Stuff lightly"),
        ("Press flat, sc in each st around.", "Press flat"),
        ("Insert the eyes; sc in each st around.", "Insert the eyes"),
    ])
    def test_what_is_worked_behind_an_order_to_the_hands(self, text, note):
        found = read(text)
        assert list(plain(found.nodes)) == [around(SC)] and [n.text for n in found.notes] == [note]

    @pytest.mark.parametrize("text", ["Stuff before the last 3 sc.", "Stuff, and shape it.", "Count the stitches, 18 sc.", "Check, 18 sts?", "Fold in half."])
    def test_an_order_alone_is_a_note(self, text):
        found = read(text)
        assert not found.nodes and len(found.notes) == 1


class TestSoOften:
    @pytest.mark.parametrize("text", ["1 sc, inc x 6 (18)", "1sc inc x6 =18", "sc, inc 6 times. (18)", "2 sc, dec x 6 (18)"])
    def test_all_of_it_where_only_that_makes_the_count(self, text):
        (repeat,) = read(text).nodes
        assert isinstance(repeat, Repeat) and (len(repeat.body), repeat.times.amount) == (2, 6)

    @pytest.mark.parametrize("text", ["1 sc, inc x 6 (13)", "1 sc, inc x 6", "sc in next st, inc in next 6 sts (18)"])
    def test_the_last_alone_where_that_is_said(self, text):
        assert len(read(text).nodes) == 2


@pytest.mark.parametrize(("text", "left"), [
    ("Sc to last 3 sts, turn. (14)", 3), ("Sc in each st to last st, ch 1, turn. (9)", 1), ("Sc to last 3 sts, turn.", None),
    ("Sc to last 3 sts. (14)", None), ("Sc to last 3 sts, sc2tog, sc, turn. (14)", None), ("Sc across, turn. (14)", None)])
def test_what_stays_where_the_row_turns_before_it(text, left):
    assert [n.count for n in read(text).nodes if isinstance(n, Skip)] == ([left] if left else [])


def test_groups_of_its_own_count_as_many_as_they_hold():
    shell = Own((Repeat((Stitch("dc"),), Times("exact", 5)),))
    reader = BodyReader("", "US", {"shell": shell}, None, 0)
    assert [c.amount for c in reader.read("*Sc in next st, shell in next st; rep from * around. (3 shells, 4 sc)", 0).stated] == [19]
