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
