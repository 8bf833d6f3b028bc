"""`Work in pattern as established`: whole rounds, and up to a place within one."""

from __future__ import annotations

import pytest
from passages import body, cursor, rest, rounds

from coach.fabric import work
from coach.notation import read
from coach.notation.established import established, says_pattern, unit
from coach.notation.model import Repeat, Skip
from coach.notation.printer import write

SEED = """
Ch 25.
Row 1: Sc in 2nd ch from hook and in each ch across, turn. (24)
Row 2: Ch 1, (sc in next st, dc in next st) across, turn. (24)
Row 3: Ch 1, (dc in next st, sc in next st) across, turn. (24)
"""
SHELLS = """
Ch 26.
Row 1: Sc in 2nd ch from hook and in each ch across, turn. (25)
Row 2: Ch 1, sc in first st, (sk 2 sts, 5 dc in next st, sk 2 sts, sc in next st) across, turn. (25)
"""


def made(text: str) -> list[int]:
    fabric = work(read(text))
    assert not fabric.faults, fabric.faults
    return [r.made for part in fabric.parts for r in part.rounds]


@pytest.mark.parametrize("words", [
    "in patt", "in pattern", "in the established pattern", "in pattern as set", "in patt as established", "as established",
    "as set", "keeping pattern correct", "in same pattern", "in pat as before"])
def test_words_that_say_it(words):
    c = cursor(words)
    assert says_pattern(c)
    assert c.done, rest(c)


@pytest.mark.parametrize("words", ["in", "in next st", "as Row 2", "as before", "keeping the tail free", ""])
def test_words_that_do_not(words):
    c = cursor(words)
    assert not says_pattern(c)
    assert c.at == 0


@pytest.mark.parametrize("words", [
    "work in patt to last 5 sts", "Work in pattern to last 5 sts", "cont in patt as set to last 5 sts",
    "work in established pattern to last 5 sts", "work even in patt to last 5 sts", "keep in pattern to last 5 sts",
    "now work in pattern as established to last 5 sts"])
def test_up_to_a_place_the_last_time_goes_as_far_as_there_is_room(words):
    """Five are left of 24: nine times two, and one."""
    row = f"{SEED}Row 4: Ch 1, {words}, turn, leaving the rest unworked. (19)"
    assert made(row) == [24, 24, 24, 19]
    assert work(read(row)).parts[0].rounds[3].tree.tally == {"sc": 10, "dc": 9}


def test_stitches_before_and_behind_it():
    assert made(f"{SEED}Row 4: Ch 1, sc in first 2 sts, work in patt to last 2 sts, sc in last 2 sts. (24)")[-1] == 24


def test_the_line_may_begin_with_it():
    assert made(f"{SEED}Row 4: Work in patt to last 4 sts, turn, leave rem sts unworked. (20)")[-1] == 20


def test_work_even_to_a_place_is_no_whole_row():
    assert made(f"{SEED}Row 4: Work even to last 2 sts, sc2tog. (23)")[-1] == 23


def test_rounds_take_turns_by_their_numbers():
    found = rounds(f"{SEED}Rows 4-7: Work in pattern as established. (24)")
    assert [r.same_as for r in found[3:]] == ["Row 2", "Row 3", "Row 2", "Row 3"]
    assert made(f"{SEED}Rows 4-7: Work in pattern as established. (24)") == [24] * 7


def test_a_row_that_leaves_stitches_takes_its_turn_too():
    text = f"{SEED}Row 4: Ch 1, work in patt to last 4 sts, turn, leaving 4 sts. (20)\nRows 5-6: Work in pattern. (20)"
    assert [r.same_as for r in rounds(text)[4:]] == ["Row 3", "Row 2"]
    assert made(text)[-3:] == [20, 20, 20]


def test_without_a_label_it_says_how_many():
    assert made(f"{SEED}Work in patt for 4 rows.") == [24] * 7
    assert rounds(f"{SEED}Work in patt until piece measures 10 cm.")[-1].notes[0].text.startswith("Work in patt")


def test_a_pattern_of_one_row():
    found = rounds(f"{SHELLS}Rows 3-4: Work in pattern. (25)")
    assert [r.same_as for r in found[2:]] == ["Row 2", "Row 2"]


def test_one_that_repeats_itself_is_the_pattern():
    text = f"{SEED}Rows 4-5: Rep Rows 2 and 3. (24)\nRow 6: Work in pattern. (24)"
    assert rounds(text)[-1].same_as == "Row 2"


def test_where_all_is_plain_the_stitch_of_the_rounds_goes_on():
    text = """
        Rnd 1: 6 hdc in magic ring. (6)
        Rnd 2: 2 hdc in each st around. (12)
        Rnd 3: Work in pattern as established. (12)
        Rnd 4: Sk first st, work in patt around. (11)"""
    assert made(text) == [6, 12, 12, 11]
    assert [r.tree.tally for r in work(read(text)).parts[0].rounds[2:]] == [{"hdc": 12}, {"hdc": 11}]


def test_increases_are_no_pattern_to_go_on_with():
    found = rounds("Rnd 1: 6 sc in magic ring. (6)\nRnd 2: (Sc, inc) 3 times. (9)")
    assert unit(found[1])
    assert established(found, 3) == []


def test_skips_make_up_for_groups():
    found = rounds(SHELLS)
    assert [r.label for r in established(found, 3)] == ["Row 2"]
    assert any(isinstance(n, Skip) for n in unit(found[1]))


def test_without_rounds_there_is_no_pattern():
    assert established([], 1) == []
    assert body("work in patt to last 2 sts")


def test_a_chart_or_name_of_a_pattern_is_no_instruction():
    assert [n for n in body("Sc in each st. Continue in pattern.") if isinstance(n, Repeat)] == list(body("Sc in each st."))
    assert write(body("Work in patt around")) == "sc in each st around"
