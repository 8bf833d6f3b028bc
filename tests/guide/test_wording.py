"""US and UK, left and right: on request, and never in silence."""

from __future__ import annotations

import pytest
from harbour_works import SEAL, fabric, part, rnd, sc
from hypothesis import given
from hypothesis import strategies as st

from coach.fabric import work
from coach.fabric.tree import Loop
from coach.guide.machine import answer, begin
from coach.guide.model import Request, Settings, State
from coach.guide.wording import terms_of
from coach.language.phrasebook import load
from coach.language.speak import sentence
from coach.notation import read
from coach.topics import Working

ENGLISH = load("en")
SQUARE = work(read("# Net square\n\nTerms: UK.\n\n## Square\nRnd 1: 3ch (counts as 1tr), 11tr in magic ring. (12)\nRnd 2: 1dc in each st. (12)\n"
                   "Work a treble or a double crochet more if you like, as with trebles.\n"))


def keys(reply) -> list[str]:
    return [m.key for m in reply.messages]


class TestTerms:
    def test_the_difference_is_told_at_the_switch_at_the_recap_and_at_coming_back(self):
        state, reply = answer(SQUARE, State(), Request("terms", "US"))
        assert keys(reply)[:2] == ["terms_are", "renamed"]
        assert "terms_are" in keys(answer(SQUARE, state, Request("recap"))[1])
        assert "terms_are" in keys(begin(SQUARE, state)[1])
        assert "terms_are" not in keys(begin(SQUARE, State())[1])

    def test_going_back_to_the_patterns_own_is_told_too(self):
        state, _ = answer(SQUARE, State(), Request("terms", "US"))
        back, reply = answer(SQUARE, state, Request("terms", "UK"))
        assert keys(reply)[0] == "terms_as_written" and terms_of(SQUARE, back) == "UK"

    @given(st.lists(st.sampled_from([Request("terms", "US"), Request("terms", "UK"), Request("undo"), Request("next"), Request("back")]),
                    max_size=20))
    def test_no_answer_changes_the_terms_without_saying_so(self, asked):
        state, _ = begin(SQUARE, State())
        for request in asked:
            after, reply = answer(SQUARE, state, request)
            if terms_of(SQUARE, after) != terms_of(SQUARE, state):
                assert {"terms_are", "terms_as_written"} & set(keys(reply)), request
            state = after

    def test_names_in_full_in_the_patterns_prose_are_put_into_the_other_terms(self):
        text = "Work a treble or a double crochet more if you like, as with trebles."
        note = (answer(SQUARE, State(), Request("terms", "US"))[0])
        assert note.terms == "US"
        from coach.guide.messages import say

        message = (say("note", text=text, terms="UK"),)
        assert sentence(ENGLISH, message, "UK") == text
        assert sentence(ENGLISH, message, "US") == (
            "Work a double crochet or a single crochet more if you like, as with double crochet.")

    def test_what_is_not_a_kind_of_terms_is_asked_back(self):
        assert keys(answer(SQUARE, State(), Request("terms", "French"))[1]) == ["which_terms"]

    def test_the_command_line_asks_for_terms_and_the_maker_for_others(self):
        working = Working(SQUARE, ENGLISH, State(), "US")
        assert working.terms == "US" and "US terms" in working.begin().said
        working.answer(Request("terms", "UK"))
        assert working.terms == "UK"
        assert Working(SQUARE, ENGLISH, working.state, "US").terms == "UK"

    def test_requests_name_stitches_in_the_terms_that_are_heard(self):
        working = Working(SQUARE, ENGLISH)
        assert working.understand("what is double crochet", typed=False) == Request("what_is", "sc")
        working.answer(Request("terms", "US"))
        assert working.understand("what is double crochet", typed=False) == Request("what_is", "dc")
        assert "what is single crochet" in working.grammar().phrases


class TestHand:
    def test_it_is_kept_and_undone(self):
        state, reply = answer(SEAL, State(), Request("hand", "left"))
        assert state.settings.hand == "left" and keys(reply) == ["hand_left"]
        assert answer(SEAL, state, Request("undo"))[0].settings.hand == "right"

    def test_what_is_no_hand_is_asked_back(self):
        assert keys(answer(SEAL, State(), Request("hand", "both"))[1]) == ["which_hand"]

    @pytest.mark.parametrize("text, told", [
        ("Turn to the left.", True), ("Work clockwise.", True), ("Keep the right side out.", False), ("Six stitches are left.", False),
        ("Sew it on.", False),
    ])
    def test_the_patterns_own_words_stay_and_that_is_told(self, text, told):
        fin = fabric(part("Fin", rnd(1, Loop(sc(), 6))), text=text)
        left = State(settings=Settings(hand="left"))
        assert ("hand_words" in keys(begin(fin, left)[1])) == told
        assert "hand_words" not in keys(begin(fin, State())[1])

    def test_the_coach_speaks_mirrored_through_the_whole_topic(self):
        working = Working(SEAL, ENGLISH, State(settings=Settings(hand="left")))
        assert "your left hand" in working.answer(Request("teach", "hold")).said
