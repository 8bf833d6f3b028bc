"""Makers' own words: what they say means what they chose, and nothing else changes."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from coach.guide.model import Request
from coach.language.makers_words import own_words, with_words, written
from coach.language.phrasebook import load
from coach.language.speak import sentence
from coach.language.understand import grammar, normal, understand

ENGLISH = load("en")


@pytest.mark.parametrize("phrase, meant, request_", [
    ("onward", "next", Request("next")),
    ("On we go!", "next step", Request("next")),
    ("to the eyes", "go to round 5", Request("go_round", 5)),
    ("bit by bit", "by stitch", Request("by", "stitch")),
])
def test_a_makers_phrase_means_what_they_chose(phrase, meant, request_):
    book, faults = with_words(ENGLISH, {phrase: meant})
    assert faults == ()
    assert understand(book, phrase) == request_
    assert normal(phrase) in grammar(book, "working", 9).phrases
    assert understand(ENGLISH, phrase) is None, "the phrasebook itself stays as it is"


@pytest.mark.parametrize("phrase, meant, told", [
    ("undo", "next", "Undo means something else already."),
    (ENGLISH.called[0], "next", "means something else already"),
    ("onward", "dance", "I don't know dance."),
    ("?!", "next", "is nothing to say"),
    ("to <number>", "next", "is nothing to say"),
])
def test_what_can_be_no_word_is_told_and_left_out(phrase, meant, told):
    book, (fault,) = with_words(ENGLISH, {phrase: meant})
    assert told in sentence(ENGLISH, [fault])
    assert book.request == ENGLISH.request


def test_every_old_word_still_means_the_same():
    book, _ = with_words(ENGLISH, {"onward": "next", "to the eyes": "go to round 5", "please once more": "repeat"})
    for heard in ENGLISH.request:
        for phrase in (*heard.say, *heard.type):
            assert understand(book, phrase, typed=True) == understand(ENGLISH, phrase, typed=True)
    assert {key: heard.name for key, heard in book.keys.items()} == {k: h.name for k, h in ENGLISH.keys.items()}


def test_one_word_may_stand_for_another_of_ones_own():
    book, faults = with_words(ENGLISH, {"onward": "next", "ahead": "onward"})
    assert faults == () and understand(book, "ahead") == Request("next")


@pytest.mark.parametrize("text, fault", [
    ("[words", "can't be read"), ("words = 3", "needs lines like"), ("[words]\nahead = 3", "needs lines like"),
])
def test_a_file_that_is_none_is_told(text, fault):
    words, told = own_words(text)
    assert words == {} and fault in told


def test_an_empty_file_has_no_words():
    assert own_words("") == ({}, "")


@given(st.dictionaries(st.text("abc '\"\\üé"), st.text("next \"\\")))
def test_what_is_written_is_what_is_read(words):
    assert own_words(written(words)) == (words, "")
