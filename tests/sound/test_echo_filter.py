"""The echo goes and what else is heard stays: on noise and speech in simulated rooms, where both are known."""

from __future__ import annotations

import numpy as np
import pytest
from rendered_speech import noise, spoken

from coach.sound.echo_filter import BLOCK, BLOCKS, EchoFilter
from coach.sound.model import HEARING_RATE

COACH = ("Work two single crochet in the next stitch, six times.", "That makes eighteen. Slip stitch to the first.")


def coach(seconds: float) -> np.ndarray:
    said = np.concatenate([spoken(text, "en-us", 175) for text in COACH]).astype(float)
    return np.resize(said, round(seconds * HEARING_RATE))


def room(played: np.ndarray, delay: float = 0.12, decay: float = 0.2, seed: int = 1) -> np.ndarray:
    """What comes back, as loud as what is played. decay: seconds for 60 dB."""
    length = round(decay * HEARING_RATE)
    tail = np.random.default_rng(seed).normal(size=length) * np.exp(-6.9 * np.arange(length) / length)
    tail[0] = 3.0
    wet = np.concatenate([np.zeros(round(delay * HEARING_RATE)), np.convolve(played, tail)])[: len(played)]
    return wet * level(played) / level(wet)


def level(samples: np.ndarray) -> float:
    return float(np.sqrt(np.mean(samples**2)))


def through(heard: np.ndarray, played: np.ndarray, echo: EchoFilter | None = None) -> np.ndarray:
    echo = echo or EchoFilter()
    whole = range(0, len(heard) - BLOCK + 1, BLOCK)
    return np.concatenate([echo.without(heard[at : at + BLOCK], played[at : at + BLOCK]) for at in whole])


def fall(before: np.ndarray, after: np.ndarray, first: float, last: float) -> float:
    """How many dB less there is between two seconds."""
    part = slice(round(first * HEARING_RATE), round(last * HEARING_RATE))
    return 20 * np.log10(level(before[part]) / (level(after[part]) + 1e-9))


@pytest.mark.parametrize("delay", [0.0, 0.1, 0.4])
def test_an_echo_of_any_delay_is_found(delay):
    played = coach(8)
    wet = room(played, delay)
    assert fall(wet, through(wet, played), 5, 8) > 20


def test_what_comes_later_than_it_looks_stays():
    played = coach(6)
    wet = room(played, BLOCKS * BLOCK / HEARING_RATE + 0.1)
    assert fall(wet, through(wet, played), 4, 6) < 6


def test_a_maker_who_speaks_at_the_same_time_is_left_as_they_are():
    played, said = coach(12), spoken("stop talking", "en-us+m1").astype(float)
    wet, alone = room(played), np.zeros(12 * HEARING_RATE)
    for start in (6, 8, 10, 11):
        at = start * HEARING_RATE
        alone[at : at + len(said)] += said[: len(alone) - at]
    left = through(wet + alone, played)
    spoken_now = np.abs(alone[: len(left)]) > 0
    assert level((left - alone[: len(left)])[spoken_now]) < 0.25 * level(alone[: len(left)][spoken_now])


def test_a_room_that_changes_is_learned_again():
    played = coach(16)
    wet = np.where(np.arange(len(played)) < 8 * HEARING_RATE, room(played), room(played, 0.2, seed=2))
    left = through(wet, played)
    assert fall(wet, left, 8, 8.5) < 5 < 15 < fall(wet, left, 13, 16)


def test_a_maker_louder_than_the_echo_is_no_other_room():
    played, said = coach(14), spoken("stop talking", "en-us+m1").astype(float)
    wet = room(played) * 0.1  # 20 dB below
    loud = np.concatenate([np.zeros(7 * HEARING_RATE), np.resize(said, 3 * HEARING_RATE), np.zeros(4 * HEARING_RATE)])
    left = through(wet + loud, played)
    assert fall(wet, left, 10.3, 13) > 12


def test_a_loudspeaker_that_distorts_leaves_some():
    played = coach(8)
    wet = room(9000 * np.tanh(played / 9000))
    assert 6 < fall(wet, through(wet, played), 5, 8) < 30


def test_where_nothing_comes_back_nothing_changes():
    played, heard = coach(6), noise(6, 300).astype(float)
    left = through(heard, played)
    assert level(left - heard[: len(left)]) < 0.05 * level(heard)


def test_where_nothing_is_played_all_passes_as_it_is():
    heard = noise(2, 3000).astype(float)
    left = through(heard, np.zeros(len(heard)))
    assert np.array_equal(left, heard[: len(left)])


def test_what_was_learned_is_kept_through_silence():
    played = coach(8)
    wet, echo = room(played), EchoFilter()
    through(wet, played, echo)
    through(noise(30, 6).astype(float), np.zeros(30 * HEARING_RATE), echo)
    left = through(wet, played, echo)
    assert fall(wet, left, 0.5, 2) > 15


@pytest.mark.parametrize("loud", [1.0, 32_767.0])
def test_it_stays_finite_with_anything(loud):
    dice = np.random.default_rng(3)
    echo = EchoFilter()
    for number in range(200):
        played = np.sign(dice.normal(size=BLOCK)) * loud if number % 3 else np.zeros(BLOCK)
        left = echo.without(dice.normal(size=BLOCK) * loud, played)
        assert np.isfinite(left).all()
    assert level(left) < 10 * loud
