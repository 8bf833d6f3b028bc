"""Words behind a place that say more of it."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st
from passages import cursor, rest

from coach.fabric import work
from coach.notation import read
from coach.notation.model import NEXT, SAME, Into
from coach.notation.place_tails import read_tail

SPACE = Into("space", 2)


@pytest.mark.parametrize(("into", "words", "place"), [
    (NEXT, "at base of ch", SAME), (NEXT, "at the base of the beg ch-3", SAME), (NEXT, "at bottom of turning ch", SAME),
    (SPACE, "between any 2 dc", Into("between")), (SPACE, "between groups", Into("between")),
    (SPACE, "between next 2 sts", Into("between")), (SPACE, "of block", SPACE), (SPACE, "of the next square", SPACE),
    (NEXT, "of last fan", NEXT), (NEXT, "of each block", NEXT)])
def test_what_they_say(into, words, place):
    c = cursor(words)
    assert read_tail(c, into) == place
    assert c.done, rest(c)


@pytest.mark.parametrize("words", ["", "of row 2", "at the end", "between", "of", "around", "at base", "between rounds"])
@pytest.mark.parametrize("into", [NEXT, SPACE])
def test_other_words_stay(into, words):
    c = cursor(words)
    assert read_tail(c, into) is None
    assert c.at == 0


@given(st.lists(st.sampled_from("at the base of ch between any 2 dc group next block".split()), max_size=8))
def test_whatever_follows_nothing_is_lost(words):
    c = cursor(" ".join(words))
    if read_tail(c, SPACE) is None:
        assert c.at == 0


def made(text: str) -> list[int]:
    fabric = work(read(text))
    assert not fabric.faults, fabric.faults
    return [r.made for part in fabric.parts for r in part.rounds]


def test_a_stitch_at_the_base_of_the_chain_stands_beside_it():
    assert made("Rnd 1: Ch 3, 11 dc in ring, join. (12)\nRnd 2: Ch 3, dc in st at base of ch, 2 dc in each st around. (24)") == [
        12, 24]


@pytest.mark.parametrize("row", [
    "sc in first sc, *sc in next ch-1 sp, ch 1, sk next sc; rep from * to last ch-1 sp, sc in last sp, sc in last sc",
    "sc in first sc, (sc in next ch-1 sp, ch 1, sk next sc) to last sp, sc in last sp, sc in last sc"])
def test_to_the_last_space(row):
    seed = "Ch 20.\nRow 1: Sc in 2nd ch from hook, *ch 1, sk next ch, sc in next ch; rep from * across. Turn.\nRow 2: Ch 1, "
    assert made(f"{seed}{row}. Turn. (11 sc)") == [10, 11]


@pytest.mark.parametrize("start", ["Sl st in next sp, ch 1, ", "Sl st into lp, ch 1, ", "Sl st in ch-2 sp, ch 1, "])
def test_each_space_counts_the_one_that_was_travelled_into(start):
    wheel = f"Rnd 1: (Sc, ch 2) 6 times in magic ring, join. (6)\nRnd 2: {start}3 sc in each sp around, join. (18)"
    assert made(wheel) == [6, 18]


def test_the_first_space_at_the_end_is_where_the_round_began():
    assert made("""
        Rnd 1: Ch 3, 2 dc in ring, ch 2, (3 dc, ch 2) 3 times in ring, join. (12 dc)
        Rnd 2: Sl st in ch-2 sp, ch 3, dc in same sp, (ch 1, 2 dc in next ch-2 sp) 3 times, ch 1, 2 dc in first sp, join. (10)
        """) == [12, 10]
