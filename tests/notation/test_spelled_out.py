"""What a round tells besides which other one it is like."""

from __future__ import annotations

import pytest
from passages import around, kinds, plain, rounds, st, times

from coach.fabric import work
from coach.notation import read
from coach.notation.model import Action, Round
from coach.notation.printer import write

BEGUN = "Rnd 1: 6 sc in magic ring. (6)\nRnd 2: Inc x 6. (12)\nRnd 3: Sc around. (12)\nRnd 4: (Sc, inc) x 6. (18)\n"


def after(line: str, label: str = "Rnd 5") -> list[Round]:
    """The rounds that come after four, as this line tells them."""
    return rounds(f"Float\n{BEGUN}{label}: {line}\n")[4:]


def colours(line: str) -> list[tuple[str, str, int]]:
    """(the colour it begins with, the one it ends with, stitches made) of a round that begins with A."""
    fabric = work(read(f"Float\nBegin with A.\n{BEGUN}Rnd 5: {line}\n"))
    assert not fabric.faults
    return [(worked.yarn.first.lower(), worked.yarn.after.lower(), worked.made) for worked in fabric.parts[0].rounds[4:]]


class TestInFull:
    @pytest.mark.parametrize("words", ["The same as Rnd 3", "Same as rnd 3", "Same stitches as Rnd 3", "Like Rnd 3",
        "the same stitches as Rnd 3", "Repeat Rnd 3", "As Rnd 3"])
    def test_the_words_behind_the_colon_are_the_round(self, words):
        (told,) = after(f"{words}: sc 18. (18)")
        assert plain(told.body) == (times(18, st("sc")),)
        assert told.same_as == "Rnd 3" and [c.amount for c in told.stated] == [18]

    def test_every_round_of_a_label_has_them(self):
        told = after("same as Rnd 3: sc in each st around. (18)", "Rnds 5-7")
        assert [r.label for r in told] == ["Rnd 5", "Rnd 6", "Rnd 7"]
        assert {write(r.body) for r in told} == {write((around(st("sc")),))}

    def test_a_change_of_colour_in_them_is_made(self):
        assert colours("the same stitches as Rnd 3: sc 17, change to B, sc. (18)") == [("a", "b", 18)]

    @pytest.mark.parametrize("line", ["same as Rnd 3: wobble the gribbet. (18)", "same as Rnd 3: as neatly as you can",
        "same as Rnd 3:", "same as Rnd 3 (18)", "same as Rnd 3. (18)"])
    def test_words_that_are_no_instruction_leave_the_other_round_to_tell_it(self, line):
        (told,) = after(line)
        assert plain(told.body) == (around(st("sc")),) and told.same_as == "Rnd 3"

    def test_a_round_that_is_not_there_is_a_fault_whatever_is_told(self):
        assert kinds(f"Float\n{BEGUN}Rnd 5: same as Rnd 9: sc around. (18)") == ["missing"]

    def test_a_count_that_the_words_do_not_make_is_one(self):
        assert [f.kind for f in work(read(f"Float\n{BEGUN}Rnd 5: same as Rnd 3: sc 12. (18)")).faults] == [
            "leaves", "count"]


class TestColoursBehind:
    @pytest.mark.parametrize("line", ["repeat Rnd 3, change to B. (18)", "Same as Rnd 3, changing to B in the last st (18)",
        "same as rnd 3. Change to B. (18)"])
    def test_the_change_is_made_at_the_end(self, line):
        assert colours(line) == [("a", "b", 18)]

    def test_of_several_rounds_the_last_one_makes_it(self):
        told = after("repeat Rnd 3, change to B. (18)", "Rnds 5-7")
        changes = [[n.text for n in r.body if isinstance(n, Action) and n.kind == "colour"] for r in told]
        assert changes[:2] == [[], []] and len(changes[2]) == 1
        assert [r.same_as for r in told] == ["Rnd 3"] * 3

    @pytest.mark.parametrize("line", ["repeat Rnd 3 (18)", "repeat Rnd 3. Stuff firmly. (18)", "repeat Rnd 3, sc 2, change to B"])
    def test_other_words_behind_it_are_none(self, line):
        assert plain(after(line)[0].body) == (around(st("sc")),)
