"""Sizes against exact tubes, cones and spheres, and against numerical integration (scipy) of the same profile."""

from __future__ import annotations

from math import asin, degrees, pi, sin, sqrt

import numpy as np
import pytest

from coach.fabric import work
from coach.fabric.gauge import Gauge, gauge_of
from coach.fabric.shape import climb, shape_of, stuffed
from coach.notation import read

EVEN = Gauge(0.5, 0.5, "sc")
# Rows of a sphere of 7 cm at 2 stitches and 2 rows to the cm: plane sphere geometry, derived (reference geometry.toml, sphere_sine, rule 2)
SPHERE_7_CM = [3, 9, 15, 21, 26, 31, 35, 39, 41, 43, 44, 44, 43, 41, 39, 35, 31, 26, 21, 15, 9, 3]


def part_of(counts: list[int]):
    """A piece in the round with these counts: each round changes by evenly spread increases or decreases."""
    lines = [f"Rnd 1: {counts[0]} sc in magic ring. ({counts[0]})"]
    for n, (a, b) in enumerate(zip(counts, counts[1:]), 2):
        body = ("Sc in each st around" if a == b else f"{b // a} sc in each st around" if b % a == 0 else f"Inc {b - a} sts evenly around" if a < b
                else f"Sc{a // b}tog around" if a % b == 0 else f"Dec {a - b} sts evenly around")
        lines.append(f"Rnd {n}: {body}. ({b})")
    fabric = work(read("\n".join(lines)))
    assert [r.made for r in fabric.parts[0].rounds] == counts
    return fabric.parts[0]


def test_a_tube_has_the_circumference_of_its_stitches():
    """Circumference 18 stitches at 2 to the cm = 9 cm; length = rounds x height (geometry.toml, tube: derived)."""
    fabric = work(read("Ch 18, join with sl st to form a ring.\n" + "\n".join(f"Rnd {n}: Sc in each {'ch' if n == 1 else 'st'} around. (18)" for n in range(1, 11))))
    tube = shape_of(fabric.parts[0], EVEN)
    assert pi * tube.width == pytest.approx(9)
    assert tube.height == pytest.approx(10 * 0.5)
    assert tube.surface == pytest.approx(9 * 5)
    assert tube.volume == pytest.approx(pi * (tube.width / 2) ** 2 * 5)


@pytest.mark.parametrize(("increases", "half_angle"), [(1, 9.2), (2, 18.6), (3, 28.5), (4, 39.5), (5, 52.7)])
def test_a_cone_opens_by_its_increases(increases, half_angle):
    """sin(half angle) = c / k with k = 2 pi h / w (geometry.toml, cone: derived)."""
    cone = shape_of(part_of([6 + increases * i for i in range(12)]), EVEN)
    a, b = cone.profile[3], cone.profile[10]
    slope = 7 * 0.5
    assert degrees(asin((b.radius - a.radius) / slope)) == pytest.approx(half_angle, abs=0.1)
    assert b.height - a.height == pytest.approx(sqrt(slope**2 - (b.radius - a.radius) ** 2))


def test_a_flat_circle_is_flat():
    """6n stitches of single crochet lie flat (teaching pages, seen)."""
    disc = shape_of(part_of([6 * n for n in range(1, 9)]), EVEN)
    assert disc.height == pytest.approx(0)
    assert disc.ruffled == ()
    assert disc.width == pytest.approx(48 * 0.5 / pi)


def test_doubling_every_round_ruffles():
    """6, 12, 24, 48, 96: a pseudosphere (Henderson & Taimina 2001)."""
    assert shape_of(part_of([6, 12, 24, 48, 96]), EVEN).ruffled == ("Rnd 3", "Rnd 4", "Rnd 5")


# Stitches of a sphere whose rows are equal steps of the polar angle: a mathematics blog (2010) gives the sine, the counts are
# derived (reference geometry.toml, sphere_sine, rule 1).
SPHERES = [
    [6, 11, 15, 17, 17, 15, 11, 6],
    [6, 12, 17, 21, 23, 25, 25, 23, 21, 17, 12, 6],
    [6, 12, 17, 22, 26, 29, 31, 33, 33, 31, 29, 26, 22, 17, 12, 6],
]


@pytest.mark.parametrize("counts", SPHERES, ids=len)
def test_a_sphere_by_the_sine_rule_is_round(counts):
    steps = len(counts) + 1
    radius = 6 / sin(pi / steps) * 0.5 / (2 * pi)
    ball = stuffed(shape_of(part_of(counts), Gauge(0.5, pi * radius / steps, "sc")))
    assert ball.width == pytest.approx(2 * radius, rel=0.04)
    assert ball.height == pytest.approx(2 * radius, rel=0.04)
    assert ball.surface == pytest.approx(4 * pi * radius**2, rel=0.03)
    assert ball.volume == pytest.approx(4 / 3 * pi * radius**3, rel=0.05)


def test_a_sphere_whose_counts_are_those_of_the_middles_of_its_rows():
    """It comes out a little tall: counts are taken as those of the tops."""
    ball = stuffed(shape_of(part_of(SPHERE_7_CM), EVEN))
    assert ball.width == pytest.approx(7, rel=0.02)
    assert 7 <= ball.height <= 7 * 1.08
    assert ball.surface == pytest.approx(pi * 7**2, rel=0.04)


@pytest.mark.parametrize("most", [4, 5, 6, 8])
def test_the_usual_balls_are_round(most):
    """m rounds of increases, m to m + 2 even ones, m of decreases (geometry.toml, sphere_common: seen, and common practice)."""
    slopes = [6 * n for n in range(1, most)]
    ratios = []
    for even in (most, most + 1, most + 2):
        ball = stuffed(shape_of(part_of([*slopes, *[6 * most] * (even + 1), *slopes[::-1]]), EVEN))
        ratios.append(ball.height / ball.width)
    assert ratios == sorted(ratios)
    assert ratios[0] < 1 < ratios[1] and ratios[0] > 0.9


def test_surface_and_volume_agree_with_numerical_integration():
    integrate = pytest.importorskip("scipy.integrate")
    shape = shape_of(part_of([6, 9, 12, 15, 18, 18, 18, 15]), EVEN)
    z = np.array([0.0] + [ring.height for ring in shape.profile])
    r = np.array([0.0] + [ring.radius for ring in shape.profile])
    fine = np.linspace(0, z[-1], 20_001)
    radius = np.interp(fine, z, r)
    assert shape.volume == pytest.approx(integrate.trapezoid(pi * radius**2, fine), rel=1e-3)
    arc = np.hypot(np.diff(z), np.diff(r))
    assert shape.surface == pytest.approx(float(np.sum(pi * (r[1:] + r[:-1]) * arc)), rel=0.02)


def test_a_row_piece_is_as_wide_as_its_row_and_as_long_as_its_rows():
    fabric = work(read("Row 1: Ch 21, sc in 2nd ch from hook and in each ch across, turn. (20)\nRows 2-10: Ch 1, sc in each st across, turn. (20)"))
    piece = shape_of(fabric.parts[0], EVEN)
    assert (piece.kind, piece.width, piece.height, piece.volume) == ("flat", pytest.approx(10), pytest.approx(5), None)


def test_a_square_from_the_centre_has_a_quarter_of_the_stitches_on_each_side():
    """Four corners of (2 dc, ch 2, 2 dc): +16 dc a round (geometry.toml, square_corner_space: derived)."""
    text = ("Rnd 1: Ch 4, join to form a ring, ch 3 (counts as dc), dc in ring, (ch 2, 2 dc in ring) 3 times, ch 2, join. (8 dc)\n"
            "Rnd 2: Ch 3 (counts as dc), dc in next dc, (2 dc, ch 2, 2 dc) in next ch-2 sp, *dc in next 2 dc, (2 dc, ch 2, 2 dc) in next ch-2 sp; rep from * 2 more times, join. (24 dc)")
    square = shape_of(work(read(text)).parts[0], EVEN)
    assert (square.kind, square.width, square.height) == ("square", pytest.approx(3), pytest.approx(3))


def test_climbing_is_pythagoras_until_it_is_flat():
    assert climb(0, 1) == (1, False)
    assert climb(0.6, 1) == (pytest.approx(0.8), False)
    assert climb(0.96, 1) == (0, False)
    assert climb(2, 1) == (0, True)
    assert climb(-2, 1) == (0, False)


def test_stuffing_rounds_out_what_is_closed_and_leaves_an_open_edge_as_wide():
    cup = shape_of(part_of([6, 12, 18, 24, 24, 24]), EVEN)
    assert not cup.drawn and stuffed(cup).height > cup.height
    assert stuffed(cup).profile[-1].radius == pytest.approx(cup.profile[-1].radius, rel=0.01)
    ball = shape_of(part_of([6, 12, 18, 24, 24, 24, 24, 18, 12, 6]), EVEN)
    assert ball.drawn and stuffed(ball).height > ball.height
    assert stuffed(ball).volume > ball.volume
    assert stuffed(ball).outline[0] == (0, 0) and stuffed(ball).outline[-1] == (0, pytest.approx(stuffed(ball).height))


OVAL = ("Rnd 1: Ch 7, sc in 2nd ch from hook and in each of next 4 chs, 3 sc in last ch; working along the other side of the chain, "
        "sc in each of next 4 chs, 2 sc in last ch. (14)\n"
        "Rnd 2: 2 sc in next st, sc in next 4 sts, 2 sc in each of next 3 sts, sc in next 4 sts, 2 sc in each of next 2 sts. (20)\n")


def test_an_oval_is_a_strip_with_two_half_discs():
    """All that lies within two rows of the chain; that it is 11 places around, half of them along it, is derived."""
    oval = shape_of(work(read(OVAL)).parts[0], EVEN)
    assert oval.kind == "oval"
    assert (oval.width, oval.height) == (pytest.approx(11 / 2 * 0.5 + 2), pytest.approx(2))
    assert oval.surface == pytest.approx(11 / 2 * 0.5 * 2 + pi)
    assert stuffed(oval) == oval


def test_an_oval_that_goes_up_is_a_vessel():
    text = OVAL + "".join(f"Rnd {n}: Sc in each st around. (20)\n" for n in range(3, 9))
    vessel = shape_of(work(read(text)).parts[0], EVEN)
    assert vessel.kind == "round" and vessel.height > 6 * 0.5 and vessel.start == pytest.approx(11 * 0.5 / (2 * pi))


def test_no_stitches_no_shape():
    fabric = work(read("Rnd 1: Fasten off."))
    assert not fabric.parts or shape_of(fabric.parts[0], EVEN) is None


def test_the_sine_rule_gives_the_row_counts_used_above():
    n = len(SPHERE_7_CM)
    diameter = 2 * n / (pi * 2)
    assert [round(sin((2 * i - 1) * pi / (2 * n)) * pi * diameter * 2) for i in range(1, n + 1)] == SPHERE_7_CM


def test_an_edging_that_is_a_part_is_as_long_as_its_edge_and_no_piece_of_that_width():
    text = ("# Blanket\n\n## Gauge\n16 dc and 8 rows to 10 cm\n\n## Blanket\nCh 50.\nRow 1: Dc in 4th ch from hook and in each ch "
            "across, turn. (48)\nRows 2-24: Ch 3, dc in each st across, turn. (48)\n\n## Edging\nRnd 1: Ch 1, sc evenly around, "
            "placing 3 sc in each corner, join.\n")
    fabric = work(read(text))
    blanket, edging = [shape_of(part, gauge_of(fabric.pattern)) for part in fabric.parts]
    assert blanket.kind == "flat" and edging.kind == "edging"
    assert edging.width == pytest.approx(2 * (blanket.width + blanket.height), rel=0.1) and edging.height < 1
