"""Takes the coach's own voice out of what the microphone hears, with WebRTC's canceller (an extra dependency).

    loudspeaker ── what is played ──▶ far ─┐
    microphone  ── what is heard  ──▶ near ┴▶ WebRTC (AEC3) ──▶ ears

Worth it with a loudspeaker only: with a headset there is nothing to take out, and what there is gets worse. So it is on
where `coach soundcheck` has heard the coach in the microphone, and off elsewhere. Measured by
tests/bench/bench_echo.py, 12 times "stop" over the coach's speech, at an echo of 0, -6, -12, -20 dB: 0, 0, 0, 2 heard
without, 3, 2, 3, 5 with it; with a headset 12 without, 9 with it; nothing done by mistake in either.
"""

from __future__ import annotations

import threading
from collections import deque

import numpy as np

from coach.sound.errors import SoundError
from coach.sound.model import HEARING_RATE
from coach.sound.resample import Resampler

FRAME = HEARING_RATE // 100  # samples that the canceller works on at once
KEPT_SECONDS = 0.3  # of what was played and is not asked for yet: the canceller finds delays up to about half a second


class NoCanceller(SoundError):
    """The package is missing, or can't be loaded."""


class EchoCanceller:
    """`played` is for the loudspeaker's thread, `feed` for the microphone's. Both go on with the clock: what is played
    and heard at about the same moment comes in at about the same moment; the canceller finds the delay between them."""

    def __init__(self) -> None:
        """Raises NoCanceller."""
        try:
            from pywebrtc_audio import AudioProcessor
        except (ImportError, OSError) as fault:
            raise NoCanceller(
                "The package that cancels echoes is not installed.",
                f"Install it with: pip install pywebrtc-audio ({fault})",
            ) from None
        self._processor = AudioProcessor(HEARING_RATE, echo_cancellation=True, noise_suppression=True)
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
            while self._far_samples > KEPT_SECONDS * HEARING_RATE:  # nobody listens
                self._far_samples -= len(self._far.popleft())

    def feed(self, samples: np.ndarray) -> np.ndarray:
        """What the microphone hears (int16 at HEARING_RATE, any number), without the coach; whole frames come out."""
        joined = np.concatenate([self._near, samples])
        whole = len(joined) // FRAME * FRAME if self.on else len(joined)
        self._near = joined[whole:]
        if not self.on or not whole:
            return joined[:whole]
        return np.asarray(self._processor.process(joined[:whole], self._take(whole)), np.int16)

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
