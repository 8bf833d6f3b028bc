"""The state machine's promises, on random works."""

from __future__ import annotations

import pytest
from harbour_works import BODY, INC, SEAL, fabric, led, part, rnd, sc, spot, works
from hypothesis import given
from hypothesis import strategies as st

from coach.fabric.chunks import BY
from coach.fabric.tree import Loop, Run
from coach.guide.machine import RATES, VOLUMES, answer, begin
from coach.guide.messages import MESSAGES
from coach.guide.model import Place, Request, State
from coach.guide.places import done_in_round, total
from coach.guide.requests import HELP, REQUESTS

NEXT, BACK, UNDO = Request("next"), Request("back"), Request("undo")

requests = st.one_of(
    st.just(NEXT),
    st.just(NEXT),
    st.just(BACK),
    st.builds(Request, st.just("go_round"), st.one_of(st.none(), st.integers(0, 9))),
    st.builds(Request, st.just("by"), st.sampled_from([*BY, None, "row"])),
    st.builds(Request, st.sampled_from(["have", "ripped", "go_stitch", "ripped_round"]), st.integers(0, 20)),
    st.builds(Request, st.just("note"), st.sampled_from(["too tight", ""])),
    st.builds(Request, st.just("go_part"), st.sampled_from(["Body", "fin", "pier"])),
    st.builds(Request, st.just("pace"), st.sampled_from(["quick", "slower"])),
    st.builds(Request, st.sampled_from([n for n in REQUESTS if n not in ("pause", "undo")])),
)


def keys(reply) -> list[str]:
    return [m.key for m in reply.messages]


class TestBack:
    @given(works, st.lists(requests, max_size=25))
    def test_back_undoes_next_exactly_from_anywhere(self, work, asked):
        state = led(work, *asked)
        onward, reply = answer(work, state, NEXT)
        if keys(reply) == ["all_done"] and spot(onward) == spot(state):
            return  # nothing was left to do
        assert spot(answer(work, onward, BACK)[0]) == spot(state)

    @given(works, st.sampled_from(BY), st.integers(1, 40))
    def test_as_many_backs_as_nexts_lead_to_the_start(self, work, by, n):
        state = start = led(work, Request("by", by))
        walked = []
        for _ in range(n):
            walked.append(spot(state))
            state, _ = answer(work, state, NEXT)
        for place in reversed(walked):
            if place != spot(state):  # at the end of all, next stays
                state, _ = answer(work, state, BACK)
            assert spot(state) == place
        assert spot(state) == spot(start)

    def test_at_the_very_start_it_says_so(self):
        state = led(SEAL)
        after, reply = answer(SEAL, state, BACK)
        assert spot(after) == spot(state) and keys(reply)[0] == "at_the_start"

    def test_after_a_jump_it_leads_to_the_end_of_the_round_before(self):
        state = led(SEAL, Request("go_round", 3), BACK)
        assert spot(state) == (Place(0, 0, 1, 0), 6)


class TestCounting:
    @given(works, st.integers(1, 60), st.integers(0, 5))
    def test_jumping_and_walking_give_the_same_count(self, work, n, further):
        walked = led(work, Request("by", "stitch"), *[NEXT] * n)
        part_ = work.parts[walked.place.part] if walked.place.part < len(work.parts) else None
        if part_ is None or walked.place.round >= len(part_.rounds):
            return
        number = part_.rounds[walked.place.round].source.number
        jumped = led(work, Request("go_round", number), *[NEXT] * walked.place.steps,
                     state=State(Place(walked.place.part, walked.place.piece), settings=walked.settings))
        assert jumped.place == walked.place
        assert done_in_round(work, jumped.place) == done_in_round(work, walked.place)
        assert total(work, jumped.place) == total(work, walked.place)

    @given(works)
    def test_every_way_of_reading_makes_the_same_stitches(self, work):
        made = []
        for by in BY:
            state, seen = led(work, Request("by", by)), {}
            for _ in range(2_000):
                seen[(state.place.part, state.place.piece)] = total(work, state.place)
                onward, _ = answer(work, state, NEXT)
                if spot(onward) == spot(state):
                    break
                state = onward
            else:
                return  # a long one: the other examples are enough
            made.append(seen)
        assert made[0] == made[1] == made[2]


class TestUndo:
    @given(works, st.lists(st.one_of(requests, st.just(UNDO)), max_size=30))
    def test_everything_can_be_undone_to_the_very_beginning(self, work, asked):
        start = led(work)
        state = led(work, *asked)
        for _ in range(len(asked) + 1):
            state, _ = answer(work, state, UNDO)
        assert (spot(state), state.settings, state.detours) == (spot(start), start.settings, start.detours)
        assert keys(answer(work, state, UNDO)[1]) == ["nothing_to_undo"]

    @given(works, st.lists(requests, max_size=15), requests)
    def test_undo_brings_back_what_the_last_change_changed(self, work, asked, last):
        state = led(work, *asked)
        after, _ = answer(work, state, last)
        if after.before is state:
            back, _ = answer(work, after, UNDO)
            assert (spot(back), back.settings) == (spot(state), state.settings)
        else:
            assert (spot(after), after.settings) == (spot(state), state.settings)

    def test_a_long_evening_can_be_undone(self):
        work = fabric(part("Rope", rnd(1, Loop(sc(), 10**9))))
        state = led(work, Request("by", "stitch"), *[NEXT] * 3_000)
        for _ in range(3_000):
            state, _ = answer(work, state, UNDO)
        assert spot(state) == (Place(), 0)


class TestPause:
    @given(works, st.lists(requests, max_size=10), st.lists(requests, max_size=10))
    def test_while_paused_only_carry_on_acts(self, work, asked, meanwhile):
        state = led(work, *asked, Request("pause"))
        for request in meanwhile:
            if request.name == "carry_on":
                continue
            after, reply = answer(work, state, request)
            assert after == state and after.before is state.before
            assert keys(reply) == ([] if request.name == "stop" else ["still_paused"])
        onward, _ = answer(work, state, Request("carry_on"))
        assert onward.having(said=()) == state.having(said=(), paused=False)

    def test_a_pause_is_no_change_to_undo(self):
        state = led(SEAL, NEXT, NEXT, Request("pause"), Request("carry_on"), UNDO)
        assert not state.paused and spot(state) == (Place(), 6)


class TestAnyRequest:
    @given(works, st.lists(requests, max_size=20), requests)
    def test_the_same_state_and_request_give_the_same_answer(self, work, asked, last):
        state = led(work, *asked)
        (one, said), (other, again) = answer(work, state, last), answer(work, state, last)
        assert (spot(one), one.settings) == (spot(other), other.settings)
        assert (keys(said), said.step) == (keys(again), again.step)

    @given(works, st.lists(requests, max_size=20))
    def test_every_message_is_of_the_table_with_all_its_values(self, work, asked):
        state, reply = begin(work, State())
        for request in asked:
            for message in reply.messages:
                assert MESSAGES[message.key] == tuple(message.values)
            state, reply = answer(work, state, request)

    @given(works, st.lists(requests, max_size=20))
    def test_repeat_says_exactly_the_same_again(self, work, asked):
        state = led(work, *asked)
        if state.said:
            again, reply = answer(work, state, Request("repeat"))
            assert reply.messages == state.said and again == state

    @given(works, st.builds(Place, *[st.integers(0, 30)] * 4), st.integers(0, 30))
    def test_any_kept_place_can_be_taken_up(self, work, place, announced):
        state, reply = begin(work, State(place, announced))
        assert reply.messages
        if state.place != place:
            assert reply.messages[0].key == "pattern_changed"

    def test_what_is_no_request_changes_nothing(self):
        state = led(SEAL, NEXT)
        after, reply = answer(SEAL, state, Request("dance"))
        assert spot(after) == spot(state) and keys(reply) == ["not_understood"]


class TestHugeRounds:
    """A thousand million stitches in a round: nothing may walk them."""

    HUGE = fabric(part("Net", rnd(1, Loop(Run((Loop(sc(), 2), INC)), 10**9), 4 * 10**9), rnd(2, Loop(sc(), 10**9)),
                       rnd(3, Loop(Loop(Loop(INC, 10**9), 10**9), 10**9))))

    @pytest.mark.parametrize("by", BY)
    def test_they_answer_in_their_middle(self, by):
        state = State(Place(0, 0, 0, 1_500_000_001), 1_500_000_002)
        asked = [Request(name) for name in (
            "next", "back", "left", "recap", "where", "recap_part", "read_round", "last", "did", "under", "parts", "mark",
            "count_me", "tap", "back", "what_else", "fix")]
        state = led(self.HUGE, Request("by", by), *asked, state=state)
        assert done_in_round(self.HUGE, state.place) == 2_000_000_001

    @pytest.mark.parametrize("request_", [Request("have", 3_000_000_002), Request("ripped", 999_999_999),
                                          Request("go_stitch", 3_999_999_999), Request("have", 4 * 10**9 - 1)])
    def test_a_count_is_found_in_their_middle(self, request_):
        after = led(self.HUGE, request_, state=State(Place(0, 0, 0, 1_500_000_001), 1_500_000_002))
        assert 10**9 <= done_in_round(self.HUGE, after.place) <= 4 * 10**9

    def test_the_largest_is_passed_at_once_round_by_round(self):
        state = led(self.HUGE, Request("by", "round"), NEXT, NEXT, NEXT, NEXT)
        assert state.place == Place(0, 0, 3)


class TestVoice:
    def test_slower_and_faster_go_along_the_scale(self):
        state = led(SEAL, Request("slower"), Request("slower"))
        assert state.settings.rate == 125
        assert led(SEAL, Request("faster"), state=state).settings.rate == 150

    @pytest.mark.parametrize("name, scale, setting, end", [
        ("slower", RATES, "rate", "slowest"), ("faster", RATES, "rate", "fastest"),
        ("louder", VOLUMES, "volume", "loudest"), ("quieter", VOLUMES, "volume", "quietest"),
    ])
    def test_there_is_an_end_to_it_and_it_is_said(self, name, scale, setting, end):
        state = led(SEAL, *[Request(name)] * len(scale))
        after, reply = answer(SEAL, state, Request(name))
        assert keys(reply) == [end] and after.settings == state.settings
        assert getattr(state.settings, setting) in (scale[0], scale[-1])

    def test_repeat_after_slower_says_the_instruction_slower(self):
        state = led(SEAL, NEXT, Request("slower"))
        assert "steps" in keys(answer(SEAL, state, Request("repeat"))[1])


class TestFinishing:
    def test_the_place_stays_and_going_on_is_possible(self):
        state = led(SEAL, NEXT, NEXT, Request("finish"))
        assert state.finished and spot(state) == (Place(0, 0, 1), 6)
        assert not led(SEAL, state=state).finished
        assert not answer(SEAL, state, NEXT)[0].finished

    def test_a_new_start_is_never_paused(self):
        assert not led(SEAL, state=led(SEAL, Request("pause"))).paused


class TestHelp:
    def test_asked_again_it_offers_more_and_then_comes_round(self):
        state, pages = led(SEAL), []
        for _ in range(len(HELP) + 1):
            state, reply = answer(SEAL, state, Request("help"))
            pages.append(reply.messages[0].values["requests"])
        assert set(pages) == set(HELP) and pages[-1] == pages[0]
        assert all(3 <= len(page) <= 5 for page in pages)

    def test_asked_later_it_begins_anew(self):
        state = led(SEAL, Request("help"), NEXT)
        assert answer(SEAL, state, Request("help"))[1].messages[0].values["page"] == 1


class TestWhatIs:
    def test_a_named_stitch(self):
        assert answer(SEAL, led(SEAL), Request("what_is", "dc"))[1].messages[0].values == {"stitch": "dc"}

    def test_without_a_name_it_is_the_one_announced(self):
        assert answer(SEAL, led(SEAL, NEXT, NEXT), Request("what_is"))[1].messages[0].values == {"stitch": "inc"}

    def test_nothing_announced_nothing_explained(self):
        assert keys(answer(SEAL, led(SEAL), Request("what_is"))[1]) == ["say_next"]
        assert keys(answer(SEAL, led(SEAL), Request("what_is", "flurb"))[1]) == ["which_stitch"]
        assert keys(answer(SEAL, State(Place(0, 0, 9)), Request("what_is"))[1]) == ["which_stitch"]

    def test_the_patterns_own_stitch_in_its_words(self):
        own = fabric(BODY, abbreviations=(("wave st", "sc in the loop below"),))
        (message,) = answer(own, led(own), Request("what_is", "Wave st"))[1].messages
        assert message.key == "as_written" and message.values["text"] == "wave st: sc in the loop below"


