"""A work in a conversation as time passes: recaps after a silence, counting along, time of work; what is heard."""

from __future__ import annotations

from itertools import pairwise
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from coach import fabric, notation
from coach.conversation import AFTER_SILENCE, TAIL, Conversation
from coach.events import Heard, Listen, Save, Say, SpeechDone, TimePassed, Typed
from coach.guide.model import Place, State
from coach.language.phrasebook import load
from coach.topics import LONGEST_STEP, Choosing, Working

ROOT = Path(__file__).parents[1]
BUOY = fabric.work(notation.read((ROOT / "patterns/buoy.md").read_text("utf-8")))
SEAL = fabric.work(notation.read((ROOT / "patterns/seal.md").read_text("utf-8")))
ENGLISH = load("en")
MID_ROUND = State(Place(0, 0, 2, 4), 6)
WHOLE_ROUND = State(Place(0, 0, 4, 0), 24)


def conversation(state: State = State(), work=BUOY) -> Conversation:
    """One in which the coach has said its first words and is quiet again."""
    begun = Conversation(Working(work, ENGLISH, state))
    begun.begin()
    hush(begun)
    return begun


def hush(talk: Conversation) -> list:
    """The coach speaks to the end, and the room becomes quiet."""
    return [*talk.take(SpeechDone(talk.number)), *talk.take(TimePassed(TAIL))]


def ask(talk: Conversation, line: str) -> str:
    """What is answered to a line, spoken to the end."""
    text = said(talk.take(Typed(line)))
    hush(talk)
    return text


def said(actions) -> str:
    return " ".join(a.text for a in actions if isinstance(a, Say))


def wait(talk: Conversation, seconds: float, step: float = 0.1) -> list[tuple[float, str]]:
    """What the coach says by itself while time passes, each with its moment; all it says takes a third of a second."""
    found, until = [], round(seconds / step)
    for tick in range(1, until + 1):
        if text := said(talk.take(TimePassed(step))):
            found.append((round(tick * step, 1), text))
        if talk.turn.name == "SPEAKING" and tick % 3 == 0:
            talk.take(SpeechDone(talk.number))
    return found


# ---- a number typed alone

def test_a_number_typed_alone_goes_to_that_round():
    talk = conversation(MID_ROUND)
    assert ask(talk, "5").startswith("Round 5.")
    assert talk.topic.state.place == Place(0, 0, 4)
    assert "I have 1 to" in ask(talk, "77") and "I have 1 to" in ask(talk, "0")
    assert talk.topic.state.place == Place(0, 0, 4)


def test_a_number_typed_alone_is_the_count_that_was_asked_for():
    talk = conversation(MID_ROUND)
    ask(talk, "i have")
    ask(talk, "4")
    assert "4 of 18" in ask(talk, "where am i")
    ask(talk, "i ripped back")
    ask(talk, "3")
    assert "1 of 18" in ask(talk, "where am i")
    ask(talk, "go to stitch")
    ask(talk, "9")
    assert talk.topic.state.place.round == 2 and talk.topic.state.place.steps > 4


def test_a_number_that_is_heard_alone_is_no_request():
    working = Working(BUOY, ENGLISH, MID_ROUND)
    assert working.understand("five", typed=False) is working.understand("5", typed=False) is None
    assert working.understand("5" * 19, typed=True) is working.understand("-5", typed=True) is None


# ---- coming back

def test_a_new_start_in_the_middle_of_a_round_begins_with_a_recap():
    text = said(Conversation(Working(BUOY, ENGLISH, MID_ROUND)).begin())
    assert text == ("Mooring buoy. Buoy. Round 3. 6 of 18, 2 repeats done. "
                    "Last: increase. Next: single crochet, increase; 3 of 6.")


def test_after_a_long_silence_in_the_middle_of_a_round_it_recaps_once():
    talk = conversation(MID_ROUND)
    before = talk.topic.state
    told = wait(talk, 3 * AFTER_SILENCE, 1.0)
    assert len(told) == 1 and told[0][1].startswith("Buoy. Round 3.")
    assert abs(told[0][0] - AFTER_SILENCE) < 2
    assert talk.topic.state is before and before.before is None  # silence changes nothing


def test_a_request_begins_a_new_silence():
    talk = conversation(MID_ROUND)
    assert not wait(talk, AFTER_SILENCE - 1, 1.0)
    ask(talk, "count so far")
    assert not wait(talk, AFTER_SILENCE - 1, 1.0)
    assert len(wait(talk, AFTER_SILENCE, 1.0)) == 1
    ask(talk, "next")
    assert len(wait(talk, 2 * AFTER_SILENCE, 1.0)) == 1


@pytest.mark.parametrize("state", [State(), State(Place(0, 0, 2, 0), 2), WHOLE_ROUND, State(Place(1), 1),
                                   State(Place(0, 0, 3, 18), 19)])
def test_between_rounds_silence_stays_silence(state):
    assert wait(conversation(state), 2 * AFTER_SILENCE, 1.0) == []


def test_while_paused_silence_stays_silence():
    talk = conversation(MID_ROUND)
    ask(talk, "pause")
    assert wait(talk, 2 * AFTER_SILENCE, 1.0) == []
    assert ask(talk, "carry on").startswith("Buoy. Round 3. 6 of 18")


def test_choosing_never_recaps():
    talk = Conversation(Choosing(("Seal", "Buoy"), ENGLISH))
    talk.begin()
    hush(talk)
    assert wait(talk, 2 * AFTER_SILENCE, 1.0) == []


# ---- counting along

def test_at_the_pace_of_the_maker_and_then_it_waits_at_the_increase():
    talk = conversation(State(Place(0, 0, 3), 3))
    ask(talk, "count quickly")
    assert ask(talk, "count me through") == "Round 4. 1."
    told = wait(talk, 30)
    assert [text for _, text in told] == ["2.", "Increase. Then you have 4."]
    assert talk.topic.state.place.steps == 2


@pytest.mark.parametrize("words, seconds", [("count quickly", 2.0), ("count steadily", 4.0), ("count slowly", 6.5)])
def test_the_time_between_two_numbers_is_the_pace(words, seconds):
    talk = conversation(WHOLE_ROUND)
    ask(talk, words)
    ask(talk, "count me through")
    moments = [moment for moment, _ in wait(talk, 40)]
    assert all(abs(b - a - seconds) < 0.15 for a, b in pairwise(moments)) and len(moments) >= 5


@given(st.lists(st.floats(0.01, 3.0), min_size=1, max_size=60))
def test_whatever_steps_time_comes_in_no_number_comes_early_or_twice(steps):
    talk = conversation(WHOLE_ROUND)
    ask(talk, "count me through")
    passed, numbers = TAIL, [1]
    for step in steps:
        actions = talk.take(TimePassed(step))
        passed += step
        if text := said(actions):
            numbers.append(int(text.rstrip(".")))
            hush(talk)
            passed += TAIL
    assert numbers == list(range(1, len(numbers) + 1))
    assert len(numbers) - 1 <= passed / 4.0 + 1e-6


def test_every_number_is_on_disk_before_it_is_spoken():
    talk = conversation(WHOLE_ROUND)
    ask(talk, "count me through")
    actions = []
    while not actions:
        actions = talk.take(TimePassed(0.5))
    save = next(a for a in actions if isinstance(a, Save))
    assert save.request.name == "tap" and save.answer.state.place.steps == 1
    assert actions.index(save) < next(i for i, a in enumerate(actions) if isinstance(a, Say))


@pytest.mark.parametrize("words", ["stop", "where am i", "pause", "go back"])
def test_it_halts_at_once_when_told(words):
    talk = conversation(WHOLE_ROUND)
    ask(talk, "count me through")
    wait(talk, 9)
    ask(talk, words)
    place = talk.topic.state.place
    assert wait(talk, 60) == [] and talk.topic.state.place == place


def test_stop_is_heard_while_a_number_is_spoken():
    talk = conversation(WHOLE_ROUND)
    talk.take(Typed("count me through"))
    assert [a for a in talk.take(Heard("stop talking")) if isinstance(a, Save)]
    hush(talk)
    assert wait(talk, 20) == []


def test_tapped_it_never_goes_on_by_itself():
    talk = conversation(WHOLE_ROUND)
    assert ask(talk, "t") == "Round 5. 1."
    assert wait(talk, 60) == [] and ask(talk, "t") == "2." and wait(talk, 60) == []


def test_at_the_end_of_a_round_it_waits():
    talk = conversation(State(Place(0, 0, 4, 21), 24))
    ask(talk, "count me through")
    assert [text for _, text in wait(talk, 60)] == ["23.", "24. That makes 24."]
    assert ask(talk, "next").startswith("Round 6")


# ---- time of work

def test_time_between_requests_is_work_but_a_break_is_not():
    talk = conversation(MID_ROUND)
    talk.take(TimePassed(60.0))
    ask(talk, "next")
    assert talk.topic.state.worked == pytest.approx(60.0 + TAIL)
    talk.take(TimePassed(9 * 3600.0))
    hush(talk)
    ask(talk, "next")
    assert talk.topic.state.worked == pytest.approx(60.0 + TAIL + LONGEST_STEP)


def test_while_paused_nobody_works():
    talk = conversation(MID_ROUND)
    ask(talk, "pause")
    worked = talk.topic.state.worked
    talk.take(TimePassed(200.0))
    ask(talk, "carry on")
    assert talk.topic.state.worked - worked < 1.0


def test_undoing_does_not_take_back_the_time():
    talk = conversation(MID_ROUND)
    talk.take(TimePassed(120.0))
    ask(talk, "next")
    ask(talk, "undo")
    assert talk.topic.state.worked > 120.0
    assert "2 minutes of work." in ask(talk, "which parts")


# ---- what is listened for

def test_counts_go_as_far_as_this_round_and_the_one_before_can_have():
    grammar = conversation(MID_ROUND).topic.grammar()
    assert {"eighteen", "twenty four"} <= set(grammar.counts) and "twenty five" not in grammar.counts
    assert grammar.numbers[-1] == "eleven"


def test_parts_are_listened_for_by_their_names():
    topic = conversation(work=SEAL).topic
    names = [part.name for part in SEAL.parts]
    assert len(names) > 2 and all(f"go to the {name.lower()}" in topic.grammar().phrases for name in names)
    request = topic.understand(f"go to the {names[-1].lower()}", typed=False)
    assert (request.name, request.value) == ("go_part", names[-1])


def test_yes_and_no_are_listened_for_when_asked_and_so_is_everything_else():
    talk = conversation(WHOLE_ROUND)
    assert "yes please" not in talk.topic.grammar().phrases
    actions = talk.take(Typed("i have 23"))
    (listen,) = (a for a in actions if isinstance(a, Listen))
    assert {"yes please", "no thanks", "next step", "undo that"} <= set(listen.grammar.phrases)
    hush(talk)
    assert any(isinstance(a, Listen) for a in talk.take(Heard("yes please")))
    assert "yes please" not in talk.topic.grammar().phrases
