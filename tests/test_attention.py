"""Who is meant: the ears open and close as the maker calls, talks, presses and falls silent. Time is an argument."""

from __future__ import annotations

import pytest
from buoy_talk import BUOY, ENGLISH, ROOT, hush, requests
from hypothesis import given
from hypothesis import strategies as st

from coach.attention import REPEATED, WINDOW, Attention, Way, usual_way, without_name
from coach.conversation import TAIL, Conversation
from coach.events import Heard, Listen, Say, Silence, SpeechDone, TimePassed, Tone, Typed
from coach.guide.model import Message
from coach.language.model import Grammar
from coach.language.phrasebook import languages, load
from coach.language.understand import normal
from coach.topics import Choosing, Working, name_for

NAME = ENGLISH.called[0]


# ---- the ears by themselves

def test_called_by_its_name_the_ears_open_for_a_while():
    ears = Attention(Way.ATTENTION)
    assert not ears.is_open
    ears.call()
    assert not ears.passed(WINDOW - 0.1) and ears.is_open
    assert ears.passed(0.2) and not ears.is_open
    assert not ears.passed(1.0), "they close once"


def test_while_the_talk_goes_on_they_stay_open():
    ears = Attention(Way.ATTENTION)
    ears.call()
    for _ in range(5):
        ears.passed(WINDOW - 1)
        ears.go_on()
    assert ears.is_open
    assert not ears.passed(60.0, speaking=True), "a long answer is talk too"


def test_an_answer_to_a_key_opens_no_ears():
    ears = Attention(Way.ATTENTION)
    ears.go_on()
    assert not ears.is_open


def test_a_key_that_is_tapped_opens_them_and_tapped_again_closes_them():
    ears = Attention(Way.KEY)
    ears.tap()
    assert ears.is_open
    ears.passed(REPEATED + 0.1)
    ears.tap()
    assert not ears.is_open


def test_a_key_that_is_held_keeps_them_open_as_long_as_it_is_down():
    """A terminal repeats a key that is down, after a while and then quickly."""
    ears = Attention(Way.KEY)
    ears.tap()
    ears.passed(0.5)
    for _ in range(200):
        ears.tap()
        assert not ears.passed(0.1)
    assert ears.passed(REPEATED), "let go"


def test_a_pedal_that_tells_when_it_goes_up():
    ears = Attention(Way.KEY)
    ears.hold(True)
    assert not ears.passed(3600.0) and ears.is_open
    ears.hold(False)
    assert not ears.is_open


def test_open_ears_can_be_closed_and_the_name_opens_them():
    ears = Attention(Way.OPEN)
    assert not ears.passed(3600.0) and ears.is_open
    ears.tap()
    assert not ears.is_open
    ears.call()
    assert ears.is_open and not ears.passed(3600.0)


def test_who_chooses_a_way_is_talking_to_the_coach():
    ears = Attention(Way.OPEN)
    ears.choose(Way.ATTENTION)
    assert ears.is_open
    assert ears.passed(WINDOW)


@given(st.lists(st.one_of(st.sampled_from(["tap", "call", "go_on", "down", "up"]), st.floats(0, 20))))
def test_without_any_event_they_are_closed_at_last_unless_always_open_or_held(happening):
    ears, held = Attention(Way.ATTENTION), False
    for one in happening:
        match one:
            case float():
                ears.passed(one)
            case "down" | "up":
                held = one == "down"
                ears.hold(held)
            case _:
                getattr(ears, one)()
    ears.passed(WINDOW)
    assert ears.is_open is held


@given(st.lists(st.floats(0, 5), max_size=8))
def test_how_time_is_cut_changes_nothing(pieces):
    one, many = Attention(Way.ATTENTION), Attention(Way.ATTENTION)
    one.call()
    many.call()
    one.passed(sum(pieces))
    for piece in pieces:
        many.passed(piece)
    assert abs(sum(pieces) - WINDOW) < 1e-6 or one.is_open == many.is_open


def test_the_usual_way_follows_the_ear():
    assert usual_way("pocketsphinx") is Way.ATTENTION
    assert usual_way(None) is Way.OPEN, "nothing can be overheard without a microphone"


# ---- names

@pytest.mark.parametrize("text, called, rest", [
    (NAME, True, ""), (f"{NAME} next step", True, "next step"), ("next step", False, "next step"),
    (f"{NAME}es", False, f"{NAME}es"), ("", False, ""),
])
def test_a_name_in_front_of_words(text, called, rest):
    assert without_name(text, NAME) == (called, rest)


def test_an_ear_hears_the_name_alone_and_before_each_phrase():
    plain = Grammar(("undo", "go to round <number>"), ("one", "two"))
    assert set(Attention(Way.OPEN).grammar(plain, "albatross").spoken()) == {*plain.spoken(), "albatross"}
    assert Attention(Way.KEY).grammar(plain, "albatross") == plain
    assert set(Attention(Way.ATTENTION).grammar(plain, "albatross").spoken()) == {"albatross", "undo", "albatross undo", "go to round one", "go to round two",
                          "albatross go to round one", "albatross go to round two"}


@pytest.mark.parametrize("code", languages())
def test_the_coach_never_says_its_name(code):
    """Not in any sentence of the phrasebook, any word for a request that help may offer, any pattern of ours."""
    book = load(code)
    spoken = [form for said in (book.say, book.step, book.place, book.stitch, book.written) for template in said.values()
              for form in (template.values() if isinstance(template, dict) else [template])]
    spoken += [form for template in spoken if not isinstance(template, str) for form in template]
    spoken += [phrase for heard in book.request for phrase in (*heard.say, *heard.type)]
    text = " ".join(f" {normal(form)} " for form in spoken if isinstance(form, str))
    assert len(text) > 5000
    for name in book.called:
        assert f" {normal(name)} " not in text
        for pattern in (ROOT / "patterns").glob("*.md"):
            assert name not in normal(pattern.read_text("utf-8"))


def test_where_a_pattern_says_the_name_there_is_another():
    other = name_for(ENGLISH, f"# {NAME.title()}\nRnd 1: 6 sc (6)")
    assert other in ENGLISH.called and other != NAME
    assert Choosing([f"The old {NAME}"], ENGLISH).name == other


def test_it_tells_its_name_by_its_letters():
    said = Working(BUOY, ENGLISH).aside(Message("listening_attention", {"letters": ", ".join(NAME.upper())})).said
    assert NAME not in said.lower() and "A, L, B, A, T, R, O, S, S" in said


# ---- in a conversation

def quiet(way: Way, **more) -> Conversation:
    """A conversation in which the coach has said its first words, the ears as they are then."""
    conversation = Conversation(Working(BUOY, ENGLISH), attention=Attention(way, **more))
    conversation.begin()
    hush(conversation)
    return conversation


def said(actions) -> str:
    return " ".join(a.text for a in actions if isinstance(a, Say))


def test_at_the_start_it_says_how_to_call_it():
    called = Conversation(Working(BUOY, ENGLISH), attention=Attention(Way.ATTENTION))
    first = called.begin()
    assert "Call my name first" in said(first)
    assert {NAME, f"{NAME} next step"} <= set(next(a for a in first if isinstance(a, Listen)).grammar.spoken())
    assert "Call my name" not in said(Conversation(Working(BUOY, ENGLISH)).begin())


def test_what_is_not_said_to_it_does_nothing_and_makes_no_sound():
    conversation = quiet(Way.ATTENTION)
    for heard in (Heard("next step"), Heard("what a day", sure=False), Heard("stop"), Heard(NAME, sure=False)):
        assert conversation.take(heard) == ()


def test_its_name_then_a_request_then_another():
    conversation = quiet(Way.ATTENTION)
    assert Tone("heard") in conversation.take(Heard(NAME))
    assert requests(conversation.take(Heard("next step"))) == ["next"]
    hush(conversation)
    conversation.take(TimePassed(WINDOW - 1))
    assert requests(conversation.take(Heard("count so far"))) == ["count"]


def test_its_name_and_a_request_in_one_breath():
    assert requests(quiet(Way.ATTENTION).take(Heard(f"{NAME} next step"))) == ["next"]


def test_in_silence_the_ears_close_with_a_tone():
    conversation = quiet(Way.ATTENTION)
    conversation.take(Heard(NAME))
    assert conversation.take(TimePassed(WINDOW)) == (Tone("ears closed"),)
    assert conversation.take(TimePassed(1.0)) == ()
    assert conversation.take(Heard("next step", began=0.5)) == ()


def test_words_that_began_in_time_count_though_the_ear_tells_them_late():
    conversation = quiet(Way.ATTENTION)
    conversation.take(Heard(NAME))
    conversation.take(TimePassed(WINDOW))
    conversation.take(TimePassed(0.3))
    assert requests(conversation.take(Heard("next step", began=1.0))) == ["next"]


@pytest.mark.parametrize("way", [Way.ATTENTION, Way.OPEN])
def test_its_name_silences_it_and_it_listens(way):
    conversation = quiet(way)
    conversation.take(Typed("next"))
    actions = conversation.take(Heard(NAME))
    assert actions[0] == Silence() and Tone("heard") in actions
    conversation.take(SpeechDone(conversation.number, whole=False))
    conversation.take(TimePassed(TAIL))
    assert requests(conversation.take(Heard("count so far"))) == ["count"]


def test_while_it_speaks_stop_is_heard_with_the_ears_closed_too():
    conversation = quiet(Way.ATTENTION)
    conversation.take(Typed("next"))
    assert conversation.take(Heard("next step")) == ()
    assert conversation.take(Heard("stop talking"))[0] == Silence()


def test_with_the_microphone_apart_from_the_loudspeaker_it_is_obeyed_while_it_speaks():
    """As the sound check finds with a headset: what is heard while the coach speaks was said by somebody else."""
    conversation = quiet(Way.OPEN, apart=True)
    conversation.take(Typed("next"))
    actions = conversation.take(Heard("count so far"))
    assert actions[0] == Silence() and requests(actions) == ["count"]
    assert conversation.take(Heard("biscuits")) == (), "no tone into its own sentence"
    conversation.take(SpeechDone(conversation.number))
    assert requests(conversation.take(Heard("next step", began=4.0))) == ["next"]


def test_apart_or_not_closed_ears_are_closed():
    conversation = quiet(Way.ATTENTION, apart=True)
    conversation.take(Typed("next"))
    assert conversation.take(Heard("count so far")) == ()
    assert conversation.take(Heard("stop talking"))[0] == Silence()


def test_by_the_key_the_name_means_nothing():
    conversation = quiet(Way.KEY)
    assert conversation.take(Heard(NAME)) == conversation.take(Heard(f"{NAME} next step")) == ()
    assert Tone("heard") in conversation.take(Typed("ears"))
    assert requests(conversation.take(Heard("next step"))) == ["next"]


def test_the_way_is_changed_by_voice():
    conversation = quiet(Way.OPEN)
    assert "Call my name first" in said(conversation.take(Heard("wait for your name")))
    hush(conversation)
    conversation.take(TimePassed(WINDOW + 1))
    assert conversation.take(Heard("next step")) == ()
    conversation.take(Heard(f"{NAME} always listen"))
    hush(conversation)
    conversation.take(TimePassed(600.0))
    hush(conversation)
    assert requests(conversation.take(Heard("next step"))) == ["next"]


def test_the_tones_are_explained_and_can_be_left_out():
    conversation = quiet(Way.OPEN)
    actions = conversation.take(Heard("what do the tones mean"))
    assert [a.kind for a in actions if isinstance(a, Tone)] == ["heard", "unsure", "ears closed", "microphone lost"]
    assert said(actions).startswith("Four tones, in this order: heard, not sure")
    hush(conversation)
    conversation.take(Heard("no more tones"))
    hush(conversation)
    assert conversation.take(Heard("biscuits")) == ()
    conversation.take(Typed("tones on"))
    hush(conversation)
    assert conversation.take(Heard("biscuits")) == (Tone("unsure"),)
    assert quiet(Way.OPEN, tones=False).take(Heard("biscuits")) == ()


def test_one_pair_of_ears_for_choosing_and_working():
    ears = Attention(Way.OPEN)
    choosing = Conversation(Choosing(("Mooring buoy",), ENGLISH), attention=ears)
    choosing.begin()
    hush(choosing)
    choosing.take(Heard("wait for your name"))
    assert "Call my name" in said(Conversation(Working(BUOY, ENGLISH), attention=ears).begin())
