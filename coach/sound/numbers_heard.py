"""Which number was said: the likeliest row of words among those that are possible (CTC's forward sum).

Graves et al., "Connectionist Temporal Classification", 2006: each frame tells a word or nothing; the same word may
go on
over several frames; the probability of a text is the sum over all ways of telling it.
"""

from __future__ import annotations

from collections.abc import Iterable

import numpy as np

NEVER = -1e30


class NumberReader:
    """Compares numbers, given in words."""

    def __init__(self, numbers: Iterable[str], words: dict[str, int]) -> None:
        """words: the output of each word; numbers with other words are left out."""
        self.texts = [text for text in numbers if all(word in words for word in text.split())]
        told = [[words[word] for word in text.split()] for text in self.texts]
        width = 2 * max(map(len, told), default=0) + 1
        self._labels = np.zeros((len(told), width), int)
        self._skips = np.full((len(told), width), NEVER)
        for row, outputs in enumerate(told):
            for place, output in enumerate(outputs):
                self._labels[row, 2 * place + 1] = output
                if place and outputs[place - 1] != output:
                    self._skips[row, 2 * place + 1] = 0
        self._lengths = np.array([len(outputs) for outputs in told])

    def best(self, words: np.ndarray, only: str | None = None) -> tuple[str, float]:
        """The likeliest number and how sure it is among all numbers and silence (0 to 1), from (frames, outputs) log
        probabilities; "" for none. only: look at this number alone."""
        if not len(words) or not self.texts:
            return "", 0.0
        scores = self._scores(words)
        best = self.texts.index(only) if only is not None else int(np.argmax(scores))
        total = np.logaddexp(np.logaddexp.reduce(scores), words[:, 0].sum())
        return self.texts[best], float(np.exp(scores[best] - total))

    def _scores(self, words: np.ndarray) -> np.ndarray:
        told = words[:, self._labels]
        ways = np.full(self._labels.shape, NEVER)
        ways[:, :2] = told[0][:, :2]
        for frame in told[1:]:
            step = np.full_like(ways, NEVER)
            step[:, 1:] = ways[:, :-1]
            skip = np.full_like(ways, NEVER)
            skip[:, 2:] = ways[:, :-2]
            ways = np.logaddexp(np.logaddexp(ways, step), skip + self._skips) + frame
        rows = np.arange(len(ways))
        return np.logaddexp(ways[rows, 2 * self._lengths - 1], ways[rows, 2 * self._lengths])
