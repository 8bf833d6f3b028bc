"""The spoken steps: short, the same in US and UK terms, and telling the truth about the loops on the hook."""

from __future__ import annotations

import re

import pytest
from test_actions import loops

from coach.stitches.catalogue import catalogue, stitch

ALL = catalogue().stitch
NUMBERS = {"one": 1, "two": 2, "three": 3, "four": 4, "five": 5, "six": 6, "seven": 7}


@pytest.mark.parametrize("stitch", ALL, ids=lambda s: s.id)
def test_every_entry_tells_how_in_a_few_short_steps(stitch):
    assert 3 <= len(stitch.how) <= 6
    for step in stitch.how:
        assert len(step.split()) <= 14, step  # about one breath
        assert step.endswith(".") and step[0].isupper()


@pytest.mark.parametrize("stitch", ALL, ids=lambda s: s.id)
def test_no_step_names_a_stitch_that_the_other_terms_call_something_else(stitch):
    text = " ".join(stitch.how).lower()
    assert not re.search(r"crochet|treble|\b(sc|dc|hdc|htr|tr|dtr)\b|\bdouble\b|\bsingle\b|yarn over", text)


@pytest.mark.parametrize("stitch", [s for s in ALL if s.actions], ids=lambda s: s.id)
def test_the_loops_that_a_step_names_are_on_the_hook(stitch):
    # "... a loop up: three loops on the hook" must be a number that the actions give, in this order
    seen = iter(loops(stitch.actions))
    for said in re.findall(r": (\w+) loops|: (\w+) are left", " ".join(stitch.how)):
        number = NUMBERS[said[0] or said[1]]
        assert number in seen, f"{number} loops are never on the hook here"


def test_looking_is_never_asked_for():
    looking = re.compile(r"\b(look|see|watch|colou?r of|picture|diagram)\b", re.I)
    for stitch in ALL:
        assert not looking.search(" ".join(stitch.how)), stitch.id


WORKED = [s for s in ALL if s.actions] + [stitch("dc5tog"), stitch("tr4tog"), stitch("dtr2tog")]
LOOPS = re.compile(r": (\w+) loops|: (\w+) are left|^(One) loop is left")


@pytest.mark.parametrize("entry", WORKED, ids=lambda s: s.id)
def test_the_steps_do_all_the_actions_and_each_tells_the_loops_that_it_leaves(entry):
    assert len(entry.does) == len(entry.how)
    assert sum(entry.does) == len(entry.actions)
    on_hook = 1
    hook = (on_hook, *loops(entry.actions))  # the hook of these tests, which knows nothing of the catalogue
    for n, step in enumerate(entry.how):
        before, on_hook = on_hook, hook[sum(entry.does[: n + 1])]
        assert entry.loops_after(n) == (on_hook if on_hook != before else None), step
        for said in LOOPS.findall(step):
            word = next(filter(None, said)).lower()
            assert (int(word) if word.isdigit() else NUMBERS[word]) == on_hook, step


@pytest.mark.parametrize("entry", [s for s in ALL if not s.actions], ids=lambda s: s.id)
def test_a_technique_leaves_the_loops_to_the_stitches(entry):
    assert not entry.does and all(entry.loops_after(n) is None for n in range(len(entry.how)))


class TestHands:
    def test_left_handed_directions_are_the_mirror_of_the_right_handed(self):
        swapped = {"left": "right", "right": "left"}
        mirrored = 0
        for entry in ALL:
            for right, left in zip(entry.steps("right"), entry.steps("left"), strict=True):
                if right != left:
                    mirrored += 1
                    assert re.sub(r"\b(left|right)\b", lambda m: swapped[m[0]], right) == left
        assert mirrored >= 5

    def test_what_remains_and_the_right_side_are_no_directions(self):
        c = catalogue()
        assert c["sc"].steps("left")[-1] == "One loop is left; a new V lies on the edge."
        assert c["rightside"].steps("left")[0] == "In rounds, the right side faces you while you work."
        assert c["hold"].steps("left")[0] == "Take the hook in your left hand, like a pencil or a knife."

    @pytest.mark.parametrize("entry", ALL, ids=lambda s: s.id)
    def test_no_direction_is_left_unmarked(self, entry):
        text = re.sub(r"is left|are left|right side|right beside", "", " ".join(entry.how))
        assert not re.search(r"(?<!\{)\b(left|right|clockwise)\b", text)


@pytest.mark.parametrize("id", ["firststitch", "findmarker", "rightside", "lastround", "tops"])
def test_the_work_is_read_by_touch(id):
    assert re.search(r"\b(feel|fingertip|stroke|nail)\b", " ".join(catalogue()[id].how), re.I)
