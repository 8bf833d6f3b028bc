"""The microphone: int16 mono samples at the ears' rate, whatever the device gives."""

from __future__ import annotations

import time
from collections.abc import Callable
from typing import Any

import numpy as np

from coach.sound.devices import Kind
from coach.sound.model import HEARING_RATE
from coach.sound.resample import Resampler
from coach.sound.stream import DeviceStream


class Microphone(DeviceStream):
    """An open microphone. `give` gets the samples in PortAudio's thread, about 50 times a second; it must be quick
    (a queue's `put`). `tell` gets DeviceLost and DeviceBack."""

    kind: Kind = "microphone"

    def __init__(
        self,
        give: Callable[[np.ndarray], None],
        tell: Callable[[Any], None],
        name: str | None = None,
        clock: Callable[[], float] = time.monotonic,
    ) -> None:
        """name: part of the device's name, None for the usual one. Raises NoPortAudio, NoDevice, DeviceFailed."""
        self._give = give
        super().__init__(tell, name, clock)

    def _make(self, sd: Any, **settings: Any) -> Any:
        resampler = Resampler(settings["samplerate"], HEARING_RATE)

        def heard(frames: np.ndarray, count: int, times: object, status: object) -> None:
            self._watchdog.beat(self._clock())
            samples = resampler.feed(mono(frames))
            if len(samples):
                self._give(samples)

        return sd.InputStream(callback=heard, **settings)


def mono(frames: np.ndarray) -> np.ndarray:
    """int16 frames, shape (n, channels), as their average, shape (n,); a copy, as PortAudio uses its block again."""
    if frames.shape[1] == 1:
        return frames[:, 0].copy()
    return np.rint(frames.mean(axis=1)).astype(np.int16)
