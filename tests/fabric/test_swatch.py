"""A maker's own swatch and gauge, as typed."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from coach.fabric.needs import Swatch
from coach.fabric.swatch import own_gauge, read_swatch


@pytest.mark.parametrize(("text", "swatch"), [
    ("my swatch of 20 by 20 took 9 metres", Swatch(20, 20, 9.0)),
    ("20x20=9", Swatch(20, 20, 9.0)),
    ("20 sts x 22 rows = 9.5 m", Swatch(20, 22, 9.5)),
    ("20 by 22 took 9,5 meters", Swatch(20, 22, 9.5)),
    ("20 by 20 used about 10 yards", Swatch(20, 20, pytest.approx(9.144))),  # a yard is 0.9144 m by definition
    ("20 by 20 took 900 cm", Swatch(20, 20, 9.0)),
])
def test_a_swatch(text, swatch):
    assert read_swatch(text) == swatch


@pytest.mark.parametrize("text", ["", "20x20", "20 by 20 took 9 grams", "0 by 20 took 9 metres", "20 by 20 took 0 m", "20 by 20 took 99999 m",
                                  "a swatch", "20 by 20"])
def test_what_is_none(text):
    assert read_swatch(text) is None


@given(st.text(max_size=80))
def test_any_text_is_a_swatch_or_none(text):
    found = read_swatch(text)
    assert found is None or found.metres > 0


@given(st.integers(1, 9_999), st.integers(1, 9_999), st.integers(1, 9_999))
def test_whole_numbers_come_back(stitches, rows, metres):
    assert read_swatch(f"{stitches}x{rows}={metres}") == Swatch(stitches, rows, metres)


class TestGauge:
    def test_it_is_the_makers(self):
        gauge = own_gauge("10 sc and 11 rounds to 5 cm")
        assert (gauge.width, gauge.said, gauge.stitch) == (0.5, "own", "sc")

    def test_in_the_terms_it_is_given_in(self):
        assert own_gauge("10 dc to 5 cm", "UK").stitch == "sc"

    @pytest.mark.parametrize("text", ["", "blue", "0 sc to 5 cm", "1 sc to 900 cm", "900 sc to 1 mm"])
    def test_what_cannot_be_is_none(self, text):
        assert own_gauge(text) is None
