"""Gauges as patterns state them, and the standard's where they state none."""

from __future__ import annotations

import tomllib
from pathlib import Path

import pytest

from coach.fabric.gauge import gauge_of, ratio, read_gauge, usual, weight_of, weights
from coach.notation import read

REFERENCE = Path(__file__).parents[2].parent / "shared" / "reference"


@pytest.mark.parametrize(("said", "width", "height", "stitch"), [
    ("10 sc and 11 rounds to 5 cm, worked tightly.", 0.5, 5 / 11, "sc"),
    ("14 sts and 11 rows to 10 cm in the pebble pattern", 10 / 14, 10 / 11, ""),
    ("14 hdc and 11 rounds to 10 cm with the larger hook.", 10 / 14, 10 / 11, "hdc"),
    ("7 sts = 2 in", 2 * 2.54 / 7, 2 * 2.54 / 7, ""),
    ("16 sc x 18 rows = 4 inches", 4 * 2.54 / 16, 4 * 2.54 / 18, "sc"),
    ("20 dc to 10 cm", 0.5, 0.95, "dc"),
])
def test_a_gauge_as_written(said, width, height, stitch):
    gauge = read_gauge(said)
    assert (gauge.width, gauge.height, gauge.stitch) == (pytest.approx(width), pytest.approx(height), stitch)


def test_a_uk_gauge_is_of_the_stitch_it_means():
    assert read_gauge("20 dc and 22 rows to 10 cm", "UK").stitch == "sc"


@pytest.mark.parametrize("said", ["", "Not important.", "Rnds 1 to 3 measure about 7.5 cm along each side.", "0 sc to 5 cm", "5 zz to 3 cm"])
def test_no_gauge_is_none(said):
    assert read_gauge(said) is None


def test_generic_stitches_make_every_row_as_high():
    assert read_gauge("14 sts and 11 rows to 10 cm").height_of("dc") == pytest.approx(10 / 11)


def test_taller_stitches_make_higher_rows():
    gauge = read_gauge("20 sc and 20 rows to 10 cm")
    assert gauge.height_of("sc") < gauge.height_of("hdc") < gauge.height_of("dc") < gauge.height_of("tr")
    assert gauge.height_of("dc2tog") == gauge.height_of("dc")


def test_another_hook_scales_both_ways():
    gauge = read_gauge("10 sc and 10 rounds to 5 cm").scaled(1.2)
    assert (gauge.width, gauge.height) == (pytest.approx(0.6), pytest.approx(0.6))


@pytest.mark.parametrize(("material", "number"), [
    ("DK yarn (weight 3), grey, about 40 g", 3), ("Worsted cotton", 4), ("Chunky yarn, red", 5), ("super bulky roving", 6), ("sock yarn", 1), ("light worsted", 3)])
def test_the_yarn_is_known_by_number_or_name(material, number):
    pattern = read(f"# Float\n\n## Materials\n\n- {material}\n\n## Float\n\nRnd 1: 6 sc in magic ring. (6)\n")
    assert weight_of(pattern).number == number


def test_the_pattern_s_gauge_goes_before_the_usual_one():
    text = "# Float\n\n## Materials\n\n- DK yarn (weight 3)\n\n{}## Float\n\nRnd 1: 6 sc in magic ring. (6)\n"
    assert gauge_of(read(text.format("## Gauge\n\n10 sc to 5 cm\n\n"))).said == "pattern"
    assert gauge_of(read(text.format(""))).said == "usual"
    assert gauge_of(read("Rnd 1: 6 sc in magic ring. (6)")) is None


def test_the_usual_gauge_of_a_toy_is_tighter():
    dk = weights()[3]
    assert usual(dk, toy=True).width < usual(dk).width


def test_gauges_get_looser_with_the_number():
    """Craft Yarn Council: single crochet gauge decreases strictly with the weight number."""
    counts = [sum(w.stitches) for w in weights() if w.of == "sc"]
    assert counts == sorted(counts, reverse=True) and len(set(counts)) == len(counts)


def test_the_weights_are_the_standard_s():
    """Standards & Guidelines for Crochet and Knitting, Craft Yarn Council (status in the reference file)."""
    if not REFERENCE.is_dir():
        pytest.skip("../shared/reference is not here")
    table = tomllib.loads((REFERENCE / "yarn_weights.toml").read_text("utf-8"))["weight"]
    ours = {w.number: list(w.stitches) for w in weights()}
    for row in table:
        if row["number"] < 7:  # jumbo is "6 and fewer"
            assert ours[row["number"]] == row["gauge_sts"], row["symbol_name"]


def test_stitch_proportions_lie_in_the_reference_s_ranges():
    if not REFERENCE.is_dir():
        pytest.skip("../shared/reference is not here")
    ranges = tomllib.loads((REFERENCE / "geometry.toml").read_text("utf-8"))["flat_circle"]["height_to_width"]
    for id, (low, high) in ranges.items():
        assert low <= ratio(id) <= high


ROUNDS = "Rnd 1: {n} {st} in magic ring. ({n})\nRnd 2: 2 {st} in each st around. ({m})\nRnd 3: ({st} in next st, 2 {st} in next st) around.\n"


@pytest.mark.parametrize("line", [
    "Gauge: Rnds 1 to 3 measure 7.5 cm across", "Gauge: Rounds 1-3 = 7.5 cm in diameter", "Gauge: first 3 rounds: 7.5 cm across",
    "Gauge: Rnds 1–3 measure about 75 mm across", "Tension: rounds 1 and 3 measure 7.5 cm across",
    "Gauge: Rnds 1 to 3 measure 7.5 cm along each side", "Gauge: first 3 rounds measure 7.5 cm square",
    "Gauge: Rnds 1-3: 7.5 cm per side"])
def test_the_first_rounds_as_a_circle(line):
    """Three rounds are 3.75 cm from the middle to the edge: each is 1.25 cm high."""
    pattern = read(f"Coaster\n{line}\n{ROUNDS.format(st='dc', n=12, m=24)}")
    gauge = gauge_of(pattern)
    assert (gauge.stitch, round(gauge.height, 3), gauge.said) == ("dc", 1.25, "pattern")
    assert round(gauge.width * ratio("dc"), 3) == 1.25


@pytest.mark.parametrize("line", [
    "Gauge: Rnds 1 to 9 measure 20 cm across", "Gauge: Rnds 1 to 3 measure 0 cm across", "Gauge: not important",
    "Gauge: rows 1 to 3 measure 4 cm across"])
def test_a_circle_that_can_t_be_reckoned_with(line):
    assert gauge_of(read(f"Coaster\n{line}\n{ROUNDS.format(st='dc', n=12, m=24)}")) is None
