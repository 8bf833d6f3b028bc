"""The spoken steps: short, the same in US and UK terms, and telling the truth about the loops on the hook."""

from __future__ import annotations

import re

import pytest
from test_actions import loops

from coach.stitches.catalogue import catalogue

ALL = catalogue().stitch
NUMBERS = {"two": 2, "three": 3, "four": 4, "five": 5, "six": 6, "seven": 7}


@pytest.mark.parametrize("stitch", ALL, ids=lambda s: s.id)
def test_every_entry_tells_how_in_a_few_short_steps(stitch):
    assert 3 <= len(stitch.how) <= 6
    for step in stitch.how:
        assert len(step.split()) <= 14, step  # about one breath
        assert step.endswith(".") and step[0].isupper()


@pytest.mark.parametrize("stitch", ALL, ids=lambda s: s.id)
def test_no_step_names_a_stitch_that_the_other_terms_call_something_else(stitch):
    text = " ".join(stitch.how).lower()
    assert not re.search(r"crochet|treble|\b(sc|dc|hdc|htr|tr|dtr)\b|\bdouble\b|\bsingle\b|yarn over", text)


@pytest.mark.parametrize("stitch", [s for s in ALL if s.actions], ids=lambda s: s.id)
def test_the_loops_that_a_step_names_are_on_the_hook(stitch):
    # "... a loop up: three loops on the hook" must be a number that the actions give, in this order
    seen = iter(loops(stitch.actions))
    for said in re.findall(r": (\w+) loops|: (\w+) are left", " ".join(stitch.how)):
        number = NUMBERS[said[0] or said[1]]
        assert number in seen, f"{number} loops are never on the hook here"


def test_looking_is_never_asked_for():
    looking = re.compile(r"\b(look|see|watch|colou?r of|picture|diagram)\b", re.I)
    for stitch in ALL:
        assert not looking.search(" ".join(stitch.how)), stitch.id
