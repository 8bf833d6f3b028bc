"""Numbers given for some of the sizes, or one for each of several rounds."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st
from passages import rounds

from coach.notation.labels import Label
from coach.notation.model import Count
from coach.notation.per_size import for_all, of_each, reaches, which

SIZES = ("S", "M", "L")
LABEL = Label((5, 6, 7, 8, 9), "round", None, 0, 8)


class TestReaches:
    @pytest.mark.parametrize(("number", "expected"), [(5, ()), (7, ()), (8, (1, 2)), (9, (2,))])
    def test_a_label_ends_sooner_for_some(self, number, expected):
        assert reaches(replace(LABEL, ends=(7, 8, 9)), number) == expected

    def test_without_ends_all_sizes_work_it(self):
        assert reaches(LABEL, 9) == ()

    def test_on_a_page(self):
        found = rounds("Sizes: S (M, L)\n\nRnd 1: 6 sc in magic ring. (6)\nRnds 2-3 (4, 5): Sc in each st around.\n")
        assert [(r.number, r.sizes) for r in found] == [(1, ()), (2, ()), (3, ()), (4, (1, 2)), (5, (2,))]


class TestForAll:
    @pytest.mark.parametrize(("amount", "only", "expected"), [
        (7, (0,), 7),
        ((24, 28), (1, 2), (24, 24, 28)),
        ((24, 28), (), (24, 28)),
        ((24, 28), (0,), (24, 28)),
        ((20, 24, 28), (0, 1, 2), (20, 24, 28)),
    ])
    def test_the_numbers_of_named_sizes(self, amount, only, expected):
        assert for_all(amount, only, SIZES) == expected


class TestOfEach:
    @given(st.lists(st.integers(1, 99), min_size=2, max_size=6))
    def test_each_round_has_its_own(self, numbers):
        stated = (Count(tuple(numbers)),)
        each = [of_each(stated, i, len(numbers), ())[0].amount for i in range(len(numbers))]
        assert each == numbers

    def test_with_sizes_they_are_for_these(self):
        stated = (Count((9, 10, 11)),)
        assert of_each(stated, 1, 3, SIZES) == stated

    def test_a_single_number_is_for_all(self):
        stated = (Count(9), Count((1, 2)))
        assert of_each(stated, 2, 3, ()) == stated and of_each(stated, 0, 1, ()) == stated

    def test_on_a_page(self):
        found = rounds("Rnd 1: 6 sc in magic ring. (6)\nRows 2-4: Sc in each st, turn. (11, 9, 7)\n")
        assert [r.stated[0].amount for r in found] == [6, 11, 9, 7]


class TestWhich:
    @pytest.mark.parametrize(("words", "expected"), [
        ("M and L", (1, 2)), ("l, s", (2, 0)), ("XXL", ()), ("", ()), ("the m", (1,)),
    ])
    def test_in_the_order_they_are_named(self, words, expected):
        assert which(words, SIZES) == expected


@pytest.mark.parametrize(("sizes", "words", "expected"), [
    (("S/M", "L/XL"), "l / xl", (1,)), (("S/M", "L/XL"), "S/M and L/XL", (0, 1)), (("6 months", "1 year"), "1 year", (1,)),
    (("6 months", "1 year", "2 years"), "1 year and 2 years", (1, 2)), (("1", "2"), "size 2", (1,)), (("S", "M"), "XL", ())])
def test_names_of_several_words(sizes, words, expected):
    assert which(words, sizes) == expected


def test_so_many_rounds_for_each_size():
    found = rounds("Sizes: S (M)\n\nRnd 1: 6 sc in magic ring. (6)\nNext 2 (3) rnds: Sc in each st around.\n")
    assert [(r.number, r.sizes) for r in found] == [(1, ()), (2, ()), (3, ()), (4, (1,))]


def test_named_sizes_until_all_are_named():
    text = "Sizes: S (M)\n\nRnd 1: 6 sc in ring.\nSize M only:\nRnd 2: Inc x 6.\nAll sizes:\nRnd 3: Sc in each st.\n"
    assert [(r.number, r.sizes) for r in rounds(text)] == [(1, ()), (2, (1,)), (3, ())]
