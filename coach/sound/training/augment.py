"""What a room, a microphone and other sounds do to a voice. Samples are float arrays at HEARING_RATE; `dice`
decides."""

from __future__ import annotations

import numpy as np
from scipy.signal import fftconvolve, resample

from coach.sound.model import HEARING_RATE

Dice = np.random.RandomState


def faster(samples: np.ndarray, factor: float) -> np.ndarray:
    """Speed and pitch together."""
    return resample(samples, max(200, int(len(samples) / factor)))


def equalised(samples: np.ndarray, dice: Dice) -> np.ndarray:
    """A tilt, sometimes cut ends, sometimes a bump, as microphones have them."""
    spectrum = np.fft.rfft(samples)
    hertz = np.fft.rfftfreq(len(samples), 1 / HEARING_RATE) + 50
    gain = dice.uniform(-4, 4) * np.log2(hertz / 1000) / 3
    if dice.rand() < 0.3:
        gain[hertz < dice.uniform(100, 350)] -= 20
    if dice.rand() < 0.3:
        gain[hertz > dice.uniform(3300, 7000)] -= 25
    if dice.rand() < 0.5:
        gain += dice.uniform(-6, 6) * np.exp(-(((np.log2(hertz) - np.log2(dice.uniform(200, 3500))) / 0.5) ** 2))
    return np.fft.irfft(spectrum * 10 ** (gain / 20), len(samples))


def room(dice: Dice, seconds: float | None = None, direct: float | None = None) -> np.ndarray:
    """The impulse response of a room. seconds: for 60 dB of decay; direct: dB of direct sound over the rest."""
    length = int((seconds or dice.uniform(0.15, 0.65)) * HEARING_RATE)
    tail = dice.randn(length) * np.exp(-6.9 * np.arange(length) / length)
    tail[: int(dice.uniform(0.001, 0.008) * HEARING_RATE)] = 0
    direct = dice.uniform(-2, 12) if direct is None else direct
    tail *= 10 ** (-direct / 20) / (np.sqrt((tail**2).sum()) + 1e-9)
    tail[0] = 1.0
    for _ in range(5):
        tail[int(dice.uniform(0.001, 0.03) * HEARING_RATE)] += dice.uniform(-0.5, 0.5) * 10 ** (-direct / 40)
    return tail


def in_room(samples: np.ndarray, response: np.ndarray) -> np.ndarray:
    return fftconvolve(samples, response)[: len(samples)]


def coloured(length: int, dice: Dice, slope: float = 1.0) -> np.ndarray:
    """Noise of power 1 whose power falls with frequency to the power of `slope` (1: pink, 0: white, 2: a fan's)."""
    spectrum = np.fft.rfft(dice.randn(length))
    steps = np.arange(len(spectrum), dtype=float)
    steps[0] = 1
    values = np.fft.irfft(spectrum / steps ** (slope / 2), length)
    return values / values.std()


def babble(length: int, dice: Dice, talk: list[np.ndarray], voices: int | None = None) -> np.ndarray:
    """Several people's talk at once, power 1."""
    mix = np.zeros(length)
    for _ in range(voices or dice.randint(2, 7)):
        one = talk[dice.randint(len(talk))]
        one = np.resize(np.roll(one, dice.randint(len(one))), length)
        mix += one / (one.std() + 1e-6)
    return mix / (mix.std() + 1e-9)


def music(length: int, dice: Dice) -> np.ndarray:
    """A made-up tune, power 1: chords, a bass, a melody that may bend like a voice, drums."""
    beat = 60 / dice.uniform(70, 150)
    scale = np.array([0, 2, 3, 5, 7, 8, 10] if dice.rand() < 0.5 else [0, 2, 4, 5, 7, 9, 11])
    base = 110 * 2 ** (dice.randint(0, 12) / 12)
    mix = np.zeros(length + HEARING_RATE * 4)
    drums, sung = dice.rand() < 0.6, dice.rand() < 0.5
    at = 0.0
    degree = dice.randint(7)
    while at * HEARING_RATE < length:
        first = int(at * HEARING_RATE)
        chord = dice.randint(7)
        for note in (chord, chord + 2, chord + 4):
            _note(mix, first, beat * 4, base * 2 ** (scale[note % 7] / 12 + note // 7), 0.25, dice, dice.uniform(1, 4))
        _note(mix, first, beat * 2, base / 2 * 2 ** (scale[chord] / 12), 0.5, dice, 2)
        for step in range(8):
            start = int((at + step * beat / 2) * HEARING_RATE)
            degree = int(np.clip(degree + dice.randint(-2, 3), 0, 13))
            if dice.rand() < 0.8:
                _note(
                    mix,
                    start,
                    beat * dice.choice([0.4, 0.5, 1]),
                    base * 2 * 2 ** (scale[degree % 7] / 12 + degree // 7),
                    0.6,
                    dice,
                    1.2,
                    bend=0.03 if sung else 0.0,
                )
            if drums:
                hit = dice.randn(int(0.12 * HEARING_RATE)) * np.exp(
                    -np.arange(int(0.12 * HEARING_RATE)) / (HEARING_RATE * dice.uniform(0.01, 0.04))
                )
                mix[start : start + len(hit)] += 0.4 * hit
        at += beat * 4
    values = mix[:length]
    return values / (values.std() + 1e-9)


def _note(mix, first, seconds, hertz, loud, dice, darkness, bend=0.0) -> None:
    length = min(int(seconds * HEARING_RATE), len(mix) - first)
    if length <= 0:
        return
    time = np.arange(length) / HEARING_RATE
    phase = 2 * np.pi * hertz * (time + bend * np.sin(2 * np.pi * 5.5 * time) / (2 * np.pi * 5.5))
    wave = sum(np.sin(k * phase) / k**darkness for k in range(1, 9) if k * hertz < 7000)
    fade = np.minimum(1, time / 0.02) * np.exp(-time / (seconds * dice.uniform(0.4, 2)))
    mix[first : first + length] += loud * wave * fade


def speech_power(samples: np.ndarray) -> float:
    """Mean power of the loud parts."""
    frames = samples[: len(samples) // 320 * 320].reshape(-1, 320)
    power = (frames**2).mean(1) if len(frames) else np.array([float((samples**2).mean())])
    return float(power[power >= power.max() * 1e-2].mean()) + 1e-12


def spoken_range(samples: np.ndarray) -> tuple[int, int]:
    """First and last sample of the speech around the loudest place."""
    size = 160
    count = len(samples) // size
    if count < 5:
        return 0, len(samples)
    loud = np.convolve(np.sqrt((samples[: count * size].reshape(count, size) ** 2).mean(1)), np.ones(5) / 5, "same")
    least = max(float(np.percentile(loud, 10)) * 2.5, float(loud.max()) * 0.06)
    ends = []
    for step in (-1, 1):
        at = edge = int(np.argmax(loud))
        quiet = 0
        while 0 <= at + step < count and quiet < 25:
            at += step
            quiet = 0 if loud[at] > least else quiet + 1
            if loud[at] > least:
                edge = at
        ends.append(edge)
    return max(0, ends[0] * size - 320), min(len(samples), (ends[1] + 1) * size + 640)
