"""Replies as sentences."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from coach.fabric.tree import Leaf, Loop, Run
from coach.guide.messages import say
from coach.guide.requests import HELP
from coach.language.phrasebook import load
from coach.language.speak import plain, round_label, sentence
from coach.notation.model import Action, Stitch
from coach.stitches.catalogue import catalogue

ENGLISH = load("en")
SC = Leaf(Stitch("sc"), takes=1, makes=1)
INC = Leaf(Stitch("inc"), takes=1, makes=2)


@pytest.mark.parametrize("messages, said", [
    ((), ""),
    ((say("part_of", part="Fin", piece=1, make=2),), "Fin, 1 of 2."),
    ((say("round", kind="round", number=3, label="Rnd 3"), say("steps_time", trees=(SC, INC), time=1, times=6)),
     "Round 3. Single crochet, then increase; 1 of 6."),
    ((say("round_same", kind="row", number=5, label="5th row"), say("wrong_side")), "Row 5, the same again. Wrong side."),
    ((say("steps", trees=(Loop(Run((SC, INC)), 6),)), say("makes", made=18)),
     "6 times: single crochet, then increase. That makes 18."),
    ((say("foundation", nodes=(Action("ring"),)),), "Make a magic ring."),
    ((say("makes_but", made=17, stated=18),), "That makes 17. The pattern says 18."),
    ((say("note", text="stuff firmly", terms="US"),), "Stuff firmly."),
    ((say("note", text="Stuff firmly!", terms="US"),), "Stuff firmly!"),
    ((say("piece_done", part=""),), "This piece: finished."),
    ((say("left", left=1), say("repeats_left", left=0)), "1 stitch left. This is the last repeat."),
    ((say("count", done=12, made=18),), "12 so far, of 18."),
    ((say("help", requests=HELP[0], page=1),), "You can say: next, repeat, go back, count so far, or pause."),
    ((say("off", text="Six sts are left over.", terms="US"),),
     "The pattern's count is off here. Six stitches are left over."),
])
def test_what_a_reply_sounds_like(messages, said):
    assert sentence(ENGLISH, messages) == said


def test_what_a_stitch_is():
    said = sentence(ENGLISH, (say("what_is", stitch="sc"),))
    assert said.startswith("Single crochet. ") and said.endswith(catalogue()["sc"].how[-1])
    assert sentence(ENGLISH, (say("what_is", stitch="sc"),), "UK").startswith("Double crochet. ")


class TestLabels:
    def test_a_number_is_said_with_its_kind(self):
        assert round_label(ENGLISH, "round", 12, "R12:") == "round 12"

    def test_a_label_without_it_is_said_as_written(self):
        assert round_label(ENGLISH, "row", 1, "Foundation row") == "Foundation row"


class TestWordsOfThePattern:
    @pytest.mark.parametrize("written, said", [
        ("Work 6 sc, 2 hdc and an inc in the next st.", "Work 6 single crochet, 2 half double crochet and an increase in the next stitch."),
        ("Leave 20 cm of yarn.", "Leave 20 centimetres of yarn."),
        ("Sew the fins on\nat Rnd 9.", "Sew the fins on at round 9."),
        ("sc2tog twice", "decrease twice"),
        ("Stuff the head.", "Stuff the head."),
        ("Sew the star beside the crab.", "Sew the star beside the crab."),
        ("Sl st in 2 ch-sps; weave in.", "slip stitch in 2 chain-spaces; weave in."),
    ])
    def test_abbreviations_are_spoken_out(self, written, said):
        assert plain(ENGLISH, written, "US", "US") == said

    def test_british_words_in_the_terms_of_the_maker(self):
        assert plain(ENGLISH, "6 dc, 2 tr", "UK", "US") == "6 single crochet, 2 double crochet"
        assert plain(ENGLISH, "6 dc, 2 tr", "UK", "UK") == "6 double crochet, 2 treble crochet"

    @given(st.text(max_size=60))
    def test_any_text_can_be_said(self, text):
        assert sentence(ENGLISH, (say("note", text=text, terms="US"),)).endswith((".", "!", "?", '."', ".)"))
