"""Counts that the maker tells, and what was ripped back."""

from __future__ import annotations

import pytest
from harbour_works import BODY, DEC, INC, SEAL, fabric, part, rnd, sc, works
from hypothesis import assume, given
from hypothesis import strategies as st

from coach.fabric.tree import Leaf, Loop, Run
from coach.guide.machine import answer, begin
from coach.guide.model import Guess, Place, Question, Request, Settings, State
from coach.guide.places import done_in_round, own_steps, total, worked_at
from coach.guide.slips import explanations
from coach.notation.model import Chain

NEXT, YES, NO, UNDO = Request("next"), Request("yes"), Request("no"), Request("undo")
PLAIN = fabric(part("Rope", rnd(1, Loop(sc(), 24), 24), rnd(2, Loop(Run((Loop(sc(), 2), DEC)), 6), 18),
                    rnd(3, Loop(DEC, 9), 9)))


def led(work, *asked: Request, state: State = State()) -> State:
    for request in asked:
        state, _ = answer(work, state, request)
    return state


def keys(reply) -> list[str]:
    return [m.key for m in reply.messages]


def told(work, state: State, name: str, value=None):
    return answer(work, state, Request(name, value))


def walking(work, nexts: int) -> State:
    state, _ = begin(work, State())
    return led(work, Request("by", "stitch"), *[NEXT] * nexts, state=state)


class TestThePlaceFromACount:
    @given(works, st.integers(0, 40), st.integers(0, 12))
    def test_the_place_that_is_found_has_that_count(self, work, n, count):
        state = walking(work, n)
        after, reply = told(work, state, "have", count)
        if {"after_nth", "after_stitch", "at_the_beginning"} & set(keys(reply)):
            assert done_in_round(work, after.place) == count
            assert (after.place.part, after.place.piece, after.place.round) == (
                state.place.part, state.place.piece, state.place.round)
        elif "inside" in keys(reply):
            values = reply.messages[0].values
            assert after.place == state.place and values["before"] < count < values["after"]

    @given(works, st.integers(0, 40))
    def test_the_count_that_the_coach_has_itself_leaves_the_work_there(self, work, n):
        state = walking(work, n)
        worked = worked_at(work, state.place)
        assume(worked and 0 < state.place.steps < own_steps(worked) and state.announced < own_steps(worked))
        count = done_in_round(work, state.place)
        assume(count and count < worked.made)
        after, _ = told(work, state, "have", count)
        assert after.place.round == state.place.round and done_in_round(work, after.place) == count

    @given(works, st.integers(0, 40), st.integers(0, 12))
    def test_undo_takes_it_back(self, work, n, count):
        state = walking(work, n)
        after, _ = told(work, state, "have", count)
        if after.before is state:
            state_again = led(work, UNDO, state=after)
            assert (state_again.place, state_again.announced) == (state.place, state.announced)
        else:
            assert after.place == state.place

    def test_several_places_are_told(self):
        lace = fabric(part("Lace", rnd(1, Run((Loop(Run((sc(), Leaf(Chain(2), steps=1))), 4), sc())))))
        after, reply = told(lace, State(Place(steps=5), 6), "have", 2)
        assert after.place.steps == 3 and reply.messages[1].values == {"places": 2}

    def test_in_the_middle_of_a_thousand_million(self):
        net = fabric(part("Net", rnd(1, Loop(Run((Loop(sc(), 2), INC)), 10**9))))
        after, reply = told(net, State(Place(steps=30), 33), "have", 4 * 10**8)
        assert after.place.steps == 3 * 10**8 and reply.messages[0].values["nth"] == 10**8


class TestWhichRoundWasCounted:
    AT_ITS_LAST_GROUP = State(Place(0, 0, 1, 15), 18)
    WHOLE = State(Place(0, 0, 0, 0), 24)
    FRESH = State(Place(0, 0, 1, 0), 3)

    def test_after_the_last_instruction_the_round_itself(self):
        after, reply = told(PLAIN, self.AT_ITS_LAST_GROUP, "have", 19)
        assert keys(reply) == ["over", "slip_apart", "see_apart", "undo_each", "fix_or_else"]
        assert after.guess == Guess(1, 19) and after.place == self.AT_ITS_LAST_GROUP.place

    def test_a_right_count_says_only_that(self):
        after, reply = told(PLAIN, self.AT_ITS_LAST_GROUP, "have", 18)
        assert keys(reply) == ["right"] and after.place == self.AT_ITS_LAST_GROUP.place

    def test_at_a_fresh_round_the_one_before(self):
        after, reply = told(PLAIN, self.FRESH, "have", 23)
        assert keys(reply)[:2] == ["round", "short"] and after.guess == Guess(0, 23)
        assert keys(told(PLAIN, self.FRESH, "have", 24)[1]) == ["round", "right"]

    def test_a_count_that_fits_the_round_before_and_this_one_is_asked_about(self):
        whole = State(Place(0, 0, 3), 16, Settings("round"))  # round 4, plain, was read out whole; round 3 has 16
        after, reply = told(SEAL, whole.having(place=Place(0, 0, 2), announced=12), "have", 10)
        assert keys(reply) == ["is_it_before"] and reply.messages[0].values["made"] == 12
        assert keys(told(SEAL, after, "yes")[1])[:2] == ["round", "short"]
        there, reply = told(SEAL, after, "no")
        assert done_in_round(SEAL, there.place) == 10 and there.place.round == 2

    def test_in_the_middle_of_a_round_read_out_whole_a_count_is_a_place(self):
        middle = State(Place(0, 0, 3, 5), 16, Settings("round"))
        there, reply = told(SEAL, middle, "have", 9)
        assert there.place == Place(0, 0, 3, 9) and keys(reply)[0] == "after_stitch"
        asked, reply = told(SEAL, middle, "have", 15)
        assert keys(reply) == ["is_it_finished"] and keys(told(SEAL, asked, "yes")[1])[0] == "short"
        assert told(SEAL, asked, "no")[0].place == Place(0, 0, 3, 15)

    def test_at_a_fresh_round_what_is_announced_may_be_half_done(self):
        after, reply = told(PLAIN, self.FRESH, "have", 2)
        assert after.place.steps == 2 and keys(reply)[0] == "after_stitch"

    def test_a_round_read_out_whole_is_asked_about(self):
        asked, reply = told(PLAIN, self.WHOLE, "have", 23)
        assert keys(reply) == ["is_it_finished"] and asked.asking == Question("finished", 23)
        yes, reply = answer(PLAIN, asked, YES)
        assert keys(reply)[0] == "short" and yes.asking is None and yes.place == asked.place
        no, reply = answer(PLAIN, asked, NO)
        assert no.place.steps == 23 and no.asking is None

    @pytest.mark.parametrize("name", ["fix", "what_else"])
    def test_until_it_is_answered_it_is_asked_again_and_the_count_kept(self, name):
        asked, first = told(PLAIN, self.WHOLE, "have", 23)
        again, reply = told(PLAIN, asked, name)
        assert reply == first and again.asking == Question("finished", 23)
        assert keys(answer(PLAIN, again, YES)[1])[0] == "short"

    def test_of_a_count_that_may_be_of_the_round_before_too(self):
        asked, first = told(SEAL, State(Place(0, 0, 2), 12, Settings("round")), "have", 10)
        again, reply = told(SEAL, asked, "fix")
        assert reply == first and keys(answer(SEAL, again, YES)[1])[:2] == ["round", "short"]

    def test_a_count_far_off_is_a_place_without_asking(self):
        assert led(PLAIN, Request("have", 7), state=self.WHOLE).place.steps == 7

    def test_any_other_request_ends_the_question(self):
        asked = led(PLAIN, Request("have", 23), state=self.WHOLE)
        assert led(PLAIN, Request("count"), state=asked).asking is None
        assert led(PLAIN, Request("repeat"), Request("louder"), state=asked).asking is None
        assert led(PLAIN, Request("repeat"), state=asked).asking == asked.asking
        assert keys(answer(PLAIN, led(PLAIN, NEXT, state=asked), YES)[1]) == ["nothing_asked"]

    def test_at_the_end_of_a_piece_its_last_round(self):
        _, reply = told(PLAIN, State(Place(0, 0, 3)), "have", 10)
        assert keys(reply)[:2] == ["round", "over"]

    def test_without_a_number_it_asks_and_without_rounds_it_says_so(self):
        assert keys(told(PLAIN, self.FRESH, "have")[1]) == ["how_many"]
        assert keys(told(SEAL, State(Place(2)), "have", 5)[1]) == ["no_rounds_here"]


class TestExplaining:
    AT = State(Place(0, 0, 2, 9), 12)  # the last repeat of (sc 2, inc) x 4

    @given(st.integers(1, 30))
    def test_going_through_all_reasons_ends(self, count):
        state = led(SEAL, Request("have", count), state=self.AT)
        found = explanations(BODY.rounds[2], count)
        for number in range(1, len(found)):
            state = led(SEAL, Request("what_else"), state=state)
            if state.guess:
                assert state.guess.number == number
        after, reply = told(SEAL, state, "what_else")
        assert keys(reply) == (["nothing_else"] if state.guess else ["nothing_counted"]) and after.place == state.place

    def test_reasons_are_over_when_the_work_goes_on(self):
        state = led(SEAL, Request("have", 15), NEXT, state=self.AT)
        assert keys(told(SEAL, state, "what_else")[1]) == keys(told(SEAL, state, "fix")[1]) == ["nothing_counted"]

    @pytest.mark.parametrize("work, state, count, repair", [
        (SEAL, AT, 15, ["repair_more", "plain_after"]),
        (SEAL, AT, 17, ["repair_single", "plain_after"]),
        (PLAIN, State(Place(0, 0, 1, 15), 18), 17, ["repair_apart", "shapings_off"]),
        (PLAIN, State(Place(0, 0, 1, 15), 18), 19, ["repair_together", "shapings_off"]),
        (PLAIN, State(Place(0, 0, 3)), 10, ["repair_together", "no_round_after"]),
    ])
    def test_a_repair_keeps_the_count_and_says_what_follows(self, work, state, count, repair):
        then = ["then_next"] if state.place.steps else []  # the last instruction is not yet called done
        assert keys(told(work, led(work, Request("have", count), state=state), "fix")[1]) == [*repair, *then]

    def test_what_the_pattern_states_against_its_own_steps_is_no_slip(self):
        stated = fabric(part("Fin", rnd(1, Loop(INC, 4), 9)))
        after, reply = told(stated, State(Place(steps=3), 4), "have", 9)
        assert reply.messages[0].values == {"count": 9, "made": 8} and after.guess is None


class TestRipping:
    @given(works, st.integers(0, 60), st.integers(1, 6))
    def test_going_on_again_gives_the_same_places_as_before(self, work, n, back):
        """By stitch: whatever was ripped back, working on meets the same places."""
        visited = [walking(work, 0)]
        for _ in range(n):
            visited.append(led(work, NEXT, state=visited[-1]))
        state = led(work, Request("ripped", back), state=visited[-1])
        if state.place == visited[-1].place:
            return
        for _ in range(n):
            assert state.place in [s.place for s in visited]
            if state.place == visited[-1].place:
                return
            state = led(work, NEXT, state=state)

    @given(works, st.integers(0, 60), st.integers(1, 9))
    def test_so_many_stitches_fewer_are_made(self, work, n, back):
        state = walking(work, n)
        assume(state.place.part < len(work.parts))
        after, reply = told(work, state, "ripped", back)
        wanted = max(total(work, state.place) - back, 0)
        if "how_many_left" in keys(reply):
            assert after.place == state.place
        elif "inside_start" in keys(reply):
            assert total(work, after.place) < wanted
        elif "no_rounds_here" not in keys(reply):
            assert total(work, after.place) == wanted
        if after.before is state:
            assert led(work, UNDO, state=after).place == state.place

    def test_over_the_start_of_a_round(self):
        after = led(SEAL, Request("ripped", 3), state=State(Place(0, 0, 2, 2), 3))
        assert after.place == Place(0, 0, 1, 5)  # one of two left: the sixth increase is begun anew

    def test_of_a_round_read_out_whole_the_count_is_asked(self):
        state = State(Place(0, 0, 3, 0), 16)
        assert keys(told(SEAL, state, "ripped", 3)[1]) == ["how_many_left"]
        assert led(SEAL, Request("ripped", 3), Request("have", 9), state=state).place.steps == 9

    def test_to_a_round_that_still_stands_or_not(self):
        state = State(Place(0, 0, 4, 3), 4)
        asked, reply = told(SEAL, state, "ripped_round", 3)
        assert keys(reply) == ["is_it_whole"] and asked.place == Place(0, 0, 2)
        assert led(SEAL, YES, state=asked).place == Place(0, 0, 3)
        worked_again, reply = answer(SEAL, asked, NO)
        assert worked_again.place == Place(0, 0, 2) and keys(reply)[0] == "round"
        unanswered, reply = answer(SEAL, asked, NEXT)
        assert unanswered.place == Place(0, 0, 2) and keys(reply)[0] == "round"
        assert led(SEAL, UNDO, state=asked).place == state.place

    def test_more_than_is_made_is_told(self):
        after, reply = told(SEAL, State(Place(0, 0, 0, 1), 4), "ripped", 3)
        assert (reply.messages[0].key, reply.messages[0].values) == ("only_so_many", {"made": 1})
        assert after.place == Place(0, 0, 0)
        assert "only_so_many" not in keys(told(SEAL, State(Place(0, 0, 1, 1), 4), "ripped", 3)[1])

    @pytest.mark.parametrize("number", [0, 5, 9])
    def test_no_round_can_be_ripped_back_to_that_is_not_begun(self, number):
        state = State(Place(0, 0, 3, 3), 4)
        after, reply = told(SEAL, state, "ripped_round", number)
        assert after.place == state.place and reply.messages[0].values == {"lowest": 1, "highest": 4}

    def test_without_a_number_it_asks(self):
        for count in (None, 0):
            assert keys(told(SEAL, State(), "ripped", count)[1]) == ["how_many_ripped"]
        assert keys(told(SEAL, State(), "ripped_round")[1]) == ["which_ripped"]
        for name in ("ripped", "ripped_round"):
            assert keys(told(SEAL, State(Place(2)), name, 3)[1]) == ["no_rounds_here"]
