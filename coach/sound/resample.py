"""From any sample rate to the one that is wanted, in a way that does not depend on how the samples were cut up."""

from __future__ import annotations

import numpy as np

BLOCK_SECONDS = 0.01  # of input: the filter is always fed with whole blocks of this length, whatever comes in
CONVERTER = "sinc_fastest"  # 97 dB signal to noise; the pieces that speech has survive it


def resample(samples: np.ndarray, source: int, target: int) -> np.ndarray:
    """int16 mono samples at `source` samples a second as int16 at `target`."""
    if source == target or not len(samples):
        return samples
    stream = Resampler(source, target)
    return np.concatenate([stream.feed(samples), stream.finish()])


class Resampler:
    """A stream of int16 mono samples at another rate. The same samples give the same result in any pieces.

    Behind its input by at most one block and the filter's length, together about 15 ms at 48 kHz.
    """

    def __init__(self, source: int, target: int) -> None:
        """source, target: samples a second."""
        self.source, self.target = source, target
        self._taken = self._given = 0
        self._waiting = np.zeros(0, np.int16)
        self._block = max(1, round(source * BLOCK_SECONDS))
        if source != target:
            import samplerate

            self._filter = samplerate.Resampler(CONVERTER)

    def feed(self, samples: np.ndarray) -> np.ndarray:
        """Take the next samples, give the int16 samples that are ready."""
        if self.source == self.target:
            return samples
        self._taken += len(samples)
        waiting = np.concatenate([self._waiting, samples])
        whole = len(waiting) - len(waiting) % self._block
        self._waiting = waiting[whole:]
        blocks = [self._convert(waiting[at : at + self._block]) for at in range(0, whole, self._block)]
        return np.concatenate(blocks) if blocks else np.zeros(0, np.int16)

    def finish(self) -> np.ndarray:
        """The input is over: give the rest. In all, as many samples come out as the input lasted."""
        if self.source == self.target:
            return np.zeros(0, np.int16)
        rest = self._convert(self._waiting, last=True)
        self._waiting = self._waiting[:0]
        wanted = round(self._taken * self.target / self.source) - (self._given - len(rest))
        return np.pad(rest, (0, max(0, wanted - len(rest))))[: max(0, wanted)]

    def _convert(self, samples: np.ndarray, last: bool = False) -> np.ndarray:
        ready = self._filter.process(to_float(samples), self.target / self.source, end_of_input=last)
        self._given += len(ready)
        return to_int16(ready)


def to_float(samples: np.ndarray) -> np.ndarray:
    """int16 as float32 from -1 to 1."""
    return samples.astype(np.float32) / 32_768


def to_int16(samples: np.ndarray) -> np.ndarray:
    """Float samples from -1 to 1 as int16; louder ones are clipped."""
    return np.clip(np.rint(samples * 32_768), -32_768, 32_767).astype(np.int16)
