"""Stitches told by the moves of the hook: one step as written, and how many the words say."""

from __future__ import annotations

import pytest
from passages import body

from coach.fabric import work
from coach.language.phrasebook import load
from coach.language.steps import Steps
from coach.notation import read
from coach.notation.model import Action, Chain, Repeat, Times

RING = "Chain 6 stitches, join.\n1. Chain 3, 11 trebles in ring, join.\n"
WEDGES = (RING + "2. Draw up a loop, insert hook in 1st stitch, * wool over, draw up a loop, wool over, draw through all "
          "the loops on hook, chain 1, insert hook in same stitch, and repeat from * until there are 12 wedge-stitches in "
          "the round.\n")


def moves(line: str) -> list[str]:
    return [n.text for n in body(line, "UK terms.\n\n") if isinstance(n, Action) and n.kind == "moves"]


@pytest.mark.parametrize("line", [
    "Draw up a loop, wool over, draw through two",
    "Draw up a loop, insert hook in next stitch, yarn over; yarn over and draw through all",
    "Draw a loop through 2d and 3d stitches of chain, and 2 through the ring; take up wool and work off all together",
    "Draw up loop, over, draw through all loops on the needle",
    "Taking the 4th loop of each shell, and 5th in stitch ahead",
])
def test_moves_behind_one_another_are_one_step_as_written(line: str):
    assert moves(line) == [line]


@pytest.mark.parametrize("line", ["Dc in next 3 sts", "Draw the yarn", "Take up the tail", "Over the ring", "Another dc",
    "2 dc in ring", "Work off the hook size"])
def test_other_words_are_no_moves(line: str):
    assert moves(line) == []


def test_they_end_where_something_is_worked():
    nodes = body("Draw up a loop, wool over and chain 1, draw through all the loops", "UK terms.\n\n")
    assert [n.text if isinstance(n, Action) else n for n in nodes] == [
        "Draw up a loop, wool over", Chain(1), "draw through all the loops"]


def test_the_words_tell_how_many():
    fabric = work(read(WEDGES))
    assert fabric.faults == ()
    second = fabric.parts[0].rounds[1]
    assert (second.stated, second.counted, second.made) == (12, False, 0)
    repeat = next(n for n in second.source.body if isinstance(n, Repeat))
    assert repeat.times == Times("exact", 12)
    assert Steps(load("en"), "UK").trees((second.tree,)).startswith(
        "Draw up a loop, insert hook in 1st stitch. 12 times: wool over, draw up a loop,")


def test_later_rounds_are_of_the_stitch_that_they_make():
    fabric = work(read(WEDGES + "3. Widen in every 4th stitch.\n4. Plain, that is, without widening.\n"))
    assert fabric.faults == ()
    widened, plain = fabric.parts[0].rounds[2:]
    assert (widened.made, plain.made) == (15, 15)
    assert widened.tree.tally == {"wedge-stitch": 15}


def test_what_is_repeated_of_them_only_the_words_tell():
    fabric = work(read(RING + "2. Chain 3, draw a loop through 1st stitch, work off all together, chain 1 to close the star, "
                       "draw a loop through eye of star; work off as before, and repeat until you have made 6 stars; join.\n"))
    assert fabric.faults == ()
    assert fabric.parts[0].rounds[1].stated == 6


def test_how_many_of_those_made_are_widened_is_a_note():
    fabric = work(read(RING + "2. Make 12 trebles, widening 4 times.\n"))
    (_, second) = fabric.parts[0].rounds
    assert second.made == 12
    assert [n.text for n in second.source.notes] == ["widening 4 times"]
