"""The lines of a chart, and where springs put the stitches on them."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from coach.sheets.chart.frames import Around, Disc, Flat, Inward, Polygon
from coach.sheets.chart.springs import PINNED, STIFFNESS, settle

FRAMES = {
    "point": Disc(),
    "chain": Disc(40.0),
    "triangle": Polygon(3, 6),
    "square": Polygon(4, 6),
    "hexagon": Polygon(6, 6),
    "inward": Inward(200),
}


@pytest.mark.parametrize("name", FRAMES)
@pytest.mark.parametrize("sign", [1, -1])
@given(share=st.floats(0.001, 0.999))
def test_a_point_of_a_line_is_found_again(name, sign, share):
    line = FRAMES[name].line(90.0, sign)
    point, away = line.at(share * line.length)
    assert line.where(point) == pytest.approx(share * line.length, abs=1e-6)
    assert abs(away) == pytest.approx(1)


@pytest.mark.parametrize("name", FRAMES)
@given(share=st.floats(0.001, 0.999), step=st.floats(1.0, 5.0))
def test_a_step_along_a_line_is_as_long_as_it_says(name, share, step):
    line = FRAMES[name].line(90.0, 1)
    a, b = line.at(share * line.length)[0], line.at(share * line.length + step)[0]
    assert 0.6 * step <= abs(b - a) <= step + 1e-9  # shorter only across a corner


def test_a_disc_runs_anticlockwise_from_the_bottom():
    line = Disc().line(10.0, 1)
    bottom, right = line.at(0)[0], line.at(line.length / 4)[0]
    assert (bottom.real, bottom.imag) == pytest.approx((0, 10))  # y grows downwards on the page
    assert (right.real, right.imag) == pytest.approx((10, 0))
    assert Disc().line(10.0, -1).at(line.length / 4)[0].real == pytest.approx(-10)


def test_a_closing_round_points_to_the_middle_and_runs_the_other_way():
    line = Inward(100).line(30.0, 1)
    point, away = line.at(line.length / 4)
    assert (point.real, point.imag) == pytest.approx((-70, 0))
    assert (away.real, away.imag) == pytest.approx((1, 0))


def test_rows_run_both_ways():
    assert Flat().line(20.0, -1).at(15.0)[0] == complex(-15, -20)
    assert Flat().line(20.0, -1).where(complex(-15, -3)) == 15


@given(st.floats(20, 500), st.integers(3, 8))
def test_a_line_is_long_enough_for_its_stitches(span, corners):
    for frame in (Disc(), Disc(25.0), Polygon(corners, 6)):
        assert frame.line(frame.fit(0.0, span), 1).length >= span - 1e-6


def test_corners_of_a_square_lie_on_its_diagonals():
    line = Polygon(4, 6).line(60.0, 1)
    assert isinstance(line, Around)
    for k in range(4):
        point, _ = line.at(line.corner(k))
        assert abs(point.real) == pytest.approx(abs(point.imag))


# ---- springs
evens = st.integers(2, 40).map(lambda n: [10.0 * i for i in range(n)])


@given(evens, st.floats(-200, 200))
def test_stitches_straight_above_an_even_row_stand_on_it(even, shift):
    assert settle(even, [e + shift for e in even]) == pytest.approx([e + shift for e in even])


@given(st.data())
def test_the_order_is_kept_whatever_is_wanted(data):
    n = data.draw(st.integers(2, 30))
    even = [10.0 * i for i in range(n)]
    wanted = data.draw(st.lists(st.one_of(st.none(), st.floats(-300, 300)), min_size=n, max_size=n))
    for length in (None, 10.0 * n + 5):
        places = settle(even, wanted, length)
        assert all(b > a for a, b in zip(places, places[1:]))


def energy(moved, off, pull, closed):
    pairs = list(zip(moved, moved[1:])) + ([(moved[-1], moved[0])] if closed else [])
    return sum(p * (m - o) ** 2 for m, o, p in zip(moved, off, pull)) + STIFFNESS * sum((b - a) ** 2 for a, b in pairs)


@given(st.data(), st.booleans())
def test_no_small_move_makes_a_better_line(data, closed):
    n = data.draw(st.integers(3, 12))
    even = [10.0 * i for i in range(n)]
    off = data.draw(st.lists(st.floats(-2, 2), min_size=n, max_size=n))
    length = 10.0 * n if closed else None
    places = settle(even, [e + o for e, o in zip(even, off)], length)
    moved = [p - e for p, e in zip(places, even)]
    best = energy(moved, off, [1.0] * n, closed)
    for i in range(n):
        for step in (-0.01, 0.01):
            assert energy([m + step * (k == i) for k, m in enumerate(moved)], off, [1.0] * n, closed) >= best - 1e-9


def test_a_pinned_stitch_stays_where_it_is_wanted():
    even = [10.0 * i for i in range(20)]
    wanted = [e + 4 for e in even]
    wanted[7] = even[7]
    assert settle(even, wanted, pinned={7})[7] == pytest.approx(even[7], abs=4 * 20 / PINNED)


def test_without_feet_all_is_even():
    assert settle([0.0, 10.0, 20.0], [None, None, None], math.tau) == [0.0, 10.0, 20.0]
