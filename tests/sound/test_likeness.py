"""Pronunciations compared, with those of the CMU Pronouncing Dictionary."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from coach.sound.likeness import NEAR, VOWELS, difference, distance, likeness

PHONES = sorted(VOWELS | {phone for group in NEAR for phone in group} | {"HH", "DH", "SH"})
ROW = st.lists(st.sampled_from(PHONES), max_size=8)

NEXT, TEXT, STOP, SHOP, UNDO = (w.split() for w in ("N EH K S T", "T EH K S T", "S T AA P", "SH AA P", "AH N D UW"))


def test_the_same_is_wholly_alike():
    assert likeness(NEXT, [NEXT]) == 1.0


def test_any_of_the_pronunciations_will_do():
    assert likeness("DH IY".split(), ["DH AH".split(), "DH IY".split()]) == 1.0


@pytest.mark.parametrize(("heard", "more", "less"), [
    (NEXT, TEXT, UNDO),  # "next" is more like "text" than like "undo"
    (STOP, SHOP, NEXT),
    ("B AE K".split(), "B AE G".split(), "B AE T".split()),  # k and g are made in one place
    ("S IH K S".split(), "S EH K S".split(), "S UW K S".split()),
])
def test_what_sounds_alike_is_more_alike(heard, more, less):
    assert likeness(heard, [more]) > likeness(heard, [less])


def test_nothing_is_like_nothing():
    assert likeness([], [NEXT]) == 0.0
    assert likeness(NEXT, []) == 0.0
    assert likeness(NEXT, [[]]) == 0.0
    assert likeness([], [[]]) == 0.0


@given(ROW, ROW)
def test_a_distance(a, b):
    assert distance(a, a) == 0.0
    assert distance(a, b) == pytest.approx(distance(b, a))
    assert distance(a, b) >= abs(len(a) - len(b)) - 1e-9
    assert distance(a, b) <= 1.2 * max(len(a), len(b)) + 1e-9
    assert likeness(a, [b]) <= 1.0


@given(ROW, ROW, st.sampled_from(PHONES))
def test_one_more_phoneme_costs_no_more_than_itself(a, b, phone):
    assert distance([*a, phone], b) <= distance(a, b) + 1.0 + 1e-9


@pytest.mark.parametrize("a", PHONES)
@pytest.mark.parametrize("b", PHONES)
def test_costs_are_fair(a, b):
    assert difference(a, b) == difference(b, a)
    assert (difference(a, b) == 0) == (a == b)
    assert difference(a, b) <= 2.0  # never dearer than leaving one out and putting one in
