"""Words that a maker teaches the ear: three spoken examples, compared with what is said; nothing is trained.

Each example is a row of embeddings. Two rows are compared by dynamic time warping (Sakoe and Chiba, 1978): the least
mean
distance (1 - cosine) between frames when both may be stretched in time. A word is heard when what was said is nearer
to its
examples than STRETCH times as far as these are from each other (within limits), and nearer than to any other word's.
"""

from __future__ import annotations

import io
import json
from collections.abc import Container, Sequence
from dataclasses import dataclass
from pathlib import Path
from zipfile import BadZipFile

import numpy as np

from coach.sound.embedding import STEP, Embedding, frame_at
from coach.sound.errors import EarError
from coach.sound.gate import Gate
from coach.sound.model import HEARING_RATE
from coach.whole import write_whole

EXAMPLES = 3
STRETCH = 1.3
NEAREST, FARTHEST = 0.2, 0.34
"""Limits of a word's reach. People's own repetitions are 0.05 to 0.27 apart (half of them under 0.15), their other
words
0.3 and more; three examples said in one breath are nearer to each other than the next one will be."""
AFTER = 0.3
"""Seconds after the end of a word in which the embedding still tells about it."""
SHORTEST = 3  # frames
LENGTHS = 1.6  # times longer or shorter than every example: another word
MOMENT, ROOM = 320, (6.0, 300.0)  # samples; levels that a room may have
LEAD, TAIL = 0.9, 0.6  # seconds of quiet around an example, so that the embedding has what it needs


class BadExamples(EarError):
    """Examples of which no word can be learned; others may do."""


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

    def may_be(self, said: np.ndarray) -> bool:
        """Whether it lasted about as long as the examples."""
        lengths = [len(example) for example in self.examples]
        return SHORTEST <= len(said) and min(lengths) / LENGTHS <= len(said) <= LENGTHS * max(lengths)

    def distance(self, said: np.ndarray) -> float:
        """The mean of the two nearest examples: one bad example does no harm."""
        return float(np.mean(sorted(distance(said, example) for example in self.examples)[:2]))


class OwnWords:
    """All words that a maker has taught, kept in a file where there is one."""

    def __init__(self, mean: np.ndarray, spread: np.ndarray, file: Path | None = None) -> None:
        """mean, spread: of the embeddings (the head has learned them). What can't be read is told by `fault`."""
        self._mean, self._spread, self._file = mean, spread, file
        self._replaced: dict[str, OwnWord | None] = {}
        self.words: dict[str, OwnWord] = {}
        self.fault = ""  # a sentence
        if file is not None:
            self._read(file)

    def learn(self, text: str, recordings: Sequence[np.ndarray]) -> OwnWord:
        """Take a word from at least EXAMPLES recordings of it (int16, HEARING_RATE), each said once; keep it.

        Raises BadExamples with what to do when there are too few, nothing is heard in one, they are too unlike, or
        sound like another word of the maker's; EarError where the word can't be kept.
        """
        if len(recordings) < EXAMPLES:
            raise BadExamples(
                f"I need {EXAMPLES} examples of {text!r}, and have {len(recordings)}.", "Say it once more."
            )
        examples = tuple(self.embedded(samples) for samples in recordings)
        if any(len(example) < SHORTEST for example in examples):
            raise BadExamples(f"I can't hear {text!r} in one of the examples.", "Say it again, a little louder.")
        apart = _apart(examples)
        if np.mean(apart) > FARTHEST:
            raise BadExamples("The examples don't sound like one word to me.", "Say it three times alike.")
        word = OwnWord(text, examples, _reach(apart))
        for other in self.words.values():
            if other.text != text and min(other.distance(example) for example in examples) < 0.8 * other.reach:
                raise BadExamples(f"{text!r} sounds like {other.text!r} to me.", "Choose another word.")
        self._replaced[text] = self.words.pop(text, None)
        self.words[text] = word
        self._write()
        return word

    def forget(self) -> str:
        """Forget the word that was learned last, and gives its text; "" where there is none. One that it replaced in
        this session is back. Raises EarError where that can't be kept."""
        if not self.words:
            return ""
        text, _ = self.words.popitem()
        if (before := self._replaced.pop(text, None)) is not None:
            self.words[text] = before
        self._write()
        return text

    def embedded(self, samples: np.ndarray) -> np.ndarray:
        """The rows of the loudest sound in a recording; (0, size) where there is none."""
        quiet = np.random.default_rng(0).normal(0, _room(samples), round(LEAD * HEARING_RATE)).astype(np.int16)
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

    def heard(self, said: np.ndarray, among: Container[str] | None = None) -> tuple[str, float]:
        """The word that rows of `rows` are, and how well it fits (1: as near as can be, 0: at its reach); "" for
        none. among: the texts that can be meant (None: all)."""
        fits = [
            (1.0 - word.distance(said) / word.reach, text)
            for text, word in self.words.items()
            if (among is None or text in among) and word.may_be(said)
        ]
        fit, text = max(fits, default=(-1.0, ""))
        return (text, fit) if fit >= 0 else ("", 0.0)

    # ---- the file: embeddings, from which nobody can hear what was said; a new head compares them anew

    def _read(self, file: Path) -> None:
        try:
            with np.load(file, allow_pickle=False) as arrays:
                texts = json.loads(arrays["texts"].tobytes())
                for number, text in enumerate(texts):
                    raw = [arrays[f"{number}.{n}"].astype(np.float32) for n in range(EXAMPLES)]
                    if any(rows.ndim != 2 or rows.shape[1] != len(self._mean) or len(rows) < SHORTEST for rows in raw):
                        raise ValueError(f"the examples of {text}")
                    examples = tuple((rows - self._mean) / self._spread for rows in raw)
                    self.words[str(text)] = OwnWord(str(text), examples, _reach(_apart(examples)))
        except FileNotFoundError:
            return
        except (OSError, ValueError, KeyError, TypeError, BadZipFile, EOFError) as fault:
            self.words.clear()
            self.fault = f"The words that you have taught can't be read ({fault}). Teach them again."

    def _write(self) -> None:
        if self._file is None:
            return
        arrays = {"texts": np.frombuffer(json.dumps(list(self.words)).encode(), np.uint8)}
        for number, word in enumerate(self.words.values()):
            for n, rows in enumerate(word.examples[:EXAMPLES]):
                arrays[f"{number}.{n}"] = (rows * self._spread + self._mean).astype(np.float16)
        data = io.BytesIO()
        np.savez_compressed(data, **arrays)
        try:
            write_whole(self._file, data.getvalue())
        except OSError as fault:
            raise EarError(f"That can't be kept: {fault.strerror or fault}.", "It holds until the end.") from None


def _apart(examples: Sequence[np.ndarray]) -> list[float]:
    """How far each is from each other one."""
    return [distance(a, b) for n, a in enumerate(examples) for b in examples[n + 1 :]]


def _reach(apart: Sequence[float]) -> float:
    return float(np.clip(STRETCH * np.mean(apart), NEAREST, FARTHEST))


def _room(samples: np.ndarray) -> float:
    """The level of the room around a word (root mean square of int16), from the quietest moment of a recording."""
    moments = samples[: len(samples) // MOMENT * MOMENT].reshape(-1, MOMENT).astype(np.float64)
    quietest = float(np.sqrt((moments**2).mean(axis=1)).min()) if len(moments) else 0.0
    return float(np.clip(quietest, *ROOM))
