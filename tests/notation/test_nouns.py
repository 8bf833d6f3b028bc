"""What a place is called."""

from __future__ import annotations

import pytest
from passages import cursor, rest

from coach.notation.model import NEXT, Into
from coach.notation.nouns import read_noun

SPACE, CORNER = Into("space"), Into("space", corner=True)


@pytest.mark.parametrize(("words", "noun"), [
    ("st", NEXT), ("stitches", NEXT), ("group", NEXT), ("shell", Into(stitch="shell")), ("picot", Into(stitch="picot")),
    ("dc", Into(stitch="dc")), ("half double crochet", Into(stitch="hdc")),
    ("ch", Into("chain")), ("chain stitch", Into("chain")), ("tch", Into("tch")),
    ("sp", SPACE), ("loop", SPACE), ("ch-sp", SPACE), ("ch loop", SPACE), ("handle", SPACE), ("gap", SPACE),
    ("ch-2 sp", Into("space", 2)), ("ch-2", Into("space", 2)), ("3ch sp", Into("space", 3)),
    ("corner", CORNER), ("corner sp", CORNER), ("centre sp", CORNER), ("center ch sp", CORNER),
    ("ch-2 corner sp", Into("space", 2, corner=True)), ("centre ch-2 sp", Into("space", 2, corner=True)),
    ("dc sp", Into("between")),
])
def test_a_noun(words, noun):
    c = cursor(words)
    assert read_noun(c) == noun and not rest(c)


@pytest.mark.parametrize("words", ["around", "the", "3", "centre", "centre of the ring", "1st", "turn", ""])
def test_no_noun_and_no_move(words):
    c = cursor(words)
    assert read_noun(c) is None and c.at == 0
