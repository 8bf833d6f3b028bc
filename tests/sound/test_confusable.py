"""Phrases that can be told apart, by the recogniser's own dictionary."""

from __future__ import annotations

from functools import cache

import pytest

pytest.importorskip("pocketsphinx", reason="pocketsphinx is not installed")

from coach.language.phrasebook import load  # noqa: E402
from coach.language.understand import grammar  # noqa: E402
from coach.sound.confusable import APART, NUMBERS_APART, Pair, confusable, mixed_numbers  # noqa: E402
from coach.sound.pocketsphinx_ear import PocketsphinxEar  # noqa: E402

ENGLISH = load("en")


@pytest.fixture(scope="module")
def ear():
    return PocketsphinxEar()


@pytest.fixture(scope="module")
def pronounce(ear):
    return cache(ear.pronunciations)


def saying(name: str, *phrases: str, value: str | None = None):
    """The English phrasebook with other phrases for a request."""
    requests = tuple(h.model_copy(update={"say": phrases}) if (h.name, h.value) == (name, value) else h
                     for h in ENGLISH.request)
    return ENGLISH.model_copy(update={"request": requests})


def test_the_requests_of_the_phrasebook_can_be_told_apart(pronounce):
    assert confusable(ENGLISH, pronounce) == []


def test_the_nearest_pairs_are_told_with_a_wider_threshold(pronounce):
    pairs = confusable(ENGLISH, pronounce, 2.1)
    assert Pair("next", "yes", 2.0) in pairs
    assert [p.apart for p in pairs] == sorted(p.apart for p in pairs)


@pytest.mark.parametrize("name, phrases, found", [
    ("slower", ("count slower", "slower"), ("count slowly", "count slower")),
    ("pause", ("paws", "next stop"), ("next step", "next stop")),
])
def test_a_phrase_that_is_too_near_another_is_found(pronounce, name, phrases, found):
    pairs = confusable(saying(name, *phrases), pronounce)
    assert any({pair.one, pair.other} == set(found) and pair.apart < APART for pair in pairs)


def test_two_phrases_for_the_same_may_be_alike(pronounce):
    assert confusable(saying("undo", "undo", "undo it", "undo this"), pronounce) == []


def test_what_is_never_said_in_the_same_situation_may_be_alike(pronounce):
    """"Carry on" is for when the coach is paused."""
    assert confusable(saying("carry_on", "next step", "carry on"), pronounce) == []


def test_numbers_that_sound_alike_are_those_of_the_phrasebook(pronounce):
    assert mixed_numbers(ENGLISH, pronounce, 99) == sorted(ENGLISH.number.twins)
    assert (13, 30) in ENGLISH.number.twins and NUMBERS_APART < APART


def test_every_word_of_the_phrasebook_has_a_sound(ear):
    stitches = ("sc", "hdc", "dc", "inc", "sc2tog")
    for situation in ("working", "asking", "paused", "speaking"):
        assert ear.missing_words(grammar(ENGLISH, situation, 99, stitches, highest_count=250)) == []
    for name in ENGLISH.called:
        assert ear.pronunciations(name)
