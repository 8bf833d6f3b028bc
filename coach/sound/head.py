"""The coach's own model: a small network over speech embeddings, computed with numpy as the sound comes in.

    embeddings ─ causal convolutions ─┬─▶ words: none or one of the words of requests and numbers, each 80 ms
                                      └─▶ phrases: none or the phrase that just ended

A model is a folder with `ear.npz` (weights in half precision) and `ear.json` (version, words, phrases, the SHA-256
of the
weights). Whatever is not as it should be is refused with a NoModel.
"""

from __future__ import annotations

import hashlib
import io
import json
import re
from dataclasses import asdict, dataclass
from pathlib import Path

import numpy as np

from coach.sound.embedding import SIZE
from coach.sound.errors import NoModel
from coach.sound.models import REPOSITORY

VERSION = 1
WEIGHTS, DESCRIPTION = "ear.npz", "ear.json"
REACHES = (1, 2, 4, 8)  # dilation of each convolution after the first
LARGEST = 2_000_000  # bytes of a weights file
OWN_MODEL = REPOSITORY / "ear"


@dataclass(frozen=True, slots=True)
class Description:
    """What a model's outputs mean. words, phrases: output 1 and on (0 is "nothing"); a phrase may have blanks such as
    <number>; requests: for each phrase, what it asks for: phrases that ask for the same need not be told apart."""

    words: tuple[str, ...]
    phrases: tuple[str, ...]
    requests: tuple[str, ...]


class Head:
    """The network's weights and what its outputs mean."""

    def __init__(self, weights: dict[str, np.ndarray], description: Description) -> None:
        """Raises NoModel when the weights don't fit together or to the description."""
        self.description = description
        self.weights = {name: np.asarray(value, np.float32) for name, value in weights.items()}
        if wrong := self._wrong():
            raise NoModel(
                f"The model of the coach's own ear is damaged: {wrong}.", "The recogniser is used without it."
            )
        self.words = {word: n for n, word in enumerate(description.words, 1)}
        self._exact = {phrase: n for n, phrase in enumerate(description.phrases, 1) if "<" not in phrase}
        self._open = [
            (re.compile(re.sub(r"<\w+>", ".+", phrase)), n) for phrase, n in self._numbered() if "<" in phrase
        ]
        by_request: dict[str, list[int]] = {}
        for n, request in enumerate(description.requests, 1):
            by_request.setdefault(request, []).append(n)
        self._same = {n: tuple(by_request[request]) for n, request in enumerate(description.requests, 1)}

    def _numbered(self):
        return [(phrase, n) for n, phrase in enumerate(self.description.phrases, 1)]

    def _wrong(self) -> str:
        description = self.description
        width = self.weights.get("bias0", np.zeros(0)).shape[0] if "bias0" in self.weights else 0
        wanted = {"mean": (SIZE,), "spread": (SIZE,), "weight0": (width, SIZE, 2), "bias0": (width,)}
        for number in range(1, len(REACHES) + 1):
            wanted |= {f"weight{number}": (width, width, 3), f"bias{number}": (width,)}
        for name, count in (("words", len(description.words)), ("phrases", len(description.phrases))):
            wanted |= {f"{name}_weight": (count + 1, width), f"{name}_bias": (count + 1,)}
        if len(description.requests) != len(description.phrases):
            return "its phrases and requests don't match"
        for name, shape in wanted.items():
            if name not in self.weights or self.weights[name].shape != shape:
                return f"{name} is not what it should be"
            if not np.isfinite(self.weights[name]).all():
                return f"{name} has values that are no numbers"
        return ""

    def phrase(self, text: str) -> int | None:
        """The output that a text belongs to, None for a phrase that the model doesn't know."""
        if (number := self._exact.get(text)) is not None:
            return number
        return next((n for pattern, n in self._open if pattern.fullmatch(text)), None)

    def whole(self, text: str) -> int | None:
        """The output of a phrase that has no blanks, and so is known as soon as its output is; else None."""
        return self._exact.get(text)

    def same(self, output: int) -> tuple[int, ...]:
        """The outputs that ask for the same."""
        return self._same[output]

    def of(self, embeddings: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
        """Log probabilities of words, (n, 1 + words), and probabilities of phrases, (n, 1 + phrases), of a
        recording."""
        return Stream(self).feed(embeddings)


class Stream:
    """A head that hears embeddings as they come."""

    def __init__(self, head: Head) -> None:
        self._head = head
        width = len(head.weights["bias0"])
        self._before = [np.zeros((1, SIZE), np.float32)] + [
            np.zeros((2 * reach, width), np.float32) for reach in REACHES
        ]

    def feed(self, embeddings: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
        """As `Head.of`, of the next embeddings."""
        weights = self._head.weights
        x = (embeddings.astype(np.float32) - weights["mean"]) / weights["spread"]
        for number, reach in enumerate((1, *REACHES)):
            joined = np.concatenate([self._before[number], x])
            self._before[number] = joined[len(x) :]
            kernel = weights[f"weight{number}"]
            taps = sum(
                joined[tap * reach : tap * reach + len(x)] @ kernel[:, :, tap].T for tap in range(kernel.shape[2])
            )
            y = np.maximum(taps + weights[f"bias{number}"], 0)
            x = y if number == 0 else x + y
        words, phrases = (x @ weights[f"{name}_weight"].T + weights[f"{name}_bias"] for name in ("words", "phrases"))
        words, phrases = _log_softmax(words), _log_softmax(phrases)
        return words, np.exp(phrases)


def _log_softmax(values: np.ndarray) -> np.ndarray:
    values = values - values.max(-1, keepdims=True)
    return values - np.log(np.exp(values).sum(-1, keepdims=True))


def save(folder: Path, weights: dict[str, np.ndarray], description: Description) -> None:
    """Write a model."""
    folder.mkdir(parents=True, exist_ok=True)
    data = io.BytesIO()
    np.savez_compressed(data, **weights)
    (folder / WEIGHTS).write_bytes(data.getvalue())
    told = {"version": VERSION, "sha256": hashlib.sha256(data.getvalue()).hexdigest(), **asdict(description)}
    (folder / DESCRIPTION).write_text(json.dumps(told, indent=1) + "\n", encoding="utf-8")


def load(folder: Path = OWN_MODEL) -> Head:
    """The model in a folder. Raises NoModel."""
    damaged = "The recogniser is used without it."
    try:
        told = json.loads((folder / DESCRIPTION).read_text("utf-8"))
        data = (folder / WEIGHTS).read_bytes()
    except FileNotFoundError:
        raise NoModel("The model of the coach's own ear is not here.", damaged) from None
    except (OSError, ValueError) as fault:
        raise NoModel(f"The model of the coach's own ear can't be read ({fault}).", damaged) from None
    if not isinstance(told, dict) or told.get("version") != VERSION:
        raise NoModel("The model of the coach's own ear is of another version.", damaged)
    if len(data) > LARGEST or hashlib.sha256(data).hexdigest() != told.get("sha256"):
        raise NoModel("The model of the coach's own ear is damaged: its sum is wrong.", damaged)
    try:
        parts = {name: tuple(str(item) for item in told[name]) for name in ("words", "phrases", "requests")}
        with np.load(io.BytesIO(data), allow_pickle=False) as arrays:
            return Head(dict(arrays), Description(**parts))
    except NoModel:
        raise
    except (KeyError, TypeError, ValueError, OSError) as fault:
        raise NoModel(f"The model of the coach's own ear is damaged ({fault}).", damaged) from None
