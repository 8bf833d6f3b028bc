"""Rounds that point at other rounds."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st
from passages import kinds, rounds

from coach.fabric import work
from coach.notation import read
from coach.notation.references import read_reference


def said(text: str) -> tuple:
    r = read_reference(text)
    return (r.numbers, r.last, r.times, r.rows)


@pytest.mark.parametrize(("text", "numbers"), [
    ("Rep Row 2.", (2,)), ("Repeat row 2.", (2,)), ("Repeat Rnd 3", (3,)), ("Same as Row 2.", (2,)),
    ("As row 2.", (2,)), ("Work as for row 2", (2,)),
    ("Repeat rows 2 and 3.", (2, 3)), ("Rep Rows 2-4.", (2, 3, 4)), ("Repeat rounds 2 to 5", (2, 3, 4, 5)),
    ("Repeat rows 2, 3 and 5.", (2, 3, 5)),
    ("Rep 2nd row.", (2,)), ("Rep 2nd and 3rd rows.", (2, 3)), ("Repeat R3", (3,)), ("Like row 2", (2,)),
    ("Repeat the second row.", (2,)),
    ("Rep 2nd, 3rd and 4th rows.", (2, 3, 4)),
])
def test_which_rounds(text, numbers):
    assert said(text) == (numbers, 0, None, None)


@pytest.mark.parametrize(("text", "expected"), [
    ("Repeat rows 2 and 3 three times.", ((2, 3), 0, 3, None)),
    ("Repeat rows 2 and 3 twice.", ((2, 3), 0, 2, None)),
    ("Rep Rnd 3 another 4 times.", ((3,), 0, 4, None)),
    ("Rep Rnd 3 4 more times.", ((3,), 0, 4, None)),
    ("Rep Rnd 3 another 4 (5, 6) times.", ((3,), 0, (4, 5, 6), None)),
    ("Repeat the last row.", ((), 1, None, None)),
    ("Repeat last 2 rows.", ((), 2, None, None)),
    ("Repeat the last two rows 5 times.", ((), 2, 5, None)),
    ("Repeat the previous round 3 times.", ((), 1, 3, None)),
    ("Work even for 6 rounds.", ((), 1, None, 6)),
    ("Work even for 4 (5, 6) rows.", ((), 1, None, (4, 5, 6))),
    ("Work even in patt for 6 rows.", ((), 1, None, 6)),
    ("Continue in pattern for 8 rows.", ((), 1, None, 8)),
])
def test_how_often(text, expected):
    assert said(text) == expected


@pytest.mark.parametrize(("text", "until"), [
    ("Repeat rows 2 and 3 until piece measures 15 cm.", "until piece measures 15 cm"),
    ("Work even until piece measures 6 inches.", "until piece measures 6 inches"),
    ("Repeat row 2 until it is long enough to reach around the buoy.", "until"),
])
def test_until_a_measure(text, until):
    assert read_reference(text).until.startswith(until)


@pytest.mark.parametrize("text", [
    "Sc in each st around.", "Repeat from * around.", "Rep around.", "Ch 1, turn.", "2 sc in each st around.",
    "Rep from * to end of row.", "", "*Sc, inc; rep from * 5 more times.",
])
def test_an_instruction_of_its_own_is_none(text):
    assert read_reference(text) is None


@given(st.integers(1, 50), st.integers(1, 40), st.integers(2, 9))
def test_any_range_any_times(first, more, times):
    found = read_reference(f"Repeat rows {first}-{first + more} {times} times.")
    assert found.numbers == tuple(range(first, first + more + 1))
    assert found.times == times


# ---- in a pattern

FIVE = ("Ch 21.\nRow 1: Sc in 2nd ch from hook and in each ch across, turn. (20)\n"
        "Row 2: Ch 3 (counts as dc), dc in next 19 sts, turn. (20)\nRow 3: Ch 1, sc in each st across, turn. (20)\n")


class TestInAPattern:
    @pytest.mark.parametrize(("line", "numbers", "same_as"), [
        ("Row 4: Rep Row 2.", [4], ["Row 2"]),
        ("Rows 4-6: Rep Row 2.", [4, 5, 6], ["Row 2"] * 3),
        ("Rows 4-7: Rep Rows 2 and 3.", [4, 5, 6, 7], ["Row 2", "Row 3", "Row 2", "Row 3"]),
        ("Rows 4 and 5: Rep Row 3.", [4, 5], ["Row 3", "Row 3"]),
        ("\nRepeat rows 2 and 3 three times.", [4, 5, 6, 7, 8, 9], ["Row 2", "Row 3"] * 3),
        ("\nRep Row 3 twice.", [4, 5], ["Row 3", "Row 3"]),
        ("\nRepeat last 2 rows once.", [4, 5], ["Row 2", "Row 3"]),
    ])
    def test_the_rounds_it_stands_for(self, line, numbers, same_as):
        later = rounds(FIVE + line)[3:]
        assert [r.number for r in later] == numbers
        assert [r.same_as for r in later] == same_as
        known = {r.label: r.body for r in rounds(FIVE)}
        assert [r.body for r in later] == [known[label] for label in same_as]

    def test_work_to_a_measure_adds_no_rounds_and_is_said_after_the_last(self):
        found = rounds(FIVE + "\nRepeat rows 2 and 3 until piece measures 15 cm.")
        assert [r.number for r in found] == [1, 2, 3]
        assert "until piece measures 15 cm" in found[-1].notes[0].text

    def test_a_number_for_each_size(self):
        text = "Sizes: S (M, L)\n\n" + FIVE + "\nRepeat row 3 another 2 (3, 4) times."
        later = rounds(text)[3:]
        assert [r.sizes for r in later] == [(), (), (1, 2), (2,)]

    def test_a_round_that_is_not_there(self):
        assert kinds(FIVE + "Row 4: Rep Row 12.") == ["missing"]

    def test_its_count_is_that_of_the_last(self):
        later = rounds(FIVE + "Rows 4-5: Rep Rows 2 and 3. (20)")[3:]
        assert later[-1].stated[0].amount == 20

    def test_a_hostile_number_of_times_ends(self):
        found = rounds(FIVE + "\nRepeat row 3 999999999 times.")
        assert len(found) <= 100_003
        assert "repeat" in kinds(FIVE + "\nRepeat row 3 999999999 times.")


def test_a_row_is_repeated_by_what_it_is_called():
    text = """
        Ch 12.
        Row 1: Sc in 2nd ch from hook and in each ch across. (11)
        Row 2 (inc row): Ch 1, turn, 2 sc in first st, sc to last st, 2 sc in last st. (13)
        Row 3: Ch 1, turn, sc in each st. (13)
        Row 4: Rep inc row. (15)
        Dec row: Ch 1, turn, sc2tog, sc to last 2 sts, sc2tog. (13)
        Row 6: Repeat dec row. (11)"""
    fabric = work(read(text))
    assert [r.made for r in fabric.parts[0].rounds] == [11, 13, 13, 15, 13, 11] and not fabric.faults
    assert [r.source.same_as for r in fabric.parts[0].rounds] == [None, None, None, "Row 2", None, "Row 5"]


def test_a_row_that_is_not_there_by_its_name():
    assert [f.kind for f in read("Row 1: Fsc 10.\nRow 2: Rep dec row.").faults] == ["missing"]


@pytest.mark.parametrize(("text", "expected"), [
    ("work Rows 2-5 two more times", ((2, 3, 4, 5), 0, 2, None)), ("Work rows 2 and 3 twice.", ((2, 3), 0, 2, None))])
def test_worked_again_so_often(text, expected):
    assert said(text) == expected


@pytest.mark.parametrize("text", ["Work rows 2-5 as follows", "Work row 2 in red"])
def test_rows_that_are_to_be_worked_repeat_none(text):
    assert read_reference(text) is None


@pytest.mark.parametrize(("text", "rows"), [
    ("Repeat row 2 until there are 40/44/48 rows", (40, 44, 48)), ("Rep row 2 until you have 24 rows in all", 24)])
def test_until_there_are_so_many(text, rows):
    assert read_reference(text).up_to == rows
