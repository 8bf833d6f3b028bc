"""Complete phrases, beginnings of phrases, and words that can't be heard."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from coach.language.model import Grammar
from coach.language.phrasebook import load
from coach.language.understand import grammar
from coach.sound.phrases import Phrases, without, words

NUMBERS = ("one", "two", "twenty", "twenty one")
REQUESTS = Grammar(("undo", "undo that", "go to round <number>", "where am i"), NUMBERS)


@pytest.mark.parametrize(("text", "complete", "over"), [
    ("undo", True, False),  # "that" may follow
    ("undo that", True, True),
    ("go to round", False, False),
    ("go to round two", True, True),
    ("go to round twenty", True, False),  # "one" may follow
    ("go to round twenty one", True, True),
    ("go to round ninety", False, False),  # there is no such round
    ("where am", False, False),
    ("where am i going", False, False),
    ("", False, False),
    ("go to round <number>", False, False),
])
def test_phrases(text, complete, over):
    phrases = Phrases(REQUESTS)
    assert (text in phrases) == complete
    assert phrases.is_over(text) == over


def test_words_once_each():
    assert words(REQUESTS) == ("undo", "that", "go", "to", "round", "where", "am", "i", "one", "two", "twenty")


def test_phrases_with_unknown_words_are_left_out():
    assert without(REQUESTS, {"undo"}).phrases == ("go to round <number>", "where am i")
    assert without(REQUESTS, {"twenty"}).numbers == ("one", "two")


def test_without_any_number_no_phrase_has_one():
    left = without(REQUESTS, set(words(Grammar((), NUMBERS))))
    assert left == Grammar(("undo", "undo that", "where am i"), ())


def test_no_grammar_no_phrases():
    assert list(Phrases(Grammar(()))) == []
    assert "" not in Phrases(Grammar(()))


@given(st.sets(st.sampled_from(words(REQUESTS))))
def test_what_is_left_has_no_unknown_word_and_was_there_before(unknown):
    left = without(REQUESTS, unknown)
    assert unknown.isdisjoint(words(left))
    assert set(left.spoken()) == {p for p in REQUESTS.spoken() if unknown.isdisjoint(p.split())}


def test_every_phrase_of_the_phrasebook_is_complete():
    whole = grammar(load(), "working", 30, ("sc", "hdc"))
    phrases = Phrases(whole)
    assert set(phrases) == set(whole.spoken())
    assert phrases.is_over("how many left") and not phrases.is_over("next")
