"""Rows that one sentence tells, and texts without labels: what can't be read of them is a fault at its place."""

from __future__ import annotations

import pytest

from coach.fabric import work
from coach.notation import read
from coach.notation.proceeding import read_proceeding

DIAMOND = """Make 2 ch.

1st row: Miss 1, 3 s.c. in the next ch.

2nd row: Turn, 1 ch., 1 s.c. in one, 3 s.c. in next, 1 s.c. in one.

Thus you proceed, turning the work at the end of every row, working 1 s.c. in every one but the middle stitch, in which you
work 3, until you have made {ribs} ribs, and the row has {stitches} stitches.
"""


@pytest.mark.parametrize(("sentence", "rows", "stated"), [
    ("Thus you proceed, working 1 sc in each st, until you have made 15 ribs, and the row has 61 stitches", 30, 61),
    ("Thus continue, working 2 sc in each st until you have 7 rows.", 7, None),
    ("In this manner go on, working 1 sc in each st, until there are 12 rounds", 12, None),
])
def test_read(sentence: str, rows: int, stated: int | None):
    found = read_proceeding(sentence)
    assert (found.rows, found.stated) == (rows, stated)
    assert sentence[found.at:].startswith(found.told) and found.told.endswith("in each st")


@pytest.mark.parametrize("sentence", ["Working 1 sc in each st until you have 7 rows.", "Thus you proceed.", "",
    "Thus the work is done, working 1 sc in each st until you have 7 rows: good.", "So, turn."])
def test_other_sentences(sentence: str):
    assert read_proceeding(sentence) is None


@pytest.mark.parametrize(("ribs", "stitches", "kinds"), [(4, 17, []), (15, 61, []), (4, 19, ["count"])])
def test_each_row_widens_in_its_middle(ribs: int, stitches: int, kinds: list[str]):
    fabric = work(read(DIAMOND.format(ribs=ribs, stitches=stitches)))
    assert [f.kind for f in fabric.faults] == kinds
    assert [r.made for r in fabric.parts[0].rounds] == [2 * n + 1 for n in range(1, 2 * ribs + 1)]


def test_a_sentence_that_can_not_be_read_makes_no_rows():
    text = DIAMOND.format(ribs=4, stitches=17).replace("1 s.c. in every one but", "1 shimmer in every one but")
    assert len(work(read(text)).parts[0].rounds) == 2


COVER = ("Cover a flat float with the blue wool: Make a chain of 3 stitches, turn, and in 2d stitch of chain make 6 doubles; "
         "make 2 doubles in each of 6 doubles, working in both veins of stitch; then make 1 double in next stitch, 2 in "
         "next, and repeat.")


def test_in_a_text_without_labels_each_clause_is_a_round():
    fabric = work(read(COVER))
    assert fabric.faults == ()
    assert [r.made for r in fabric.parts[0].rounds] == [6, 12, 18]


def test_what_is_not_understood_of_it_is_a_fault():
    fabric = work(read(COVER + " Then shimmer 3 doubles twice over."))
    assert [f.kind for f in fabric.faults] == ["unknown"]
    assert fabric.faults[0].column == len(COVER) + 2


def test_remarks_between_are_none():
    assert work(read(COVER + " It is ready to be filled now.")).faults == ()


@pytest.mark.parametrize("text", ["THE CHAIN. Make a loop of thread.", "DOUBLE CROCHET. Draw the thread through both loops.",
    "THE CHAIN.\nDOUBLE CROCHET. (Figure 3). Having a stitch on needle, insert hook in work."])
def test_how_a_stitch_is_worked_is_no_pattern(text: str):
    assert [f.kind for f in read(text).faults] == ["empty"]


def test_a_motif_in_one_chain_and_a_round_that_ends_where_it_began():
    fabric = work(read("HARBOUR SQUARE (fig. 4).--Begin with 4 chain stitches, and work 1 single on the 1st chain, to make a "
                       "round. Work, 1 chain and 2 plain on the next chain, 3 plain on each of the next 3 chain, 1 plain on "
                       "the stitch on which the two first plain are worked."))
    assert fabric.faults == ()
    assert [(r.made, r.takes) for r in fabric.parts[0].rounds] == [(12, 4)]


def test_behind_ribs_an_instruction_that_is_not_read_is_a_fault_and_the_ribs_stand():
    fabric = work(read("Make a chain of 11 stitches, turn.\n1. Miss 1 stitch, a double in each of 10 stitches, turn.\n"
                       "2. Chain 1, a double in each of 10 doubles, turn.\nRepeat 2d row until you have 4 ribs; at the end of "
                       "the last row shimmer 11, a double in each of 10 stitches.\n"))
    assert [(f.kind, f.line) for f in fabric.faults] == [("unknown", 4)]
    assert [r.made for r in fabric.parts[0].rounds] == [10] * 8
    assert all(r.sound for r in fabric.parts[0].rounds)
