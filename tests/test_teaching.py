"""Makers teach the coach their own words: conversations in events and actions, nothing heard by a real ear here.

The ear's own part is in tests/sound/test_own_words.py; both together are in tests/test_own_word_session.py.
"""

from __future__ import annotations

from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from coach import fabric, notation
from coach.attention import WINDOW, Attention, Way
from coach.conversation import TAIL, Conversation
from coach.events import (
    Forget,
    Forgotten,
    Heard,
    KeepWord,
    Learn,
    Learned,
    Listen,
    Pressed,
    Save,
    Say,
    Sound,
    SpeechDone,
    TimePassed,
    Tone,
    Typed,
)
from coach.guide.model import Request
from coach.language.phrasebook import load
from coach.teaching import EXAMPLES, SHORTEST, Step
from coach.topics import Working

ROOT = Path(__file__).parents[1]
BUOY = fabric.work(notation.read((ROOT / "patterns/buoy.md").read_text("utf-8")))
ENGLISH = load("en")
WHAT = "What shall your word mean? Ask for it, as always."
SOUND = Sound("onward", began=0.7, lasted=0.5)


class Talk:
    """A conversation in which each event's actions are kept, and the coach's sentence is heard to its end."""

    def __init__(self, way: Way = Way.OPEN, hears: bool = True) -> None:
        self.conversation = Conversation(Working(BUOY, ENGLISH), attention=Attention(way), hears=hears)
        self.conversation.begin()
        self.hush()

    def hush(self, seconds: float = 2.0) -> None:
        self.conversation.take(SpeechDone(self.conversation.number))
        self.conversation.take(TimePassed(TAIL))
        self.conversation.take(TimePassed(seconds))

    def take(self, event) -> str:
        """What the coach says to it."""
        self.actions = self.conversation.take(event)
        self.hush()
        return " ".join(a.text for a in self.actions if isinstance(a, Say))

    def ask(self, words: str) -> str:
        return self.take(Heard(words))

    def found(self, kind: type) -> list:
        return [a for a in self.actions if isinstance(a, kind)]

    @property
    def step(self) -> Step:
        return self.conversation.teaching.step

    def taught(self, meaning: str = "next step") -> str:
        """The whole lesson, by voice; what is said at its end."""
        self.ask("learn my word")
        self.ask(meaning)
        for _ in range(EXAMPLES):
            self.take(SOUND)
        return self.take(Learned(meaning))


# ---- by voice

def test_a_lesson():
    talk = Talk()
    assert talk.ask("learn my word") == WHAT
    assert talk.ask("next step") == "Your word for next step: say it, or type it."
    assert talk.take(Sound("a", 0.7, 0.5)) == "Again, please."
    assert talk.take(Sound("b", 0.7, 0.5)) == "And once more."
    assert talk.take(Sound("c", 0.7, 0.5)) == ""
    assert talk.found(Learn) == [Learn("next step", ("a", "b", "c"))]
    assert talk.take(Learned("next step")) == "Learned. It means next step, until you say forget my word."
    assert talk.ask("next step").startswith("Round 1."), "the lesson is over, and nothing was done in it"


def test_what_is_asked_for_as_the_meaning_is_not_done_but_the_lesson_is_written_down():
    talk = Talk()
    before = talk.conversation.topic.state
    talk.ask("learn my word")
    talk.ask("go to round five")
    assert talk.conversation.topic.state is before
    assert [(s.request, s.heard) for s in talk.found(Save)] == [(Request("learn", "go to round five"), "go to round five")]


@pytest.mark.parametrize("meaning, phrase", [
    ("stop", "stop talking"), ("undo", "undo that"), ("go to round five", "go to round five"),
    ("i have seventeen", "i have seventeen"), ("what is a single crochet", "what is a single crochet"),
    ("pause", "pause a moment"), ("by round", "by round"), ("help", "what can i say"),
])
def test_a_word_can_mean_any_request(meaning, phrase):
    talk = Talk()
    talk.ask("learn my word")
    assert talk.ask(meaning).startswith("Your word for ")
    for _ in range(EXAMPLES):
        talk.take(SOUND)
    (learn,) = talk.found(Learn)
    topic = talk.conversation.topic
    assert topic.understand(learn.meaning, typed=False) == topic.understand(meaning, typed=False)
    assert len(learn.meaning.split()) >= len(phrase.split())


def test_a_key_gives_the_meaning_as_words_do():
    talk = Talk()
    talk.ask("learn my word")
    assert "next step" in talk.take(Pressed(Request("next"), "space"))


def test_while_an_example_is_wanted_sounds_are_listened_for_and_no_request_but_one():
    talk = Talk()
    talk.ask("learn my word")
    talk.ask("next step")
    (listen,) = talk.found(Listen)
    assert listen.grammar.sounds and set(listen.grammar.phrases) == {"no thanks", talk.conversation.topic.name}
    for _ in range(EXAMPLES):
        talk.take(SOUND)
    assert not talk.found(Listen)[-1].grammar.sounds
    assert "next step" in talk.found(Listen)[-1].grammar.phrases


@pytest.mark.parametrize("leave", [Heard("no thanks"), Typed("no"), Pressed(Request("no"), "z")])
@pytest.mark.parametrize("step", [0, 1, 2])
def test_it_can_be_left_at_any_step(leave, step):
    talk = Talk()
    for event in (Heard("learn my word"), Heard("next step"), SOUND)[: step + 1]:
        talk.take(event)
    if step == 0 and isinstance(leave, Heard):
        leave = Typed("no thanks")  # by voice it is not listened for then; any request would do
    assert talk.take(leave) == "I leave it."
    assert talk.step is Step.DONE
    assert talk.take(SOUND) == "" and not talk.actions
    assert talk.ask("next step").startswith("Round 1.")


def test_another_request_ends_it_and_is_done():
    talk = Talk()
    talk.ask("learn my word")
    talk.ask("next step")
    assert talk.take(Typed("where am i")).startswith("Buoy")
    assert talk.step is Step.DONE
    talk.ask("learn my word")
    assert "Until next time" in talk.take(Typed("bye")), "leaving is never a meaning"


def test_a_sound_while_the_coach_speaks_is_no_example():
    talk = Talk()
    talk.ask("learn my word")
    talk.conversation.take(Heard("next step"))
    assert talk.conversation.take(Sound("its own voice", 0.5, 0.4)) == ()
    talk.hush(0.1)
    assert talk.conversation.take(Sound("begun while it spoke", 0.9, 0.6)) == ()
    assert talk.take(Sound("mine", 0.25, 0.2)) == "Again, please."


def test_a_rustle_is_no_example_and_neither_is_a_sound_with_closed_ears():
    talk = Talk()
    talk.ask("learn my word")
    talk.ask("next step")
    assert talk.take(Sound("rustle", 0.4, SHORTEST / 2)) == ""
    closed = Talk(Way.ATTENTION)
    name = closed.conversation.topic.name
    closed.ask(f"{name} learn my word")
    closed.ask("next step")
    closed.hush(WINDOW + 1)
    closed.hush()
    assert closed.take(SOUND) == ""
    closed.ask(name)
    assert closed.take(SOUND) == "Again, please."


def test_an_example_that_the_recogniser_doubts_gets_no_tone():
    talk = Talk()
    talk.ask("learn my word")
    talk.ask("next step")
    talk.take(Heard("no thanks", sure=False))
    assert not talk.found(Tone)


def test_examples_that_are_not_alike_are_asked_for_again():
    talk = Talk()
    talk.ask("learn my word")
    talk.ask("next step")
    for _ in range(EXAMPLES):
        talk.take(SOUND)
    told = "The examples don't sound like one word to me. Say it three times alike."
    assert talk.take(Learned("next step", told, again=True)) == f"{told} Your word for next step: say it, or type it."
    assert talk.take(SOUND) == "Again, please."


def test_an_ear_that_can_not_learn_ends_the_lesson():
    talk = Talk()
    talk.ask("learn my word")
    talk.ask("next step")
    for _ in range(EXAMPLES):
        talk.take(SOUND)
    told = "This ear can't learn a word. Type it, like: my word onward means next."
    assert talk.take(Learned("next step", told)) == told
    assert talk.step is Step.DONE


def test_silence_changes_nothing_and_no_stitch_is_counted_in_a_lesson():
    talk = Talk()
    talk.ask("next step")
    talk.ask("count me through")
    talk.ask("learn my word")
    for _ in range(40):
        talk.take(TimePassed(60.0))
        assert not talk.actions
    assert talk.ask("next step").startswith("Your word for")


# ---- taking back

def test_undo_right_after_forgets_the_word_and_later_it_undoes_the_work():
    talk = Talk()
    talk.ask("next step")
    talk.taught()
    assert talk.ask("undo that") == "" and talk.found(Forget) == [Forget()]
    assert talk.take(Forgotten("next step")) == "Forgotten: next step."
    talk.taught()
    talk.ask("where am i")
    assert talk.ask("undo that").startswith("Undone.") and not talk.found(Forget)


def test_forgetting_the_last_word():
    talk = Talk()
    talk.ask("forget my word")
    assert talk.found(Forget) == [Forget()]
    assert talk.take(Forgotten("")) == "You have taught me no such word."


# ---- typed

def test_the_word_can_be_typed_in_the_lesson():
    talk = Talk()
    talk.ask("learn my word")
    talk.ask("next step")
    assert talk.take(Typed("onward")) == "Learned. It means next step, until you say forget my word."
    assert talk.found(KeepWord) == [KeepWord("onward", "next step")]
    assert talk.ask("onward").startswith("Round 1.")


@pytest.mark.parametrize("forget", ["forget onward", "forget my word onward"])
def test_in_one_line_and_taken_back(forget):
    talk = Talk(hears=False)
    assert talk.take(Typed("my word onward means next")).startswith("Learned. It means next,")
    assert talk.found(KeepWord) == [KeepWord("onward", "next")]
    assert [type(a) for a in talk.actions].index(KeepWord) < [type(a) for a in talk.actions].index(Say)
    assert "onward" in talk.found(Listen)[0].grammar.phrases
    assert talk.ask("onward").startswith("Round 1.")
    assert talk.take(Typed(forget)) == "Forgotten: onward."
    assert talk.found(KeepWord) == [KeepWord("onward", "")]
    assert talk.take(Typed("onward")) == "" and not talk.found(Save)


@pytest.mark.parametrize("line, word, meaning", [
    ("my word onward means next", "onward", "next"), ("learn the eyes = go to round 5", "the eyes", "go to round 5"),
    ("learn a = b = c", "a", "b = c"), ("my word what it means means next", "what it", "means next"),
])
def test_the_two_sides_of_a_line(line, word, meaning):
    talk = Talk()
    request = talk.conversation.topic.understand(line, typed=True)
    assert talk.conversation.topic.word_and_meaning(request.value) == (word, meaning)


def test_undo_right_after_a_typed_word():
    talk = Talk()
    talk.take(Typed("my word onward means next"))
    assert talk.ask("undo") == "Forgotten: onward."
    assert talk.found(KeepWord) == [KeepWord("onward", "")]


def test_where_nobody_hears_the_last_typed_word_is_forgotten():
    talk = Talk(hears=False)
    talk.take(Typed("my word onward means next"))
    talk.take(Typed("my word aft means back"))
    assert talk.take(Typed("forget")) == "Forgotten: aft."
    assert talk.take(Typed("forget")) == "Forgotten: onward."
    assert talk.take(Typed("forget")) == "You have taught me no such word."


def test_where_an_ear_has_none_the_last_typed_one_is_forgotten():
    talk = Talk()
    talk.take(Typed("my word onward means next"))
    talk.ask("where am i")
    talk.ask("forget my word")
    assert talk.take(Forgotten("")) == "Forgotten: onward."


@pytest.mark.parametrize("line, told", [
    ("learn", "Type it, like: my word onward means next."), ("my word onward", "Type it, like"),
    ("my word = next", "Type it, like"), ("my word undo means next", "Undo means something else already."),
    ("my word onward means dance", "I don't know dance."), ("my word ?! means next", "?! is nothing to say."),
    (f"my word {ENGLISH.called[0]} means next", "means something else already."),
    ("forget biscuits", "You have taught me no such word."),
])
def test_a_line_that_teaches_nothing(line, told):
    talk = Talk(hears=False)
    assert told in talk.take(Typed(line))
    assert not talk.found(KeepWord) and talk.conversation.topic.phrasebook is ENGLISH


def test_the_phrasebook_itself_stays_as_it_is():
    talk = Talk()
    talk.take(Typed("my word onward means next"))
    assert ENGLISH.own == {} and Working(BUOY, ENGLISH).understand("onward", typed=False) is None


# ---- whatever happens

EVENTS = [Heard("learn my word"), Heard("next step"), Heard("undo that"), Heard("forget my word"), Typed("onward"), SOUND,
          Typed("my word onward means next"), Learned("next step"), Learned("next step", "Not alike.", again=True),
          Learned("next step", "No."), Forgotten("next step"), Forgotten(""), Heard("no thanks"), Typed("where am i"),
          Heard("what", sure=False)]


@given(st.lists(st.sampled_from(EVENTS), max_size=25))
def test_whatever_happens_a_typed_request_is_done_at_the_second_try(events):
    """Promise 5: nobody is trapped in a lesson."""
    talk = Talk()
    for event in events:
        talk.take(event)
    talk.take(Typed("where am i"))
    assert talk.take(Typed("where am i")).startswith("Buoy")
    assert talk.step is Step.DONE


@given(st.lists(st.sampled_from(EVENTS), max_size=25))
def test_a_word_is_learned_from_no_more_and_no_less_than_its_examples(events):
    talk = Talk()
    for event in events:
        talk.take(event)
        assert all(len(learn.sounds) == EXAMPLES for learn in talk.found(Learn))
