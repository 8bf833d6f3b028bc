"""Labels of rounds and rows, as many ways as there are to write them."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st
from passages import rounds

from coach.notation.labels import INSIDE, read_label

# line → (numbers, kind), and the instruction that is left
LABELS = [
    ("Rnd 3: sc", (3,), "round", "sc"),
    ("Rnd 3. Sc", (3,), "round", "Sc"),
    ("Rnd. 3: sc", (3,), "round", "sc"),
    ("Round 3: sc", (3,), "round", "sc"),
    ("ROUND 3: sc", (3,), "round", "sc"),
    ("Rd 3: sc", (3,), "round", "sc"),
    ("Row 3: sc", (3,), "row", "sc"),
    ("Row 3 - sc", (3,), "row", "sc"),
    ("Row 3 — sc", (3,), "row", "sc"),
    ("R3: sc", (3,), "", "sc"),
    ("r3: sc", (3,), "", "sc"),
    ("R3. sc", (3,), "", "sc"),
    ("Rnd 3 sc in next st", (3,), "round", "sc in next st"),
    ("Rnd 3 (sc, inc) x 6", (3,), "round", "(sc, inc) x 6"),
    ("Row #3: sc", (3,), "row", "sc"),
    ("3rd row: sc", (3,), "row", "sc"),
    ("1st round: sc", (1,), "round", "sc"),
    ("2nd rnd: sc", (2,), "round", "sc"),
    ("4. rnd: sc", (4,), "round", "sc"),
    ("First row: sc", (1,), "row", "sc"),
    ("Third round: sc", (3,), "round", "sc"),
    ("Row first: sc", (1,), "row", "sc"),
    ("Row one: sc", (1,), "row", "sc"),
    ("Row 4 (inc): sc", (4,), "row", "sc"),
    ("4th row (dec): sc", (4,), "row", "sc"),
    ("For round 2, sc", (2,), "round", "sc"),
    ("Row 3 onwards: sc", (3,), "row", "sc"),
    ("R2.6 sc", (2,), "", "6 sc"),
    ("R3 behind the petals: sc", (3,), "", "behind the petals: sc"),
    ("r5/6/7 sc24", (5, 6, 7), "", "sc24"),
    ("Round 5 until Round 7: sc", (5, 6, 7), "round", "sc"),
    ("Row 2 and all even rows: sc", (2,), "row", "sc"),
    ("Rnds 3-5: sc", (3, 4, 5), "round", "sc"),
    ("Rnds 3 - 5: sc", (3, 4, 5), "round", "sc"),
    ("Rows 3 to 5: sc", (3, 4, 5), "row", "sc"),
    ("Rnd 3–5: sc".replace("–", "-"), (3, 4, 5), "round", "sc"),
    ("Rows 3 and 5: sc", (3, 5), "row", "sc"),
    ("Rnds 3, 5 and 7: sc", (3, 5, 7), "round", "sc"),
    ("Rows 2, 4, 6 & 8: sc", (2, 4, 6, 8), "row", "sc"),
    ("Rows 2-4 and 8: sc", (2, 3, 4, 8), "row", "sc"),
    ("R3-5: sc", (3, 4, 5), "", "sc"),
    ("4.-6. rnd: sc", (4, 5, 6), "round", "sc"),
    ("- Rnd 3: sc", (3,), "round", "sc"),
    ("* Rnd 3: sc", (3,), "round", "sc"),
    ("**Rnd 3:** sc", (3,), "round", "sc"),
    ("**Rnd 3**: sc", (3,), "round", "sc"),
    ("Rnd 10: sc", (10,), "round", "sc"),
    ("Rnd 123: sc", (123,), "round", "sc"),
]
NONE = [
    "sc in each st around", "Row of shells along the edge.", "Rnd", "Rows", "Round the corner: turn.", "Repeat Rnd 2.",
    "3 rounds of sc", "R",
    "Work 6 rows.", "Row 2 is the right side.", "Rnd 3 times.", "Around: sc", "", "12: sc", "Ch 21.",
]


@pytest.mark.parametrize(("line", "numbers", "kind", "left"), LABELS)
def test_a_label(line, numbers, kind, left):
    label = read_label(line, 0)
    assert (label.numbers, label.kind, label.side) == (numbers, kind, None)
    assert line[label.end:] == left


@pytest.mark.parametrize("line", NONE)
def test_no_label(line):
    assert read_label(line, 0) is None


@pytest.mark.parametrize(("line", "side"), [
    ("Row 3 (RS): sc", "RS"), ("Row 3 (WS): sc", "WS"), ("1st row (right side): sc", "RS"), ("Row 2 [WS]: sc", "WS"),
    ("Row 2 (wrong side): sc", "WS")])
def test_a_side(line, side):
    assert read_label(line, 0).side == side
    assert line[read_label(line, 0).end:] == "sc"


@pytest.mark.parametrize("line", ["Next row: sc", "Next rnd: sc", "Last round: sc", "Final row: sc"])
def test_the_next_one_has_no_number_yet(line):
    assert read_label(line, 0).numbers is None


@pytest.mark.parametrize(("line", "kind"), [("Foundation row: sc", "row"), ("Set-up rnd: sc", "round"),
    ("Base row (RS): sc", "row")])
def test_a_row_below_the_first(line, kind):
    label = read_label(line, 0)
    assert (label.numbers, label.kind, label.base) == ((0,), kind, True)


class TestBare:
    @pytest.mark.parametrize(("line", "numbers"), [("4. sc", (4,)), ("4) sc", (4,)), ("4-6. sc", (4, 5, 6)), ("12: sc",
        (12,))])
    def test_a_number_alone_where_it_is_allowed(self, line, numbers):
        assert read_label(line, 0) is None
        label = read_label(line, 0, bare=True)
        assert label.numbers == numbers and label.bare

    @pytest.mark.parametrize("line", ["4 sc", "4", "4.5 mm hook"])
    def test_other_numbers_are_none(self, line):
        assert read_label(line, 0, bare=True) is None


class TestSizes:
    def test_a_last_round_for_each_size(self):
        label = read_label("Rnds 6-10 (12, 14): sc", 0)
        assert label.ends == (10, 12, 14)
        assert label.numbers == tuple(range(6, 15))

    def test_sizes_named_before_it(self):
        label = read_label("Sizes M and L only: Rnd 9: sc", 0)
        assert (label.only, label.numbers) == ("M and L", (9,))


class TestPlaces:
    @given(st.sampled_from([case[0] for case in LABELS]), st.integers(0, 10**6))
    def test_offsets_are_of_the_text(self, line, start):
        here, there = read_label(line, 0), read_label(line, start)
        assert (there.start - start, there.end - start) == (here.start, here.end)
        assert 0 <= here.start < here.end <= len(line)

    @given(st.text(max_size=80), st.booleans())
    def test_any_line_is_one_or_none(self, line, bare):
        label = read_label(line.replace("\n", " "), 0, bare)
        assert label is None or 0 <= label.start <= label.end <= len(line)


class TestNumbers:
    @given(st.integers(1, 900), st.integers(1, 90))
    def test_a_range_is_each_of_them(self, first, more):
        assert read_label(f"Rnds {first}-{first + more}: sc", 0).numbers == tuple(range(first, first + more + 1))

    def test_a_hostile_range_is_not_written_out(self):
        assert len(read_label("Rnds 1-999999: sc", 0).numbers) <= 10_001

    def test_a_range_backwards_is_two(self):
        assert read_label("Rnds 9-7: sc", 0).numbers == (9, 7)


class TestInsideALine:
    @pytest.mark.parametrize("line", [
        "Rnd 1: 6 sc in magic ring. (6) Rnd 2: 2 sc in each st around. (12)",
        "Rnd 1: 6 sc in magic ring (6). Rnd 2: 2 sc in each st around (12).",
        "R1: 6 sc in magic ring. R2: 2 sc in each st around.",
        "1st rnd: 6 sc in magic ring. 2nd rnd: 2 sc in each st around.",
    ])
    def test_a_second_label_begins_another_round(self, line):
        assert len(INSIDE.findall(line)) == 1
        assert [r.number for r in rounds(line)] == [1, 2]

    def test_a_reference_to_a_round_does_not(self):
        assert not INSIDE.search("Rnd 4: Sc in each st. Rep Rnd 3 twice.")


@pytest.mark.parametrize(("line", "name", "rest"), [
    ("Dec row: Ch 1, sc2tog", "dec", "Ch 1, sc2tog"),
    ("Inc rnd: (sc, inc) x 6", "inc", "(sc, inc) x 6"),
    ("Increase round (RS): inc", "inc", "inc"),
    ("Row 2 (inc row): Ch 1", "inc", "Ch 1"),
    ("Rnd 7 - decrease round: dec x 6", "dec", "dec x 6"),
    ("Row 3: Ch 1", "", "Ch 1"),
])
def test_a_row_that_shapes_is_called_so(line, name, rest):
    label = read_label(line, 0)
    assert (label.name, line[label.end:]) == (name, rest)


@pytest.mark.parametrize("line", ["Dec 1 st at each end", "Inc in each st", "Decrease rows are worked so", "inc row"])
def test_shaping_that_is_no_label(line):
    assert read_label(line, 0) is None


@pytest.mark.parametrize(("line", "numbers"), [
    ("5)-7) sc24 <24>", (5, 6, 7)), ("3) (sc1,inc1)*6 <18>", (3,)), ("2. Increase in each stitch around. (12)", (2,))])
def test_a_bare_number_before_what_is_worked(line, numbers):
    assert read_label(line, 0, bare=True).numbers == numbers


@pytest.mark.parametrize("line", ["🧶 Row 1: sc", "✨🐚 Row 1: sc", "🧶- Row 1: sc", "❤️ Row 1: sc"])
def test_pictures_before_a_label_say_nothing(line):
    label = read_label(line, 0)
    assert (label.numbers, label.kind, line[label.end:]) == ((1,), "row", "sc")
