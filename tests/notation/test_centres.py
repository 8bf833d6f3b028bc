"""The middle of something: of the row, of each group, of a loop, of so many."""

from __future__ import annotations

import pytest
from passages import cursor, rest

from coach.notation.centres import EACH_GROUP, NEXT_ONE, ROW, SPACE, read_centre

READ = [
    ("center stitch", ROW, False),
    ("the middle stitch", ROW, False),
    ("the very middle stitch of the row", ROW, False),
    ("centre stitch of each loop", EACH_GROUP, True),
    ("the centre of each small scallop", EACH_GROUP, True),
    ("middle stitch of the next group", EACH_GROUP, False),
    ("center sc of next corner", EACH_GROUP, False),
    ("centre of 1st loop", SPACE, False),
    ("centre of each loop", SPACE, True),
    ("middle of next ch loop", SPACE, False),
    ("centre one of 5", NEXT_ONE, False),
    ("centre of 5", NEXT_ONE, False),
    ("the second of the 3 sc that form the corner", EACH_GROUP, True),
    ("the 3rd of the 5 sts which form each corner", EACH_GROUP, True),
]
NOT_READ = ["center", "centre of the ring", "the middle", "second of the 4 sc that form the corner", "2nd st", "the next st",
    "middle of the rows", "third ch of ch-3", "center of a motif", ""]


@pytest.mark.parametrize(("words", "into", "each"), READ)
def test_read(words, into, each):
    c = cursor(words)
    assert read_centre(c) == (into, each)
    assert rest(c) == []


@pytest.mark.parametrize("words", NOT_READ)
def test_what_is_no_middle_moves_nothing(words: str):
    c = cursor(words)
    assert read_centre(c) is None
    assert c.at == 0
