"""How the coach takes turns, told as small scenes about the real buoy: what happens, what is done about it."""

from __future__ import annotations

import ast

import pytest
from buoy_talk import BUOY, ENGLISH, ROOT, hush, requests
from hypothesis import given
from hypothesis import strategies as st

from coach import fabric, notation
from coach.conversation import LEAD, RULES, TAIL, Conversation, Do, Kind, Turn
from coach.events import (
    Adjust,
    Certain,
    Heard,
    Listen,
    Notice,
    Pressed,
    Quit,
    Save,
    Say,
    Show,
    Silence,
    SpeechDone,
    TimePassed,
    Tone,
    Typed,
    Urgent,
)
from coach.guide.model import Request
from coach.guide.requests import REQUESTS
from coach.topics import Choosing, Working, stitches_in

UNSURE = "unsure"


def buoy() -> Conversation:
    """A conversation about the buoy in which the coach has said its first words and is quiet again."""
    conversation = Conversation(Working(BUOY, ENGLISH))
    conversation.begin()
    hush(conversation)
    return conversation


def kinds(actions) -> list[str]:
    return [type(a).__name__ for a in actions]


def said(actions) -> str:
    return " ".join(a.text for a in actions if isinstance(a, Say))


# ---- how it begins

def test_first_it_says_what_is_worked_and_what_can_be_said_then_it_listens():
    conversation = Conversation(Working(BUOY, ENGLISH))
    actions = conversation.begin()
    assert kinds(actions) == ["Adjust", "Show", "Say", "Listen"]
    assert said(actions).startswith("Mooring buoy.")
    assert "next step" in actions[-1].grammar.phrases
    assert conversation.turn is Turn.SPEAKING


def test_what_is_spoken_is_shown_word_for_word():
    conversation = buoy()
    actions = conversation.take(Typed("next"))
    assert [a.text for a in actions if isinstance(a, Show)] == [said(actions)]


# ---- the promises

def test_a_request_is_saved_with_its_answer_and_state_before_the_answer_is_spoken():
    conversation = buoy()
    actions = conversation.take(Heard("next step"))
    assert kinds(actions) == ["Show", "Save", "Show", "Say"]
    save = next(a for a in actions if isinstance(a, Save))
    assert save.request == Request("next")
    assert save.heard == "next step"
    assert save.answer.said == said(actions)
    assert said(actions).startswith("Round 1.")
    assert save.answer.state is conversation.topic.state


def test_unsure_words_get_one_low_tone_and_nothing_else():
    conversation = buoy()
    before = conversation.topic.state
    assert conversation.take(Heard("next step", sure=False, confidence=0.2)) == (Tone(UNSURE),)
    assert conversation.topic.state is before


def test_sure_words_that_are_no_request_are_unsure_too():
    assert buoy().take(Heard("pass the biscuits")) == (Tone(UNSURE),)


def test_silence_changes_nothing_however_long():
    conversation = buoy()
    before = conversation.topic.state
    assert conversation.take(TimePassed(3600.0)) == ()
    assert conversation.topic.state is before
    assert requests(conversation.take(Heard("next step"))) == ["next"]


# ---- while the coach speaks

def test_while_it_speaks_it_does_not_hear_itself():
    conversation = buoy()
    conversation.take(Typed("next"))
    before = conversation.topic.state
    for words in ("next step", "undo that", "finished for now", "biscuits"):
        assert conversation.take(Heard(words)) == ()
    assert conversation.topic.state is before


def test_while_it_speaks_stop_silences_it_first_of_all():
    conversation = buoy()
    conversation.take(Typed("next"))
    actions = conversation.take(Heard("stop talking"))
    assert kinds(actions) == ["Silence", "Show", "Save"]


def test_stopping_keeps_the_place_and_the_sentence_can_be_asked_again():
    conversation = buoy()
    first = said(conversation.take(Typed("next")))
    place = conversation.topic.state.place
    conversation.take(Heard("stop"))
    conversation.take(SpeechDone(conversation.number, whole=False))
    conversation.take(TimePassed(TAIL))
    assert conversation.topic.state.place == place
    assert said(conversation.take(Heard("say it again"))) == first


def test_an_unsure_stop_does_not_silence_it():
    conversation = buoy()
    conversation.take(Typed("next"))
    assert conversation.take(Heard("stop", sure=False)) == ()


def test_typed_lines_and_keys_cut_what_is_being_said():
    conversation = buoy()
    conversation.take(Typed("next"))
    typed = conversation.take(Typed("count"))
    assert kinds(typed) == ["Silence", "Save", "Show", "Say"]
    pressed = conversation.take(Pressed(Request("next"), "space"))
    assert kinds(pressed)[:1] == ["Silence"]
    assert requests(pressed) == ["next"]
    assert Show("space", "heard") in pressed


def test_the_ears_open_when_the_room_is_quiet_again_and_not_before():
    conversation = buoy()
    conversation.take(Typed("next"))
    conversation.take(SpeechDone(conversation.number))
    assert conversation.turn is Turn.TAIL
    assert conversation.take(Heard("next step")) == ()
    conversation.take(TimePassed(TAIL / 2))
    assert conversation.take(Heard("next step")) == ()
    conversation.take(TimePassed(TAIL / 2))
    assert conversation.turn is Turn.LISTENING
    assert requests(conversation.take(Heard("next step"))) == ["next"]


def test_a_player_that_has_waited_for_the_room_opens_the_ears_at_once():
    conversation = buoy()
    conversation.take(Typed("next"))
    conversation.take(SpeechDone(conversation.number, ago=TAIL))
    assert conversation.turn is Turn.LISTENING


def test_words_that_began_while_it_spoke_are_its_own_however_late_they_come():
    conversation = buoy()
    conversation.take(Typed("next"))
    conversation.take(SpeechDone(conversation.number))
    conversation.take(TimePassed(1.0))
    assert conversation.take(Heard("next step", began=1.0 + LEAD + 0.1)) == ()
    assert requests(conversation.take(Heard("next step", began=0.9))) == ["next"]


def test_before_it_ever_spoke_nothing_can_be_its_own_words():
    conversation = Conversation(Working(BUOY, ENGLISH))
    assert requests(conversation.take(Heard("next step", began=60.0))) == ["next"]


def test_the_end_of_older_speech_does_not_end_the_newer():
    conversation = buoy()
    conversation.take(Typed("next"))
    older = conversation.number
    conversation.take(Typed("count"))
    conversation.take(SpeechDone(older, whole=False))
    assert conversation.turn is Turn.SPEAKING
    conversation.take(SpeechDone(conversation.number))
    assert conversation.turn is Turn.TAIL


# ---- a doubtful number

LONG = fabric.work(notation.read("# Rope\n\n## Rope\nRow 1: ch 91, sc in 2nd ch from hook and in each ch across (90)\n"
                                 "Rows 2-90: sc in each st across (90)\n"))


def rope() -> Conversation:
    conversation = Conversation(Working(LONG, ENGLISH))
    conversation.begin()
    hush(conversation)
    return conversation


def test_a_number_that_sounds_like_another_is_asked_back():
    conversation = rope()
    before = conversation.topic.state
    actions = conversation.take(Heard("go to round seventeen", confidence=0.45))
    assert said(actions) == "Seventeen, or seventy?"
    assert {"seventeen", "seventy"} <= set(next(a for a in actions if isinstance(a, Listen)).grammar.phrases)
    assert conversation.topic.state is before
    hush(conversation)
    (save,) = [a for a in conversation.take(Heard("seventy", confidence=0.45)) if isinstance(a, Save)]
    assert save.request == Request("go_round", 70)


@pytest.mark.parametrize("heard", [
    Heard("go to round seventeen", confidence=0.9), Heard("go to round twelve", confidence=0.45)])
def test_a_number_that_is_sure_or_like_no_other_is_taken(heard):
    assert requests(rope().take(heard)) == ["go_round"]


def test_a_number_whose_like_is_not_in_this_place_is_taken():
    assert requests(buoy().take(Heard("go to round seven"))) == ["go_round"]


def test_whoever_says_something_else_is_not_asked_again():
    conversation = rope()
    conversation.take(Heard("i have thirteen"))
    hush(conversation)
    actions = conversation.take(Heard("next step"))
    assert requests(actions) == ["next"]
    assert "thirteen" not in next(a for a in actions if isinstance(a, Listen)).grammar.phrases
    hush(conversation)
    assert conversation.take(Heard("thirty")) == (Tone(UNSURE),)


# ---- paused

def test_while_paused_people_may_talk_without_a_tone_and_only_carry_on_acts():
    conversation = buoy()
    conversation.take(Typed("next"))
    hush(conversation)
    actions = conversation.take(Heard("pause"))
    listen = next(a for a in actions if isinstance(a, Listen))
    assert "carry on" in listen.grammar.phrases
    assert "next" not in listen.grammar.phrases
    hush(conversation)
    place = conversation.topic.state.place
    assert conversation.take(Heard("what a day", sure=False)) == ()
    conversation.take(Typed("next"))
    assert conversation.topic.state.place == place
    actions = conversation.take(Typed("carry on"))
    assert not conversation.topic.state.paused
    assert "next" in next(a for a in actions if isinstance(a, Listen)).grammar.phrases


# ---- how it speaks, what it listens for

def test_the_voice_is_adjusted_before_the_sentence_that_tells_so():
    conversation = buoy()
    actions = conversation.take(Typed("faster"))
    adjust = next(a for a in actions if isinstance(a, Adjust))
    assert adjust.rate > 175
    assert kinds(actions).index("Adjust") < kinds(actions).index("Say")
    assert Adjust not in map(type, conversation.take(Typed("next")))


def test_it_listens_only_for_rounds_that_this_part_has():
    grammar = buoy().topic.grammar()
    assert "eleven" in grammar.numbers
    assert "twelve" not in grammar.numbers


def test_it_listens_for_the_stitches_of_this_pattern():
    assert {"sc", "inc", "ring"} <= set(stitches_in(BUOY.pattern))
    assert "dc" not in stitches_in(BUOY.pattern)
    phrases = buoy().topic.grammar().phrases
    assert "what is increase" in phrases
    assert "what is double crochet" not in phrases


def test_what_can_be_said_is_told_again_only_when_it_changes():
    conversation = buoy()
    assert Listen not in map(type, conversation.take(Typed("next")))


# ---- typed lines

def test_a_typed_line_that_is_no_request_is_answered_in_text_only():
    conversation = buoy()
    (shown,) = conversation.take(Typed("flurb"))
    assert shown == Show("I don't know that. Say help.", "note")
    assert conversation.take(Typed("   ")) == ()


# ---- about the coach itself

def test_a_lost_device_is_told_where_nothing_else_is_being_said():
    conversation = buoy()
    actions = conversation.take(Notice("The microphone is gone.", "microphone lost"))
    assert kinds(actions) == ["Tone", "Show", "Say"]
    conversation.take(Typed("next"))
    actions = conversation.take(Notice("The microphone is back."))
    assert kinds(actions) == ["Show"]


# ---- how it ends

def test_finished_for_now_is_answered_and_then_it_quits_and_hears_nothing_more():
    conversation = buoy()
    actions = conversation.take(Heard("finished for now"))
    assert kinds(actions)[-1] == "Quit"
    assert actions[-1] == Quit("finished")
    assert said(actions).endswith("Until next time.")
    hush(conversation)
    assert conversation.take(Typed("next")) == ()
    assert conversation.take(Heard("next step")) == ()


# ---- choosing a pattern

TITLES = ("Mooring buoy", "Seal", "Lighthouse")


@pytest.mark.parametrize("words, chosen", [
    ("number two", 1), ("two", 1), ("seal", 1), ("number three", 2), ("lighthouse", 2), ("mooring buoy", 0),
])
def test_a_pattern_is_chosen_by_its_number_or_its_name(words, chosen):
    conversation = Conversation(Choosing(TITLES, ENGLISH))
    assert said(conversation.begin()) == (
        "Which pattern? Say number one to number three. 1: Mooring buoy. 2: Seal. 3: Lighthouse.")
    hush(conversation)
    actions = conversation.take(Heard(words))
    assert kinds(actions)[-1] == "Quit"
    assert conversation.topic.chosen == chosen


@pytest.mark.parametrize("words", ["number seven", "0", "help", "repeat"])
def test_what_is_no_choice_asks_again(words):
    conversation = Conversation(Choosing(TITLES, ENGLISH))
    first = said(conversation.begin())
    assert said(conversation.take(Typed(words))) == first
    assert conversation.topic.chosen is None


def test_one_may_leave_without_choosing():
    conversation = Conversation(Choosing(TITLES, ENGLISH))
    conversation.begin()
    assert kinds(conversation.take(Typed("finished for now")))[-1] == "Quit"
    assert conversation.topic.chosen is None


def test_the_choice_is_told_and_so_is_a_key_with_its_number():
    conversation = Conversation(Choosing(TITLES, ENGLISH))
    conversation.begin()
    assert said(conversation.take(Pressed(Request("by", "group"), "2"))) == "Seal."
    assert conversation.topic.chosen == 1


def test_keys_without_a_number_do_what_they_do_and_those_beyond_ask_again():
    conversation = Conversation(Choosing(TITLES, ENGLISH))
    first = said(conversation.begin())
    assert said(conversation.take(Pressed(Request("pace", "quick"), "9"))) == first
    assert kinds(conversation.take(Pressed(Request("finish"), "q")))[-1] == "Quit"
    assert conversation.topic.chosen is None


def test_a_typed_word_of_one_title_alone_is_its_name():
    assert Choosing(("Harbour seal", "Harbour cap"), ENGLISH).understand("cap", typed=True) == Request("choose", 2)
    assert Choosing(("Harbour seal", "Harbour cap"), ENGLISH).understand("harbour", typed=True) is None
    assert Choosing(("Harbour seal", "Harbour cap"), ENGLISH).understand("cap", typed=False) is None


@pytest.mark.parametrize("words, chosen", [("next", 0), ("number two", 1), ("m", 1), ("newborn", 2), ("3", 2)])
def test_a_size_is_chosen_and_next_takes_the_first(words, chosen):
    sizes = ("S", "M", "Newborn")
    conversation = Conversation(Choosing(sizes, ENGLISH, "size"))
    assert said(conversation.begin()) == "Which size? 1: S. 2: M. 3: Newborn. Say its number, or next for the first."
    hush(conversation)
    assert "next" in conversation.topic.grammar().spoken()
    actions = conversation.take(Heard(words))
    assert said(actions) == f"Size {sizes[chosen]}." and kinds(actions)[-1] == "Quit"
    assert conversation.topic.chosen == chosen


@pytest.mark.parametrize("words, chosen", [
    ("large", 2), ("Medium", 1), ("small", 0), ("size L", 2), ("size large", 2), ("second", 1), ("size 2", 1), ("size two", 1)])
def test_a_size_has_its_usual_names(words, chosen):
    topic = Choosing(("S", "M", "L"), ENGLISH, "size")
    assert topic.understand(words, typed=False) == topic.understand(words, typed=True) == Request("choose", chosen + 1)
    assert {"large", "second"} <= set(topic.grammar().spoken()) and "extra large" not in topic.grammar().spoken()


def test_a_name_that_a_pattern_spells_out_is_known_by_its_letter_too():
    topic = Choosing(("Child", "Large"), ENGLISH, "size")
    assert topic.understand("l", typed=True) == topic.understand("large", typed=False) == Request("choose", 2)
    assert topic.understand("small", typed=True) is topic.understand("third", typed=True) is None


def test_what_is_none_of_the_sizes_is_called_so():
    topic = Choosing(("S", "M"), ENGLISH, "size")
    assert topic.unknown("extra large") == "That is none of them. Which size? 1: S. 2: M. Say its number, or next for the first."


def test_it_listens_for_the_numbers_and_names_there_are():
    grammar = Choosing(TITLES, ENGLISH).grammar()
    assert {"number one", "number three", "seal", "finished for now"} <= set(grammar.spoken())
    assert "number four" not in grammar.spoken()
    assert "next step" not in grammar.spoken()


# ---- every sequence of events

words = st.sampled_from(
    [h for r in ENGLISH.request for h in r.say if "<" not in h] + ["go to round nine", "biscuits", ""])
events = st.one_of(
    st.builds(Heard, words, sure=st.booleans(), began=st.floats(0, 5)),
    st.builds(Typed, words),
    st.builds(Pressed, st.sampled_from([Request(name) for name in REQUESTS])),
    st.builds(SpeechDone, st.integers(0, 6), st.booleans()),
    st.builds(TimePassed, st.floats(0, 2)),
    st.builds(Notice, st.just("The microphone is back.")),
)


@given(st.lists(events, max_size=25))
def test_whatever_happens_what_is_spoken_was_saved_before_and_urgent_comes_first(happening):
    conversation = Conversation(Working(BUOY, ENGLISH))
    conversation.begin()
    for event in happening:
        before = conversation.topic.state
        actions = conversation.take(event)
        order = [type(a) for a in actions]
        saves = [a for a in actions if isinstance(a, Certain)]
        assert len(saves) <= 1
        if saves:
            assert isinstance(event, (Heard, Typed, Pressed))
            assert saves[0].answer.state is conversation.topic.state
            assert Say not in order or order.index(Save) < order.index(Say)
            assert Silence not in order or order.index(Silence) < order.index(Save)
        else:
            assert conversation.topic.state is before
            assert Say not in order or isinstance(event, Notice)


@given(st.lists(events, max_size=25))
def test_whatever_happens_unsure_words_change_nothing(happening):
    conversation = Conversation(Working(BUOY, ENGLISH))
    conversation.begin()
    for event in happening:
        before, turn = conversation.topic.state, conversation.turn
        actions = conversation.take(event)
        if isinstance(event, Heard) and not event.sure:
            assert actions in ((), (Tone(UNSURE),))
            assert (conversation.topic.state, conversation.turn) == (before, turn)


@given(st.lists(events, max_size=25))
def test_whatever_happens_a_typed_request_is_answered_until_the_maker_leaves(happening):
    """Promise 5: the maker is never trapped."""
    conversation = Conversation(Working(BUOY, ENGLISH))
    conversation.begin()
    over = False
    for event in happening:
        over = over or any(isinstance(a, Quit) for a in conversation.take(event))
    left = conversation.take(Typed("carry on")), conversation.take(Typed("finished for now"))
    assert over or kinds(left[1])[-1] == "Quit"


# ---- the table and the rules of the room

def test_the_table_has_an_entry_for_every_turn_and_kind_and_all_are_used():
    assert set(RULES) == {(turn, kind) for turn in Turn for kind in Kind}
    assert set(RULES.values()) == set(Do)


def test_actions_are_urgent_certain_or_ordered_by_type():
    assert issubclass(Silence, Urgent)
    assert issubclass(Save, Certain)
    assert not issubclass(Say, (Urgent, Certain))


@pytest.mark.parametrize("name", ["attention", "conversation", "events", "teaching", "topics"])
def test_the_core_has_no_clock_no_thread_no_file_and_no_device(name):
    tree = ast.parse((ROOT / "coach" / f"{name}.py").read_text("utf-8"))
    modules = {n.module for n in ast.walk(tree) if isinstance(n, ast.ImportFrom)}
    modules |= {a.name for n in ast.walk(tree) if isinstance(n, ast.Import) for a in n.names}
    rooms = {m.split(".")[1] for m in modules if m.startswith("coach.")}
    assert rooms <= {"attention", "conversation", "events", "teaching", "guide", "language", "fabric", "notation"}
    others = {m for m in modules if not m.startswith("coach.")}
    assert others <= {"__future__", "dataclasses", "enum", "typing", "collections.abc", "functools"}
