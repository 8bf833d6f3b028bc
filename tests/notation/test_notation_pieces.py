"""The words for pieces made before, and parts that are worked as another one."""

from __future__ import annotations

import pytest
from passages import cursor, kinds, plain

from coach.notation import read
from coach.notation.as_part import as_part
from coach.notation.document import split_make
from coach.notation.model import Into, Span
from coach.notation.pieces import of_a_piece

PIECES = [
    ("of first leg", Into("piece", 1, words="on first leg")), ("around leg 2", Into("piece", 2, words="around leg 2")),
    ("around the second leg", Into("piece", 2, words="around second leg")), ("across arm 1", Into("piece", 1, words="around arm 1")),
    ("on leg 1", Into("piece", 1, words="on leg 1")), ("of the other wing", Into("piece", 2, words="on other wing")),
    ("of left leg", Into("piece", None, words="on left leg")), ("around arms", Into("piece", None, words="around arms")),
]


@pytest.mark.parametrize(("words", "piece"), PIECES)
def test_pieces(words, piece):
    c = cursor(words)
    c.text = words
    assert of_a_piece(c) == piece and c.done


@pytest.mark.parametrize("words", ["of the row", "around", "in next st", "leg 1", "of first st"])
def test_no_pieces(words: str):
    c = cursor(words)
    assert of_a_piece(c) is None and c.at == 0


def test_a_number_behind_a_piece_that_counts_stitches_is_not_its_own():
    c = cursor("around leg 6 sc")
    assert of_a_piece(c).number is None and c.peek().value == 6


MADE = {"leg 1": read("Rnd 1: 6 sc in magic ring.\nRnd 2: Inc around.\nRnd 3: Sc around.").parts[0].rounds}
AS = [
    ("same as leg 1", (1, 2), [1, 2]), ("Work same as Leg 1.", (1, 2, 3), [1, 2, 3]), ("as for leg 1 (12)", (2,), [2]),
    ("Repeat rounds 1-2 of leg 1.", None, [1, 2]), ("Work rnds 1 to 3 as for leg 1.", None, [1, 2, 3]),
    ("the same as rounds 1-2 of leg 1", (1, 2), [1, 2]), ("rnd 3 of the leg 1", None, [3]),
    ("same as leg 2", (1, 2), []), ("same as leg 1", (3, 4), []), ("Repeat rounds 2-5 of leg 1.", None, []), ("same as leg 1", None, []),
    ("sc in each st around", (2,), []), ("same as round 2", (3,), []),
]


@pytest.mark.parametrize(("text", "numbers", "found"), AS)
def test_rounds_as_those_of_another_part(text, numbers, found):
    rounds = as_part(text, MADE, numbers, Span(5, 9))
    assert [r.number for r in rounds] == found
    assert all(r.span == Span(5, 9) and plain(r.body) == plain(MADE["leg 1"][r.number - 1].body) for r in rounds)


@pytest.mark.parametrize(("title", "made"), [("Arm 1 and 2", ("Arm", 2)), ("Legs 1 & 2", ("Legs", 2)), ("Leg 1", ("Leg 1", 1)),
    ("Ears (both)", ("Ears", 2)), ("Leg one and two", ("Leg", 2))])
def test_pieces_numbered_in_one_title(title, made):
    assert split_make(title) == made


def test_a_heading_that_ends_with_a_colon_ends_the_round_before_it():
    text = "Leg:\nR1: 6 sc in MR (6)\nR2: sc around.\nJoin legs:\nR3: sc around. (6)"
    assert kinds(text) == []
