"""Yarn, stuffing and time: ranges that hold what a maker measured."""

from __future__ import annotations

import pytest

from coach.fabric import work
from coach.fabric.gauge import Gauge, weights
from coach.fabric.needs import Range, Swatch, grams, is_stuffed, minutes_for, needs, yarn_for
from coach.notation import read

FLOAT = """# Float

## Materials

- Worsted yarn (weight 4)
- Filling

## Gauge

13.5 sc and 13.5 rounds to 10 cm

## Float (make 2)

Rnd 1: 6 sc in magic ring. (6)
Rnd 2: Inc around. (12)
Rnds 3-5: Sc in each st around. (12)
{stuff}
Rnd 6: Sc2tog around. (6)
"""


def a_float(stuff: str = "Stuff firmly."):
    return work(read(FLOAT.format(stuff=stuff)))


def test_worsted_takes_what_was_measured():
    """31.4 to 32.1 inches of yarn in a square inch (reference geometry.toml, yarn_length: a teaching page, informal)."""
    gauge = Gauge(10 / 13.5, 10 / 13.5)
    square_inch = yarn_for(2.54**2, gauge)
    for inches in (31.42, 32.08, 31.6):
        assert square_inch.low < inches * 0.0254 * 1.1 < square_inch.high


def test_a_swatch_narrows_the_range_and_moves_it():
    """My swatch of 20 by 20 took 9 metres."""
    gauge = Gauge(0.5, 0.5)
    own = yarn_for(100, gauge, Swatch(20, 20, 9))
    assert own.low < 9 * 1.1 < own.high  # 100 cm² is that very swatch, and a tenth for tails
    usual = yarn_for(100, gauge)
    assert (own.high - own.low) / own.low < (usual.high - usual.low) / usual.low


def test_needs_of_a_whole_pattern():
    found = needs(a_float())
    part = found.parts[0]
    assert part.make == 2 and part.stitches == 2 * (6 + 12 + 36 + 6)
    assert 0 < found.metres.low < found.metres.high
    assert found.grams.low < found.grams.high
    assert found.stuffing.high > found.stuffing.low > 0
    assert found.minutes == Range(part.stitches / 20, part.stitches / 5)


def test_the_maker_s_own_pace():
    assert needs(a_float(), pace=12).minutes == Range(pytest.approx(10 / 1.1), pytest.approx(10 / 0.9))


def test_the_usual_pace_begins_at_a_published_one():
    """25,511 stitches in about 85 hours: Osinga & Krauskopf's Lorenz manifold (2004), as two news pages gave it."""
    assert minutes_for(25_511).high / 60 == pytest.approx(85, rel=0.01)


@pytest.mark.parametrize(("says", "filled"), [("Stuff firmly.", True), ("Do not stuff.", False), ("Turn it over.", False)])
def test_only_what_is_stuffed_takes_stuffing(says, filled):
    fabric = a_float(says)
    assert is_stuffed(fabric, fabric.parts[0]) is filled
    assert (needs(fabric).stuffing.high > 0) is filled


def test_a_part_may_be_stuffed_in_the_assembly():
    fabric = work(read(FLOAT.format(stuff="") + "\n## Assembly\n\n1. Stuff the float from the top.\n"))
    assert is_stuffed(fabric, fabric.parts[0])


def test_larger_stitches_need_more_yarn_of_a_thicker_kind():
    fabric = a_float()
    small, large = needs(fabric, Gauge(0.5, 0.5)), needs(fabric, Gauge(1.0, 1.0))
    assert large.metres.low == pytest.approx(2 * small.metres.low)
    assert large.parts[0].shape.width == pytest.approx(2 * small.parts[0].shape.width)


def test_grams_follow_the_weight_of_the_yarn():
    dk, bulky = weights()[3], weights()[5]
    assert grams(Range(100, 100), dk).high < grams(Range(100, 100), bulky).low


def test_no_gauge_and_no_yarn_is_no_answer():
    assert needs(work(read("Rnd 1: 6 sc in magic ring. (6)"))) is None
