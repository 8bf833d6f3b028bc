"""Levels and echo, measured on signals whose figures are known."""

from __future__ import annotations

import numpy as np
import pytest

from coach.sound.levels import FLOOR_DB, SURE_ECHO, echo, level, levels
from coach.sound.mouth import EngineMouth
from coach.sound.resample import resample

RATE = 16_000


def sine(seconds: float, height: float) -> np.ndarray:
    return np.rint(height * np.sin(2 * np.pi * 440 * np.arange(round(seconds * RATE)) / RATE)).astype(np.int16)


def noise(seconds: float, height: float, seed: int = 1) -> np.ndarray:
    return np.rint(np.random.default_rng(seed).normal(size=round(seconds * RATE)) * height).astype(np.int16)


class TestLevel:
    def test_a_full_sine_is_three_db_down(self):
        """A sine's power is half of its peak's: 10 log10(1/2) = -3.01 dB."""
        assert level(sine(1, 32_767)) == pytest.approx(-3.01, abs=0.01)

    @pytest.mark.parametrize("factor, decibels", [(0.5, -6.02), (0.1, -20.0), (0.01, -40.0)])
    def test_decibels_are_twenty_times_the_logarithm(self, factor, decibels):
        assert level(sine(1, 32_767 * factor)) - level(sine(1, 32_767)) == pytest.approx(decibels, abs=0.1)

    @pytest.mark.parametrize("samples", [np.zeros(0, np.int16), np.zeros(900, np.int16)], ids=["none", "zeros"])
    def test_nothing_is_the_floor(self, samples):
        assert level(samples) == FLOOR_DB and levels(samples, RATE).quiet == FLOOR_DB


class TestLevels:
    def test_speech_over_a_quiet_room(self):
        found = levels(np.concatenate([noise(2, 30), sine(1, 10_000) + noise(1, 30)]), RATE)
        assert found.quiet == pytest.approx(level(noise(2, 30)), abs=1)
        assert found.loud == pytest.approx(level(sine(1, 10_000)), abs=0.5)
        assert found.clipped == 0

    def test_clipping(self):
        flat = np.clip(sine(1, 32_767).astype(int) * 4, -32_768, 32_767).astype(np.int16)
        assert levels(flat, RATE).clipped > 0.5

    def test_a_recording_shorter_than_a_frame(self):
        assert levels(sine(0.01, 10_000), RATE).loud == pytest.approx(level(sine(0.01, 10_000)))


def room(seconds: float, seed: int) -> np.ndarray:
    """An impulse response: the direct sound and a diffuse tail that falls by 60 dB in `seconds`."""
    tail = np.random.default_rng(seed).normal(size=8_000) * np.exp(-6.9 * np.arange(8_000) / RATE / seconds) * 0.15
    tail[0] += 1
    return tail


def recorded(played: np.ndarray, delay: float, gain: float, room_seconds: float, hiss: float, seed: int) -> np.ndarray:
    out = noise(len(played) / RATE + 1.5, hiss, seed).astype(float)
    came = np.convolve(played, room(room_seconds, seed)) * 10 ** (gain / 20)
    start = round(delay * RATE)
    came = came[: len(out) - start]
    out[start : start + len(came)] += came
    return np.clip(out, -32_768, 32_767).astype(np.int16)


@pytest.fixture(scope="module")
def sentence() -> np.ndarray:
    with EngineMouth("en-us") as mouth:
        speech = mouth.say("This is how loud I am. Work two single crochet in the next stitch.")
    return resample(speech.samples, speech.rate, RATE)


ROOMS = [(0.2, -6, 10), (0.3, -20, 100), (0.6, -20, 30), (0.6, -40, 10)]


class TestEcho:
    @pytest.mark.parametrize("seed", range(3))
    @pytest.mark.parametrize("delay", [0.0, 0.12, 0.9])
    @pytest.mark.parametrize("room_seconds, gain, hiss", ROOMS)
    def test_the_coach_in_a_simulated_room_is_found(self, sentence, delay, room_seconds, gain, hiss, seed):
        found = echo(sentence, recorded(sentence, delay, gain, room_seconds, hiss, seed), RATE)
        assert found.heard
        assert found.delay == pytest.approx(delay, abs=0.02)

    def test_without_a_room_the_gain_is_exact(self, sentence):
        out = np.concatenate([np.zeros(1_600, np.int16), (sentence * 0.1).astype(np.int16)])
        found = echo(sentence, out, RATE)
        assert found.delay == 0.1 and found.gain == pytest.approx(-20, abs=0.1)

    @pytest.mark.parametrize("height", [0, 10, 1_000])
    def test_noise_is_no_echo(self, sentence, height):
        assert not echo(sentence, noise(6, height), RATE).heard

    @pytest.mark.parametrize("voice", ["en-us", "en-us+f3", "ko"])
    def test_other_talk_is_no_echo(self, sentence, voice):
        with EngineMouth(voice) as mouth:
            speech = mouth.say("Somebody is talking about the weather in the harbour, and the puffins, and it goes on.")
        other = resample(speech.samples, speech.rate, RATE)
        assert echo(sentence, np.concatenate([other, np.zeros(9_000, np.int16)]), RATE).sureness < SURE_ECHO / 1.4

    @pytest.mark.parametrize("gone", ["played", "recorded"])
    def test_silence_is_no_echo(self, sentence, gone):
        silence = np.zeros(9_000, np.int16)
        found = echo(*((silence, sentence) if gone == "played" else (sentence, silence)), RATE)
        assert not found.heard
