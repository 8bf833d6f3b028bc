"""Colours that no verb introduces: behind a label's number, and before a colon."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st
from passages import body, cursor, rest, rounds

from coach.notation.colour_names import read_colour
from coach.notation.labels import read_label
from coach.notation.model import Action


@pytest.mark.parametrize(("text", "name"), [
    ("red", "red"), ("dark green", "dark green"), ("MC", "mc"), ("colour B", "color b"), ("Color 2", "color 2"),
    ("off-white", "off white"), ("sea blue", "sea blue"), ("navy blue", "navy blue"), ("A", "a")])
def test_a_name(text, name):
    c = cursor(text)
    assert read_colour(c) == name
    assert c.done, rest(c)


@pytest.mark.parametrize("text", ["", "sc", "dark", "6", "stitch", "inc", "increase round", "beak", "the", "color"])
def test_no_name_and_no_move(text):
    c = cursor(text)
    assert read_colour(c) == ""
    assert c.at == 0


@pytest.mark.parametrize(("line", "colour"), [
    ("Rnd 1 (red): 6 sc", "red"),
    ("Rnd 1 [white]: 6 sc", "white"),
    ("Rnds 4-9 (with MC): sc", "mc"),
    ("Row 9 (RS), with A: sc", "a"),
    ("Rnd 4 in white: sc", "white"),
    ("Rnd 4, with dark green: sc", "dark green"),
    ("3rd row (blue): sc", "blue"),
    ("Next rnd (grey): sc", "grey"),
    ("Rnd 3 (18): sc", ""),
    ("Rnd 3 (inc, sc) x 6", ""),
    ("Rnd 3 (increase): sc", ""),
    ("Rnd 3: with red, sc", ""),  # said in the round itself
    ("Rnd 3 with red sc 4, with white sc 8", ""),
])
def test_in_a_label(line, colour):
    assert read_label(line, 0).colour == colour


def test_each_round_of_a_label_has_its_colour():
    found = rounds("Rnd 1 (red): 6 sc in magic ring. (6)\nRnds 2-3 (white): sc in each st around. (6)")
    assert [one.colour for one in found] == ["red", "white", "white"]
    assert [one.label for one in found] == ["Rnd 1", "Rnd 2", "Rnd 3"]


def test_a_round_like_another_has_a_colour_of_its_own():
    found = rounds("Rnd 1: 6 sc in magic ring. (6)\nRnd 2 (red): sc in each st. (6)\nRnd 3 (white): Rep Rnd 2. (6)")
    assert [one.colour for one in found] == [None, "red", "white"]


@pytest.mark.parametrize("line", ["MC: sc 4, CC: inc 8", "mc: sc 4; cc: inc 8", "Dark red: sc 4, white: inc 8"])
def test_before_a_colon(line):
    colours = [node.text for node in body(line) if isinstance(node, Action) and node.kind == "colour"]
    assert len(colours) == 2


def colours(line: str, heading: str = "") -> list[str]:
    """The colours of a round's nodes in order, one word each for stitches that stand between them."""
    return [n.text if isinstance(n, Action) else "stitches" for n in body(line, heading)]


@pytest.mark.parametrize("line", [
    "(MC) sc 3, (CC) sc 3",
    "[in MC] sc 3, [in CC] sc 3",
    "Sc 3 (MC), sc 3 (CC)",
    "3 sc with MC, 3 sc with CC",
    "3 sc in MC, 3 sc in CC",
    "With MC, sc 3, with CC, sc 3",
    "In MC, 3 sc, in CC, 3 sc.",
    "3 sc with MC and 3 sc in CC",
    "Sc 3 MC, sc 3 CC",
    "3 MC sc, 3 CC sc",
    "MC sc 3, CC sc 3",
    "Sc 3 MC, 3 CC",
    "In MC sc 3, in CC sc 3",
    "With MC 3 sc, with CC 3 sc",
    "Sc in MC 3, sc in CC 3",
    "Sc in MC in next 3 sts, sc in CC to end",
    "Sc in next 3 sts with MC, sc to end in CC",
])
def test_wherever_it_is_said_a_colour_stands_before_its_stitches(line):
    assert colours(line) == ["with mc", "stitches", "with cc", "stitches"]


@pytest.mark.parametrize("line", ["(red) Sc in each st around", "(in red) sc around", "In red, sc around.", "6 sc in red"])
def test_a_round_in_one_colour(line):
    assert colours(line) == ["with red", "stitches"]


def test_colours_in_a_repeat():
    (again,) = body("*sc 1 (red), inc (dark blue)* x 3")
    assert [n.text for n in again.body if isinstance(n, Action)] == ["with red", "with dark blue"]


@pytest.mark.parametrize("line", ["Ch 1 with B, sc around", "With B, ch 1, sc around", "Ch 1 in B, sc around"])
def test_the_chain_that_begins_a_round_is_worked_in_the_colour_said_with_it(line):
    assert colours(line) == ["with b", "stitches", "stitches"]


@pytest.mark.parametrize("line", ["Sc in each red st", "2 sc in red sts", "Sc 6 light"])
def test_what_is_worked_into_is_no_colour_to_work_in(line):
    assert "with red" not in colours(line)


def test_what_is_repeated_from_the_beginning_begins_in_its_first_colour():
    (again,) = body("Sc 2 in red, sc 2 in white, repeat from beginning around")
    assert [n.text for n in again.body if isinstance(n, Action)] == ["with red", "with white"]
    assert colours("With red, ch 1, sc 1, inc, repeat around") == ["with red", "stitches", "stitches"]


def test_a_joining_with_a_yarn_is_no_stitch_worked_in_it():
    assert colours("Sc in each st around, sl st to first st with B.")[-1] == "with b"


def test_letters_are_yarns_only_where_the_pattern_has_such_yarns():
    assert colours("A 3 sc, B 3 sc", "Colour A: red\nColour B: blue\n") == ["with a", "stitches", "with b", "stitches"]
    assert "with a" not in colours("A 3 sc, 3 sc")


@pytest.mark.parametrize("told", [
    "With larger hook", "With size H hook", "With right side facing", "With the wrong side facing you", "With a 5 mm hook"])
def test_what_is_no_yarn_is_a_note(told):
    found = rounds(f"Rnd 1: 6 sc in magic ring. (6)\nRnd 2: {told}, sc in each st around. (6)")[1]
    assert [n.text for n in found.notes] == [told]
    assert not [n for n in found.body if isinstance(n, Action)]


def test_a_yarn_after_the_hook():
    assert colours("With larger hook and B, sc in each st around") == ["with b", "stitches"]


@given(st.text("abcdefg (),:x6", max_size=12))
def test_whatever_stands_behind_a_number_the_label_is_read(told):
    label = read_label(f"Rnd 3 {told}: sc in each st", 0)
    assert label is None or label.numbers[0] == 3


def test_a_colour_by_itself_is_worked_in():
    assert colours("Colour B. Sc in each st around.") == ["with color b", "stitches"]
