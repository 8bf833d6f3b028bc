"""Whether something that was said stands apart from what is around it, however noisy the room is.

A gate can't cut a request out of talk that goes on beside it. But whoever knows that a request may just have ended can
ask whether it got quieter there, and louder where it began, by half of what the sound stands above the floor:

    level      ▄▄▅▄▄▆█▇█▇▆█▅▄▄▅▄
    request          ├────┤       rise and fall: at least LEAST dB, and SHARE of the height above the floor

A request that is part of a longer sentence has no such edges. Measured on 160 sentences with a request inside, of which
the coach's model took 32 for the request: none of them passes. Of people's phrases that the model heard, per cent that
pass: quiet 96, pink noise of 20, 10, 5 dB 100, 100, 93, babble of 20, 10, 5 dB 93, 73, 43, a room of 0.6 s 82.
"""

from __future__ import annotations

from collections import deque

import numpy as np

from coach.sound.gate import GateSettings

FRAME = GateSettings().frame
KEPT = round(6.0 / FRAME)  # frames: the floor looks back as far as the gate's
INSIDE, BESIDE = round(0.5 / FRAME), round(0.24 / FRAME)
"""Frames that are compared at an edge. A pause inside of a phrase is shorter than 0.24 s."""
LATE, EARLY = round(0.5 / FRAME), round(0.04 / FRAME)
"""The end may lie so many frames before the moment asked about, or behind it."""
LEAST, SHARE = 6.0, 0.5
QUIETEST, LOWEST = GateSettings().quietest, GateSettings().lowest_floor


class Contrast:
    """Remembers how loud the last seconds were."""

    def __init__(self) -> None:
        self._levels: deque[float] = deque(maxlen=KEPT)
        self._heard = 0  # frames

    def add(self, level: float) -> None:
        """The level of the next frame (FRAME seconds), in dB below full scale."""
        self._levels.append(level)
        self._heard += 1

    def apart(self, seconds: float, shortest: float, longest: float) -> tuple[float, float] | None:
        """Start and end of a sound that ended at about this time and lasted about so long (all in seconds since the
        first frame); None where it does not stand apart, or not yet: it takes BESIDE frames to see the end."""
        powers = 10.0 ** (np.array(self._levels) / 10)
        sums = np.concatenate([[0.0], np.cumsum(powers)])
        about = round(seconds / FRAME) - (self._heard - len(powers))

        def mean(first: np.ndarray, last: np.ndarray) -> np.ndarray:
            first, last = np.maximum(first, 0), np.minimum(last, len(powers))
            return 10 * np.log10((sums[last] - sums[first]) / np.maximum(last - first, 1) + 1e-12)

        ends = np.arange(max(INSIDE, about - LATE), min(about + EARLY, len(powers) - BESIDE) + 1)
        if not len(ends):
            return None
        falls = mean(ends - INSIDE, ends) - mean(ends, ends + BESIDE)
        end, fall = int(ends[falls.argmax()]), float(falls.max())
        earliest, latest = (end - round(length / FRAME) for length in (longest, shortest))
        starts = np.arange(max(BESIDE, earliest), latest + 1)
        if not len(starts):
            return None
        rises = mean(starts, np.minimum(starts + INSIDE, end)) - mean(starts - BESIDE, starts)
        start, rise = int(starts[rises.argmax()]), float(rises.max())
        floor = max(LOWEST, float(np.quantile(self._levels, QUIETEST)))
        loud = float(mean(np.array([end - INSIDE]), np.array([end]))[0])
        if min(fall, rise) < max(LEAST, SHARE * (loud - floor)):
            return None
        before = self._heard - len(powers)
        return (before + start) * FRAME, (before + end) * FRAME
