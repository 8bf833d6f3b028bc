"""Replies as sentences."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from coach.fabric.tree import Leaf, Loop, Run
from coach.guide.messages import say
from coach.guide.requests import HELP
from coach.language.phrasebook import load
from coach.language.speak import round_label, sentence
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
    ((say("round_same", kind="row", number=5, label="5th row"), say("wrong_side")),
     "Row 5, the same again. Wrong side."),
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
     "The pattern has a fault here. Six stitches are left over."),
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


@given(st.text(max_size=60))
def test_any_text_can_be_said(text):
    assert sentence(ENGLISH, (say("note", text=text, terms="US"),)).endswith((".", "!", "?", ":", '."', ".)"))
