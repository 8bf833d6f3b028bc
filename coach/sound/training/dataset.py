"""Streams to learn from: eight utterances with pauses, spoiled as rooms and microphones do, turned into embeddings.

Each stream has its own seed: however many processes make them, each says the same in the same voices. To the bit they
are not the same, since espeak-ng says nothing twice quite alike.
"""

from __future__ import annotations

import random
from dataclasses import dataclass
from functools import cache
from multiprocessing import get_context

import numpy as np

from coach.sound.embedding import EmbeddingModel
from coach.sound.model import HEARING_RATE
from coach.sound.training import augment
from coach.sound.training.recordings import Recording
from coach.sound.training.texts import Line, Sayings, class_of
from coach.sound.training.voices import Renderer, Voice, choose

CLIPS = 8  # in a stream
HELD_BACK = "held back"  # group of streams that are judged


@dataclass(frozen=True, slots=True)
class Clip:
    """An utterance to come: a line said by a voice, or a recording. line.phrase: its class, "" for none."""

    line: Line
    voice: Voice | None = None
    recording: Recording | None = None

    @property
    def is_talk(self) -> bool:
        return self.recording is not None and self.recording.speaker.startswith("talk")


@dataclass(frozen=True, slots=True)
class Item:
    """Where an utterance lies in a stream, in seconds, and what it is."""

    start: float
    end: float
    text: str
    phrase: str
    is_talk: bool = False


@dataclass(frozen=True, slots=True)
class Stream:
    """features: float16 (frames, 96); fold: of the people in it, -1 for voices; group: HELD_BACK or ""."""

    features: np.ndarray
    items: tuple[Item, ...]
    fold: int
    group: str = ""


@dataclass(frozen=True, slots=True)
class Order:
    """A stream to make."""

    clips: tuple[Clip, ...]
    seed: int
    fold: int
    group: str = ""


def orders(
    sayings: Sayings,
    people: list[Recording],
    words: set[str],
    classes: tuple[str, ...],
    times: int,
    copies: int,
    seed: int,
    own_copies: int = 2,
) -> list[Order]:
    """What to make. times: of each request in synthetic voices; copies, own_copies: of each recording of people, and of
    each of a maker's own, differently spoiled."""
    dice = random.Random(seed)
    found: list[tuple[list[Clip], int, str]] = []
    for held_back in (False, True):
        part = max(1, times // 8) if held_back else times
        lines = sayings.requests(part)
        lines += [sayings.other() for _ in range(int(len(lines) * 0.9))]
        clips = [Clip(line, choose(held_back, dice)) for line in lines]
        dice.shuffle(clips)
        found += [(clips[at : at + CLIPS], -1, HELD_BACK if held_back else "") for at in range(0, len(clips), CLIPS)]
    for fold in sorted({one.fold for one in people}):
        for copy in range(copies if fold >= 0 else own_copies):
            mine = [one for one in people if one.fold == fold]
            talk = [one for one in mine if one.speaker.startswith("talk")] if copy % 2 == 0 else []
            said = [one for one in mine if not one.speaker.startswith("talk")]
            for those, size in ((said, CLIPS), (talk, 2)):
                dice.shuffle(those)
                clips = [Clip(_line(one, words, classes), recording=one) for one in those]
                found += [(clips[at : at + size], fold, "") for at in range(0, len(clips), size)]
    return [Order(tuple(clips), number, fold, group) for number, (clips, fold, group) in enumerate(found)]


def _line(one: Recording, words: set[str], classes: tuple[str, ...]) -> Line:
    known = bool(one.text) and words.issuperset(one.text.split())
    return Line(one.text if known else "", class_of(one.text, classes))


class _Maker:
    """Makes streams in one process."""

    def __init__(self, people: list[Recording]) -> None:
        self._renderer, self._embedding = Renderer(), EmbeddingModel(batch=16)
        self._talk = {fold: [] for fold in (-1, 0, 1, 2)}
        dice = random.Random(1)
        talk = [one for one in people if one.speaker.startswith("talk")]
        for one in dice.sample(talk, min(60, len(talk))):
            self._talk[one.fold].append(one.samples())
        sound = [self._renderer.say(" ".join(dice.choices(_BABBLE, k=14)), choose(False, dice), n) for n in range(30)]
        self._talk[-1] += [one for one in sound if len(one)]

    def __call__(self, order: Order) -> Stream:
        dice = np.random.RandomState(order.seed)
        parts = [np.zeros(int(dice.uniform(0.9, 1.4) * HEARING_RATE))]
        items: list[Item] = []
        at = len(parts[0])
        for number, clip in enumerate(order.clips):
            samples = self._clip(clip, order.seed * CLIPS + number, dice)
            if len(samples) < HEARING_RATE // 10:
                continue
            first, last = (0, len(samples)) if clip.is_talk or clip.voice else augment.spoken_range(samples)
            items.append(
                Item(
                    (at + first) / HEARING_RATE,
                    (at + last) / HEARING_RATE,
                    clip.line.text,
                    clip.line.phrase,
                    clip.is_talk,
                )
            )
            pause = dice.uniform(0.3, 0.7) if clip.is_talk else dice.uniform(0.5, 1.3)
            parts += [samples, np.zeros(int(pause * HEARING_RATE))]
            at += len(samples) + len(parts[-1])
        parts.append(np.zeros(int(0.8 * HEARING_RATE)))
        samples = self._spoiled(np.concatenate(parts), order.fold, dice)
        return Stream(self._embedding.of(samples).astype(np.float16), tuple(items), order.fold, order.group)

    def _clip(self, clip: Clip, seed: int, dice: np.random.RandomState) -> np.ndarray:
        if clip.recording is not None:
            samples = clip.recording.samples()
        else:
            samples = self._renderer.say(clip.line.text, clip.voice, seed) if clip.line.text else np.zeros(0)
        if len(samples) < HEARING_RATE // 10:
            return samples
        if dice.rand() < 0.6:
            samples = augment.faster(samples, dice.uniform(0.86, 1.18))
        if dice.rand() < 0.5:
            samples = augment.equalised(samples, dice)
        if clip.voice is not None:
            first, last = augment.spoken_range(samples)
            samples = samples[first:last]
        return samples / np.sqrt(augment.speech_power(samples)) * 10 ** (dice.uniform(-4, 4) / 20)

    def _spoiled(self, samples: np.ndarray, fold: int, dice: np.random.RandomState) -> np.ndarray:
        """Room, noise, microphone, loudness. Talk of other people than those in the stream's fold never gets in."""
        if dice.rand() < 0.4:
            samples = augment.in_room(samples, augment.room(dice))
        kind = dice.rand()
        length = len(samples)
        if kind < 0.3:
            noise, least, most = augment.babble(length, dice, self._talk[fold] or self._talk[-1]), 0, 25
        elif kind < 0.45:
            noise, least, most = augment.music(length, dice), 3, 30
        elif kind < 0.8:
            noise, least, most = augment.coloured(length, dice, dice.uniform(0, 2)), 3, 32
        else:
            noise, least, most = np.zeros(length), 30, 31
        samples = samples + noise * 10 ** (-dice.uniform(least, most) / 20)
        if dice.rand() < 0.2:
            samples = augment.equalised(samples, dice)
        samples = np.clip(samples * 10 ** (dice.uniform(-38, -14) / 20) * 32_767, -32_768, 32_767)
        return np.round(samples + dice.randn(length) * dice.uniform(0.5, 6))


_BABBLE = (
    "the of to in it on we they said this that there where about around under over house water people morning coffee"
).split()
_people: list[Recording] = []


def _start(people: list[Recording]) -> None:
    _people.extend(people)


@cache
def _maker() -> _Maker:
    """This process's. Not made at its start: a pool whose processes can't start waits for ever."""
    return _Maker(_people)


def _make(order: Order) -> Stream:
    return _maker()(order)


def make(wanted: list[Order], people: list[Recording], cores: int) -> list[Stream]:
    """All streams, in order."""
    with get_context("spawn").Pool(cores, initializer=_start, initargs=(people,)) as pool:
        return list(pool.imap(_make, wanted, chunksize=4))
