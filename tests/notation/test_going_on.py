"""Rounds that a page leaves out and says so."""

from __future__ import annotations

import pytest
from passages import kinds, rounds

from coach.fabric import work
from coach.notation import read
from coach.notation.going_on import leaves_out

CAP = "Cap\nRnd 1: 8 sc in magic ring. (8)\nRnd 2: Inc x 8. (16)\n{between}Rnd 5: Sc around. (16)\n"


@pytest.mark.parametrize("words", ["Go straight on to Rnd 5.", "Size S goes on to round 5.", "Skip to Rnd 5.",
    "It is flat: continue with Rnd 5.", "Now proceed to the rnd 5."])
def test_a_remark_that_goes_on_to_the_next_round_leaves_nothing_missing(words):
    text = CAP.format(between=f"{words}\n")
    assert kinds(text) == []
    (part,) = work(read(text)).parts
    assert [(w.label, w.made, w.takes) for w in part.rounds][1:] == [("Rnd 2", 16, 8), ("Rnd 5", 16, 16)]
    assert any(words.rstrip(".") in note.text for note in part.rounds[1].source.notes)  # the maker hears it


@pytest.mark.parametrize("words", ["", "Stuff it.\n", "Go on to Rnd 4.\n", "Skip to Rnd 55.\n", "Rnd 5 is the last.\n"])
def test_without_one_a_round_is_missing(words):
    assert "missing" in kinds(CAP.format(between=words))


def test_it_stands_behind_the_round_before_the_gap():
    first, second, fifth = rounds(CAP.format(between="Go on to Rnd 5.\n"))
    assert not leaves_out(first, second) and not leaves_out(second, fifth)
    assert leaves_out(first, fifth)
