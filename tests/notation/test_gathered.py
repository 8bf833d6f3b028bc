"""Stitches told one after another and then put into one place."""

from __future__ import annotations

import pytest
from passages import body, plain

from coach.fabric import work
from coach.notation import read
from coach.notation.model import Action, Group, Into

CORNER = Into("space", corner=True)


@pytest.mark.parametrize(("told", "bracketed"), [
    ("3 dc, ch 2, 3 dc all in corner", "(3 dc, ch 2, 3 dc) in corner"),
    ("3 dc, ch 2, 3 dc all in corner sp, ch 1", "(3 dc, ch 2, 3 dc) in corner sp, ch 1"),
    ("Sc in next st, dc, ch 1, dc all in next st", "Sc in next st, (dc, ch 1, dc) in next st"),
    ("*Dc, ch 1, dc all in next ch-2 sp; rep from * around", "*(dc, ch 1, dc) in next ch-2 sp; rep from * around"),
    ("Sc in next st, *dc, ch 1, dc all in next st; rep from * around", "Sc in next st, *(dc, ch 1, dc) in next st; rep from * around"),
])
def test_it_is_a_group(told, bracketed):
    assert body(told) == plain(body(bracketed))


@pytest.mark.parametrize("line", ["Sc all in next st", "Sc all around", "All in next st"])
def test_one_stitch_is_no_group(line):
    assert not any(isinstance(n, Group) and len(n.body) > 1 for n in body(line))


@pytest.mark.parametrize("join", ["Join in any corner", "Join in a corner sp", "Join to any ch-2 sp"])
def test_joined_in_a_place_the_round_begins_there(join):
    text = f"""
        Rnd 1: Ch 3, 2 dc in ring, ch 2, (3 dc, ch 2) 3 times in ring, join. Fasten off. (12 dc)
        Rnd 2: {join}, ch 3, 2 dc, ch 2, 3 dc all in corner, ch 1, *(3 dc, ch 2, 3 dc) in corner, ch 1; rep from * around. (24 dc)
        """
    fabric = work(read(text))
    assert [r.made for r in fabric.parts[0].rounds] == [12, 24] and not fabric.faults


@pytest.mark.parametrize("line", ["Ch 4, join in a ring", "Ch 4, join to form a ring", "Sc in each st, join to first sc"])
def test_other_joinings_stay(line):
    assert not any(isinstance(n, Action) and n.kind == "colour" for n in body(line))


SQUARE = "Rnd 1: Ch 3, 2 dc in ring, ch 2, (3 dc, ch 2) 3 times in ring, join. (12 dc)\n"


@pytest.mark.parametrize("start", [
    "Sl st to corner, ch 3, 2 dc, ch 2, 3 dc in corner", "Sl st to next sp, ch 3, 2 dc, ch 2, 3 dc in same sp",
    "Join B in any ch-2 sp, ch 3, 2 dc, ch 2, 3 dc in same sp", "Sl st to corner, ch 3, (2 dc, ch 2, 3 dc) in corner",
])
def test_all_of_it_goes_into_the_space_that_the_round_begins_in(start):
    fabric = work(read(f"{SQUARE}Rnd 2: {start}, *(3 dc, ch 2, 3 dc) in next sp; rep from * 2 more times, join. (24 dc)"))
    assert [(r.made, r.tree.tally["space 2"]) for r in fabric.parts[0].rounds] == [(12, 4), (24, 4)]
    assert not fabric.faults


@pytest.mark.parametrize("start", [
    "Sc in any corner, 2 more sc in same corner", "3 sc in any corner", "Join B in any corner, ch 1, 3 sc in same corner"])
def test_a_round_begun_in_any_corner_begins_there(start):
    rest = "*sc in each dc to next corner, 3 sc in corner; rep from * twice more, sc in each dc to end, join. (24)"
    fabric = work(read(f"{SQUARE}Rnd 2: {start}, {rest}"))
    assert fabric.parts[0].rounds[-1].made == 24 and not fabric.faults


def test_a_repeat_is_put_into_the_ring_too():
    told, bracketed = "Ch 3, 2 dc, (ch 2, 3 dc) 3 times, all in ring", "(Ch 3, 2 dc, (ch 2, 3 dc) 3 times) in ring"
    assert body(told) == plain(body(bracketed))
