"""Another yarn, another hook, the maker's own count: what they make of a pattern's gauge."""

from __future__ import annotations

import tomllib
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from coach.fabric.gauge import usual, weights
from coach.fabric.other import hook_named, hook_of, other_gauge, usual_hook, yarn_named
from coach.notation import read

REFERENCE = Path(__file__).parents[2].parent / "shared" / "reference"
BUOY = """
# Mooring buoy

## Materials
- DK yarn (weight 3), red
- 3.5 mm hook

## Gauge
10 sc and 11 rounds to 5 cm

## Buoy
Rnd 1: 6 sc in magic ring. (6)
Rnd 2: Inc x 6. (12)
"""
TOY = BUOY + "Stuff it firmly.\nRnd 3: Sc2tog x 6. (6)\n"
BARE = BUOY.replace("- 3.5 mm hook\n", "").replace("10 sc and 11 rounds to 5 cm", "Not important.")
NOTHING = "# Float\n\nRnd 1: 6 sc in magic ring. (6)\n"


class TestHook:
    def test_stitches_grow_as_the_hook_does(self):
        found = other_gauge("7 mm hook", read(BUOY))
        assert (found.gauge.width, found.gauge.height, found.hook) == (pytest.approx(1.0), pytest.approx(10 / 11), 7.0)
        assert found.gauge.said == "hook" and found.yarn is None

    def test_without_one_in_the_pattern_the_usual_hook_of_its_yarn_is_meant(self):
        assert hook_of(read(BARE)) == 5.0  # Craft Yarn Council: light yarn, 4.5 to 5.5 mm
        found = other_gauge("5 mm hook", read(BARE))
        assert found.gauge.width == pytest.approx(usual(weights()[3]).width)

    def test_a_toy_is_worked_with_a_smaller_one(self):
        assert usual_hook(weights()[3], toy=True) == 3.5

    def test_where_nothing_is_known_a_hook_says_nothing(self):
        assert other_gauge("5 mm hook", read(NOTHING)) is None

    @pytest.mark.parametrize(
        ("text", "size"),
        [
            ("5 mm hook", 5.0),
            ("a 3.5-mm hook", 3.5),
            ("hook 4,5 mm", 4.5),
            ("6 millimetre hook", 6.0),
            ("6 millimeter hook", 6.0),
            ("an H hook", 5.0),
            ("US size G-6 hook", 4.0),
            ("hook, size E", 3.5),
            ("5.5 mm hook, one size below the label", 5.5),
        ],
    )
    def test_a_hook_as_it_is_named(self, text, size):
        assert hook_named(text) == size

    @pytest.mark.parametrize(
        "text", ["", "a hook", "5 mm eyes", "40 mm hook", "0 mm hook", "the hook that you like best"]
    )
    def test_no_hook(self, text):
        assert hook_named(text) is None

    def test_letters_are_those_of_the_council_s_table(self):
        """Craft Yarn Council, hook sizes (status in the reference file)."""
        if not REFERENCE.is_dir():
            pytest.skip("../shared/reference is not here")
        table = tomllib.loads((REFERENCE / "hooks.toml").read_text("utf-8"))["hook"]
        numbered = {row["us_letter"]: row["mm"] for row in table if row["us_letter"] and row["us_number"]}
        for letter in "BCDEFGHIJKL":
            assert hook_named(f"{letter} hook") == numbered[letter], letter


class TestYarn:
    def test_the_pattern_s_fabric_in_another_yarn(self):
        """As much looser or tighter as the standard's middles differ."""
        found = other_gauge("worsted yarn", read(BUOY))
        assert found.gauge.width == pytest.approx(
            0.5 * (12 + 17) / (11 + 14)
        )  # Craft Yarn Council: 12-17 and 11-14 to 10 cm
        assert (found.gauge.said, found.yarn.number) == ("yarn", 4)

    def test_in_its_own_yarn_nothing_changes(self):
        found = other_gauge("dk yarn", read(BUOY))
        assert found.gauge.width == pytest.approx(0.5) and found.gauge.height == pytest.approx(5 / 11)

    def test_without_a_gauge_what_is_usual_for_it(self):
        assert other_gauge("worsted yarn", read(NOTHING)).gauge.width == pytest.approx(usual(weights()[4]).width)
        assert other_gauge("worsted yarn", read(BARE)).gauge.width == pytest.approx(usual(weights()[4]).width)

    def test_yarn_and_hook(self):
        """The hook is told from the one that is usual for the new yarn, not from the pattern's."""
        only, both = other_gauge("worsted yarn", read(BUOY)), other_gauge("worsted yarn, 6 mm hook", read(BUOY))
        assert both.gauge.width == pytest.approx(only.gauge.width)  # 5.5 to 6.5 mm is usual
        assert other_gauge("worsted yarn, 3 mm hook", read(BUOY)).gauge.width == pytest.approx(only.gauge.width / 2)

    def test_of_a_toy_too(self):
        assert other_gauge("dk yarn, 3.5 mm hook", read(TOY)).gauge.width == pytest.approx(0.5)

    @pytest.mark.parametrize(
        ("text", "number"),
        [("worsted yarn", 4), ("DK yarn", 3), ("weight 5 yarn", 5), ("super bulky yarn", 6), ("sock weight yarn", 1)],
    )
    def test_a_yarn_as_it_is_named(self, text, number):
        assert yarn_named(text).number == number

    @pytest.mark.parametrize("text", ["", "yarn", "blue yarn", "worsted", "weight 9 yarn"])
    def test_no_yarn(self, text):
        assert yarn_named(text) is None


class TestCounted:
    def test_stitches_alone_keep_the_pattern_s_proportion(self):
        found = other_gauge("20 stitches to 10 centimetres", read(BUOY.replace("10 sc and 11", "7 sc and 6")))
        assert found.gauge.width == pytest.approx(0.5) and found.gauge.height == pytest.approx(0.5 * 7 / 6)
        assert found.gauge.said == "own"

    def test_stitches_and_rows_are_taken_as_counted(self):
        found = other_gauge("20 stitches and 16 rows to 10 cm", read(BUOY))
        assert (found.gauge.width, found.gauge.height) == (pytest.approx(0.5), pytest.approx(10 / 16))

    def test_a_kind_of_stitch_in_the_maker_s_terms(self):
        assert other_gauge("20 dc to 10 cm", read(BUOY), "UK").gauge.stitch == "sc"
        assert other_gauge("20 hdc to 10 cm", read(BUOY), "UK").gauge.stitch == "hdc"  # no UK name: the pattern's terms

    def test_also_where_the_pattern_tells_nothing(self):
        assert other_gauge("20 stitches to 10 cm", read(NOTHING)).gauge.width == pytest.approx(0.5)


@given(st.text(max_size=60))
def test_any_text_is_a_gauge_or_none(text):
    found = other_gauge(text, read(BUOY))
    assert found is None or found.gauge.width > 0 and found.gauge.height > 0


class TestCountedInAnotherYarn:
    @pytest.mark.parametrize("text", ["16 stitches to 10 cm, worsted yarn", "worsted yarn, 16 stitches to 10 cm"])
    def test_the_count_is_the_gauge_and_the_yarn_is_named_with_it(self, text):
        found, alone = other_gauge(text, read(BUOY)), other_gauge("16 stitches to 10 cm", read(BUOY))
        assert found.gauge == alone.gauge and found.gauge.said == "own"
        assert found.yarn == yarn_named("worsted yarn") and alone.yarn is None

    def test_a_hook_that_it_was_counted_with_changes_nothing_more(self):
        found = other_gauge("16 stitches to 10 cm with a 5 mm hook", read(BUOY))
        assert found.gauge.width == pytest.approx(10 / 16) and found.hook == 5.0
