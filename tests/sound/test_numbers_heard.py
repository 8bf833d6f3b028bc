"""Which number was said, from what the head tells in each frame."""

from __future__ import annotations

import numpy as np
import pytest

from coach.sound.numbers_heard import NumberReader

WORDS = {word: n for n, word in enumerate(("two", "three", "twenty", "thirty"), 1)}
READER = NumberReader(("two", "three", "twenty", "twenty two", "twenty three", "thirty two", "forty"), WORDS)


def frames(*told: str, sure: float = 0.9) -> np.ndarray:
    """Log probabilities: each frame tells a word, or nothing ("")."""
    rows = np.full((len(told), 1 + len(WORDS)), (1 - sure) / len(WORDS))
    for row, word in zip(rows, told):
        row[WORDS.get(word, 0)] = sure
    return np.log(rows)


@pytest.mark.parametrize(
    "told, number",
    [
        (("", "two", ""), "two"),
        (("", "two", "two", "two", ""), "two"),  # one word over several frames
        (("twenty", "", "", "two"), "twenty two"),
        (("", "twenty", "three", ""), "twenty three"),
        (("", "thirty", "", "two", ""), "thirty two"),
    ],
)
def test_the_likeliest(told, number):
    text, sure = READER.best(frames(*told))
    assert text == number and sure > 0.5


def test_nothing_said():
    assert READER.best(frames("", "", "", ""))[1] < 0.1


def test_doubt_between_two_is_told():
    either = np.log(np.array([[0.1, 0.43, 0.43, 0.02, 0.02]]))
    assert READER.best(either)[1] < 0.6


def test_one_number_alone_is_compared_with_the_others():
    said = frames("", "two", "")
    assert READER.best(said, "two")[1] > 0.5 > READER.best(said, "three")[1]


def test_words_that_the_head_lacks_are_left_out():
    assert "forty" not in READER.texts


def test_no_frames_no_number():
    assert READER.best(frames()[:0]) == ("", 0.0)
    assert NumberReader((), WORDS).best(frames("two")) == ("", 0.0)
