"""A round as worked: the count so far, the way back from a count to a step, and what it says of its source."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st
from trees import trees
from worked import after, fabric, rounds

from coach.fabric.model import Worked
from coach.fabric.tree import leaves
from coach.notation.model import Fault, Round

ROUND = rounds(after(12, "(Sc, inc) x 6. (18)"))[1]  # steps: sc inc sc inc ...


def worked(tree) -> Worked:
    return Worked(Round("Rnd 1", 1, "round", ()), tree, tree.takes, None)


class TestCounts:
    def test_it_has_what_its_tree_has(self):
        assert (ROUND.label, ROUND.made, ROUND.takes, ROUND.steps, ROUND.base, ROUND.stated) == ("Rnd 2", 18, 12, 12,
            12, 18)

    def test_the_count_so_far(self):
        assert [ROUND.made_before(n) for n in range(7)] == [0, 1, 3, 4, 6, 7, 9]
        assert ROUND.made_before(12) == ROUND.made_before(99) == 18

    @given(trees)
    def test_walking_and_asking_give_the_same_count(self, tree):
        round, so_far = worked(tree), 0
        for n, step in enumerate(leaves(tree)):
            assert round.made_before(n) == so_far
            assert round.step_at(n) is step
            so_far += step.makes
        assert so_far == round.made

    @given(trees)
    def test_there_is_no_step_past_the_last(self, tree):
        with pytest.raises(IndexError):
            worked(tree).step_at(tree.steps)


class TestFirstStepWith:
    def test_the_number_of_steps_after_which_so_many_are_made(self):
        assert [ROUND.first_step_with(n) for n in range(5)] == [0, 1, 2, 2, 3]

    def test_more_than_the_round_makes_is_all_of_it(self):
        assert ROUND.first_step_with(1000) == 12

    @given(trees, st.data())
    def test_it_is_the_first(self, tree, data):
        round = worked(tree)
        made = data.draw(st.integers(0, round.made))
        done = round.first_step_with(made)
        assert round.made_before(done) >= made
        assert done == 0 or round.made_before(done - 1) < made


class TestFaults:
    def fault(self, severity: str) -> Fault:
        return Fault("count", severity, 1, 1, 2, "Rnd 1 makes 5 stitches, but 6 are stated.")

    def test_a_round_with_an_error_is_not_sound_and_one_with_a_warning_is(self):
        source = Round("Rnd 1", 1, "round", ())
        assert Worked(source, ROUND.tree, 0, 6).sound
        assert not Worked(source, ROUND.tree, 0, 6, faults=(self.fault("error"),)).sound
        assert Worked(source, ROUND.tree, 0, 6, faults=(self.fault("warning"),)).sound

    def test_it_is_only_the_round_with_the_fault(self):
        text = after(12, "(Sc, inc) x 6. (19)", "Sc in each st around. (18)")
        assert [round.sound for round in rounds(text)] == [True, False, True]


class TestFabric:
    TEXT = ("# Seal\n\n## Body\n\nRnd 1: 6 sc in magic ring. (6)\n\n## Fin (make 2)\n\n"
            "Rnd 1: 5 sc in magic ring. (5)\n\n## Assembly\n\n1. Sew the fins on.")

    def test_parts_have_the_names_and_numbers_of_their_headings(self):
        assert [(part.name, part.make) for part in fabric(self.TEXT).parts] == [("Body", 1), ("Fin", 2)]

    def test_assembly_is_that_of_the_pattern(self):
        assert [note.text for note in fabric(self.TEXT).assembly] == ["Sew the fins on."]

    def test_it_knows_its_size(self):
        assert fabric(self.TEXT, size=1).size == 1
