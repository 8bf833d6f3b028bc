"""What stands apart from its surroundings: levels drawn by hand, in dB below full scale, 20 ms each."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from rendered_speech import noise, session, silence, spoken

from coach.sound.contrast import BESIDE, FRAME, LEAST, Contrast
from coach.sound.gate import level
from coach.sound.model import HEARING_RATE

SIZE = round(FRAME * HEARING_RATE)
WORD = (0.16, 1.2)  # shortest, longest


def of_levels(*parts: tuple[float, float]) -> Contrast:
    """parts: (seconds, dB)."""
    contrast = Contrast()
    for seconds, decibels in parts:
        for _ in range(round(seconds / FRAME)):
            contrast.add(decibels)
    return contrast


def of_sound(samples: np.ndarray) -> Contrast:
    contrast = Contrast()
    for at in range(0, len(samples) - SIZE + 1, SIZE):
        contrast.add(level(samples[at : at + SIZE]))
    return contrast


@pytest.mark.parametrize("room", [-60, -45, -33])
def test_a_sound_above_the_room_is_found_with_its_edges(room):
    contrast = of_levels((3, room), (0.6, -25), (0.4, room))
    start, end = contrast.apart(3.7, *WORD)
    assert (start, end) == (pytest.approx(3.0, abs=0.05), pytest.approx(3.6, abs=0.05))


def test_a_sound_hardly_above_the_room_is_not():
    assert of_levels((3, -30), (0.6, -25), (0.4, -30)).apart(3.7, *WORD) is None


def test_it_takes_a_while_to_see_that_it_is_over():
    soon = of_levels((3, -50), (0.6, -25), (BESIDE * FRAME - 0.1, -50))
    late = of_levels((3, -50), (0.6, -25), (BESIDE * FRAME, -50))
    assert soon.apart(3.6, *WORD) is None
    assert late.apart(3.6, *WORD) is not None


def test_a_piece_of_longer_talk_is_none():
    """It gets quieter between words, but not by half of what talk stands above the room."""
    talk = ((0.4, -25), (0.1, -38), (0.5, -24), (0.08, -40), (0.6, -26), (0.1, -36), (0.8, -25))
    assert of_levels((2, -60), *talk).apart(3.8, *WORD) is None


def test_the_end_of_longer_talk_is_none():
    assert of_levels((2, -60), (3, -25), (0.6, -60)).apart(5.1, *WORD) is None


def test_the_beginning_of_longer_talk_is_none():
    assert of_levels((2, -60), (3, -25)).apart(2.7, *WORD) is None


def test_a_noisy_room_asks_for_less_than_a_quiet_one():
    edges = ((0.6, -25), (0.4, -34))
    assert of_levels((3, -34), *edges).apart(3.7, *WORD) is not None
    assert of_levels((3, -60), (0.5, -34), *edges).apart(4.2, *WORD) is None


@pytest.mark.parametrize("contrast", [Contrast(), of_levels((0.1, -30)), of_levels((0.5, -60))])
def test_nothing_is_found_in_nothing(contrast):
    assert contrast.apart(0.1, *WORD) is None


@pytest.mark.parametrize("below", [None, 20, 10])
def test_a_request_in_noise_and_not_in_a_sentence(below):
    """Noise so many dB below the voice."""

    def heard(samples: np.ndarray, until: float):
        loud = np.sqrt(np.mean(samples[np.abs(samples) > 300].astype(float) ** 2))
        beside = noise(len(samples) / HEARING_RATE, 6 if below is None else loud / 10 ** (below / 20))
        return of_sound(np.clip(samples + beside[: len(samples)].astype(int), -32_767, 32_767)).apart(until, 0.3, 1.4)

    alone = session("count so far", pause=1.5)
    end = 1.5 + len(spoken("count so far")) / HEARING_RATE
    assert heard(alone, end) is not None
    inside = np.concatenate([silence(1.5), spoken("we count so far and wide across the harbour"), silence(1)])
    assert heard(inside, 1.5 + 1.0) is None


@given(st.lists(st.tuples(st.floats(0.02, 1.5), st.floats(-90, -5)), min_size=1, max_size=8), st.floats(0, 9))
def test_what_is_found_lies_in_what_was_heard_and_lasts_as_asked(parts, about):
    contrast = of_levels(*parts)
    if (found := contrast.apart(about, *WORD)) is not None:
        start, end = found
        assert 0 <= start < end <= sum(round(seconds / FRAME) for seconds, _ in parts) * FRAME
        assert WORD[0] - 0.03 <= end - start <= WORD[1] + 0.03
        assert LEAST > 0
