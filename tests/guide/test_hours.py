"""How long was worked: in all, and at each part."""

from __future__ import annotations

import pytest
from harbour_works import BODY, SEAL, fabric
from hypothesis import given
from hypothesis import strategies as st

from coach.guide.hours import how_long_worked, spent, time_worked
from coach.guide.machine import answer, begin
from coach.guide.model import Place, Request, State
from coach.language.phrasebook import load
from coach.language.speak import sentence

ENGLISH = load("en")
AT_THE_FLIPPER = State(Place(1, 0, 1), 5)


def told(work, state: State) -> str:
    return sentence(ENGLISH, answer(work, state, Request("how_long_worked"))[1].messages)


@given(st.lists(st.tuples(st.integers(0, 4), st.floats(0, 600)), max_size=30))
def test_the_parts_add_up_to_all(evening):
    state = State()
    for part, seconds in evening:
        state = spent(state.having(place=Place(part)), seconds)
    assert sum(seconds for _, seconds in state.spent) == pytest.approx(state.worked)
    for part in range(5):
        assert dict(state.spent).get(part, 0) == pytest.approx(sum(s for p, s in evening if p == part))


def test_in_all_and_at_this_part():
    state = AT_THE_FLIPPER.having(worked=12_000.0, spent=((0, 9_000.0), (1, 3_000.0)))
    assert told(SEAL, state) == "3 hours and 20 minutes of work. Flipper: 50 minutes."
    assert told(SEAL, state.having(place=Place(2))) == "3 hours and 20 minutes of work."  # making it up


def test_of_a_single_part_all_is_enough():
    assert told(fabric(BODY), State(worked=3_660.0, spent=((0, 3_660.0),))) == "1 hour and 1 minute of work."


def test_right_at_the_start():
    assert told(SEAL, State()) == "Less than a minute of work. Body: less than a minute."
    assert time_worked(State(worked=29.0)) == () and len(time_worked(State(worked=30.0))) == 1


def test_what_was_worked_stays_worked_when_it_is_undone():
    state = spent(begin(SEAL, State())[0], 60.0)
    state = spent(answer(SEAL, state, Request("next"))[0], 90.0)
    state, _ = answer(SEAL, state, Request("undo"))
    assert (state.worked, state.spent) == (150.0, ((0, 150.0),))


def test_asking_changes_nothing():
    assert how_long_worked(SEAL, AT_THE_FLIPPER, None)[0] is AT_THE_FLIPPER
