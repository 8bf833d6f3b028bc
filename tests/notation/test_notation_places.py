"""Where the hook goes: places, loops and how far, as written."""

from __future__ import annotations

import pytest
from passages import cursor, rest

from coach.notation.model import Into, Times
from coach.notation.places import read_extent, read_where
from coach.notation.sides import read_loop

NEXT = Into()
AROUND = Times("fill", 0, said=False)

# words → one place
ONE = [
    ("in next st", NEXT),
    ("in the next stitch", NEXT),
    ("into next st", NEXT),
    ("in next sc", Into(stitch="sc")),
    ("in next dc", Into(stitch="dc")),
    ("in same st", Into("same")),
    ("in the same place", Into("same")),
    ("in same sp", Into("same")),
    ("in same st as joining", Into("same")),
    ("in ring", Into("ring")),
    ("into the ring", Into("ring")),
    ("in magic ring", Into("ring")),
    ("in 2nd ch from hook", Into("hook", 2)),
    ("in the fourth chain from hook", Into("hook", 4)),
    ("in 2nd ch from the hook", Into("hook", 2)),
    ("in next ch", Into("chain")),
    ("in next ch-2 sp", Into("space", 2)),
    ("in next ch-2 space", Into("space", 2)),
    ("in next 3-ch sp", Into("space", 3)),
    ("in next ch-5 loop", Into("space", 5)),
    ("in ch-1 sp", Into("space", 1)),
    ("in next sp", Into("space")),
    ("in next ch-sp", Into("space")),
    ("in next corner sp", Into("space", corner=True)),
    ("in corner ch-2 sp", Into("space", 2, corner=True)),
    ("in ch-2 corner sp", Into("space", 2, corner=True)),
    ("in next corner", Into("space", corner=True)),
    ("in first st", Into("first")),
    ("in last st", Into("last")),
    ("in last sc", Into("last", stitch="sc")),
    ("in top of tch", Into("tch")),
    ("in turning ch", Into("tch")),
    ("between next 2 dc", Into("between")),
    ("in 5th st", Into("nth", 5)),
]


@pytest.mark.parametrize(("text", "into"), ONE)
def test_one_place(text, into):
    c = cursor(text)
    where = read_where(c)
    assert (where.into.kind, where.into.number, where.into.corner) == (into.kind, into.number, into.corner)
    assert into.stitch is None or where.into.stitch == into.stitch
    assert (where.count, where.fill) == (None, None)
    assert c.done, rest(c)


@pytest.mark.parametrize(("text", "kind", "count"), [
    ("in next 3 sts", "next", 3),
    ("in each of next 3 sts", "next", 3),
    ("in each of the next three stitches", "next", 3),
    ("over next 6 sts", "next", 6),
    ("in next 5 ch", "chain", 5),
    ("in next 18 chs", "chain", 18),
    ("in next 2 ch-1 sps", "space", 2),
    ("in next 4 dc", "next", 4),
    ("in last 2 sts", "last", 2),
    ("in next 3 (4, 5) sts", "next", (3, 4, 5)),
])
def test_so_many_places(text, kind, count):
    c = cursor(text)
    where = read_where(c)
    assert (where.into.kind, where.count) == (kind, count)
    assert c.done, rest(c)


@pytest.mark.parametrize(("text", "kind", "fill"), [
    ("in each st around", "next", AROUND),
    ("in every stitch around", "next", AROUND),
    ("in each st across", "next", AROUND),
    ("in each st to end", "next", AROUND),
    ("in each st", "next", AROUND),
    ("in each ch across", "chain", AROUND),
    ("in each remaining st", "next", AROUND),
    ("in each ch-3 sp around", "space", AROUND),
    ("in each corner", "space", AROUND),
    ("in each st to last 2 sts", "next", Times("fill", 2)),
    ("in each st to last st", "next", Times("fill", 1)),
    ("in each st until 3 sts remain", "next", Times("fill", 3)),
    ("in each dc to last 4 dc", "next", Times("fill", 4)),
])
def test_as_far_as(text, kind, fill):
    c = cursor(text)
    where = read_where(c)
    assert (where.into.kind, where.count, where.fill) == (kind, None, fill)
    assert c.done, rest(c)


@pytest.mark.parametrize(("text", "loop"), [
    ("in BLO of each st", "back"),
    ("in back loop of next st", "back"),
    ("in back loops only of next 3 sts", "back"),
    ("in front loop only of each st around", "front"),
    ("in FLO of next st", "front"),
    ("in both loops of next st", "both"),
    ("through both loops of next st", "both"),
])
def test_in_a_loop(text, loop):
    c = cursor(text)
    assert read_where(c).loop == loop
    assert c.done, rest(c)


@pytest.mark.parametrize("text", ["sc in next st", "turn", "x 6", "and", "6 times", "", "around", ", in next st"])
def test_no_place(text):
    c = cursor(text)
    assert read_where(c) is None
    assert c.at == 0


class TestLoop:
    @pytest.mark.parametrize(("text", "loop"), [
        ("BLO", "back"), ("FLO", "front"), ("back loops only", "back"), ("front loop", "front"),
        ("the back loop", "back"),
        ("both loops", "both"), ("third loop", "third"), ("back post", "back post"), ("front post", "front post"),
        ("both veins", "both"),
    ])
    def test_words_for_loops(self, text, loop):
        c = cursor(text)
        assert read_loop(c) == loop
        assert c.done, rest(c)

    @pytest.mark.parametrize("text", ["back", "front of the work", "both sides", "loop", "the next st", ""])
    def test_no_loop_and_no_move(self, text):
        c = cursor(text)
        assert read_loop(c) is None
        assert c.at == 0


class TestExtent:
    @pytest.mark.parametrize(("text", "times"), [
        ("around", AROUND), ("all around", AROUND), ("across", AROUND), ("around the row", AROUND), ("to end", AROUND),
        ("to the end", AROUND),
        ("to end of row", AROUND), ("to end of rnd", AROUND), ("to last 2 sts", Times("fill", 2)),
        ("to last st", Times("fill", 1)),
        ("to within last 3 sts", Times("fill", 3)), ("across to last 2 sts", Times("fill", 2)),
        ("until 3 sts remain", Times("fill", 3)),
        ("until 2 stitches are left", Times("fill", 2)), ("to last 4 (6, 8) sts", Times("fill", (4, 6, 8))),
        ("to within 3 sts of end", Times("fill", 3)), ("to next corner", Times("space")),
        ("to next ch-2 sp", Times("space")),
    ])
    def test_how_far(self, text, times):
        c = cursor(text)
        assert read_extent(c) == times
        assert c.done, rest(c)

    @pytest.mark.parametrize("text", ["6 times", "to form a ring", "in next st", "twice", "to join",
        "until piece measures 10 cm", ""])
    def test_not_how_far_and_no_move(self, text):
        c = cursor(text)
        assert read_extent(c) is None
        assert c.at == 0
