"""Places in a round further down: only the words tell where, and what is worked there is counted."""

from __future__ import annotations

import pytest
from passages import rest

from coach.fabric import work
from coach.notation import read
from coach.notation.cursor import Cursor
from coach.notation.lexer import tokens
from coach.notation.places import read_where


def cursor(words: str) -> Cursor:
    return Cursor(tokens(words, 0, "US"), text=words)


@pytest.mark.parametrize(("words", "count"), [
    ("in the back loops of Rnd 4 for 8 sts", 8),
    ("in the front loops of round 4", None),
    ("in BLO of Row 3", None),
    ("into the gap between the shells of Rnd 2", None),
    ("in next 3 sts of rnd 2", 3),
    ("in the ch-2 sp of Row 1", None),
])
def test_the_words_are_kept(words, count):
    c = cursor(words)
    where = read_where(c)
    assert (where.into.kind, where.count, rest(c)) == ("named", count, [])
    assert where.into.words == words.split(" for ")[0]


@pytest.mark.parametrize(("words", "kind"), [
    ("in the back loops", "next"), ("in next 3 sts of the round", "next"), ("in each st of the previous rnd", "next"),
    ("in next ch-2 sp", "space"), ("in the back loop of next st", "next"), ("in 4th ch of ch-5", "tch"),
])
def test_places_of_the_round_below_stay(words, kind):
    assert read_where(cursor(words)).into.kind == kind


def test_a_mouth_goes_on_behind_the_front_loops():
    fabric = work(read("""
        Rnd 1: 24 sc in magic ring. (24)
        Rnd 2: Sc in next 8 sts, FLO sc in next 8 sts, sc in last 8 sts. (24)
        Rnd 3: Sc in next 8 sts, sc in the back loops of Rnd 1 for 8 sts, sc in last 8 sts. (24)
        Rnd 4: Sc in each st. (24)
        """))
    assert [r.made for r in fabric.parts[0].rounds] == [24, 24, 24, 24] and not fabric.faults


def test_a_spike_between_the_shells_of_an_earlier_round():
    fabric = work(read("""
        Rnd 1: 6 sc in magic ring. (6)
        Rnd 2: 7 dc in each st. (42)
        Rnd 3: *Sc in next 7 dc, 1 sc into the gap between the shells of Rnd 1; rep from * around. (48)
        """))
    assert fabric.parts[0].rounds[-1].made == 48 and not fabric.faults
