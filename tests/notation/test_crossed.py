"""Going back to a stitch that was skipped, and chains fastened back to a picot."""

from __future__ import annotations

import pytest
from passages import body, cursor, rest, st, times

from coach.fabric import work
from coach.notation import read
from coach.notation.crossed import closes_a_picot, crossed, often_for, read_fastened_back
from coach.notation.extents import AROUND
from coach.notation.model import SAME, Chain, Into, Repeat, Skip, Times

DC, BACK, SLIP = st("dc"), st("dc", SAME), st("slst", Into("hook", 4))
UK = "UK terms.\n\n"


def test_what_is_gone_back_to_is_not_the_stitch_of_the_chain():
    assert crossed([Skip(first=True), DC, BACK]) == [Skip(first=False), DC, BACK]
    assert crossed([Repeat((Skip(first=True), DC, BACK), AROUND)]) == [Repeat((Skip(first=False), DC, BACK), AROUND)]
    assert crossed([Skip(first=True), DC, DC]) == [Skip(first=True), DC, DC]


def test_a_treble_back_in_the_first_stitch():
    assert body("miss 1st stitch, a tr in next, then a tr back in 1st stitch", UK) == (Skip(), DC, BACK)


@pytest.mark.parametrize("n", [13, 21])
def test_crosses_behind_a_chain(n: int):
    fabric = work(read(f"{UK}Chain {n}, join.\n1st round: Chain 3, miss 1st stitch, a tr in next, then a tr back in 1st "
                       "stitch, forming a crossed treble; repeat around, join."))
    assert fabric.faults == ()
    assert (fabric.parts[0].rounds[0].made, fabric.parts[0].rounds[0].takes) == (n, n)


@pytest.mark.parametrize("words", ["fasten back in 1st stitch for a picot", "fasten back in the first chain",
    "fastened back in 1st st to form a picot"])
def test_fastened_back(words: str):
    c = cursor(words)
    (found,) = read_fastened_back(c, [DC, Chain(4)])
    assert (found.stitch, found.into) == ("slst", Into("hook", 4))
    assert rest(c) == []


@pytest.mark.parametrize("words", ["fasten off", "fasten back", "fasten back in the ring"])
def test_other_fastening(words: str):
    c = cursor(words)
    assert read_fastened_back(c, [Chain(4)]) is None and c.at == 0


def test_nothing_is_fastened_back_without_a_chain():
    assert read_fastened_back(cursor("fasten back in 1st stitch"), [DC]) is None
    assert read_fastened_back(cursor("fasten back in 1st stitch"), []) is None


def test_a_picot_is_a_chain_and_its_slip_stitch():
    assert closes_a_picot([Chain(4), SLIP], 1)
    assert not closes_a_picot([DC, SLIP], 1) and not closes_a_picot([SLIP], 0) and not closes_a_picot([], 0)


@pytest.mark.parametrize(("words", "often"), [
    (", making 5 picots around the shell", Times("exact", 5)),
    (", making 12 dc", Times("exact", 6)),
    (", making 7 dc", AROUND),
    (", making 3 tr", AROUND),
    (", sc in next st", AROUND),
    ("", AROUND),
])
def test_so_often_that_there_are_so_many(words: str, often: Times):
    c = cursor(words)
    assert often_for(c, (Chain(4), SLIP, DC, DC), AROUND) == often
    assert (rest(c) == []) == (often != AROUND or words == "")


def test_a_number_that_was_said_stands():
    assert often_for(cursor(", making 5 picots"), (Chain(4), SLIP), Times("exact", 3)) == Times("exact", 3)


def test_picots_around_a_shell():
    (shell, each) = body("chain 4, fasten back in 1st stitch for a picot, a dc in next, repeat, making 5 picots around the "
                         "shell, a dc in single treble", UK)
    assert shell == times(5, Chain(4), SLIP, st("sc"))
    assert each == st("sc", Into(stitch="dc"))
