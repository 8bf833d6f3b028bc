"""Words that a maker teaches the ear: three spoken examples, compared with what is said; nothing is trained.

Each example is a row of embeddings. Two rows are compared by dynamic time warping (Sakoe and Chiba, 1978): the least
mean
distance (1 - cosine) between frames when both may be stretched in time. A word is heard when what was said is nearer
to its
examples than STRETCH times as far as these are from each other (within limits), and nearer than to any other word's.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from coach.sound.embedding import STEP, Embedding, frame_at
from coach.sound.errors import EarError
from coach.sound.gate import Gate
from coach.sound.model import HEARING_RATE

EXAMPLES = 3
STRETCH = 1.3
NEAREST, FARTHEST = 0.2, 0.34
"""Limits of a word's reach. People's own repetitions are 0.05 to 0.27 apart (half of them under 0.15), their other
words
0.3 and more; three examples said in one breath are nearer to each other than the next one will be."""
AFTER = 0.3
"""Seconds after the end of a word in which the embedding still tells about it."""
LEAD, TAIL = 0.9, 0.6  # seconds of quiet around an example, so that the embedding has what it needs


def distance(one: np.ndarray, other: np.ndarray) -> float:
    """Between two rows of embeddings, (n, size) and (m, size): 0 the same, 1 nothing in common."""
    a, b = (rows / (np.linalg.norm(rows, axis=1, keepdims=True) + 1e-9) for rows in (one, other))
    costs = 1.0 - a @ b.T
    best = np.full((len(a) + 1, len(b) + 1), np.inf)
    best[0, 0] = 0.0
    for i in range(len(a)):
        for j in range(len(b)):
            best[i + 1, j + 1] = min(
                best[i, j] + 2 * costs[i, j], best[i, j + 1] + costs[i, j], best[i + 1, j] + costs[i, j]
            )
    return float(best[-1, -1]) / (len(a) + len(b))


@dataclass(frozen=True, slots=True)
class OwnWord:
    """A word's examples, (frames, size) each, and how far from them it is still heard."""

    text: str
    examples: tuple[np.ndarray, ...]
    reach: float

    def distance(self, said: np.ndarray) -> float:
        """The mean of the two nearest examples: one bad example does no harm."""
        return float(np.mean(sorted(distance(said, example) for example in self.examples)[:2]))


class OwnWords:
    """All words that a maker has taught. mean, spread: of the embeddings (the head has learned them)."""

    def __init__(self, mean: np.ndarray, spread: np.ndarray) -> None:
        self._mean, self._spread = mean, spread
        self.words: dict[str, OwnWord] = {}

    def learn(self, text: str, recordings: Sequence[np.ndarray]) -> OwnWord:
        """Take a word from at least EXAMPLES recordings of it (int16, HEARING_RATE), each said once.

        Raises EarError with what to do when there are too few, nothing is heard in one, or they are too unlike.
        """
        if len(recordings) < EXAMPLES:
            raise EarError(f"I need {EXAMPLES} examples of {text!r}, and have {len(recordings)}.", "Say it once more.")
        examples = tuple(self.embedded(samples) for samples in recordings)
        if any(len(example) < 3 for example in examples):
            raise EarError(f"I can't hear {text!r} in one of the examples.", "Say it again, a little louder.")
        apart = [distance(a, b) for n, a in enumerate(examples) for b in examples[n + 1 :]]
        word = OwnWord(text, examples, float(np.clip(STRETCH * np.mean(apart), NEAREST, FARTHEST)))
        for other in self.words.values():
            if other.text != text and min(other.distance(example) for example in examples) < 0.8 * other.reach:
                raise EarError(f"{text!r} sounds like {other.text!r} to me.", "Choose another word.")
        self.words[text] = word
        return word

    def embedded(self, samples: np.ndarray) -> np.ndarray:
        """The rows of the loudest sound in a recording; (0, size) where there is none."""
        quiet = np.random.default_rng(0).normal(0, 6, round(LEAD * HEARING_RATE)).astype(np.int16)
        padded = np.concatenate([quiet, samples, quiet[: round(TAIL * HEARING_RATE)]])
        gate = Gate()
        segments = gate.feed(padded) + gate.finish()
        if not segments:
            return np.zeros((0, len(self._mean)), np.float32)
        longest = max(segments, key=lambda segment: float(np.abs(segment.samples.astype(np.int64)).sum()))
        margin = gate.settings.margin
        rows = Embedding().feed(padded)
        return self.rows(rows, longest.start + margin, longest.end - margin)

    def rows(self, embeddings: np.ndarray, start: float, end: float, first: int = 0) -> np.ndarray:
        """Those of a stretch of sound, as they are compared. first: number of embeddings[0]."""
        begin = max(0, int(np.ceil(frame_at(start + STEP / HEARING_RATE))) - first)
        stop = max(begin, int(np.floor(frame_at(end + AFTER))) + 1 - first)
        return (embeddings[begin:stop] - self._mean) / self._spread

    def heard(self, said: np.ndarray) -> tuple[str, float]:
        """The word that rows of `rows` are, and how well it fits (1: as near as can be, 0: at its reach); "" for
        none."""
        if len(said) < 3 or not self.words:
            return "", 0.0
        fits = [(1.0 - word.distance(said) / word.reach, text) for text, word in self.words.items()]
        fit, text = max(fits)
        return (text, fit) if fit >= 0 else ("", 0.0)
