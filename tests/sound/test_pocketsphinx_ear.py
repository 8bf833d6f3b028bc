"""The real recogniser on real audio: requests in several voices, silence, noise, talk, and grammars that change."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from rendered_speech import VOICES, in_pieces, noise, session, silence, spoken

from coach.language.model import Grammar
from coach.language.phrasebook import load
from coach.language.understand import grammar
from coach.sound.listen import hear_recording
from coach.sound.model import HEARING_RATE, Utterance

pytest.importorskip("pocketsphinx", reason="pocketsphinx is not installed")

from coach.sound.pocketsphinx_ear import MORE_WORDS, SURE, PocketsphinxEar  # noqa: E402

REQUESTS = grammar(load(), "working", 24, ("sc", "hdc", "dc"))


@pytest.fixture(scope="module")
def ear():
    """One ear for the module, as for an evening: what was heard before must not matter."""
    ear = PocketsphinxEar()
    yield ear
    ear.close()


def heard(ear: PocketsphinxEar, samples: np.ndarray, what: Grammar = REQUESTS) -> list[Utterance]:
    ear.listen_for(what)
    return hear_recording(samples, ear)


@pytest.fixture
def fresh():
    """An ear that has heard nothing, so that its times begin at 0."""
    return PocketsphinxEar()


@pytest.mark.parametrize("voice", VOICES)
def test_a_session_of_requests(ear, voice):
    """All are heard in their order and none is taken for another; one may be doubted (the engine never says it twice
    alike, and the margin is small for some)."""
    asked = ["count so far", "how many left", "where am i", "recap this round", "undo that", "what can i say",
             "what is a single crochet", "go to round twelve", "by group", "finished for now"]
    found = heard(ear, session(*asked, voice=voice))
    assert [u.text for u in found] == asked
    assert sum(u.sure for u in found) >= len(asked) - 1
    assert all(u.sure == (u.confidence >= SURE) for u in found)


@pytest.mark.parametrize("rate", [110, 145, 190])
def test_slow_and_fast_speakers(ear, rate):
    asked = ["count so far", "undo that", "what can i say", "what is a single crochet"]
    found = [u.text for u in heard(ear, session(*asked, rate=rate, voice="en-us+edward")) if u.sure]
    assert len(found) >= 3 and [text for text in asked if text in found] == found


def test_when_it_was_said(fresh):
    first, second = spoken("count so far"), spoken("undo that")
    samples = np.concatenate([silence(1), first, silence(1), second, silence(1)])
    a, b = heard(fresh, samples)
    assert a.start == pytest.approx(1.0, abs=0.2)
    assert a.end == pytest.approx(1.0 + len(first) / HEARING_RATE, abs=0.2)
    assert b.start == pytest.approx(2.0 + len(first) / HEARING_RATE, abs=0.2)
    assert a.start < a.end <= b.start < b.end


def test_a_phrase_that_cant_go_on_is_heard_before_the_pause_is_over():
    """"undo that" is over; after "undo" more may come, so it waits longer."""
    def told_after(text: str) -> float:
        ear = PocketsphinxEar()
        ear.listen_for(REQUESTS)
        said = np.concatenate([silence(0.7), spoken(text)])
        fed = 0
        for piece in in_pieces(np.concatenate([said, silence(1)]), [160]):
            fed += len(piece)
            if ear.feed(piece):
                return (fed - len(said)) / HEARING_RATE
        pytest.fail(f"{text} was not heard")

    over, may_go_on = told_after("undo that"), told_after("undo")
    assert over < 0.2 and over + 0.1 < may_go_on < 0.35


@pytest.mark.parametrize("samples", [
    silence(6), np.zeros(6 * HEARING_RATE, np.int16), noise(6, 300), noise(6, 4000),
    np.concatenate([silence(2), noise(0.6, 3000), silence(2)]),  # a rustle
    np.zeros(0, np.int16),
], ids=["a quiet room", "digital silence", "a fan", "a loud fan", "a rustle", "nothing"])
def test_nothing_is_heard_where_nobody_speaks(ear, samples):
    assert [u for u in heard(ear, samples) if u.sure] == []


def test_talk_is_not_obeyed(ear):
    talk = ["my grandmother had a cottage by the sea", "shall we have some soup for dinner tonight",
            "the lighthouse was painted red last summer", "i never liked that film very much",
            "the puffins come back in april every year"]
    for voice in VOICES:
        assert [u for u in heard(ear, session(*talk, voice=voice)) if u.sure] == []


@pytest.mark.parametrize("part", ["go to", "go to round", "what is a"])
def test_half_a_request_is_none(ear, part):
    assert [u for u in heard(ear, session(part)) if u.sure and u.text not in REQUESTS.spoken()] == []


def test_only_numbers_that_are_there_are_heard(ear):
    """Seventeen and seventy sound alike; a part with 24 rounds has no seventieth."""
    found = heard(ear, session("go to round seventeen", voice="en-us+edward"))
    assert [u.text for u in found] == ["go to round seventeen"]
    few = Grammar(("go to round <number>", "undo that"), ("two", "seven"))
    assert not [u for u in heard(ear, session("go to round twelve"), few) if u.sure and u.text.endswith("twelve")]


def test_what_came_before_does_not_matter(ear):
    alone = heard(PocketsphinxEar(), session("count so far"))
    heard(ear, np.concatenate([noise(3, 2500), session("how many left", voice=VOICES[1])]))
    after = heard(ear, session("count so far"))
    assert [(u.text, u.confidence) for u in after] == [(u.text, u.confidence) for u in alone]


def test_a_round_of_a_very_long_piece(ear):
    what = grammar(load(), "working", 200)
    found = heard(ear, session("go to round one hundred and fifty five", "count so far", voice=VOICES[2]), what)
    assert [u.text for u in found] == ["go to round one hundred and fifty five", "count so far"]


def test_a_new_grammar_replaces_the_old(ear):
    yes_or_no = Grammar(("yes please", "no thanks"))
    assert [u.text for u in heard(ear, session("yes please"), yes_or_no)] == ["yes please"]
    assert not [u for u in heard(ear, session("count so far"), yes_or_no) if u.sure]
    assert [u.text for u in heard(ear, session("count so far"))] == ["count so far"]


def test_a_grammar_is_replaced_between_two_utterances_not_in_one(ear):
    ear.listen_for(REQUESTS)
    samples = session("how many left", "undo that")
    middle = round(0.7 * HEARING_RATE) + len(spoken("how many left")) // 2
    found = ear.feed(samples[:middle])
    ear.listen_for(Grammar(("undo that", "carry on")))
    found += ear.feed(samples[middle:]) + ear.finish()
    assert [u.text for u in found] == ["how many left", "undo that"]


def test_nothing_to_listen_for_hears_nothing(ear):
    assert heard(ear, session("count so far"), Grammar(())) == []
    assert heard(PocketsphinxEar(), session("count so far"), Grammar(("zzyxx",))) == []


@given(st.lists(st.integers(1, 9000), min_size=1, max_size=5))
@settings(max_examples=6, deadline=None)
def test_pieces_of_any_size_give_the_same_utterances(sizes):
    samples = session("where am i", "undo", "go to round two", pause=0.6)
    times = []
    for pieces in ([samples], in_pieces(samples, sizes)):
        ear = PocketsphinxEar()
        ear.listen_for(REQUESTS)
        times.append([u for piece in pieces for u in ear.feed(piece)] + ear.finish())
    assert times[0] == times[1]
    assert [u.text for u in times[0]] == ["where am i", "undo", "go to round two"]


def test_words_without_a_pronunciation_are_told_and_left_out(ear):
    strange = Grammar(("count so far", "amigurumi", "go to the zzyxx"), ())
    assert ear.missing_words(strange) == ["zzyxx"]
    assert [u.text for u in heard(ear, session("count so far"), strange)] == ["count so far"]


def test_every_word_of_the_phrasebook_can_be_heard(ear):
    for situation in ("working", "paused"):
        assert ear.missing_words(grammar(load(), situation, 400, ("sc", "hdc", "dc", "tr"))) == []


@pytest.mark.parametrize("word", ["picot", "slipknot"])
def test_words_that_the_dictionary_lacks(ear, word):
    assert word in MORE_WORDS
    phrase = f"what is a {word}"
    found = heard(ear, session(phrase), Grammar((phrase, "what is a slip stitch", "undo that")))
    assert [u.text for u in found] == [phrase]
