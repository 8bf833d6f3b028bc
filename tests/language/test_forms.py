"""Singular and plural: every sentence with the numbers 0, 1 and 2 in it."""

from __future__ import annotations

import re
import string
from collections.abc import Iterator
from itertools import product

import pytest

from coach.guide.messages import MESSAGES, say
from coach.language.phrasebook import load
from coach.language.speak import sentence

ENGLISH = load("en")
# Words that are names or whole phrases, in which no number is put.
NO_NUMBERS = {"title", "part", "label", "text", "terms", "kind", "own", "patterns", "sizes", "size", "colour", "requests", "stitch", "stitch_name",
              "shaping", "into", "trees", "nodes", "repeat", "lesson", "at", "renamed", "written", "letters", "words", "runs"}
PLURALS = ("stitches steps rounds rows repeats minutes hours seconds metres centimetres millimetres grams pieces parts places chains loops "
           "spaces notes changes fit are have were").split()


def filled(key: str, number_for: tuple[int, ...]) -> str:
    """The sentence of a message with these numbers, and x for all else."""
    form = ENGLISH.say[key]
    templates = [form] if isinstance(form, str) else [text for name, text in form.items() if name != "by"]
    fields = {name for text in templates for _, name, _, _ in string.Formatter().parse(text) if name}
    values = dict.fromkeys(fields, "x") | dict(zip(numbers_of(key), number_for, strict=True))
    return ENGLISH.form(form, values)


def numbers_of(key: str) -> list[str]:
    return [name for name in MESSAGES[key] if name not in NO_NUMBERS]


def sentences() -> Iterator[tuple[str, tuple[int, ...]]]:
    for key in MESSAGES:
        if numbers := numbers_of(key):
            yield from ((key, found) for found in product((0, 1, 2), repeat=len(numbers)))


def test_one_of_anything_is_singular_in_every_sentence():
    wrong = {key: text for key, numbers in sentences()
             if re.search(rf"\b(?:1|one) (?:{'|'.join(PLURALS)})\b", text := filled(key, numbers))}
    assert not wrong


def test_two_of_anything_are_plural_in_every_sentence():
    singular = [word.removesuffix("es") if word == "stitches" else word.removesuffix("s") for word in PLURALS if word.endswith("s")]
    wrong = {key: text for key, numbers in sentences()
             if re.search(rf"\b(?:0|2) (?:{'|'.join(singular)})\b(?! to do| it)", text := filled(key, numbers))}
    assert not wrong


@pytest.mark.parametrize("message, said", [
    (say("size_round", width=0.5, height=1.0), "About half a centimetre across, 1 high."),
    (say("size_flat", width=1.0, height=0.5), "About 1 centimetre wide, half a centimetre long."),
    (say("size_round", width=3.0, height=0.5), "About 3 centimetres across, half a centimetre high."),
    (say("size_disc", width=1.0), "About 1 centimetre across, flat."),
    (say("size_disc", width=2.5), "About 2 and a half centimetres across, flat."),
    (say("done", done=0, made=1), "0 of 1 stitch done."),
    (say("yarn", low=0, high=1), "Up to 1 metre of yarn."),
    (say("pace_is", seconds=1), "1 second a stitch."),
    (say("pace_is", seconds=6.5), "6 and a half seconds a stitch."),
    (say("assembly_at", done=1, steps=1), "Putting it together: 1 of 1 step done."),
])
def test_a_number_with_its_unit(message, said):
    assert sentence(ENGLISH, [message]) == said
