"""What the bench of the ear lets it hear, job by job, in as many processes as there are cores.

A job says all about itself (which sound, which grammar, which model), and each has its own seed: so the figures are the
same however many processes there are, but for espeak-ng's voices: it says nothing twice quite alike.
"""

from __future__ import annotations

import pickle
import sys
import time
import zlib
from contextlib import contextmanager
from dataclasses import dataclass
from functools import cache
from multiprocessing import get_context
from pathlib import Path

import numpy as np

REPOSITORY = Path(__file__).resolve().parents[2]
sys.path.insert(0, str(REPOSITORY))

from coach.attention import Attention, Way  # noqa: E402
from coach.language.model import NUMBER, Grammar  # noqa: E402
from coach.language.phrasebook import load  # noqa: E402
from coach.language.understand import grammar, understand  # noqa: E402
from coach.sound import head  # noqa: E402
from coach.sound.model import HEARING_RATE, Utterance  # noqa: E402
from coach.sound.pocketsphinx_ear import PocketsphinxEar  # noqa: E402
from coach.sound.training import augment, texts, voices  # noqa: E402
from coach.sound.verified_ear import Candidate, Thresholds, VerifiedEar  # noqa: E402

SPEECH = REPOSITORY.parent / "shared" / "speech"
BOOK = load()
NAME = BOOK.called[0]
NEVER = Thresholds(9, 9, 9, 9, 0)  # nothing is sure: every candidate is scored to its end
SHIPPED = Thresholds()
PAUSE = 0.7  # seconds of quiet before and after what is said
PIECE = 60  # seconds of a long recording that one job hears
KINDS = ("proposed", "phrase", "word", "number")


@dataclass(frozen=True)
class Job:
    """sound: see `sound_of`; said: "" for nothing meant; fold: of the model (-1: the one that is judged); scored: every
    candidate is scored to its end, and nothing acted on."""

    part: str
    said: str
    sound: tuple
    grammar: str = "working"
    speaker: str = ""
    fold: int = -1
    scored: bool = False


@dataclass(frozen=True)
class Heard:
    """What the ear made of a job: its utterances, and each candidate with the second in which it was decided."""

    job: Job
    seconds: float
    speech_end: float  # where one thing was said: the second in which it was over
    utterances: tuple[Utterance, ...]
    candidates: tuple[tuple[Candidate, float], ...]

    @property
    def sure(self) -> list[Utterance]:
        return [one for one in self.utterances if one.sure]

    @property
    def is_obeyed(self) -> bool:
        return any(asked(one.text) == asked(self.job.said) for one in self.sure)

    @property
    def wrong(self) -> list[str]:
        return [one.text for one in self.sure if asked(one.text) != asked(self.job.said)]

    def score(self, *kinds: str) -> float:
        """The highest of what was said."""
        right = (one for one, _ in self.candidates if one.kind in kinds and asked(one.text) == asked(self.job.said))
        return max((one.score for one in right), default=0.0)


@cache
def asked(text: str) -> object:
    """What a phrase asks for: two phrases of one request ask for the same."""
    request = understand(BOOK, text)
    return (request.name, request.value) if request else text


@cache
def grammars() -> dict[str, Grammar]:
    working = grammar(BOOK, "working", 45, ("sc", "hdc", "dc"), highest_count=60)
    choosing = Grammar((NUMBER, "stop"), tuple(form for n in range(46) for form in BOOK.number.spoken(n)))
    return {
        "working": working,
        "asking": grammar(BOOK, "asking", 45, ("sc", "hdc", "dc"), highest_count=60),  # with yes and no
        "choosing": choosing,
        "people": Grammar((*working.phrases, *texts.FURTHER), working.numbers, working.counts),
        "speaking": grammar(BOOK, "speaking"),
        "open": Attention(Way.OPEN).grammar(working, NAME),
        "attention": Attention(Way.ATTENTION).grammar(working, NAME),
    }


# ---- sounds


def sound_of(sound: tuple) -> np.ndarray:
    """The samples (int16, HEARING_RATE) that a job's `sound` stands for:

    ("clip", file, spoil)        a recording with quiet around it; spoil: None, ("pink", dB), ("babble", dB), ("room", s)
    ("piece", file, number)      a piece of a long recording
    ("voice", engine, name, text, seed, spoil)
    ("music", seed)              a minute, made up
    ("coach", first, last)       sentences of the coach's own
    """
    kind, *rest = sound
    return {"clip": _clip, "piece": _piece, "voice": _voice, "music": _music, "coach": _coach}[kind](*rest)


def read(file: str, first: int = 0, last: int | None = None) -> np.ndarray:
    """Float samples at HEARING_RATE."""
    import soundfile
    from scipy.signal import resample_poly

    values, rate = soundfile.read(file, dtype="float64", start=first, stop=last, always_2d=True)
    mono = values.mean(1) * 32_768
    return mono if rate == HEARING_RATE else resample_poly(mono, HEARING_RATE, rate)


def _clip(file: str, spoil: tuple | None = None) -> np.ndarray:
    """The room that is heard in a recording is there before and after it, as it is in a room: a noise that begins with
    the recording would be taken for a part of what is said."""
    samples, seed = read(file), zlib.crc32(Path(file).name.encode())
    seconds = PAUSE if spoil is None else 1.2
    before, after = (_room_tone(samples, seconds, np.random.RandomState(seed + n)) for n in range(2))
    return _spoiled(np.concatenate([before, samples, after]), spoil, seed, pause=0.0)


def _room_tone(samples: np.ndarray, seconds: float, dice: np.random.RandomState) -> np.ndarray:
    """Noise as the quietest eighth of a second of a recording has it, at most 24 dB below what is said in it."""
    size = HEARING_RATE // 8
    if len(samples) < 2 * size:
        return np.zeros(0)
    pieces = [samples[at : at + size] for at in range(0, len(samples) - size + 1, size // 4)]
    quietest = min(pieces, key=lambda piece: float((piece**2).mean()))
    shape = np.interp(np.linspace(0, 1, int(seconds * HEARING_RATE) // 2 + 1), np.linspace(0, 1, size // 2 + 1), np.abs(np.fft.rfft(quietest)))
    tone = np.fft.irfft(shape * np.exp(2j * np.pi * dice.rand(len(shape))), int(seconds * HEARING_RATE))
    most = np.sqrt(augment.speech_power(samples)) * 10 ** (-24 / 20)
    return tone / (tone.std() + 1e-9) * min(float(quietest.std()), most)


def _piece(file: str, number: int) -> np.ndarray:
    import soundfile

    size = soundfile.info(file).samplerate * PIECE
    return _int16(read(file, number * size, (number + 1) * size))


@contextmanager
def _renderer():
    """One for each job."""
    renderer = voices.Renderer()
    yield renderer
    renderer.close()


def _voice(engine: str, name: str, text: str, seed: int, spoil: tuple | None = None) -> np.ndarray:
    with _renderer() as renderer:
        said = renderer.say(text, voices.Voice(engine, name), seed)
    if not len(said):
        raise ValueError(f"The voice {engine} {name} can't be heard here.")
    return _spoiled(said * 8000, spoil, seed)


def _music(seed: int) -> np.ndarray:
    dice = np.random.RandomState(seed)
    return _int16(augment.music(PIECE * HEARING_RATE, dice) * 10 ** (dice.uniform(-35, -15) / 20) * 32_767)


def _coach(first: int, last: int) -> np.ndarray:
    import random

    sentences = texts.Sayings(BOOK, random.Random(4)).coach
    said = [random.Random(n).choice(sentences) for n in range(first, last)]
    with _renderer() as renderer:
        spoken = [renderer.say(text, voices.Voice("espeak", "f3"), n) for n, text in enumerate(said, first)]
    return np.concatenate([padded(one * 8000, 0.3) for one in spoken if len(one)])


def _spoiled(samples: np.ndarray, spoil: tuple | None, seed: int, pause: float | None = None) -> np.ndarray:
    samples = padded(samples, (PAUSE if spoil is None else 1.2) if pause is None else pause).astype(float)
    if spoil is None:
        return _int16(samples)
    kind, how = spoil
    dice = np.random.RandomState(seed)
    if kind == "room":
        return _int16(augment.in_room(samples, augment.room(dice, how, 3.0)))
    length, loud = len(samples), np.sqrt(augment.speech_power(samples)) * 10 ** (-how / 20)
    beside = augment.coloured(length, dice) if kind == "pink" else augment.babble(length, dice, _talk(), 4)
    return _int16(samples + beside * loud)


@cache
def _talk() -> list[np.ndarray]:
    """What babble is made of: people where there are any."""
    files = sorted(p for p in (SPEECH / "talk").glob("*.flac") if not p.stem.startswith("reading"))
    if files:
        return [read(str(file), 0, PIECE * HEARING_RATE) for file in files]
    return [_coach(n, n + 10).astype(float) for n in range(0, 40, 10)]


def padded(samples: np.ndarray, seconds: float = PAUSE) -> np.ndarray:
    quiet = np.random.default_rng(1).normal(0, 6, round(seconds * HEARING_RATE))
    return _int16(np.concatenate([quiet, samples, quiet]))


def _int16(samples: np.ndarray) -> np.ndarray:
    return np.clip(np.rint(samples), -32_768, 32_767).astype(np.int16)


# ---- hearing

_models: dict[int, Path] = {}


def _start(models: dict[int, Path]) -> None:
    _models.update(models)


@cache
def _model(fold: int) -> head.Head:
    return head.load(_models.get(fold, _models[-1]))


@cache
def _recogniser(name: str) -> PocketsphinxEar:
    ear = PocketsphinxEar()
    ear.listen_for(grammars()[name])
    return ear


class _Listening:
    """A recogniser that has its grammar already: making it takes longer than to hear a clip."""

    def __init__(self, ear: PocketsphinxEar) -> None:
        ear.restart()
        self._ear, self.name, self.feed, self.finish = ear, ear.name, ear.feed, ear.finish

    def listen_for(self, _grammar: Grammar) -> None:
        pass


def hear(job: Job) -> Heard:
    """Let an ear of its own hear a job."""
    samples = sound_of(job.sound)
    judged: list[tuple[Candidate, float]] = []
    ear = VerifiedEar(
        _Listening(_recogniser(job.grammar)),
        _model(job.fold),
        NEVER if job.scored else SHIPPED,
        judged=lambda one, at: judged.append((one, at)),
    )
    ear.listen_for(grammars()[job.grammar])
    found = [u for at in range(0, len(samples), HEARING_RATE) for u in ear.feed(samples[at : at + HEARING_RATE])]
    speech_end = augment.spoken_range(samples.astype(float))[1] / HEARING_RATE if job.said else 0.0
    return Heard(job, len(samples) / HEARING_RATE, speech_end, (*found, *ear.finish()), tuple(judged))


def hear_all(jobs: list[Job], models: dict[int, Path], cores: int, keep: Path | None = None) -> list[Heard]:
    """All jobs, in order; a line of progress on stderr. keep: a file that has all that was heard until now."""
    found, began = [], time.monotonic()
    with get_context("spawn").Pool(cores, initializer=_start, initargs=(models,)) as pool:
        for heard in pool.imap(hear, jobs, chunksize=2):
            found.append(heard)
            if keep and (len(found) % 500 == 0 or len(found) == len(jobs)):
                part = keep.with_suffix(".part")
                part.write_bytes(pickle.dumps(found))
                part.replace(keep)
            if len(found) % 25 == 0 or len(found) == len(jobs):
                took = time.monotonic() - began
                left = took / len(found) * (len(jobs) - len(found))
                print(f"\r{len(found)} of {len(jobs)} heard, about {left:.0f} s left ", end="", file=sys.stderr)
    print(file=sys.stderr)
    return found
