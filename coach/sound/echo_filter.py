"""Learns how a room gives back what is played, and takes it out of what is heard. Nothing else is changed: what a
maker says at the same time stays as it was.

A frequency-domain Kalman filter (G. Enzner and P. Vary, "Frequency-domain adaptive Kalman filter for acoustic echo
control in hands-free telephones", Signal Processing 86, 2006), its long response cut into pieces of one block (F. Kuech
and others, "State-space architecture of the partitioned-block-based acoustic echo controller", ICASSP 2014). It keeps
account of how unsure it is, and so learns little while somebody else is louder than the echo.
"""

from __future__ import annotations

import numpy as np

BLOCK = 256
"""Samples that are worked on at once: 16 ms at 16,000 a second."""
BLOCKS = 32
"""Length of the response that is learned: 0.51 s, from the moment of handing a sound over to the end of its echo."""
STAYS = 0.999
"""How much a room stays the same from block to block; less learns a changed room sooner and leaves more of the echo."""
SMOOTHING = 0.7
"""Of what is heard beside the echo, from block to block."""
FIRST_DOUBT = 0.1
"""How unsure each block of the response is at first: an echo as loud as what is played has that in its loudest."""
LIKE, PATIENCE = 0.3, 30
"""Where so little of the echo that is expected is in what is heard, for so many blocks, the room is another: it is
learned anew. A maker who is louder than the echo doesn't count."""
MEMORY = 0.9
"""Of how loud it was, from block to block."""
TINY = 0.01 * BLOCK * BLOCK
"""A power (of a block's spectrum) that is as good as none: silence is not divided by."""


class EchoFilter:
    """`without` takes blocks one after the other."""

    def __init__(self) -> None:
        self._played = np.zeros((BLOCKS, BLOCK + 1), complex)  # spectra of the last blocks, the latest first
        self._before = np.zeros(BLOCK)
        self._silent = BLOCKS + 1  # blocks in which nothing was played
        self._forget()

    def _forget(self) -> None:
        self._response = np.zeros((BLOCKS, BLOCK + 1), complex)
        self._doubt = np.full((BLOCKS, BLOCK + 1), FIRST_DOUBT)
        self._beside: np.ndarray | None = None  # power of what is heard beside the echo
        self._powers = np.zeros(4)  # of what was heard, of what was left, of the echo, of echo and heard together
        self._unlike = 0  # blocks

    def without(self, heard: np.ndarray, played: np.ndarray) -> np.ndarray:
        """A block of what is heard (float, BLOCK samples, int16's range) without the echo of what is played."""
        self._silent = 0 if played.any() else self._silent + 1
        if self._silent > BLOCKS:
            return heard
        self._played = np.roll(self._played, 1, axis=0)
        self._played[0] = np.fft.rfft(np.concatenate([self._before, played]))
        self._before = played
        echo = np.fft.irfft((self._played * self._response).sum(0))[BLOCK:]
        left = heard - echo
        self._learn(np.fft.rfft(np.concatenate([np.zeros(BLOCK), left])))
        powers = heard @ heard, left @ left, echo @ echo, heard @ echo
        self._powers = MEMORY * self._powers + (1 - MEMORY) * np.array(powers)
        was, now, expected, found = self._powers
        matters = expected > 0.1 * was and not self._silent
        self._unlike = self._unlike + 1 if matters and found < LIKE * expected else 0
        if self._unlike > PATIENCE:
            self._forget()
        return heard if now > was else left

    def _learn(self, left: np.ndarray) -> None:
        power, beside = np.abs(self._played) ** 2, np.abs(left) ** 2
        self._beside = beside if self._beside is None else SMOOTHING * self._beside + (1 - SMOOTHING) * beside
        trust = self._doubt / (0.5 * (power * self._doubt).sum(0) + self._beside + TINY)
        change = np.fft.irfft(trust * np.conj(self._played) * left, axis=1)
        change[:, BLOCK:] = 0  # of a response of one block; the rest is what a circle adds to it
        self._response = STAYS * (self._response + np.fft.rfft(change, axis=1))
        known = np.maximum(1 - 0.5 * trust * power, 0)
        self._doubt = STAYS**2 * known * self._doubt + (1 - STAYS**2) * np.abs(self._response) ** 2 + 1e-9
