"""Ears: what an ear hears becomes events of a conversation, and sounds become examples; in pieces of any size."""

from __future__ import annotations

import sys
from functools import cache
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

sys.path.insert(0, str(Path(__file__).parent / "sound"))
from rendered_speech import in_pieces, session, silence, spoken  # noqa: E402

from coach.ears import Ears  # noqa: E402
from coach.events import Forget, Forgotten, Heard, Learn, Learned, Sound  # noqa: E402
from coach.language.model import Grammar  # noqa: E402
from coach.sound.errors import EarError  # noqa: E402
from coach.sound.model import HEARING_RATE  # noqa: E402

EXAMPLES = Grammar(("no thanks",), sounds=True)


class Quiet:
    """An ear that hears nothing, and learns as it is told to."""

    name, fault, answer = "quiet", "", ""

    def listen_for(self, grammar) -> None:
        self.grammar = grammar

    def feed(self, samples) -> list:
        return []

    def finish(self) -> list:
        return []

    def learn(self, text, examples) -> str:
        if isinstance(self.answer, EarError):
            raise self.answer
        return self.answer

    def forget(self) -> str:
        return self.learn("", ())


@cache
def said() -> np.ndarray:
    return session("lighthouse", "puffin", pause=1.0)


def sounds(sizes: list[int], wanted: Grammar = EXAMPLES) -> list[tuple[Sound, float]]:
    """The sounds, and the seconds since the start at which each began."""
    ears, found = Ears(Quiet()), []
    ears.listen_for(wanted)
    for piece in in_pieces(said(), sizes):
        found += [(sound, ears.fed / HEARING_RATE - sound.began) for sound in ears.feed(piece)]
    return found


def test_each_sound_on_its_own_is_an_example():
    (first, began), (second, later) = sounds([1600])
    assert began == pytest.approx(1.0, abs=0.1)
    assert later == pytest.approx(2.0 + len(spoken("lighthouse")) / HEARING_RATE, abs=0.1)
    assert first.lasted == pytest.approx(len(spoken("lighthouse")) / HEARING_RATE, abs=0.15)
    assert len(first.of) > first.lasted * HEARING_RATE, "with a little of the quiet around it"


@settings(max_examples=15, deadline=None)
@given(sizes=st.lists(st.integers(1, 9000), min_size=1, max_size=5))
def test_pieces_of_any_size_give_the_same_sounds(sizes):
    whole, cut = sounds([len(said())]), sounds(sizes)
    assert len(whole) == len(cut) == 2
    for (one, began), (other, later) in zip(whole, cut, strict=True):
        assert np.array_equal(one.of, other.of)
        assert (one.lasted, began) == (pytest.approx(other.lasted), pytest.approx(later))


def test_sounds_are_told_only_while_they_are_wanted():
    assert sounds([1600], Grammar(("next step",))) == []
    ears = Ears(Quiet())
    ears.listen_for(EXAMPLES)
    ears.feed(silence(1.0))
    ears.listen_for(Grammar(("next step",)))
    assert ears.feed(said()) == []


def test_a_second_grammar_with_sounds_does_not_cut_the_sound_under_way():
    ears = Ears(Quiet())
    ears.listen_for(EXAMPLES)
    half = len(said()) // 3
    found = ears.feed(said()[:half])
    ears.listen_for(Grammar(("stop talking",), sounds=True))
    assert len(found + ears.feed(said()[half:])) == 2


@pytest.mark.parametrize("answer, action, event", [
    ("", Learn("next step", ()), Learned("next step")),
    ("Not alike.", Learn("next step", ()), Learned("next step", "Not alike.", again=True)),
    (EarError("No.", "Type it."), Learn("next step", ()), Learned("next step", "No. Type it.")),
    ("next step", Forget(), Forgotten("next step")), ("", Forget(), Forgotten("")),
    (EarError("Not kept."), Forget(), Learned("", "Not kept.")),
])
def test_what_comes_of_learning_and_forgetting(answer, action, event):
    ear = Quiet()
    ear.answer = answer
    assert Ears(ear).perform(action) == event


@settings(max_examples=5, deadline=None)
@given(sizes=st.lists(st.integers(1, 9000), min_size=1, max_size=5))
def test_an_ear_with_a_taught_word_hears_the_same_in_any_pieces(sizes):
    pytest.importorskip("pocketsphinx", reason="pocketsphinx is not installed")
    pytest.importorskip("pyopen_wakeword", reason="pyopen-wakeword is not installed")
    assert _heard(sizes) == _heard([len(said())])
    assert [heard.text for heard, _ in _heard(sizes)] == ["next step"]


def _heard(sizes: list[int]) -> list[tuple[Heard, float]]:
    from coach.sound.listen import best_ear

    ears = Ears(best_ear(Grammar(("next step", "undo that", "go back")), models={}))
    assert ears.perform(Learn("next step", tuple(spoken("lighthouse", rate=r) for r in (130, 150, 170)))).fault == ""
    ears.listen_for(Grammar(("next step", "undo that", "go back")))
    found = [(heard, ears.fed) for piece in in_pieces(said(), sizes) for heard in ears.feed(piece)]
    found += [(heard, ears.fed) for heard in ears.finish()]
    ears.ear.close()
    return [(Heard(h.text, h.sure, h.confidence, round(fed / HEARING_RATE - h.began, 6), round(h.lasted, 6)), 0.0)
            for h, fed in found if h.sure]
