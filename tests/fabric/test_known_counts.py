"""Shapes whose counts are known from outside, written as patterns and worked.

Numbers stand here with their source; where the folder `shared/reference` lies beside the repository, its
`geometry.toml` must say the same.
"""

from __future__ import annotations

import itertools
import math
import tomllib
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st
from worked import after, kinds, made, rounds

REFERENCE = Path(__file__).resolve().parents[3] / "shared" / "reference" / "geometry.toml"


@pytest.fixture(scope="module")
def geometry() -> dict:
    if not REFERENCE.exists():
        pytest.skip("../shared/reference/geometry.toml is not here; the same numbers stand in this file")
    return tomllib.loads(REFERENCE.read_text("utf-8"))


# ---------------------------------------------------------------- flat circles

# Increases of each round that lie flat, by stitch: sc 6, hdc 8, dc 12 (teaching pages, 2009; first rounds of hdc 8-12
# and dc 10-14 on three pages); tr 16 to 18 from memory. Round n has n times as many (arithmetic).
FLAT = [("sc", 6), ("hdc", 8), ("hdc", 10), ("dc", 12), ("dc", 14), ("tr", 16), ("tr", 18)]


def circle(stitch: str, by: int, count: int = 8) -> str:
    """Round n: [stitch in next n - 2 st, 2 in next st] so many times."""
    lines = [f"Rnd 1: {by} {stitch} in magic ring. ({by})", f"Rnd 2: 2 {stitch} in each st around. ({2 * by})"]
    for n in range(3, count + 1):
        plain = f"{stitch} in next {n - 2} sts" if n > 3 else f"{stitch} in next st"
        lines.append(f"Rnd {n}: [{plain}, 2 {stitch} in next st] {by} times. ({n * by})")
    return "\n".join(lines)


@pytest.mark.parametrize(("stitch", "by"), FLAT)
class TestFlatCircles:
    def test_round_n_has_n_times_the_first(self, stitch, by):
        assert made(circle(stitch, by)) == [by * n for n in range(1, 9)]
        assert kinds(circle(stitch, by)) == []

    def test_it_is_all_of_one_stitch(self, stitch, by):
        assert [set(r.tree.tally) for r in rounds(circle(stitch, by))] == [{stitch}] * 8

    def test_the_table_says_the_same(self, stitch, by, geometry):
        example = next(e for e in geometry["flat_circle"]["example"] if (e["stitch"],
            e["increase_per_round"]) == (stitch, by))
        assert made(circle(stitch, by)) == example["rounds_1_to_8"]


@given(st.integers(3, 12), st.integers(3, 30))
def test_a_circle_whose_increases_are_shifted_has_the_same_counts(by, n):
    """Half a section of plain stitches first keeps the circle round (common practice, from memory)."""
    half = (n - 2) // 2
    rest = n - 2 - half
    first = f"sc {half}, " if half else ""
    last = f", sc {rest}" if rest else ""
    text = after(by * (n - 1), f"{first}inc, (sc {n - 2}, inc) x {by - 1}{last}. ({by * n})") if n > 2 else ""
    assert made(text)[1] == by * n
    assert kinds(text) == []


# ---------------------------------------------------------------- balls

# Rows of stitches in proportion to the sine of the polar angle, six in the first: a mathematics blog, 2010; the counts
# follow from 6 sin(i pi / (n + 1)) / sin(pi / (n + 1)), rounded (arithmetic).
SINE = {
    6: [6, 11, 13, 13, 11, 6],
    8: [6, 11, 15, 17, 17, 15, 11, 6],
    10: [6, 12, 16, 19, 21, 21, 19, 16, 12, 6],
    12: [6, 12, 17, 21, 23, 25, 25, 23, 21, 17, 12, 6],
    16: [6, 12, 17, 22, 26, 29, 31, 33, 33, 31, 29, 26, 22, 17, 12, 6],
}


def shaped(counts: list[int]) -> str:
    """A spiral of these counts, each change spread evenly."""
    lines = [f"Rnd 1: {counts[0]} sc in magic ring. ({counts[0]})"]
    for n, (below, here) in enumerate(itertools.pairwise(counts), 2):
        change = here - below
        shaping = f"{'Inc' if change > 0 else 'Dec'} {abs(change)} sts evenly around"
        line = shaping if change else "Sc in each st around"
        lines.append(f"Rnd {n}: {line}. ({here})")
    return "\n".join(lines)


class TestBallsByTheSine:
    @pytest.mark.parametrize("rows", SINE)
    def test_the_sine_gives_the_counts(self, rows):
        step = math.pi / (rows + 1)
        assert [round(6 * math.sin(i * step) / math.sin(step)) for i in range(1, rows + 1)] == SINE[rows]

    @pytest.mark.parametrize("rows", SINE)
    def test_a_ball_is_worked(self, rows):
        assert made(shaped(SINE[rows])) == SINE[rows]
        assert kinds(shaped(SINE[rows])) == []

    def test_the_table_says_the_same(self, geometry):
        assert {e["rows"]: e["stitches"] for e in geometry["sphere_sine"]["example_rule_1"]} == SINE

    def test_balls_by_a_measured_gauge(self, geometry):
        """Without the poles, where a round more than doubles."""
        for example in geometry["sphere_sine"]["example_rule_2"]:
            assert made(shaped(example["stitches"][1:-1])) == example["stitches"][1:-1]


# Balls by six increases a round, even rounds, and the same decreases: common practice, no source.
def ball(widest: int, even: int) -> str:
    """6, 12 ... widest, so many even rounds more, and the same back."""
    steps = widest // 6
    grows = ["6 sc in magic ring", "2 sc in each st around"]
    grows += [f"(Sc {n}, inc) x 6" if n > 1 else "(Sc, inc) x 6" for n in range(1, steps - 1)]
    shrinks = [f"(Sc {n}, sc2tog) x 6" if n > 1 else "(Sc, sc2tog) x 6" for n in range(steps - 2, 0, -1)]
    lines = [*grows, *["Sc in each st around"] * even, *shrinks, "Sc2tog x 6"]
    return "\n".join(f"Rnd {n}: {line}." for n, line in enumerate(lines, 1))


@pytest.mark.parametrize(("widest", "even"), [(24, 4), (30, 5), (36, 6), (48, 9)])
class TestBallsBySixes:
    def test_a_ball_is_worked(self, widest, even):
        up = list(range(6, widest, 6))
        assert made(ball(widest, even)) == [*up, *[widest] * (even + 1), *reversed(up)]
        assert kinds(ball(widest, even)) == []

    def test_the_table_says_the_same(self, widest, even, geometry):
        balls = geometry["sphere_common"]["example"]
        table = next(e for e in balls if (e["max"], e["even_rounds"]) == (widest, even))
        assert made(ball(widest, even)) == table["stitches_by_round"]


# ---------------------------------------------------------------- hyperbolic planes

# N stitches, then two in the next, in every row: Henderson & Taimina, Crocheting the Hyperbolic Plane, The Mathematical
# Intelligencer 23(2), 2001, pp. 17-28. 20 stitches in the row before; the smaller N, the faster it grows.
HYPERBOLIC = {
    4: [20, 25, 31, 38, 47, 58, 72, 90, 112],
    6: [20, 23, 26, 30, 35, 40, 46, 53, 61],
    12: [20, 21, 22, 23, 24, 26, 28, 30, 32],
}


def hyperbolic(n: int, rows: int = 8) -> str:
    """Eight rows; what a row has over after its last increase is worked plain."""
    lines, stitches = ["Ch 21.", "Row 1: Sc in 2nd ch from hook and in each ch across, turn. (20)"], 20
    for row in range(2, rows + 2):
        times, rest = divmod(stitches, n)
        plain = f"sc in next {n - 1} sts"
        over = f", sc in next {rest} sts" if rest > 1 else ", sc in next st" if rest else ""
        stitches += times
        repeat = f"({plain}, 2 sc in next st) {times} times" if times > 1 else f"{plain}, 2 sc in next st"
        lines.append(f"Row {row}: Ch 1, {repeat}{over}, turn. ({stitches})")
    return "\n".join(lines)


@pytest.mark.parametrize("n", HYPERBOLIC)
class TestHyperbolicPlanes:
    def test_eight_rows(self, n):
        assert made(hyperbolic(n)) == HYPERBOLIC[n]
        assert kinds(hyperbolic(n)) == []

    def test_it_grows_as_a_power_of_the_ratio(self, n):
        """At most 20 q^r with q = (N + 1) / N; a row loses less than one stitch of it: at least N + (20 - N) q^r."""
        for r, count in enumerate(made(hyperbolic(n))):
            power = ((n + 1) / n) ** r
            assert n + (20 - n) * power <= count <= 20 * power

    def test_the_table_says_the_same(self, n, geometry):
        example = next(e for e in geometry["hyperbolic"]["example"] if (e["start"], e["N"]) == (20, n))
        assert made(hyperbolic(n)) == example["rows_no_carry"]


def test_a_smaller_n_curls_faster():
    last = [made(hyperbolic(n))[-1] for n in (4, 6, 12)]
    assert last == sorted(last, reverse=True)


def test_a_pseudosphere_doubles():
    """Two in each stitch of every round: 6, 12, 24, 48, 96 (teaching pages, 2009 and 2010)."""
    text = after(6, *["2 sc in each st around."] * 4)
    assert made(text) == [6, 12, 24, 48, 96]


# ---------------------------------------------------------------- cones and tubes

# Increases c of a round in a disc of six: the half angle is asin(c / 6); counts are arithmetic.
@pytest.mark.parametrize(("c", "half_angle"), list(enumerate([0, 9.6, 19.5, 30, 41.8, 56.4, 90])))
class TestCones:
    def test_a_cone_is_worked(self, c, half_angle):
        assert made(shaped([6 + c * n for n in range(6)])) == [6 + c * n for n in range(6)]
        assert math.degrees(math.asin(c / 6)) == pytest.approx(half_angle, abs=0.05)

    def test_the_table_says_the_same(self, c, half_angle, geometry):
        example = next(e for e in geometry["cone"]["example"] if e["increase_per_round"] == c)
        assert made(shaped(example["rounds_1_to_6_from_6"])) == example["rounds_1_to_6_from_6"]
        assert example["half_angle_deg_k6"] == half_angle


def test_a_tube_keeps_its_stitches():
    assert made(after(18, *["Sc in each st around."] * 9)) == [18] * 10


# ---------------------------------------------------------------- squares and hexagons

class TestCorners:
    def test_a_solid_square_grows_by_eight(self):
        """Three in each of four corners: 12, 20, 28, 36 (Dillmont, Encyclopedia of Needlework)."""
        text = after(12,
            *[f"(Sc {n}, 3 sc in next st, sc {n + 2}) x 4." if n else "(3 sc in next st, sc 2) x 4." for n in range(3)])
        assert made(text) == [12, 20, 28, 36]
        assert kinds(text) == []

    def test_a_hexagon_grows_by_twelve(self):
        """Three in each of six corners: 12, 24, 36 (Dillmont, Encyclopedia of Needlework)."""
        text = after(12, "(3 sc in next st, sc) x 6.", "(Sc, 3 sc in next st, sc 2) x 6.")
        assert made(text) == [12, 24, 36]
        assert kinds(text) == []

    def test_a_square_with_spaces_at_its_corners_grows_by_sixteen(self):
        """(2 dc, ch 2, 2 dc) in each corner: 8, 24, 40 (arithmetic)."""
        text = ("Rnd 1: (2 dc in ring, ch 2) 4 times, join. (8)\n"
                "Rnd 2: *Dc in next 2 sts, (2 dc, ch 2, 2 dc) in next ch-2 sp; rep from * around, join. (24)\n"
                "Rnd 3: *Dc in next 4 sts, (2 dc, ch 2, 2 dc) in next ch-2 sp, dc in next 2 sts; rep from *. (40)")
        assert made(text) == [8, 24, 40]
        assert [r.tree.tally["space 2"] for r in rounds(text)] == [4, 4, 4]
        assert kinds(text) == []

    def test_a_square_of_groups_has_twelve_more_each_round(self):
        """Groups of three in every space, two at each corner: 4n groups, 12n double crochet (arithmetic)."""
        corner = "(3 dc, ch 2, 3 dc) in next ch-2 sp"
        text = ("Rnd 1: (3 dc in ring, ch 2) 4 times, join. (12)\n"
                f"Rnd 2: *{corner}, ch 1; rep from * around, join. (24)\n"
                f"Rnd 3: *{corner}, ch 1, 3 dc in next ch-1 sp, ch 1; rep from * around, join. (36)\n"
                f"Rnd 4: *{corner}, ch 1, (3 dc in next ch-1 sp, ch 1) twice; rep from * around, join. (48)")
        assert made(text) == [12, 24, 36, 48]
        assert kinds(text) == []

    def test_a_diamond_grows_by_two(self):
        """Three in the middle of each row: row r has 2r + 1, row 30 of 15 ribs 61 (a work-book of about 1855)."""
        lines = ["Ch 2.", "Row 1: 3 sc in 2nd ch from hook, turn. (3)"]
        for r in range(2, 31):
            side = f"sc in next {r - 1} sts" if r > 2 else "sc in next st"
            lines.append(f"Row {r}: Ch 1, {side}, 3 sc in next st, {side}, turn. ({2 * r + 1})")
        assert made("\n".join(lines)) == [2 * r + 1 for r in range(1, 31)]
        assert made("\n".join(lines))[-1] == 61
        assert kinds("\n".join(lines)) == []


# ---------------------------------------------------------------- counts of the old handbooks, as patterns of our own

class TestHandbooks:
    def test_a_button_cover(self):
        """8, 16, 24: a circle in eight sections (The Handbook of Wool Knitting and Crochet, 1918)."""
        assert made("Rnd 1: 8 sc in magic ring.\nRnd 2: 2 sc in each st around.\nRnd 3: (Sc, inc) x 8.") == [8, 16, 24]

    def test_the_toe_of_a_slipper(self):
        """21, 23, 25, 27, 29: three in the middle stitch (the same handbook)."""
        lines = ["Ch 20.",
            "Row 1: Sc in 2nd ch from hook, sc in next 8 chs, 3 sc in next ch, sc in next 9 chs, turn. (21)"]
        for r, n in enumerate((23, 25, 27, 29), 2):
            lines.append(f"Row {r}: Ch 1, sc in next {8 + r} sts, 3 sc in next st, sc in next {8 + r} sts, turn. ({n})")
        assert made("\n".join(lines)) == [21, 23, 25, 27, 29]
        assert kinds("\n".join(lines)) == []

    def test_a_lamp_mat_in_six_sections(self):
        """24, 36, 48, 72, 96, 108 ... 204 (a work-book of about 1855): twelve more a round, twice by twenty-four."""
        counts = [24, 36, 48, 72, 96, *range(108, 205, 12)]
        assert made(shaped(counts)) == counts

    def test_a_sleeve_that_grows_by_three(self):
        """42, 45, 48, 51, 54 (The Handbook of Wool Knitting and Crochet, 1918)."""
        text = after(42, *[f"Inc 3 sts evenly around. ({n})" for n in (45, 48, 51, 54)])
        assert made(text) == [42, 45, 48, 51, 54]

    def test_a_foundation_of_filet_squares(self):
        """One double crochet and two chains over three, and one at the end: 61 squares on 183 and one, 45 on 135
        and one (a work-book of about 1855)."""
        for squares, chain in ((61, 183), (45, 135)):
            text = (f"Fsc {chain + 1}, turn.\nRow 1: Ch 3 (counts as dc), *ch 2, sk next 2 sts, dc in next st; "
                    f"rep from * across. ({squares + 1})")
            (row,) = rounds(text)
            assert row.tree.tally == {"dc": squares + 1, "space 2": squares}
            assert kinds(text) == []

    def test_a_nightcap_whose_chain_is_too_short(self):
        """386 chains and 138 squares of three (a work-book of about 1855): they need 414, and the fault says so."""
        text = "Fsc 386, turn.\nRow 1: (Dc in next st, ch 2, sk 2 sts) 138 times."
        assert "short" in kinds(text)
        assert rounds(text)[0].takes == 414

    def test_a_dahlia(self):
        """30, 36, and eighteen loops (Beeton's Book of Needlework, 1870)."""
        text = "Rnd 1: 30 sc in magic ring.\nRnd 2: (Sc 4, inc) x 6.\nRnd 3: *Sc, ch 3, sk 1; rep from * around."
        assert made(text)[:2] == [30, 36]
        assert rounds(text)[2].tree.tally["space 3"] == 18
