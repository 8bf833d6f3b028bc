"""Synthetic voices to learn from: espeak-ng's variants and flite's voices, each engine a process of its own, and the
two of SVOX Pico (Apache-2.0), where they are installed.

Whole voices are held back (`HELD_BACK`): what the model makes of them is judged, never learned.
"""

from __future__ import annotations

import io
import json
import random
import shutil
import struct
import subprocess
import sys
import tempfile
from dataclasses import dataclass
from functools import cache
from importlib.util import find_spec
from pathlib import Path

import numpy as np

from coach.sound.model import HEARING_RATE

ACCENTS = (
    ("en-us",) * 4
    + ("en",) * 2  # British
    + ("en-gb-scotland", "en-gb-x-rp", "en-029", "en-gb-x-gbclan", "en-gb-x-gbcwmd", "en-us-nyc")
)
NO_SPEAKERS = {  # variants that sound like nobody
    "AnxiousAndy",
    "Demonic",
    "Nguyen",
    "Tweaky",
    "UniRobot",
    "anikaRobot",
    "announcer",
    "croak",
    "fast",
    "whisper",
    "whisperf",
    *(f"robosoft{n}" for n in ("", *range(2, 9))),
}
HELD_BACK = {
    "flite rms",
    *(
        f"espeak {name}"
        for name in ("m5", "f4", "klatt4", "linda", "edward", "victor", "steph2", "Mike", "iven3", "sandro")
    ),
}
FLITE = ("awb", "kal", "kal16", "slt", "slt", "rms")
PICO = ("en-US", "en-GB")


@dataclass(frozen=True, slots=True)
class Voice:
    """One voice of an engine, as an utterance of it is ordered."""

    engine: str
    name: str

    @property
    def speaker(self) -> str:
        return f"{self.engine} {self.name}"

    @property
    def is_held_back(self) -> bool:
        return self.speaker in HELD_BACK


@cache
def all_voices() -> tuple[Voice, ...]:
    """Every voice that is installed here."""
    import espeakng_loader

    folder = Path(espeakng_loader.get_data_path()) / "voices" / "!v"
    found = [
        Voice("espeak", file.name)
        for file in sorted(folder.iterdir())
        if file.name not in NO_SPEAKERS and " " not in file.name
    ]
    if shutil.which("flite"):
        found += [Voice("flite", name) for name in FLITE]
    if find_spec("py_nanotts"):
        found += [Voice("pico", name) for name in PICO]
    return tuple(found)


def choose(held_back: bool, dice: random.Random) -> Voice:
    """A voice of one side; an espeak variant in two cases of three."""
    voices = [voice for voice in all_voices() if voice.is_held_back == held_back]
    others = [voice for voice in voices if voice.engine != "espeak"]
    if others and dice.random() < 0.4:
        return dice.choice(others)
    return dice.choice([voice for voice in voices if voice.engine == "espeak"])


class Renderer:
    """Says texts in voices. One espeak-ng process for each renderer."""

    def __init__(self) -> None:
        self._espeak: subprocess.Popen | None = None

    def say(self, text: str, voice: Voice, seed: int) -> np.ndarray:
        """Samples (float, HEARING_RATE, peak 1), trimmed; empty when the engine can't."""
        dice = random.Random(seed)
        engine = {"espeak": self._say_espeak, "flite": _say_flite, "pico": _say_pico}[voice.engine]
        samples, rate = engine(text, voice.name, dice)
        return prepared(samples, rate)

    def phonemes(self, text: str, voice: str = "en-us") -> str:
        """How espeak-ng would say a text, in IPA."""
        return self._answer({"text": text, "voice": voice, "phonemes": True}).decode("utf-16-le")

    def _say_espeak(self, text: str, variant: str, dice: random.Random) -> tuple[np.ndarray, int]:
        order = {
            "text": text,
            "voice": f"{dice.choice(ACCENTS)}+{variant}",
            "rate": int(dice.uniform(110, 215)),
            "pitch": int(dice.uniform(22, 78)),
            "range": int(dice.uniform(25, 80)),
        }
        return np.frombuffer(self._answer(order), np.int16).astype(np.float64), 22_050

    def _answer(self, order: dict) -> bytes:
        if self._espeak is None:
            self._espeak = subprocess.Popen(
                [sys.executable, "-m", "coach.sound.training.espeak_worker"],
                stdin=subprocess.PIPE,
                stdout=subprocess.PIPE,
            )
        self._espeak.stdin.write(json.dumps(order).encode() + b"\n")
        self._espeak.stdin.flush()
        count = struct.unpack("<I", self._espeak.stdout.read(4))[0]
        return self._espeak.stdout.read(2 * count)

    def close(self) -> None:
        """End the process. It is started anew when it is needed."""
        if self._espeak is not None:
            self._espeak.stdin.close()
            self._espeak.wait()
            self._espeak.stdout.close()
            self._espeak = None


def _say_flite(text: str, name: str, dice: random.Random) -> tuple[np.ndarray, int]:
    import soundfile

    tone = dice.uniform(150, 230) if name == "slt" else dice.uniform(80, 140)
    with tempfile.TemporaryDirectory() as folder:
        to = Path(folder) / "said.wav"
        subprocess.run(
            [
                "flite",
                "-voice",
                name,
                "--setf",
                f"duration_stretch={dice.uniform(0.75, 1.25):.2f}",
                "--setf",
                f"int_f0_target_mean={tone:.0f}",
                "-t",
                text,
                "-o",
                str(to),
            ],
            capture_output=True,
            check=False,
        )
        if not to.is_file():
            return np.zeros(0), HEARING_RATE
        samples, rate = soundfile.read(io.BytesIO(to.read_bytes()), dtype="float64")
    return samples, rate


def _say_pico(text: str, name: str, dice: random.Random) -> tuple[np.ndarray, int]:
    from py_nanotts import NanoTTS

    said = NanoTTS().speak(text, voice=name, speed=dice.uniform(0.75, 1.35), pitch=dice.uniform(0.75, 1.3))
    return np.frombuffer(said, np.int16).astype(np.float64), HEARING_RATE


def prepared(samples: np.ndarray, rate: int) -> np.ndarray:
    """At HEARING_RATE, its silent ends cut off, its peak 1."""
    from scipy.signal import resample_poly

    peak = float(np.abs(samples).max()) if len(samples) else 0.0
    if peak <= 0:
        return np.zeros(0)
    if rate != HEARING_RATE:
        samples = resample_poly(samples, HEARING_RATE, rate)
    peak = float(np.abs(samples).max())
    loud = np.flatnonzero(np.abs(samples) > 0.01 * peak)
    return samples[max(0, loud[0] - 320) : loud[-1] + 640] / peak
