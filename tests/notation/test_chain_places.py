"""Places that chains make."""

from __future__ import annotations

import pytest
from passages import body, cursor, rest

from coach.fabric import work
from coach.notation import read
from coach.notation.chain_places import each_following, is_counted_loop, over_chains, top_of_chain, top_of_this
from coach.notation.cursor import Cursor
from coach.notation.extents import AROUND
from coach.notation.lexer import fold, tokens
from coach.notation.model import Into


# ---- the space over so many
@pytest.mark.parametrize(("words", "chains", "left"), [
    ("2 ch", 2, []),
    ("the next 3 ch,", 3, [","]),
    ("next 1 chain", 1, []),
    ("3 chain and", 3, ["and"]),
])
def test_so_many_chains_are_the_space_they_make(words, chains, left):
    c = cursor(words)
    assert over_chains(c) == chains and rest(c) == left


@pytest.mark.parametrize("words", ["2 ch sp", "ch 2", "the", "2 sc", "3 ch sc", ""])
def test_what_is_no_number_of_chains_moves_nothing(words):
    c = cursor(words)
    assert over_chains(c) is None and c.at == 0


# ---- the top of a chain
@pytest.mark.parametrize(("words", "chains"), [
    ("top of 3ch", 3),
    ("top of ch-2", 2),
    ("the top of the turning ch-3", 3),
    ("top of beg ch 3", 3),
    ("top of your ch 3", 3),
    ("top of last ch 3 of last row", 3),
    ("top of tch", None),
    ("the top of the turning chain", None),
])
def test_the_top_of_the_chain_that_the_row_below_starts_with(words, chains):
    c = cursor(words)
    assert top_of_chain(c) == Into("tch", chains) and rest(c) == []


@pytest.mark.parametrize("words", ["top", "top of 3 sc", "top of the ch-3 sp", "the turning ch", "top of the shell", ""])
def test_the_top_of_something_else_moves_nothing(words):
    c = cursor(words)
    assert top_of_chain(c) is None and c.at == 0


def test_a_joined_round_closes_in_the_top_of_its_chain():
    fabric = work(read("Rnd 1: Ch 3 (counts as dc), 11 dc in magic ring, sl st in top of ch-3. (12)\n"
                       "Rnd 2: Ch 3 (counts as dc), dc in same st, 2 dc in each st around, sl st in top of beg ch 3. (24)\n"))
    assert [r.made for r in fabric.parts[0].rounds] == [12, 24] and not fabric.faults


# ---- the top of the stitch just made
@pytest.mark.parametrize(("line", "words"), [
    ("ch 3, 1 dc in the top of this treble st", "in the top of this treble st"),
    ("dc in next st, ch 2, sc in top of that dc, ch 1", "in top of that dc"),
])
def test_of_the_stitch_just_made(line, words):
    assert Into("own", words=words) in [getattr(node, "into", None) for node in body(line)]


def test_without_this_it_is_no_stitch_just_made():
    for words in ("top of the dc", "top of this", "this dc", ""):
        c = cursor(words)
        assert top_of_this(c) is None and c.at == 0


# ---- the third chain from here
@pytest.mark.parametrize(("words", "counted"), [
    ("into 3rd loop", True),
    ("into 3rd loop, ch 2", True),
    ("in 3rd loop", False),  # the third loop of the stitch
    ("into 3rd loop of sc", False),
    ("into 3rd ch", False),
    ("into loop", False),
])
def test_a_loop_that_is_counted_is_a_chain(words, counted):
    text = fold(words)
    c = Cursor(tokens(text, 0, "US"), at=1, text=text)
    assert is_counted_loop(c) == counted and c.at == 1


def test_at_the_start_there_is_nothing_that_it_follows():
    assert not is_counted_loop(cursor("3rd loop"))


def test_counted_loops_are_places_of_a_round():
    assert [node.into for node in body("1 dc into 3rd loop, 1 sc into 4th loop.")] == [Into("nth", 3), Into("nth", 4)]


# ---- each following
@pytest.mark.parametrize(("words", "left"), [
    ("following", []),
    ("following to the end", []),
    ("following around", []),
    ("next across", []),
    ("following, ch 2", [",", "ch", 2]),
])
def test_each_following_goes_all_the_way(words, left):
    c = cursor(words)
    assert each_following(c) == AROUND and rest(c) == left


def test_each_following_stitch_is_read_elsewhere():
    c = cursor("following sc")
    assert each_following(c) is None and c.at == 0
