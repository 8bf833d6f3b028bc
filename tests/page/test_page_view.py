"""What the page shows of a conversation, read as a conversation."""

from __future__ import annotations

import json

import pytest
from held import ENGLISH, choosing, working

from coach import fabric, notation
from coach.events import Answer
from coach.language.understand import for_key, understand
from coach.page.view import ASKING, CHOOSING, COUNTING, PAUSED, WORKING, Words, buttons, keys, view
from coach.topics import Working


def after(topic, *lines: str) -> dict:
    """The view after these typed lines."""
    answer: Answer = topic.begin()
    heard = ""
    for heard in lines:
        answer = topic.answer(topic.understand(heard, typed=True))
    return view(topic, Words(answer.said, heard=heard))


def test_before_the_first_step():
    seen = after(working())
    assert seen["title"] == "Mooring buoy"
    assert seen["part"] == "Buoy"
    assert seen["instruction"] == "Say next for the first step."
    assert seen["said"].endswith(seen["instruction"])
    assert (seen["stitch"], seen["of"], seen["total"]) == (0, 6, 0)


def test_an_instruction_is_said_and_the_round_stands_beside_it():
    seen = after(working(), "next")
    assert seen["said"] == "Round 1. Make a magic ring. 6 single crochet into the ring. That makes 6."
    assert seen["instruction"] == "Make a magic ring. 6 single crochet into the ring."
    assert (seen["round_name"], seen["rounds"]) == ("Round 1", 11)
    assert seen["heard"] == "next"


def test_an_answer_leaves_the_instruction_where_it_is():
    topic = working("seal")
    seen = after(topic, "next", "next", "next", "next", "count so far")
    assert seen["said"] == "3 so far, of 18."
    assert seen["instruction"] == "Single crochet, then increase; 2 of 6."
    assert (seen["stitch"], seen["of"], seen["total"]) == (3, 18, 21)
    assert seen["place"] == {"round": 3, "stitch": 3}


def test_one_of_several_pieces():
    seen = after(working("seal"), "go to the flipper", "next")
    assert (seen["part"], seen["piece"], seen["make"]) == ("Flipper", 1, 2)
    assert seen["chart"] == 2


def test_a_finished_piece_has_all_of_its_chart_done():
    seen = after(working(), "go to round 11", "next", "next")
    assert seen["said"].startswith("Buoy: finished.")
    assert seen["place"] == {"round": 11, "stitch": 6}
    assert (seen["round_name"], seen["total"]) == ("", 192)
    assert "finished" in seen["instruction"]


def test_the_assembly_is_read_sentence_by_sentence_and_has_no_chart():
    topic = working("seal")
    topic.begin()
    for _ in range(2000):
        if topic.state.place.part == len(topic.fabric.parts):
            break
        answer = topic.answer(topic.understand("next", True))
    seen = view(topic, Words(answer.said))
    assert seen["chart"] is None and seen["place"] is None and seen["part"] is None
    assert seen["of"] == 0
    assert seen["instruction"]


def test_a_round_that_could_not_be_read_is_shown_as_written():
    topic = Working(
        fabric.work(notation.read("Float\nRnd 1: 6 sc in magic ring. (6)\nRnd 2: flurb the grommet twice.\n")), ENGLISH
    )
    seen = after(topic, "next", "next")
    assert "flurb the grommet twice" in seen["instruction"].lower()


def test_a_fault_is_said_and_does_not_stand_in_the_instruction():
    topic = Working(
        fabric.work(notation.read("Float\nRnd 1: 6 sc in magic ring. (6)\nRnd 2: inc x 6. (13)\n")), ENGLISH
    )
    seen = after(topic, "next", "next")
    assert "fault" in seen["said"]
    assert seen["instruction"] == "Increase in each of the next 6."


# ---- what can be asked for


@pytest.mark.parametrize(
    ("lines", "situation", "names"),
    [
        ((), "working", WORKING),
        (("next", "pause"), "paused", PAUSED),
        (("next", "tap"), "counting", COUNTING),
        (("go to round 5", "i ripped back to round 4"), "asking", ASKING),
    ],
)
def test_the_buttons_fit_the_situation(lines, situation, names):
    seen = after(working(), *lines)
    assert seen["situation"] == situation
    assert tuple(b["name"] for b in seen["requests"]) == names


def test_in_a_lesson_its_step_is_the_instruction_and_afterwards_the_work_is_again():
    topic = working()
    work = after(topic, "next")["instruction"]
    taught = after(topic, "how do i do that")
    assert taught["instruction"] in taught["said"]
    assert taught["instruction"] != work
    onward = after(topic, "next")
    assert onward["instruction"] in onward["said"]
    assert onward["instruction"] not in (taught["instruction"], work)
    assert after(topic, "where am i", "go to round 1")["instruction"] == work


def test_a_question_has_the_page_to_itself():
    topic = working()
    assert after(topic, "go to round 5", "i ripped back to round 4")["instruction"] == ""
    assert after(topic, "no")["instruction"]


def test_a_question_has_yes_and_no_first():
    assert [b["label"] for b in buttons(ENGLISH, ASKING)[:2]] == ["Yes", "No"]


def test_choosing_has_a_button_for_each_pattern_that_types_its_title():
    topic = choosing()
    seen = after(topic)
    assert [b["label"] for b in seen["requests"][:2]] == ["1: Mooring buoy", "2: Harbour seal"]
    assert topic.understand(seen["requests"][1]["typed"], typed=True).value == 2
    assert [b["name"] for b in seen["requests"][2:]] == list(CHOOSING)
    assert seen["said"].startswith("Which pattern?")


@pytest.mark.parametrize("name", sorted({*WORKING, *COUNTING, *ASKING, *PAUSED}))
def test_a_button_types_what_its_label_says(name):
    (button,) = buttons(ENGLISH, (name,))
    assert understand(ENGLISH, button["typed"], typed=True).name == name
    assert understand(ENGLISH, button["label"], typed=True).name == name


@pytest.mark.parametrize(("key", "typed"), keys(ENGLISH).items())
def test_a_key_of_the_page_is_the_same_request_as_that_key_of_the_terminal(key, typed):
    assert understand(ENGLISH, typed, typed=True) == for_key(ENGLISH, key)


@pytest.mark.parametrize("name", ["buoy", "seal", "puffin", "lighthouse", "dishcloth", "cap"])
def test_all_along_a_pattern_the_view_is_json_on_one_line_and_its_counts_are_the_answers(name):
    topic = working(name)
    answer = topic.begin()
    for _ in range(150):
        seen = view(topic, Words(answer.said))
        assert "\n" not in json.dumps(seen)
        assert seen["instruction"]
        assert 0 <= seen["stitch"] <= seen["of"] or not seen["of"]
        if seen["place"]:
            made = topic.fabric.parts[seen["chart"]].rounds[seen["place"]["round"] - 1].made
            assert 0 <= seen["place"]["stitch"] <= made
        answer = topic.answer(topic.understand("next", True))
