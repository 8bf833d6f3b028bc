"""Where a clause begins and ends."""

from __future__ import annotations

import pytest
from passages import body, cursor, plain, rest

from coach.notation.clauses import clause_ends, end_of_place, pass_over_title


@pytest.mark.parametrize("words", ["", ", sc", "; sc", ". Turn", ") 3 times", "] twice", "and sc", "then sc", "work 2", "around", "across",
    "* rep", "rep from *", "= 12"])
def test_a_clause_ends(words):
    c = cursor(words)
    assert clause_ends(c) and c.at == 0


@pytest.mark.parametrize("words", ["sc", "(12)", "2 ch", "in next st", "next", "turn"])
def test_a_clause_goes_on(words):
    assert not clause_ends(cursor(words))


# ---- a title before what is worked
@pytest.mark.parametrize(("line", "left"), [
    ("Darkest pink: make 41 ch", ["work", 41, "ch"]),
    ("Body: sc 6", ["sc", 6]),
    ("Insertion.-- ch 3", ["-", "-", "ch", 3]),
    ("Work, 1 chain", [1, "ch"]),
])
def test_a_title_is_passed_over(line, left):
    c = cursor(line)
    pass_over_title(c)
    assert rest(c)[-len(left) :] == left and c.tokens[c.at - 1].value in (":", ".", ",")


@pytest.mark.parametrize("line", ["sc 3: dc", "Pink sc 3", "Body. sc 6", "wide sea blue grey: sc", ": sc", ""])
def test_what_is_no_title_stays(line):
    c = cursor(line)
    pass_over_title(c)
    assert c.at == 0


# ---- what goes into a place that was said first
@pytest.mark.parametrize(("words", "place", "after"), [
    ("(2 dc, ch 1) in next st", ["(", 2, "dc", ",", "ch", 1, ")"], ["in", "next", "st"]),
    ("dc, ch 1, dc", ["dc", ",", "ch", 1, ",", "dc"], []),
    ("2 dc, ch 2, 2 dc, sc in next st", [2, "dc", ",", "ch", 2, ",", 2, "dc"], [",", "sc", "in", "next", "st"]),
    ("2 dc, ch 2. sc", [2, "dc", ",", "ch", 2], [".", "sc"]),
    ("3 tr, ch 1; sc", [3, "tr", ",", "ch", 1], [";", "sc"]),
    ("2 dc, turn", [2, "dc"], [",", "turn"]),
    ("2 dc and turn", [2, "dc"], ["and", "turn"]),
    ("2 dc, ch 1, join", [2, "dc", ",", "ch", 1], [",", "join"]),
    ("dc and. sc", ["dc"], ["and", ".", "sc"]),
    ("dc, ch 1, then on next", ["dc", ",", "ch", 1], [",", "then", "on", "next"]),
    ("(2 dc, ch 1", ["(", 2, "dc", ",", "ch", 1], []),  # a bracket that nobody closes
])
def test_it_ends_before_the_next_place(words, place, after):
    c = cursor(words)
    end = end_of_place(c)
    assert [[t.value for t in some] for some in (c.tokens[:end], c.tokens[end:])] == [place, after] and c.at == 0


@pytest.mark.parametrize(("told", "bracketed"), [
    ("In next st work 2 dc, ch 2, 2 dc, sc in next st", "(2 dc, ch 2, 2 dc) in next st, sc in next st"),
    ("In next st work (2 dc, ch 2, 2 dc), sc in next st", "(2 dc, ch 2, 2 dc) in next st, sc in next st"),
    ("In next st work dc, ch 1, dc, turn", "(dc, ch 1, dc) in next st, turn"),
])
def test_a_place_said_first_is_the_same_as_one_said_last(told, bracketed):
    assert body(told) == plain(body(bracketed))
