"""Worked rounds in plain US abbreviations, with the numbers that the arithmetic gave them."""

from __future__ import annotations

import pytest
from worked import after, rounds

from coach.fabric.tree import Leaf, Loop, Run
from coach.fabric.words import abbreviated
from coach.notation.model import Group, Into, Stitch

# (stitches below, as written, as said)
SAID = [
    (12, "Sc in each st around.", "sc 12"),
    (12, "Single crochet in each stitch around.", "sc 12"),
    (12, "2 sc in each st around.", "inc x 12"),
    (12, "(Sc, inc) around.", "(sc, inc) x 6"),
    (12, "*Sc in next st, 2 sc in next st; repeat from * around.", "(sc, inc) x 6"),
    (12, "[2sc, 1inc]*4", "(sc 2, inc) x 4"),
    (12, "(Sc, sc2tog) x 4.", "(sc, sc2tog) x 4"),
    (12, "(Sc 2, inv dec) x 3.", "(sc 2, inv dec) x 3"),
    (12, "Sc 10, inc, dc.", "sc 10, inc, dc"),
    (12, "Sc in BLO of each st around.", "sc 12 BLO"),
    (12, "Sc in FLO of each st around.", "sc 12 FLO"),
    (12, "Hdc in each st to last 2 sts, dc in last 2 sts.", "hdc 10, dc 2"),
]


@pytest.mark.parametrize(("below", "written", "said"), SAID)
def test_a_round_in_abbreviations(below, written, said):
    assert abbreviated((rounds(after(below, written))[1].tree,)) == said


def test_uk_words_come_out_as_us_abbreviations():
    text = "UK terms\n\nRnd 1: 6 dc in magic ring.\nRnd 2: 2 dc in each st around.\nRnd 3: (Tr, htr) 6 times."
    assert [abbreviated((r.tree,)) for r in rounds(text)[1:]] == ["inc x 6", "(dc, hdc) x 6"]


def test_into_a_ring():
    assert "6 sc in ring" in abbreviated((rounds("Rnd 1: 6 sc in magic ring.")[0].tree,))


def test_nothing_is_nothing():
    assert abbreviated(()) == abbreviated((Run(()),)) == ""


def test_what_was_worked_before_the_round_is_not_said():
    assert abbreviated((Leaf(None, makes=1, steps=0), Leaf(Stitch("dc")))) == "dc"


class TestTrees:
    SC, DC = Leaf(Stitch("sc")), Leaf(Stitch("dc"))
    INC = Leaf(Group((Stitch("sc"), Stitch("sc"))))

    def test_neighbours_are_separated_by_commas(self):
        assert abbreviated((self.SC, self.INC, self.DC)) == "sc, inc, dc"

    def test_a_loop_in_a_loop(self):
        tree = Loop(Run((Loop(Run((self.SC, self.INC)), 3), self.DC)), 2)
        assert abbreviated((tree,)) == "((sc, inc) x 3, dc) x 2"

    def test_a_loop_of_one_stitch_has_its_number_behind(self):
        assert abbreviated((Loop(self.SC, 5),)) == "sc 5"
        assert abbreviated((Loop(self.INC, 5),)) == "inc x 5"

    def test_in_a_chain_and_in_a_ring(self):
        assert abbreviated((Loop(Leaf(Stitch("sc", Into("chain"))), 9),)) == "sc 9"
        assert abbreviated((Loop(Leaf(Stitch("hdc", Into("ring"))), 8),)) == "8 hdc in ring"

    @pytest.mark.parametrize("n", [2, 6, 10**9])
    def test_a_number_is_a_number_however_large(self, n):
        assert abbreviated((Loop(self.SC, n),)) == f"sc {n}"
