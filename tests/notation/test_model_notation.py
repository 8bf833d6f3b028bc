"""The values of a read pattern: spans, places, amounts for each size."""

from __future__ import annotations

import dataclasses

import pytest
from hypothesis import given
from hypothesis import strategies as st

from coach.notation import read
from coach.notation.model import Chain, Fault, Into, Pattern, Span, Stitch, Times, for_size, line_starts

TEXT = "Rnd 1: 6 sc in magic ring.\nRnd 2: 2 sc in each st around.\n"


class TestAmounts:
    def test_one_number_is_that_of_every_size(self):
        assert [for_size(6, size) for size in range(3)] == [6, 6, 6]

    def test_a_list_has_one_for_each(self):
        assert [for_size((6, 7, 8), size) for size in range(3)] == [6, 7, 8]

    def test_a_short_list_stays_at_its_last(self):
        assert for_size((6, 7), 5) == 7


class TestSpans:
    def test_from_one_to_another(self):
        assert Span(3, 5).to(Span(9, 12)) == Span(9, 12).to(Span(3, 5)) == Span(3, 12)

    @given(st.integers(0, 99), st.integers(0, 99), st.integers(0, 99), st.integers(0, 99))
    def test_it_holds_both(self, a, b, c, d):
        both = Span(min(a, b), max(a, b)).to(Span(min(c, d), max(c, d)))
        assert both == Span(min(a, b, c, d), max(a, b, c, d))


class TestLines:
    def test_where_each_line_starts(self):
        assert line_starts("") == (0,)
        assert line_starts("a\nbc\n\nd") == (0, 2, 5, 6)

    @given(st.text(max_size=100))
    def test_it_cuts_a_text_as_split_does(self, text):
        starts = line_starts(text)
        lines = [text[a:b] for a, b in zip(starts, (*starts[1:], len(text)))]
        assert [line.removesuffix("\n") for line in lines] == text.split("\n")


class TestWhere:
    PATTERN = Pattern(TEXT, lines=line_starts(TEXT))

    def test_the_first_letter_is_line_one_column_one(self):
        assert self.PATTERN.where(Span(0, 3)) == (1, 1, 4)

    def test_on_the_second_line(self):
        at = TEXT.index("2 sc")
        assert self.PATTERN.where(Span(at, at + 4)) == (2, 8, 12)

    def test_a_span_over_lines_is_cut_at_the_end_of_its_first(self):
        assert self.PATTERN.where(Span(0, len(TEXT))) == (1, 1, 27)

    def test_an_empty_span_has_one_column(self):
        assert self.PATTERN.where(Span(7, 7)) == (1, 8, 9)

    @given(st.integers(0, len(TEXT)), st.integers(0, 30))
    def test_the_place_leads_back_to_the_text(self, start, length):
        line, column, end = self.PATTERN.where(Span(start, min(start + length, len(TEXT))))
        assert line_starts(TEXT)[line - 1] + column - 1 == start
        assert end > column

    def test_a_fault_has_the_place_of_its_span(self):
        fault = self.PATTERN.fault("count", "error", Span(7, 11), "Rnd 1 makes 6 stitches.", "Count them.")
        assert fault == Fault("count", "error", 1, 8, 12, "Rnd 1 makes 6 stitches.", "Count them.")


class TestValues:
    @pytest.mark.parametrize("value", [Span(0, 1), Stitch("sc"), Chain(3), Times("exact", 6), Into("space", 2)])
    def test_they_can_not_be_changed(self, value):
        with pytest.raises(dataclasses.FrozenInstanceError):
            setattr(value, dataclasses.fields(value)[0].name, 9)

    def test_equal_texts_are_equal_patterns(self):
        assert read(TEXT) == read(TEXT)
        assert hash(read(TEXT).parts) == hash(read(TEXT).parts)
