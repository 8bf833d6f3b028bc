"""Takes the coach's own voice out of what the microphone hears, so that "stop" is heard over it.

    loudspeaker ── what is played ──▶ far ─┐
    microphone  ── what is heard  ──▶ near ┴▶ EchoFilter ──▶ ears

Where the microphone doesn't hear the coach (a headset) it finds nothing to take out and changes nothing to speak of.
Measured by tests/bench/bench_echo.py, voices over the coach's speech at an echo of 0, -6, -12, -20 dB: "stop" 6, 9, 9,
10 of 12 times heard, "stop talking" 11, 10, 10, 10 of 11, with words obeyed from 0.55 on. With today's 0.35 nothing was
done by mistake in ten minutes of its own speech at 0 and at -6 dB (the nearest scored 0.33); "stop" was not counted
again.
The room is simulated and its loudspeaker doesn't distort.
"""

from __future__ import annotations

import threading
from collections import deque

import numpy as np

from coach.sound.echo_filter import BLOCK, EchoFilter
from coach.sound.model import HEARING_RATE
from coach.sound.resample import Resampler

FRAME = BLOCK  # samples that come out at once
KEPT_SECONDS = 0.1
"""Of what was played and is not asked for yet. The loudspeaker is asked to hold as much back (LATENCY_SECONDS), so an
echo never comes before its sound is asked for."""


class EchoCanceller:
    """`played` is for the loudspeaker's thread, `feed` for the microphone's. Both go on with the clock: what is played
    and heard at about the same moment comes in at about the same moment; the filter finds the delay between them."""

    def __init__(self) -> None:
        self._filter = EchoFilter()
        self.on = True  # else all passes as it is
        self._lock = threading.Lock()
        self._far: deque[np.ndarray] = deque()  # played, at HEARING_RATE
        self._far_samples = 0
        self._resampler: Resampler | None = None
        self._near = np.zeros(0, np.int16)

    def played(self, samples: np.ndarray, rate: int) -> None:
        """What goes to the loudspeaker now (int16 at `rate`), silence too."""
        if self._resampler is None or self._resampler.source != rate:
            self._resampler = Resampler(rate, HEARING_RATE)
        far = self._resampler.feed(samples)
        with self._lock:
            self._far.append(far)
            self._far_samples += len(far)
            while self._far_samples > KEPT_SECONDS * HEARING_RATE:  # nobody listens, or not since it was played
                self._far_samples -= len(self._far.popleft())

    def feed(self, samples: np.ndarray) -> np.ndarray:
        """What the microphone hears (int16 at HEARING_RATE, any number), without the coach; whole frames come out."""
        joined = np.concatenate([self._near, samples])
        whole = len(joined) // FRAME * FRAME if self.on else len(joined)
        self._near = joined[whole:]
        if not self.on or not whole:
            return joined[:whole]
        heard, far = joined[:whole].astype(float), self._take(whole).astype(float)
        left = [self._filter.without(heard[at : at + FRAME], far[at : at + FRAME]) for at in range(0, whole, FRAME)]
        return np.clip(np.rint(np.concatenate(left)), -32_768, 32_767).astype(np.int16)

    def _take(self, count: int) -> np.ndarray:
        """The next samples of what was played; silence where there are none."""
        far = np.zeros(count, np.int16)
        filled = 0
        with self._lock:
            while self._far and filled < count:
                piece = self._far.popleft()
                taken = piece[: count - filled]
                far[filled : filled + len(taken)] = taken
                filled += len(taken)
                if len(taken) < len(piece):
                    self._far.appendleft(piece[len(taken) :])
            self._far_samples -= filled
        return far
