"""The order of places, and counting at them."""

from __future__ import annotations

import pytest
from harbour_works import BODY, DEC, INC, SEAL, fabric, part, rnd, sc, trees, works
from hypothesis import given
from hypothesis import strategies as st

from coach.fabric import work
from coach.fabric.changing import colour_at, is_change
from coach.fabric.chunks import BY, chunk_at
from coach.fabric.tree import Loop, Run
from coach.fabric.tree import leaves as every_step
from coach.fabric.words import abbreviated
from coach.guide.model import Place
from coach.guide.places import (
    between,
    done_in_round,
    fitted,
    following,
    introduced,
    length,
    notes_ahead,
    preceding,
    readings_after,
    round_numbered,
    spoken,
    stop_after,
    total,
    worked_at,
)
from coach.notation import read
from coach.notation.model import Note
from coach.notation.prose import kind_of


class TestCounting:
    def test_the_count_so_far_is_of_stitches_made(self):
        assert done_in_round(SEAL, Place(0, 0, 1, 4)) == 8  # four increases

    def test_the_total_is_of_the_piece(self):
        assert total(SEAL, Place(0, 0, 2, 3)) == 6 + 12 + 4
        assert total(SEAL, Place(1, 1, 1, 2)) == 5 + 2

    def test_nothing_is_counted_after_all_parts(self):
        assert total(SEAL, Place(2)) == done_in_round(SEAL, Place(2)) == 0

    def test_while_notes_are_read_the_round_counts_whole(self):
        assert done_in_round(SEAL, Place(0, 0, 3, 16)) == 16
        assert length(BODY.rounds[3]) == 17

    @given(trees, st.data())
    def test_a_place_counts_as_walking_there_does(self, tree, data):
        worked = rnd(1, tree)
        steps = data.draw(st.integers(0, tree.steps))
        walked = [leaf for leaf in every_step(tree) if leaf.steps][:steps]
        assert done_in_round(fabric(part("", worked)), Place(steps=steps)) == sum(leaf.makes for leaf in walked)


class TestRoundNumbers:
    def test_a_number_is_the_one_in_the_label(self):
        skipping = fabric(part("Tail", rnd(1, sc()), rnd(2, sc()), rnd(5, sc())))
        assert round_numbered(skipping, Place(), 5) == 2
        assert round_numbered(skipping, Place(), 3) is None

    def test_where_numbers_start_anew_the_nearest_is_meant(self):
        legs = fabric(part("Legs", *(rnd(n, sc()) for n in (1, 2, 3, 1, 2, 3))))
        assert round_numbered(legs, Place(round=1), 3) == 2
        assert round_numbered(legs, Place(round=4), 3) == 5


class TestOrder:
    def test_after_a_piece_the_next_piece_then_the_next_part(self):
        assert following(SEAL, Place(1, 0, 2)) == Place(1, 1)
        assert following(SEAL, Place(1, 1, 2)) == Place(2)
        assert following(SEAL, Place(2)) is None

    def test_the_first_piece_and_parts_with_notes_are_told_of_first(self):
        assert introduced(SEAL, Place(0)) and introduced(SEAL, Place(1))
        assert not introduced(SEAL, Place(1, 1))
        assert not introduced(fabric(BODY, part("Tail", rnd(1, sc()))), Place(1))

    def test_before_the_first_step_of_all_there_is_nothing(self):
        assert preceding(SEAL, Place(), 0, "group") is None

    def test_before_a_round_comes_the_last_note_of_the_one_before(self):
        assert preceding(SEAL, Place(0, 0, 4), 16, "group") == (Place(0, 0, 3, 16), 17)

    @given(works, st.sampled_from(BY))
    def test_preceding_is_the_inverse_of_going_on(self, work, by):
        place, announced = Place(), 0
        for _ in range(60):
            if place.part < len(work.parts) and worked_at(work, place) is None:
                there = following(work, place)
                stop = 0 if introduced(work, there) else stop_after(work, there, by)
            else:
                worked = worked_at(work, place)
                there = Place(place.part, place.piece, place.round, max(announced, place.steps))
                if worked and there.steps >= length(worked):
                    there = following(work, place)
                stop = stop_after(work, there, by)
            if (there, stop) == (place, announced):
                break
            if there != place or place.part < len(work.parts):
                assert preceding(work, there, stop, by) == (place, announced)
            place, announced = there, stop

    @given(works, st.builds(Place, *[st.integers(0, 40)] * 4))
    def test_any_place_is_fitted_into_the_work(self, work, place):
        there = fitted(work, place)
        assert fitted(work, there) == there
        assert total(work, there) >= 0 and stop_after(work, there, "group") >= there.steps

    def test_a_place_that_exists_is_left_as_it_is(self):
        for place in (Place(), Place(0, 0, 3, 16), Place(0, 0, 5), Place(1, 1, 0, 4), Place(2, 0, 0, 2)):
            assert fitted(SEAL, place) == place

    def test_a_place_that_is_gone_becomes_the_nearest(self):
        assert fitted(SEAL, Place(1, 7, 9, 9)) == Place(1, 1, 2, 0)
        assert fitted(SEAL, Place(0, 0, 1, 99)) == Place(0, 0, 1, 5)


class TestBetween:
    @given(trees, st.data())
    def test_the_steps_between_two_places_are_those_of_the_round(self, tree, data):
        start = data.draw(st.integers(0, tree.steps))
        stop = data.draw(st.integers(start, tree.steps))
        walked = [leaf for leaf in every_step(tree) if leaf.steps]
        cut = [leaf for t in between(tree, start, stop) for leaf in every_step(t) if leaf.steps]
        assert cut == walked[start:stop]

    def test_repeats_stay_repeats(self):
        whole = Loop(Run((Loop(sc(), 2), INC)), 10**9)
        found = between(whole, 1, 3 * 10**9 - 1)
        assert [t.steps for t in found] == [1, 1, 3 * (10**9 - 2), 2]

    def test_no_step_is_no_tree(self):
        assert between(Loop(DEC, 3), 2, 2) == ()

    def test_a_whole_group_keeps_its_time_of_the_repeat(self):
        chunk = spoken(BODY.rounds[2], 3, 6, "group")
        assert (chunk.time, chunk.times) == (2, 4)

    def test_the_rest_of_a_group_is_cut_from_it(self):
        chunk = spoken(BODY.rounds[2], 5, 6, "group")
        assert [t.makes for t in chunk.trees] == [2] and chunk.time == 2

    def test_what_spans_two_repeats_belongs_to_none(self):
        assert spoken(BODY.rounds[2], 5, 9, "group").time is None




def flag(body: str):
    """A round in two colours, between two that begin in A and in B."""
    rounds = f"Rnd 1: With A, 12 sc in magic ring. (12)\nRnd 2: {body}. (12)\nRnd 3: With B, sc 12. (12)\n"
    return work(read(f"# Flag\n\n## Flag\n\n{rounds}")).parts[0].rounds[1]


def read_out(worked, by: str) -> list:
    """Every chunk of a round, one after the other."""
    found, at = [], 0
    while at < worked.steps:
        chunk = chunk_at(worked, at, by)
        found.append(spoken(worked, at, chunk.stop, by).trees)
        at = chunk.stop
    return found


class TestChangesOfColour:
    """A change is heard with the stitch that makes it, however much is read at once."""

    @pytest.mark.parametrize(("by", "said"), [
        ("stitch", ["sc", "sc, change to B", *["sc"] * 8, "sc, change to A", "sc, change to B"]),
        ("group", ["sc 2, change to B", "sc 9, change to A", "sc, change to B"]),
        ("round", ["sc 2, change to B, sc 9, change to A, sc, change to B"])])
    def test_in_every_way_of_reading(self, by, said):
        assert list(map(abbreviated, read_out(flag("With A, sc 2, with B, sc 9, with A, sc 1"), by))) == said

    @pytest.mark.parametrize("by", BY)
    @pytest.mark.parametrize("body", [
        "(With A, sc 2, with B, sc 1) x 4", "With B, sc 5, with A, (sc 1, with B, sc 1) x 3, sc 1", "Sc 3, (with B, sc 1) x 9",
        "With B, (sc 1, with A, sc 1) x 5, with B, sc 2", "Sc around, join with sl st"])
    def test_the_colours_are_the_same_in_every_way(self, body, by):
        worked = flag(body)
        colour, made = worked.yarn.first, []
        for leaf in (leaf for told in read_out(worked, by) for tree in told for leaf in every_step(tree)):
            if is_change(leaf):
                assert made and leaf.node.text.lower() != f"change to {colour}"
                colour = leaf.node.text.removeprefix("change to ").lower()
            else:
                made.append(colour)
        assert made == [colour_at(worked.tree, step, worked.yarn.before) for step in range(worked.steps)]
        assert colour == "b"


class TestNotesOfARound:
    """Prose after a round is read after it, unless it tells how that round is worked."""

    @pytest.mark.parametrize(("text", "ahead"), [
        ("The last sc of Row 2 goes into the third chain.", True),
        ("In row 2 the hook goes under the back loop.", True),
        ("Work Row 2 loosely.", True),
        ("Row 2 is worked in the dark.", True),
        ("With larger hook", True),
        ("With the wrong side facing you", True),
        ("With a 5.5 mm hook", True),
        ("With the hook pull the tail through.", False),
        ("Count here: one gets lost.", False),
        ("In Row 3 it turns.", False),
        ("The eyes sit between Rows 1 and 2.", False),
        ("In Rows 2 and 3 it turns.", False),
        ("In Row 2 you now have 4.", False),
        ("Row 2 is the collar; the breast begins here.", False),
        ("Stuff the head at Row 2.", False),
    ])
    def test_what_tells_of_the_round_itself_comes_before_it(self, text, ahead):
        worked = rnd(2, sc(), label="Row 2", kind="row", notes=(Note(text, kind_of(text)), Note("Rest.")))
        assert [n.text for n in notes_ahead(worked)] == ([text] if ahead else [])
        assert [n.text for portion in readings_after(worked) for n in portion] == (["Rest."] if ahead else [text, "Rest."])
        assert length(worked) == 2

    def test_round_and_rnd_are_the_same_and_row_is_another(self):
        for label, text, ahead in (("Rnd 2", "Work Round 2 loosely.", True), ("Round 2", "Work Rnd. 2 loosely.", True),
                                   ("Rnd 2", "Work Row 2 loosely.", False)):
            assert bool(notes_ahead(rnd(2, sc(), label=label, notes=(Note(text),)))) == ahead
