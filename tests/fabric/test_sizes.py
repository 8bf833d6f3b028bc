"""Remarks to some sizes are heard in these alone."""

from __future__ import annotations

from pathlib import Path

import pytest

from coach.fabric import work
from coach.fabric.sizes import in_size, of_size, told_to
from coach.notation import read
from coach.notation.model import Note

SIZES = ("S", "M", "L")


@pytest.mark.parametrize(("text", "heard_in"), [
    ("Size S goes straight on to Rnd 11.", (0,)),
    ("Sizes M and L only: leave a longer tail.", (1, 2)),
    ("Sizes S, M and L: turn.", (0, 1, 2)),
    ("For size l, use the larger hook.", (2,)),
    ("Sizes S/M skip this.", (0, 1)),
    ("All sizes: the sides.", (0, 1, 2)),
    ("Size matters here.", None),
    ("Size XL goes on.", None),  # this pattern has none: nobody misses it
    ("The size S is the smallest.", None),
    ("Stuff firmly.", None),
])
def test_who_hears_it(text, heard_in):
    assert told_to(Note(text), SIZES) == heard_in
    assert [size for size in range(3) if in_size((Note(text),), SIZES, size)] == list(heard_in or range(3))


@pytest.mark.parametrize(("text", "heard"), [
    ("To fit a head of 48 (54, 60) cm.", "To fit a head of 54 cm."),
    ("Navy: 60(75,90) g, 1 button.", "Navy: 75 g, 1 button."),
    ("19.5 (21.5, 24) cm high, 46 (51, 57) cm round.", "21.5 cm high, 51 cm round."),
    ("Two numbers, 3 (4), are not one for each of three sizes.", "Two numbers, 3 (4), are not one for each of three sizes."),
    ("A hook of 5 mm (8).", "A hook of 5 mm (8)."),
])
def test_the_number_of_the_size_is_heard(text, heard):
    assert of_size(text, SIZES, 1) == heard == in_size((Note(text),), SIZES, 1)[0].text
    assert of_size(text, (), 0) == text


def test_a_pattern_in_one_size_says_all_it_has():
    assert in_size((Note("Size S goes on."),), ("S",), 0) and in_size((Note("Size S goes on."),), (), 0)


def test_our_cap_sends_only_its_smallest_size_ahead():
    pattern = read((Path(__file__).parents[2] / "patterns/cap.md").read_text("utf-8"))
    for size, name in enumerate(pattern.sizes):
        said = [n.text for worked in work(pattern, size).parts[0].rounds for n in worked.source.notes]
        assert ("Size S goes straight on to Rnd 11." in said) == (name == "S")
        assert "All sizes: the sides." in said  # written after a round that only the largest works


def test_the_notes_of_a_part_too():
    text = "# Net\n\nSizes: S (M)\n\n## Net\n\nSize M: use the larger hook.\n\nRnd 1: 6 (8) sc in magic ring. (6, 8)\n"
    assert [[n.text for n in work(read(text), size).parts[0].source.notes] for size in (0, 1)] == [[], ["Size M: use the larger hook."]]
