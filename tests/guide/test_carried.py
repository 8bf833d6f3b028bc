"""Works taken over into a changed pattern: safe or not, where they stand then, and the way back."""

from __future__ import annotations

import pytest
from harbour_works import BODY, FLIPPER, SEAL, fabric, part, rnd, sc, works
from hypothesis import given
from hypothesis import strategies as st

from coach.fabric.tree import Loop
from coach.guide import pieces
from coach.guide.carried import carried, is_lapsed, is_safe, offered, place_in, touched, unlike
from coach.guide.machine import answer, begin
from coach.guide.model import OwnNote, Place, Question, Request, State
from coach.guide.places import done_in_round, fitted, part_at, total, worked_at
from coach.guide.revision import Revision, work_of
from coach.memory.states import from_json, to_json

NEXT, UNDO = Request("next"), Request("undo")
requests = st.one_of(
    *[st.just(NEXT)] * 3,
    st.builds(Request, st.sampled_from(["back", "mark", "next_part", "start_round", "undo", "note"]), st.just(None)),
    st.builds(Request, st.sampled_from(["go_round", "go_stitch", "have"]), st.integers(0, 12)),
    st.builds(Request, st.just("note"), st.just("too tight")),
    st.builds(Request, st.just("by"), st.sampled_from(["stitch", "group", "round"])),
)


def led(work, *asked: Request, state: State = State()) -> State:
    state, _ = begin(work, state)
    for request in asked:
        state, _ = answer(work, state, request)
    return state


def keys(messages) -> list[str]:
    return [m.key for m in messages]


def longer(work):
    """The same pattern with another part at its front and a round at the end of each part."""
    more = (part(p.name, *p.rounds, rnd(99, Loop(sc(), 3)), make=p.make, notes=p.source.notes) for p in work.parts)
    return fabric(part("Quay", rnd(1, sc())), *more, assembly=tuple(n.text for n in work.assembly))


class TestSafe:
    @given(works, st.lists(requests, max_size=25))
    def test_the_same_pattern_is_safe_and_changes_nothing(self, work, asked):
        state = led(work, *asked)
        revision = Revision(work, work)
        if revision.parts == {p: p for p in range(len(work.parts))}:  # of two alike the first one is taken
            after = carried(revision, "new", state)
            assert is_safe(revision, state)
            same = ("place", "announced", "made", "left", "notes", "markers", "spent", "settings")
            assert [getattr(after, name) for name in same] == [getattr(state, name) for name in same]

    @given(works, st.lists(requests, max_size=25))
    def test_where_it_is_safe_the_count_and_the_round_are_the_same(self, work, asked):
        state, new = led(work, *asked), longer(work)
        revision = Revision(work, new)
        if not is_safe(revision, state):
            return
        after = carried(revision, "new", state)
        worked = worked_at(work, state.place)
        if worked:
            assert work_of(work, worked) == work_of(new, worked_at(new, after.place))
            assert after.place.steps == state.place.steps and after.announced == state.announced
            assert done_in_round(new, after.place) == done_in_round(work, state.place)
            assert total(new, after.place) == total(work, state.place)

    def test_a_round_ahead_may_change_one_that_was_begun_may_not(self):
        other = part("Body", *BODY.rounds[:3], rnd(4, Loop(sc(), 12)), make=1)
        new = fabric(other, FLIPPER)
        for place, announced, safe in [(Place(0, 0, 2, 4), 6, True), (Place(0, 0, 3), 0, True), (Place(0, 0, 3), 4, False),
                                       (Place(0, 0, 3, 2), 4, False), (Place(1), 0, False)]:
            assert is_safe(Revision(SEAL, new), State(place, announced)) is safe, place

    def test_a_piece_that_was_left_counts_too(self):
        new = fabric(BODY, part("Flipper", rnd(1, Loop(sc(), 9)), make=2))
        assert is_safe(Revision(SEAL, new), State(Place(0, 0, 1), 1))
        assert not is_safe(Revision(SEAL, new), State(Place(0, 0, 1), 1, left=((Place(1, 0, 1), 2),)))

    def test_fewer_pieces_than_were_made_are_not(self):
        new = fabric(BODY, part("Flipper", *FLIPPER.rounds, make=1))
        assert is_safe(Revision(SEAL, new), State(Place(1, 0, 1), 2))
        assert not is_safe(Revision(SEAL, new), State(Place(1, 1, 0), 2))

    def test_the_making_up_is_safe_as_far_as_it_was_done(self):
        done = State(Place(2, 0, 0, 1), 2)
        for steps, safe in ((("Sew on the flippers.", "Weave in the ends.", "Look at it."), True),
                            (("Sew on the flippers.", "Cut the yarn."), False), (("Look at it.", "Weave in the ends."), False)):
            assert is_safe(Revision(SEAL, fabric(BODY, FLIPPER, assembly=steps)), done) is safe


class TestWhereItStandsThen:
    @given(works, works, st.lists(requests, max_size=20), st.sampled_from(["stitch", "group", "round"]))
    def test_any_place_becomes_one_that_there_is_and_the_work_goes_on(self, work, new, asked, by):
        state = led(work, Request("by", by), *asked)
        after = carried(Revision(work, new), "new", state)
        assert fitted(new, after.place) == after.place
        assert after.before == state.having(asking=None) and after.pattern == "new"
        done = pieces.made(new, after)
        assert set(done) <= set(pieces.every_piece(new)) and len(set(done)) == len(done)
        for place, _ in after.left:
            assert fitted(new, place) == place
        assert len({pieces.piece_of(place) for place, _ in after.left}) == len(after.left)
        for place in (*after.markers, *(note.place for note in after.notes)):
            assert fitted(new, place) == place
        assert len(after.notes) == len(state.notes)
        assert from_json(to_json(after)) == after
        for request in (NEXT, Request("recap"), Request("back"), Request("parts"), Request("go_marker")):
            after, reply = answer(new, after, request)
            assert reply.messages

    @given(works, works, st.lists(requests, max_size=20))
    def test_undo_leads_back_to_the_place_in_the_old_pattern(self, work, new, asked):
        state = led(work, *asked)
        after, reply = answer(work, carried(Revision(work, new), "new", state), UNDO)
        assert (after.place, after.announced, after.made, after.left) == (state.place, state.announced, state.made, state.left)
        assert after.pattern == "" and after.passed_over == "new" and "old_again" in keys(reply.messages)

    @pytest.mark.parametrize("place, there", [
        (Place(0, 0, 2, 4), Place(0, 0, 2, 5)),  # 5 stitches made of 16; now single crochet in each
        (Place(0, 0, 2, 12), Place(0, 0, 3)),  # the end of the round, its note not read
        (Place(0, 0, 3, 9), Place(0, 0, 3)),  # the round is gone: the start of what comes next
        (Place(0, 0, 5), Place(0, 0, 4)),
        (Place(1, 1, 1, 2), Place(1, 0, 1, 2)),  # a second piece no more
    ])
    def test_in_a_round_that_is_another(self, place, there):
        other = part("Body", *BODY.rounds[:2], rnd(3, Loop(sc(), 12)), rnd(5, Loop(sc(), 11)))
        new = fabric(other, part("Flipper", *FLIPPER.rounds))
        found = place_in(Revision(SEAL, new), place)
        assert found == there or worked_at(SEAL, place) and done_in_round(new, found) <= done_in_round(SEAL, place)
        assert part_at(new, found)

    def test_after_the_end_of_a_piece_come_the_rounds_that_were_added(self):
        new = fabric(part("Body", *BODY.rounds, rnd(6, Loop(sc(), 16))), FLIPPER)
        assert place_in(Revision(SEAL, new), Place(0, 0, 5)) == Place(0, 0, 5)
        assert worked_at(new, Place(0, 0, 5)).source.number == 6

    def test_what_was_worked_at_a_part_goes_with_it(self):
        new = fabric(FLIPPER, BODY)
        state = State(Place(0, 0, 1), worked=90.0, spent=((0, 60.0), (1, 20.0), (2, 10.0)))
        assert carried(Revision(SEAL, new), "new", state).spent == ((0, 20.0), (1, 60.0), (2, 10.0))


class TestOffered:
    NEW = fabric(part("Body", *BODY.rounds[:3], rnd(4, Loop(sc(), 12))), FLIPPER)

    def test_it_is_taken_up_where_it_is_safe(self):
        work, state, told = offered(SEAL, self.NEW, "new", State(Place(0, 0, 1), 2))
        assert work is self.NEW and state.pattern == "new" and state.asking is None and keys(told)[-1] == "place_safe"

    def test_it_is_asked_where_it_is_not(self):
        work, state, told = offered(SEAL, self.NEW, "new", State(Place(1), 0))
        assert work is SEAL and state.pattern == "" and state.asking.value == "new" and keys(told)[-1] == "new_or_old"
        _, reply = begin(work, state, told)
        assert keys(reply.messages)[-1] == "new_or_old"

    @pytest.mark.parametrize("choice, pattern, passed_over", [("new", "new", None), ("old", "", "new")])
    def test_who_has_chosen_is_not_asked(self, choice, pattern, passed_over):
        for place in (Place(0, 0, 1), Place(1)):
            _, state, _ = offered(SEAL, self.NEW, "new", State(place, 1), choice)
            assert (state.pattern, state.passed_over, state.asking) == (pattern, passed_over, None)

    def test_any_other_request_is_obeyed_and_the_old_one_kept(self):
        _, state, told = offered(SEAL, self.NEW, "new", State(Place(1), 0))
        state, _ = begin(SEAL, state, told)
        state, reply = answer(SEAL, state, NEXT)
        assert state.asking is None and state.pattern == "" and "steps" in keys(reply.messages)

    def test_what_was_worked_is_told_first(self):
        state = State(Place(0, 0, 4), 1, notes=(OwnNote(Place(1), "x"),), left=((Place(1, 0, 1), 1),))
        assert touched(SEAL, state) == {(0, 0), (0, 1), (0, 2), (0, 3), (0, 4), (1, 0), (1, 1)}


class TestWhatIsMadeAlready:
    OTHER = fabric(part("Body", BODY.rounds[0], rnd(2, Loop(sc(), 9)), *BODY.rounds[2:]), FLIPPER)

    def told(self, place: Place, new=OTHER, announced: int = 0, **kept):
        return [(m.key, *m.values.values()) for m in unlike(Revision(SEAL, new), State(place, announced, **kept))]

    def test_it_differs_from_the_first_round_that_is_worked_otherwise(self):
        assert self.told(Place(0, 0, 2, 3)) == self.told(Place(0, 0, 1, 3)) == [("made_otherwise", "round", 2, "Rnd 2")]
        assert carried(Revision(SEAL, self.OTHER), "new", State(Place(0, 0, 2))).said[0].key == "made_otherwise"

    def test_what_is_only_announced_is_not_made(self):
        assert self.told(Place(0, 0, 1), announced=4) == self.told(Place(0, 0, 0, 2)) == []
        assert carried(Revision(SEAL, self.OTHER), "new", State(Place(0, 0, 1), 4)).said == ()

    def test_another_part_is_named(self):
        assert self.told(Place(1, 0, 0, 2)) == [("part", "Body"), ("made_otherwise", "round", 2, "Rnd 2")]

    def test_of_a_part_that_is_gone_nothing_is_told(self):
        assert self.told(Place(1, 0, 0, 2), fabric(FLIPPER)) == []


def test_the_question_lapses_by_what_is_no_answer_and_no_farewell():
    asked = State(Place(0, 0, 2), asking=Question("pattern", "new"))
    over = asked.having(asking=None)
    assert [is_lapsed(asked, over, Request(name)) for name in ("next", "where", "yes", "no", "finish")] == [
        True, True, False, False, False]
    assert not is_lapsed(over, over, NEXT) and not is_lapsed(over.having(asking=Question("whole", 1)), over, NEXT)
