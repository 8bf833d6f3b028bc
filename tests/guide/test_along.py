"""Counting along: called one by one, waiting at each increase and decrease, over at once when told."""

from __future__ import annotations

import pytest
from harbour_works import DEC, INC, JOIN, SEAL, fabric, part, rnd, sc, works
from hypothesis import given
from hypothesis import strategies as st

from coach.fabric.tree import Leaf, Loop, Run
from coach.guide.along import NAMED, PACES
from coach.guide.machine import answer, begin
from coach.guide.model import Place, Request, Settings, State
from coach.guide.places import done_in_round, worked_at
from coach.guide.requests import REQUESTS
from coach.guide.shaping import is_plain
from coach.notation.model import Chain

NEXT, TAP, COUNT, UNDO, BACK = (Request(name) for name in ("next", "tap", "count_me", "undo", "back"))
FIN = fabric(part("Fin", rnd(1, Run((Loop(Run((Loop(sc(), 2), INC)), 2), sc(), DEC, JOIN))), rnd(2, Loop(sc(), 9))))


def led(work, *asked: Request, state: State = State()) -> State:
    for request in asked:
        state, _ = answer(work, state, request)
    return state


def calls(work, state: State, n: int, start: Request = COUNT) -> list[str]:
    """What is called: numbers, or the key of the message, with ! where the coach waits."""
    found = []
    for request in (start, *[TAP] * (n - 1)):
        state, reply = answer(work, state, request)
        (called, *_) = (m for m in reply.messages if m.key in ("call", "steps", "round"))
        name = str(called.values["nth"]) if called.key == "call" else called.key
        found.append(name + "!" * (state.counting == "held"))
    return found


def test_a_round_is_called_stitch_by_stitch():
    assert calls(FIN, State(Place(steps=0), 3), 10) == [
        "round", "2", "steps!", "5", "6", "steps!", "9", "steps!", "steps!", "round"]


def test_tapped_it_waits_for_every_tap_and_never_for_the_clock():
    state = led(FIN, TAP, TAP, TAP, state=State(Place(), 3))
    assert state.counting == "tapped" and state.place.steps == 2


@given(works, st.integers(0, 40))
def test_the_number_called_is_the_count_when_it_is_made(work, n):
    state, _ = begin(work, State())
    for request in (COUNT, *[TAP] * n):
        before = state
        state, reply = answer(work, state, request)
        worked = worked_at(work, state.place)
        if state.counting:
            assert state.announced == state.place.steps + 1 <= worked.steps
            waits = not is_plain(worked.step_at(state.place.steps)) or state.announced == worked.steps
            if before.counting != "tapped" and state.counting != "tapped":
                assert (state.counting == "held") == waits
            for message in reply.messages:
                if message.key in ("call", "call_after"):
                    assert message.values["nth"] == worked.made_before(state.announced)


@given(works, st.integers(0, 40), st.sampled_from([TAP, NEXT]))
def test_counting_along_ends_where_walking_by_stitch_does(work, n, onward):
    state, _ = begin(work, State())
    counted = led(work, COUNT, state=state)
    walked = State(counted.place, counted.announced, Settings("stitch"))
    for _ in range(n):
        counted, walked = led(work, onward, state=counted), led(work, NEXT, state=walked)
        if not counted.counting:
            return
        assert (counted.place, counted.announced) == (walked.place, walked.announced)


@given(works, st.integers(0, 40), st.sampled_from([n for n in REQUESTS if n not in (
    "next", "tap", "count_me", "pace", "repeat", "slower", "faster", "louder", "quieter", "pause", "listen", "tones", "learn", "forget")]))
def test_any_other_request_ends_it(work, n, name):
    state, _ = begin(work, State())
    state = led(work, COUNT, *[TAP] * n, state=state)
    after = led(work, Request(name), state=state)
    assert not after.counting
    if name == "stop":
        assert (after.place, after.announced, after.before) == (state.place, state.announced, state.before)


@given(works, st.integers(0, 20))
def test_every_stitch_can_be_taken_back(work, n):
    state, _ = begin(work, State())
    states = [state]
    for request in (COUNT, *[TAP] * n):
        states.append(led(work, request, state=states[-1]))
    after = states[-1]
    for before in reversed(states[:-1]):
        if (before.place, before.announced) == (after.place, after.announced) and after.before is not before:
            continue
        after = led(work, UNDO, state=after)
        assert (after.place, after.announced) == (before.place, before.announced)


@given(works, st.integers(0, 20))
def test_back_takes_one_stitch_back(work, n):
    state, _ = begin(work, State())
    state = led(work, COUNT, *[TAP] * n, state=state)
    after = led(work, TAP, state=state)
    if after.before is state and state.counting:
        back = led(work, BACK, state=after)
        assert (back.place, back.announced) == (state.place, state.announced)


def test_paused_and_back_at_a_new_start_it_is_not_counting():
    state = led(FIN, COUNT, TAP, Request("pause"), state=State(Place(), 3))
    assert not led(FIN, Request("carry_on"), state=state).counting
    assert not begin(FIN, led(FIN, COUNT, state=State(Place(), 3)))[0].counting


def test_where_there_is_nothing_to_count_it_says_so():
    for place in (Place(0, 0, 3, 16), Place(0, 0, 5), Place(2)):
        after, reply = answer(SEAL, State(place), COUNT)
        assert [m.key for m in reply.messages] == ["nothing_to_count"] and not after.counting


def test_a_chain_or_a_turn_is_waited_at_too():
    row = fabric(part("Flag", rnd(1, Run((Leaf(Chain(1)), Loop(sc(), 2), JOIN)), kind="row")))
    assert calls(row, State(Place(), 1), 4) == ["round!", "1", "2", "steps!"]


def test_in_a_round_of_a_thousand_million():
    net = fabric(part("Net", rnd(1, Loop(sc(), 10**9))))
    state = led(net, COUNT, *[TAP] * 3, state=State(Place(steps=5 * 10**8), 10**9))
    assert done_in_round(net, state.place) == 5 * 10**8 + 3


class TestPace:
    @pytest.mark.parametrize("value, seconds", NAMED.items())
    def test_a_pace_in_words(self, value, seconds):
        after, reply = answer(FIN, State(), Request("pace", value))
        assert after.settings.pace == reply.messages[0].values["seconds"] == seconds

    def test_faster_and_slower_to_the_ends(self):
        state = State()
        for _ in PACES:
            state = led(FIN, Request("pace", "faster"), state=state)
        assert state.settings.pace == PACES[0]
        assert [m.key for m in answer(FIN, state, Request("pace", "faster"))[1].messages] == ["pace_end"]
        for _ in PACES:
            state = led(FIN, Request("pace", "slower"), state=state)
        assert state.settings.pace == PACES[-1]

    def test_counting_goes_on_and_the_change_can_be_undone(self):
        state = led(FIN, COUNT, Request("pace", "slow"), state=State(Place(), 3))
        assert state.counting == "paced"
        undone = led(FIN, UNDO, state=state)
        assert undone.settings.pace == State().settings.pace and undone.place == state.place

    def test_no_such_pace(self):
        after, reply = answer(FIN, State(), Request("pace", "gallop"))
        assert [m.key for m in reply.messages] == ["which_pace"] and after.settings == State().settings
