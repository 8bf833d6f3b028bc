"""The coach's own voice is taken out of what the microphone hears; what the maker says is not. In a simulated room.

How much better "stop" is heard for it is measured by tests/bench/bench_echo.py.
"""

from __future__ import annotations

import numpy as np
import pytest
from rendered_speech import noise, spoken

from coach.sound.echo import FRAME, KEPT_SECONDS, EchoCanceller
from coach.sound.model import HEARING_RATE
from coach.sound.resample import resample

PIECE = 320  # samples that the devices bring at once


def level(samples: np.ndarray) -> float:
    return float(np.sqrt(np.mean(samples.astype(float) ** 2)))


@pytest.fixture
def coach() -> np.ndarray:
    """Ten seconds of the coach."""
    sentence = spoken("Work two single crochet in the next stitch, six times. That makes eighteen.", "en-us", 175)
    return np.resize(sentence, 10 * HEARING_RATE)


def room(coach: np.ndarray, ratio: float) -> np.ndarray:
    """What comes back of it after 0.12 s, at a ratio in dB."""
    tail = np.random.default_rng(1).normal(size=3200) * np.exp(-6.9 * np.arange(3200) / 3200)
    tail[0] = 3.0
    wet = np.concatenate([np.zeros(1920), np.convolve(coach, tail)])[: len(coach)]
    wet *= 10 ** (ratio / 20) * level(coach) / level(wet)
    return np.rint(np.clip(wet + noise(len(wet) / HEARING_RATE, 6), -32_768, 32_767)).astype(np.int16)


def through(canceller: EchoCanceller, heard: np.ndarray, coach: np.ndarray) -> np.ndarray:
    out = []
    for at in range(0, len(heard), PIECE):
        canceller.played(coach[at : at + PIECE], HEARING_RATE)
        out.append(canceller.feed(heard[at : at + PIECE]))
    return np.concatenate(out)


@pytest.mark.parametrize("ratio", [0, -6, -12, -20])
def test_little_of_the_coach_is_left(coach, ratio):
    heard = room(coach, ratio)
    left = through(EchoCanceller(), heard, coach)
    settled = slice(5 * HEARING_RATE, None)
    assert level(left[settled]) < 0.15 * level(heard[settled])  # 16 dB less


def test_the_maker_stays(coach):
    heard, said = room(coach, -12), spoken("stop talking", "en-us+m1")
    alone = np.zeros(len(coach), np.int16)
    at = 6 * HEARING_RATE
    alone[at : at + len(said)] = said
    left = through(EchoCanceller(), np.clip(heard.astype(int) + alone, -32_768, 32_767).astype(np.int16), coach)
    during, before = left[at : at + len(said)], left[at - len(said) : at]
    assert level(during) > 0.25 * level(said)
    assert level(during) > 4 * level(before)


def test_switched_off_everything_passes_as_it_is(coach):
    canceller = EchoCanceller()
    canceller.on = False
    heard = room(coach, -6)
    assert np.array_equal(through(canceller, heard, coach), heard)


@pytest.mark.parametrize("pieces", [1, 7, 160, 333, 4800])
def test_as_many_samples_come_out_as_went_in(pieces):
    canceller, given = EchoCanceller(), 0
    sound = noise(1.0, 500)
    for at in range(0, len(sound), pieces):
        out = canceller.feed(sound[at : at + pieces])
        assert len(out) % FRAME == 0 and out.dtype == np.int16
        given += len(out)
    assert len(sound) - FRAME < given <= len(sound)


def test_pieces_of_any_size_give_the_same(coach):
    heard, found = room(coach, -12)[: 2 * HEARING_RATE], []
    for pieces in (1600, 160, 800):
        canceller, out = EchoCanceller(), []
        for at in range(0, len(heard), 1600):  # what is played comes in 0.1 s at once, what is heard in any pieces
            canceller.played(coach[at : at + 1600], HEARING_RATE)
            out += [canceller.feed(heard[n : n + pieces]) for n in range(at, at + 1600, pieces)]
        found.append(np.concatenate(out))
    assert np.array_equal(found[0], found[1]) and np.array_equal(found[0], found[2])


def test_a_loudspeaker_of_another_rate(coach):
    heard = room(coach, -6)
    canceller, out, size = EchoCanceller(), [], PIECE * 3
    fast = resample(coach, HEARING_RATE, 48_000)
    for number, at in enumerate(range(0, len(heard), PIECE)):
        canceller.played(fast[number * size : (number + 1) * size], 48_000)
        out.append(canceller.feed(heard[at : at + PIECE]))
    left = np.concatenate(out)
    assert level(left[5 * HEARING_RATE :]) < 0.15 * level(heard[5 * HEARING_RATE :])


def test_while_nobody_listens_nothing_piles_up(coach):
    canceller = EchoCanceller()
    for at in range(0, len(coach), PIECE):
        canceller.played(coach[at : at + PIECE], HEARING_RATE)
    assert canceller._far_samples <= KEPT_SECONDS * HEARING_RATE
