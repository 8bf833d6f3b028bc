"""Filled pieces against exact solids: spheres, cones, tubes, and the mylar balloon with scipy's elliptic integrals."""

from __future__ import annotations

from math import pi, sin, sqrt

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from coach.fabric.filled import outline

ROW = 0.5


@pytest.mark.parametrize("rows", [11, 22, 44])
def test_a_sphere(rows):
    """The radius at each row's end is R sin(angle); the more rows, the closer: what is lost lies under the chords."""
    radius = rows * ROW / pi
    ball = outline(tuple(radius * sin(pi * n / rows) for n in range(rows + 1)), (ROW,) * rows)
    near = 6 / rows**2 + 0.005
    assert ball.width == pytest.approx(2 * radius, rel=near)
    assert ball.height == pytest.approx(2 * radius, rel=2 * near)
    assert ball.volume == pytest.approx(4 / 3 * pi * radius**3, rel=2 * near)


@pytest.mark.parametrize("opens", [0.1, 0.4, 0.8])
def test_a_cone(opens):
    rows = 20
    cone = outline(tuple(opens * ROW * n for n in range(rows + 1)), (ROW,) * rows)
    radius, side = opens * ROW * rows, ROW * rows
    assert cone.width == pytest.approx(2 * radius)
    assert cone.height == pytest.approx(sqrt(side**2 - radius**2), rel=0.001)
    assert cone.volume == pytest.approx(pi / 3 * radius**2 * sqrt(side**2 - radius**2), rel=0.001)


def test_a_tube():
    tube = outline((2.0,) * 11, (ROW,) * 10)
    assert (tube.width, tube.height, tube.volume) == (pytest.approx(4), pytest.approx(5), pytest.approx(pi * 4 * 5))


def test_a_flat_disc_stays_flat():
    disc = outline(tuple(ROW * n for n in range(9)), (ROW,) * 8)
    assert disc.height == pytest.approx(0, abs=0.02) and disc.width == pytest.approx(8)


def test_two_discs_make_a_mylar_balloon():
    """Paulsen 1994: the inflated radius is a sqrt(2) / K(1/2), the volume 2/3 pi a r^2, the thickness 0.599 of the
    width."""
    special = pytest.importorskip("scipy.special")
    rows, a = 10, 5.0
    inflated = a * sqrt(2) / special.ellipk(0.5)
    thick = 2 * sqrt(2) * inflated * (special.ellipe(0.5) - special.ellipk(0.5) / 2)
    half = [a * n / rows for n in range(rows + 1)]
    balloon = outline((*half, *half[-2::-1]), (a / rows,) * (2 * rows))
    assert balloon.width == pytest.approx(2 * inflated, rel=0.01)
    assert balloon.height == pytest.approx(thick, rel=0.02)
    assert balloon.volume == pytest.approx(2 / 3 * pi * a * inflated**2, rel=0.005)


def test_its_volume_is_that_of_numerical_integration():
    integrate = pytest.importorskip("scipy.integrate")
    found = outline((0.0, 0.5, 1.0, 1.2, 1.2, 1.2, 0.7), (ROW,) * 6)
    heights, radii = np.array(found.heights), np.array(found.radii)
    rises = np.append(np.diff(heights) > 1e-9, True)
    z = np.linspace(0, found.height, 50_001)
    turned = integrate.simpson(pi * np.interp(z, heights[rises], radii[rises]) ** 2, x=z)
    assert found.volume == pytest.approx(turned, rel=0.002)


@settings(max_examples=30, deadline=None)
@given(st.lists(st.floats(0, 5), min_size=2, max_size=40), st.floats(0.2, 2))
def test_whatever_the_rounds_no_row_is_stretched_and_no_round_too_wide(radii, row):
    found = outline(tuple(radii), (row,) * (len(radii) - 1))
    pieces = (len(found.radii) - 1) // (len(radii) - 1)
    widest = np.interp(np.arange(len(found.radii)) / pieces, np.arange(len(radii)), radii)
    assert (np.array(found.radii) <= widest + 1e-6).all()
    along = np.hypot(np.diff(found.radii), np.diff(found.heights))
    assert along == pytest.approx(np.full(len(along), row / pieces), rel=0.01)
    assert found.volume >= 0


@settings(max_examples=20, deadline=None)
@given(st.lists(st.floats(0, 5), min_size=3, max_size=30), st.floats(1.5, 4))
def test_twice_as_large_holds_eight_times_as_much(radii, factor):
    rows = (0.5,) * (len(radii) - 1)
    one = outline(tuple(radii), rows)
    more = outline(tuple(r * factor for r in radii), tuple(r * factor for r in rows))
    assert more.volume == pytest.approx(one.volume * factor**3, rel=0.02, abs=1e-4)
