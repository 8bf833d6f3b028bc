"""Rounds that a reference to others stands for."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st
from passages import around, inc, plain, rounds, times
from passages import st as stitch

from coach.notation.bounds import MOST_UNWRITTEN
from coach.notation.changed import Change
from coach.notation.model import Chain, Count, Group, Round, Span
from coach.notation.references import Reference, read_reference
from coach.notation.repeated_rounds import grows, how_many, worked_again

HERE = Span(0, 0)
SC, DC = stitch("sc"), stitch("dc")
SHELLS = Round("Row 2", 2, "row", (around(inc("dc", 3)),), (Count(18),))


class TestHowMany:
    """Row 4 comes next; two rows are pointed at."""

    @pytest.mark.parametrize(("words", "last"), [
        ("Rep rows 2 and 3.", 5), ("Rep rows 2 and 3 twice.", 7), ("Repeat last 2 rows 3 times more.", 9),
        ("Repeat rows 2 and 3 until you have 4 ribs.", 8), ("Repeat rows 2 and 3 until 9 rows in all.", 9),
        ("Work even for 6 rows.", 9), ("Work in pattern for 4 rows.", 7), ("Dec 1 st at each end of next 4 rows.", 7)])
    def test_the_words_say_it(self, words, last):
        assert how_many(read_reference(words), 2, 4) == (tuple(range(4, last + 1)), None)

    @pytest.mark.parametrize(("words", "each"), [
        ("Rep rows 2 and 3 3 (4, 5) times.", (6, 8, 10)), ("Work even for 6 (7, 8) rows.", (6, 7, 8))])
    def test_each_size_works_its_own_and_the_rounds_are_those_of_the_most(self, words, each):
        numbers, per_size = how_many(read_reference(words), 2, 4)
        assert (numbers, per_size) == (tuple(range(4, 4 + max(each))), each)

    @pytest.mark.parametrize("up_to", [0, 2, 3, (2, 3)])
    def test_those_that_are_there_already_are_none(self, up_to):
        assert how_many(Reference((2, 3), up_to=up_to), 2, 4)[0] == ()

    @given(st.integers(1, 10**12), st.integers(1, 50), st.integers(1, 10**6))
    def test_there_are_never_too_many(self, times, targets, first):
        numbers, _ = how_many(Reference((2,), times=times), targets, first)
        assert numbers == tuple(range(first, first + min(times * targets, 2 * MOST_UNWRITTEN)))


class TestWorkedAgain:
    def again(self, words: str, target: Round = SHELLS, **more: object) -> object:
        return plain(worked_again(read_reference(words), target, "sc", HERE, **more))

    def test_it_is_that_of_the_round_pointed_at(self):
        assert self.again("Rep row 2.") == SHELLS.body

    def test_worked_even_each_stitch_is_the_main_one(self):
        assert self.again("Work even for 6 rows.") == (around(SC),)

    def test_in_pattern_a_row_that_has_none_is_worked_even(self):
        assert self.again("Work in pattern for 4 rows.", Round("Row 2", 2, "row", (SC, DC))) == (around(SC),)

    def test_in_pattern_goes_on_with_what_the_row_works_over_and_over(self):
        row = Round("Row 2", 2, "row", (Chain(1), around(SC, DC)))
        start, again = self.again("Work in pattern for 4 rows.", row)
        assert (start, again.body, again.times.kind, again.times.partly) == (Chain(1), (SC, DC), "fill", True)

    @pytest.mark.parametrize(("words", "ends"), [("Dec", "sc2tog"), ("Inc", "sc")])
    def test_at_each_end_something_is_worked_that_the_middle_is_not(self, words, ends):
        nodes = self.again(f"{words} 1 st at each end of next 4 rows.")
        assert len(nodes) == 3 and nodes[0] == nodes[2] != nodes[1]
        assert f"'{ends}'" in repr(nodes[0])

    def test_but_for_what_is_changed(self):
        row = Round("Row 2", 2, "row", (SC, times(3, DC), SC))
        change = Change(stitch="dc", number=5, instead=3)
        assert self.again("Rep row 2.", row, change=change) == (SC, times(5, DC), SC)

    @pytest.mark.parametrize("time", [1, 2, 5])
    def test_and_a_row_that_grows_knows_which_it_is(self, time):
        middle = Group((SC, SC, SC))
        row = Round("Row 2", 2, "row", (times(10, SC), middle, times(10, SC)))
        side = times(10 + time, SC)
        assert self.again("Rep row 2.", row, change=Change(stitch="sc", extra=1), time=time) == (side, middle, side)

    def test_a_change_of_what_is_not_there_leaves_it(self):
        assert self.again("Rep row 2.", change=Change(stitch="dc", number=5, instead=7)) == SHELLS.body


class TestWhoseCountItIs:
    @pytest.mark.parametrize(("words", "stated", "last_only"), [
        ("Rep row 2.", (), False), ("Rep row 2.", (Count(18),), False), ("Rep row 2.", (Count(24),), True),
        ("Dec 1 st at each end of next 4 rows.", (), True),
        ("Dec 1 st at each end of next 4 rows.", (Count(18),), True)])
    def test_of_the_last_where_the_row_changes_it(self, words, stated, last_only):
        assert grows(read_reference(words), SHELLS, stated) is last_only

    def test_a_row_that_says_none_keeps_it(self):
        assert not grows(read_reference("Rep row 2."), Round("Row 2", 2, "row", (SC,)), (Count(24),))

    def test_in_a_text(self):
        found = rounds("Rnd 1: 6 sc in magic ring. (6)\nRnd 2: Inc around. (12)\nRnds 3-4: Rep rnd 2. (48)")
        assert [[c.amount for c in r.stated] for r in found] == [[6], [12], [], [48]]
        assert found[3].body == found[2].body == found[1].body
