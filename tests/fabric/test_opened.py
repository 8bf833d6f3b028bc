"""Chains over skipped stitches as places of one each."""

from __future__ import annotations

import pytest
from worked import kinds, landings, rounds

from coach.fabric.opened import into_each, opened, says_chains
from coach.fabric.tree import Leaf, Loop, Run, Top
from coach.notation import read
from coach.notation.model import NEXT

HOLE = "Rnd 1: MR, sc 15. (15)\nRnd 2: Sc 5, ch 5, skip 5 sts, sc 5. (15)\nRnd 3: "
SC, ARCH = Leaf(None, takes=1, makes=1, tops=(Top("sc"),), at=0), Leaf(None, tops=(Top("space", 3),))


def test_each_chain_is_a_place():
    tree = opened(Run((SC, ARCH, Loop(Run((SC, ARCH)), 4))))
    assert (tree.tops, tree.stitches, tree.spaces) == (5 + 15, 5 + 15, 0)


def test_a_chain_of_any_length_costs_no_more():
    assert opened(Leaf(None, tops=(Top("space", 10**12),))).tops == 10**12


def test_what_has_no_space_stays_the_same():
    assert opened(SC) is SC


@pytest.mark.parametrize(
    ("words", "chains"),
    [
        ("sc 5, sc in next 5 chs, sc 5", True),
        ("sc 5, sc in each ch of ch-5, sc 5", True),
        ("sc in each st and ch around", True),
        ("sc in each st around", False),
        ("sc 5, 5 sc in ch-5 sp, sc 5", False),
        ("sc in each st and ch-5 sp around", False),
    ],
)
def test_the_words_say_it(words, chains):
    below, round = rounds(HOLE + words)[1:]
    assert says_chains(round.source, below.tree) is chains


def test_a_space_of_one_chain_is_its_chain():
    text = HOLE.replace("ch 5, skip 5 sts", "(ch 1, skip next st) 5 times") + "sc in each st and ch-1 sp around"
    below, round = rounds(text)[1:]
    assert says_chains(round.source, below.tree)
    assert landings(round) == list(range(15))


def test_all_around_is_into_each_place():
    (round,) = read("Rnd 1: Sc in each st and ch around.").parts[0].rounds
    assert into_each(round.body)[0].body[0].into == NEXT


@pytest.mark.parametrize("words", ["sc 15", "sc in each st around", "sc 7, sc 8", "(sc 4, inc) 3 times"])
def test_a_plain_round_over_the_chains_fits_them(words):
    count = 18 if "inc" in words else 15
    text = f"{HOLE}{words}. ({count})"
    assert kinds(text) == []
    assert landings(rounds(text)[2])[:15:5] == [0, 5, 10] or "inc" in words
    assert rounds(text)[2].readings == (f"Each chain is worked into as well, since that gives {count}",)


def test_too_many_for_the_chains_are_still_a_fault():
    assert "short" in kinds(HOLE + "sc 16. (16)")


def test_spaces_are_spaces_where_they_are_worked_into():
    assert kinds(HOLE + "sc 5, 7 sc in ch-5 sp, sc 5. (17)") == []
