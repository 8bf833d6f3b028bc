"""Words to requests: each phrase is its own request, nothing else is one."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from coach.guide.model import Request
from coach.guide.requests import REQUESTS, SITUATIONS, makes_sense
from coach.language.model import COUNT, NUMBER
from coach.language.phrasebook import languages, load
from coach.language.understand import (
    HOOK,
    LESSON,
    MEASURE,
    PART,
    STITCH,
    TASK,
    WORDS,
    YARN,
    for_key,
    grammar,
    normal,
    stitch_named,
    understand,
)
from coach.stitches.catalogue import catalogue

ENGLISH = load("en")
PARTS = ("Body", "Left Fin")
STITCHES = ("sc", "inc", "invdec", "dc")


def samples(book, typed: bool):
    """Every phrase of a phrasebook with a few numbers and stitches put in, and the request that it must be."""
    for heard in book.request:
        for phrase in heard.say + (heard.type if typed else ()):
            if NUMBER in phrase or COUNT in phrase:
                for n in (1, 12, 17, 70, 105):
                    for form in book.number.spoken(n):
                        yield phrase.replace(NUMBER, form).replace(COUNT, form), Request(heard.name, n)
            elif PART in phrase:
                for part in PARTS:
                    yield phrase.replace(PART, part.lower()), Request(heard.name, part)
            elif WORDS in phrase:
                for own in book.notes:
                    yield phrase.replace(WORDS, own), Request(heard.name, own)
            elif MEASURE in phrase:
                for n in (1, 9, 20, 45):
                    yield phrase.replace(MEASURE, book.spoken(n)[0]), Request(heard.name, n)
            elif YARN in phrase:
                for said, name in book.yarns.items():
                    yield phrase.replace(YARN, said), Request(heard.name, f"{name} yarn")
            elif HOOK in phrase:
                for said, size in book.hooks.items():
                    yield phrase.replace(HOOK, said), Request(heard.name, f"{size:g} mm hook")
            elif TASK in phrase:
                for task, id in book.task.items():
                    yield phrase.replace(TASK, task), Request(heard.name, id)
            elif STITCH in phrase or LESSON in phrase:
                for name, id in (("single crochet", "sc"), ("increase", "inc")):
                    yield phrase.replace(STITCH, name).replace(LESSON, name), Request(heard.name, id)
            else:
                yield phrase, Request(heard.name, heard.value)


@pytest.mark.parametrize("language", languages())
@pytest.mark.parametrize("typed", [False, True])
def test_every_phrase_is_understood_as_its_own_request(language, typed):
    book = load(language)
    for phrase, request in samples(book, typed):
        if phrase.strip("?"):
            assert understand(book, phrase, typed, parts=PARTS) == request, phrase


@pytest.mark.parametrize("language", languages())
def test_no_phrase_belongs_to_two_requests(language):
    found: dict[str, Request] = {}
    for phrase, request in samples(load(language), typed=True):
        assert found.setdefault(normal(phrase), request) == request, phrase


@pytest.mark.parametrize("language", languages())
def test_all_that_an_ear_can_hear_is_understood_and_makes_sense_then(language):
    book = load(language)
    for situation in SITUATIONS:
        heard = grammar(book, situation, 24, STITCHES, highest_count=40, parts=PARTS)
        found = {understand(book, phrase, parts=PARTS).name for phrase in heard.spoken()}
        spoken = {heard.name for heard in book.request if heard.say}
        assert found == {name for name in spoken if makes_sense(name, situation)}
    assert language != "en" or spoken == set(REQUESTS)


class TestGrammar:
    def test_while_paused_only_going_on_is_heard(self):
        assert grammar(ENGLISH, "paused", 24).phrases == ("carry on", "go on", "stop", "stop talking")

    def test_while_the_coach_speaks_only_what_silences_it(self):
        assert grammar(ENGLISH, "speaking").phrases == ("stop", "stop talking")

    def test_numbers_go_up_to_the_last_round(self):
        heard = grammar(ENGLISH, "working", 24)
        assert heard.numbers[0] == "one" and heard.numbers[-1] == "twenty four" and len(heard.numbers) == 24

    def test_no_rounds_no_numbers(self):
        heard = grammar(ENGLISH, "working", 0)
        assert heard.numbers == () and not any(NUMBER in p for p in heard.phrases)
        assert grammar(ENGLISH, "paused", 24).numbers == ()

    def test_counts_go_up_to_what_the_round_can_have(self):
        heard = grammar(ENGLISH, "working", 3, highest_count=18)
        assert heard.counts[-1] == "eighteen" and heard.numbers[-1] == "three"
        assert {"i have eighteen", "go to round three"} <= set(heard.spoken())
        assert not {"i have nineteen", "go to round four"} & set(heard.spoken())

    def test_no_stitches_no_counts(self):
        heard = grammar(ENGLISH, "working", 3)
        assert heard.counts == () and not any(COUNT in p for p in heard.phrases)

    def test_parts_are_heard_by_their_names(self):
        assert "go to the left fin" in grammar(ENGLISH, parts=PARTS).phrases
        assert not any(p.startswith("go to the l") for p in grammar(ENGLISH, parts=("", "Tail")).phrases)

    def test_measures_yarns_and_hooks_are_heard_whatever_the_work_has(self):
        heard = set(grammar(ENGLISH).spoken())
        assert {"my gauge is twenty stitches", "my swatch took nine meters", "what if i use worsted yarn",
                "what if i use a four and a half millimeter hook", "what if i use an eight millimeter hook"} <= heard
        assert "my gauge is forty six stitches" not in heard

    def test_of_the_makers_own_notes_only_a_few_are_heard(self):
        assert "note too tight" in grammar(ENGLISH).phrases
        assert understand(ENGLISH, "note the tide is out") is None

    def test_only_stitches_of_this_work_can_be_asked_about(self):
        phrases = grammar(ENGLISH, stitches=("sc",), terms="UK").phrases
        assert "what is double crochet" in phrases and "what is increase" not in phrases
        assert not any(STITCH in p for p in grammar(ENGLISH).phrases)


class TestHeard:
    @pytest.mark.parametrize("words", [
        "", "go to", "go to round", "next next", "the next step", "round", "go to round twelvety", "n", "what is",
        "what is love", "i said stop it",
    ])
    def test_what_is_no_complete_phrase_is_no_request(self, words):
        assert understand(ENGLISH, words) is None

    @given(st.text(max_size=40), st.booleans())
    def test_anything_at_all_is_a_request_or_none(self, text, typed):
        found = understand(ENGLISH, text, typed)
        assert found is None or found.name in REQUESTS


class TestTyped:
    @pytest.mark.parametrize("line, meant", [
        ("NEXT", Request("next")),
        ("  next   step. ", Request("next")),
        ("n", Request("next")),
        ("go to round 5", Request("go_round", 5)),
        ("Round 5!", Request("go_round", 5)),
        ("row 5", Request("go_round", 5)),
        ("r5", Request("go_round", 5)),
        ("rnd 105", Request("go_round", 105)),
        ("go to twenty-five", Request("go_round", 25)),
        ("g", Request("go_round")),
        ("go to round 1000000000", Request("go_round", 1_000_000_000)),
        ("what's an inc?", Request("what_is", "inc")),
        ("what is invdec", Request("what_is", "invdec")),
        ("What are", None),
        ("?", Request("help")),
        ("+", Request("faster")),
        ("by row", Request("by", "round")),
        ("quit", Request("finish")),
        ("5", None),
        ("go to round " + "9" * 40, None),
    ])
    def test_digits_abbreviations_case_and_punctuation(self, line, meant):
        assert understand(ENGLISH, line, typed=True) == meant

    @pytest.mark.parametrize("line, meant", [
        ("i have 17", Request("have", 17)),
        ("I've 17!", Request("have", 17)),
        ("i have", Request("have")),
        ("ripped 3", Request("ripped", 3)),
        ("I ripped back one stitch", Request("ripped", 1)),
        ("I ripped back to row 6", Request("ripped_round", 6)),
        ("rip to 6", Request("ripped_round", 6)),
        ("st 12", Request("go_stitch", 12)),
        ("go to stitch", Request("go_stitch")),
        ("note  Used the 4 mm hook, it's better.", Request("note", "Used the 4 mm hook, it's better.")),
        ("note,buy 2 eyes", Request("note", "buy 2 eyes")),
        ("Note - buy 2 eyes", Request("note", "buy 2 eyes")),
        ("note: .5 mm less", Request("note", ".5 mm less")),
        ("note", Request("note")),
        ("go to the LEFT-fin", Request("go_part", "Left Fin")),
        ("go to body", Request("go_part", "Body")),
        ("go to the pier", Request("go_part", "pier")),
        ("go to the marker", Request("go_marker")),
        ("go to pier", None),
        ("did I increase?", Request("did", "increase")),
        ("what is under me?", Request("under")),
        ("=", Request("have")),
    ])
    def test_counts_parts_and_notes(self, line, meant):
        assert understand(ENGLISH, line, typed=True, parts=PARTS) == meant

    def test_abbreviations_are_typed_and_never_heard(self):
        assert understand(ENGLISH, "b") is None

    @given(st.integers(1, 999))
    def test_any_number_in_digits_or_in_words(self, n):
        for form in (str(n), *ENGLISH.number.spoken(n)):
            assert understand(ENGLISH, f"go to round {form}", typed=True) == Request("go_round", n)


class TestStitchNames:
    def test_the_makers_terms_decide(self):
        assert understand(ENGLISH, "what is double crochet") == Request("what_is", "dc")
        assert understand(ENGLISH, "what is double crochet", terms="UK") == Request("what_is", "sc")

    def test_a_name_of_the_other_terms_is_known_too(self):
        assert stitch_named(ENGLISH, "half treble") == "hdc"

    def test_plural_and_nonsense(self):
        assert stitch_named(ENGLISH, "chains") == "ch"
        assert stitch_named(ENGLISH, "driftwood") is None


def test_single_keys_are_requests():
    assert for_key(ENGLISH, "space") == Request("next")
    assert for_key(ENGLISH, "2") == Request("by", "group")
    assert for_key(ENGLISH, "~") == Request("read_notes")
    assert for_key(ENGLISH, "f12") is None


def test_every_technique_is_asked_for_in_words_of_doing():
    techniques = {stitch.id for stitch in catalogue().stitch if stitch.kind == "technique"}
    assert techniques - set(ENGLISH.task.values()) == {"tch", "invisiblefo"}  # how do i make a turning chain
    assert set(ENGLISH.task.values()) <= {stitch.id for stitch in catalogue().stitch}
    heard = grammar(ENGLISH).phrases
    assert {"how do i close the hole", "how do i change colour"} <= set(heard)
