"""A rehearsal: the whole coach without sound hardware, in virtual time.

A maker with a voice unlike the coach's asks what the script says; the real recogniser hears it, the real coach answers,
and each turn is printed with its time. What is not heard is asked again, as people do.
"""

from __future__ import annotations

from collections import deque
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import TextIO

import numpy as np

from coach.events import Heard, Save
from coach.figures import Figures
from coach.guide.model import Request
from coach.language.phrasebook import load
from coach.language.understand import phrase
from coach.live import Keep, Paper, forget
from coach.sound.errors import MouthError
from coach.sound.model import HEARING_RATE, Ear, Mouth, Speech
from coach.sound.mouth import EngineMouth
from coach.sound.resample import resample
from coach.sound.wav import write_wav
from coach.tape import VOICE_RATE, TapeStage, TapeVoice
from coach.topics import Working

PAUSE = 0.9  # seconds that the maker works before asking the next thing
PATIENCE = 2.0  # seconds after which the maker asks again
TRIES = 3
LONGEST = 90.0  # seconds that the maker waits for a moment to speak
ROOM = 12.0  # root mean square of the room's noise, of 32767: a quiet room
RATE = 150  # words a minute; people ask slower than the coach reads


@dataclass(frozen=True, slots=True)
class Ask:
    """One line of the script. words: as spoken; over: seconds after which it is said while the coach still speaks."""

    words: str
    over: float | None = None


def script(working: Working) -> list[Ask]:
    """What is asked of any pattern: a little of everything, in the words of the phrasebook."""
    book, rounds = working.phrasebook, working.fabric.parts[0].rounds
    there = rounds[min(len(rounds) - 1, max(2, len(rounds) // 2))].source.number if rounds else 1

    def ask(name: str, value: int | str | None = None, over: float | None = None) -> Ask:
        return Ask(phrase(book, Request(name, value)), over)

    return [
        ask("next"),
        ask("next"),
        ask("count"),
        ask("repeat"),
        ask("next"),
        ask("go_round", there),
        ask("left"),
        ask("next"),
        ask("back"),
        ask("undo"),
        ask("what_is"),
        ask("stop", over=1.5),
        ask("pause"),
        ask("carry_on"),
        ask("where"),
        ask("finish"),
    ]


class Maker:
    """The maker of a rehearsal, as a source of sound: waits until the coach is quiet, works a little, asks, and asks
    again where nothing comes of it."""

    def __init__(self, asks: Iterable[Ask], mouth: Mouth, seed: int = 1) -> None:
        """Raises MouthError."""
        self.over = False
        self.time = 0.0  # seconds since the start
        self.asked: Ask | None = None  # what is, or was last, being asked
        self.began = 0.0  # when that began
        asks = tuple(asks)
        self._clips = {a.words: self._clip(mouth, a.words) for a in asks}
        self._noise = np.random.default_rng(seed)
        self._speaking = False
        self._answered = False
        self._samples = np.zeros(0, np.int16)  # of the present moment
        self._life = self._live(asks)

    @staticmethod
    def _clip(mouth: Mouth, words: str) -> np.ndarray:
        speech = mouth.say(words, RATE)
        return resample(speech.samples, speech.rate, HEARING_RATE) // 2  # loud enough, and the noise never clips it

    def answered(self) -> None:
        """The coach has understood."""
        self._answered = True

    def next(self, seconds: float, speaking: bool) -> np.ndarray:
        self._speaking = speaking
        self._samples = np.rint(self._noise.normal(0, ROOM, round(seconds * HEARING_RATE))).astype(np.int16)
        self.over = next(self._life, None) is None
        self.time += seconds
        return self._samples[:0] if self.over else self._samples

    def _live(self, asks: Iterable[Ask]) -> Iterator[bool]:
        """The whole evening; each yield is one moment."""
        for ask in asks:
            for _ in range(TRIES):
                yield from self._wait(ask)
                self.asked, self.began, self._answered = ask, self.time, False
                yield from self._say(self._clips[ask.words])
                until = self.time + PATIENCE
                while not self._answered and self.time < until:
                    yield True
                if self._answered:
                    break

    def _wait(self, ask: Ask) -> Iterator[bool]:
        """Until it is time: after a pause, or, to interrupt, while the coach has been speaking for so long."""
        wanted, pause = (False, PAUSE) if ask.over is None else (True, ask.over)
        since = start = self.time
        while self.time - since < pause and self.time - start < LONGEST:
            yield True
            if self._speaking is not wanted:
                since = self.time

    def _say(self, clip: np.ndarray) -> Iterator[bool]:
        while len(clip):
            taken, clip = clip[: len(self._samples)], clip[len(self._samples) :]
            self._samples[: len(taken)] += taken
            yield True


class Transcript(Paper):
    """Turn by turn, with times; kept, to be written down."""

    def __init__(self, out: TextIO) -> None:
        super().__init__(out)
        self.lines: list[str] = []
        self.now: Callable[[], float] = lambda: 0.0

    def show(self, text: str, kind: str = "said") -> None:
        if kind != "heard":  # that comes with its figures
            self.line(self.now(), f"coach: {text}")

    def line(self, time: float, text: str) -> None:
        self.lines.append(f"{int(time) // 60:02d}:{time % 60:04.1f}  {text}")
        super().show(self.lines[-1], "note")


@dataclass(frozen=True)
class Rehearsal:
    """What came of it. heard: how many asks were understood as they were meant, of how many; lines: the transcript;
    maker, coach: what was to be heard, at HEARING_RATE and VOICE_RATE; figures: how quick it was (but for the devices,
    there being none)."""

    heard: int
    asked: int
    lines: tuple[str, ...]
    maker: np.ndarray
    coach: np.ndarray
    figures: Figures

    @property
    def session(self) -> Speech:
        """Both together, as somebody in the room hears them."""
        maker = resample(self.maker, HEARING_RATE, VOICE_RATE)
        both = np.zeros(max(len(maker), len(self.coach)), np.int32)
        both[: len(maker)] += maker
        both[: len(self.coach)] += self.coach
        return Speech(np.clip(both, -32_768, 32_767).astype(np.int16), VOICE_RATE)

    def write(self, folder: Path) -> None:
        """session.wav, maker.wav, coach.wav and transcript.txt. Raises RecordingError and OSError."""
        folder.mkdir(parents=True, exist_ok=True)
        write_wav(folder / "session.wav", self.session)
        write_wav(folder / "maker.wav", Speech(self.maker, HEARING_RATE))
        write_wav(folder / "coach.wav", Speech(self.coach, VOICE_RATE))
        (folder / "transcript.txt").write_text("\n".join(self.lines) + "\n", "utf-8")


def rehearse(
    working: Working,
    asks: Iterable[Ask],
    ear: Ear,
    maker_voice: Mouth,
    coach_voice: Mouth,
    out: TextIO,
    keep: Keep = forget,
) -> Rehearsal:
    """Play the script. Closes the ear and the coach's voice. Raises MouthError."""
    asks = tuple(asks)
    maker, paper = Maker(asks, maker_voice), Transcript(out)
    inbox: deque = deque()
    sounds: tuple[list[np.ndarray], list[np.ndarray]] = [], []
    meant = {ask.words: working.understand(ask.words, typed=False) for ask in asks}
    understood: list[Ask] = []

    def mixed(*both: np.ndarray) -> None:
        for sound, samples in zip(sounds, both):
            sound.append(samples)

    def told(heard: Heard) -> None:
        asked = maker.asked.words if maker.asked else ""
        score = "" if heard.confidence is None else f" ({heard.confidence:.2f})"
        if not heard.sure:
            came_of_it = ", not sure: a low tone"
        else:
            came_of_it = "" if working.understand(heard.text, typed=False) == meant.get(asked) else ", something else"
        paper.line(maker.began, f'maker: "{asked}"   heard: {heard.text or "something"}{score}{came_of_it}')

    def kept(save: Save) -> Iterable[str]:
        maker.answered()
        if maker.asked and save.request == meant[maker.asked.words]:
            understood.append(maker.asked)
        return keep(save)

    figures = Figures()
    voice = TapeVoice(coach_voice, None, inbox.append, figures.action_to_sound.append)
    paper.now = lambda: voice.seconds
    stage = TapeStage(maker, ear, voice, paper, inbox, mixed, told, figures=figures)
    try:
        stage.hold(working, kept)
    finally:
        stage.close()
    return Rehearsal(
        len(dict.fromkeys(map(id, understood))),
        len(asks),
        tuple(paper.lines),
        *(np.concatenate(sound) for sound in sounds),
        figures,
    )


def maker_mouth(language: str) -> EngineMouth:
    """A voice for the maker that this machine's engine has, and that is not the coach's. Raises MouthError."""
    mouth = EngineMouth()
    known = [v.name for v in mouth.voices() if any(tag.split("-")[0] == language for tag in v.languages)]
    for name in (*load(language).maker_voices, *reversed(known)):
        mouth.voice = name
        try:
            mouth.say("a", RATE)
        except MouthError:
            continue
        return mouth
    mouth.voice = None
    return mouth
