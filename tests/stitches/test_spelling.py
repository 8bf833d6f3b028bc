"""Color in US terms, colour in UK ones."""

from __future__ import annotations

import pytest

from coach.stitches.spelling import spelled


@pytest.mark.parametrize("us, uk", [
    ("change color", "change colour"),
    ("Color A: 3 to 5 metres", "Colour A: 3 to 5 metres"),
    ("two colors, one coloring, a colorless and a multi-colored yarn", "two colours, one colouring, a colourless and a multi-coloured yarn"),
    ("NO COLOR NAMED", "NO COLOUR NAMED"),
    ("change to the other colorway", "change to the other colourway"),
])
def test_each_is_put_into_the_other(us, uk):
    for text in (us, uk):
        assert (spelled(text, "US"), spelled(text, "UK")) == (us, uk)


@pytest.mark.parametrize("text", ["", "Colorado", "a discoloration", "decolor", "colo", "sc 6, inc", "{colour}: {color:metres}"])
def test_other_words_stay(text):
    assert spelled(text, "US") == spelled(text, "UK") == text
