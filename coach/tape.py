"""Recordings in place of devices, in virtual time: as fast as the machine can, and the same every time.

The maker's recording is patient: it is held while the coach speaks and goes on when the coach is quiet again, since who
recorded it could not know how long the answers are. So the coach's recording has the maker's pauses, and the answers
between them. A source that is not patient (a rehearsal) may speak over the coach.
"""

from __future__ import annotations

import time
from collections import deque
from collections.abc import Callable, Iterable
from pathlib import Path
from typing import Protocol

import numpy as np

from coach.attention import Attention
from coach.conversation import Conversation
from coach.ears import Ears
from coach.events import Event, Heard, KeepWord, Sound, SpeechDone, TimePassed, Topic
from coach.figures import Figures
from coach.live import Ended, Keep, Paper, Session, forget
from coach.sound.model import HEARING_RATE, Ear, Mouth, Speech
from coach.sound.resample import resample
from coach.sound.tones import tone
from coach.sound.wav import WavReader, WavWriter

BLOCK = 0.02  # seconds that virtual time goes on at once
VOICE_RATE = 22_050  # samples a second of the coach's recording; the engine's own on Linux
AFTER = 0.5  # seconds of quiet left behind the last word of a recording
TYPED_PAUSE = 0.6  # seconds that a typed request takes in the coach's recording


class TapeVoice:
    """Speaks into a recording. `go_on(seconds)` is its clock."""

    def __init__(
        self,
        mouth: Mouth,
        path: Path | str | None,
        post: Callable[[Event], None],
        sounded: Callable[[float], None] = lambda seconds: None,
    ) -> None:
        """path: the WAV file to write (None: none); sounded: is told how many seconds the machine computed from each
        `say` to its first sample. Raises RecordingError where the file can't be written."""
        self._sounded = sounded
        self.seconds = 0.0  # since the start
        self.words = 0.0  # seconds of speech that were spoken so far
        self._mouth = mouth
        self._post = post
        self._writer = WavWriter(path, VOICE_RATE) if path is not None else None
        self._rate, self._volume = 175, 0.9
        self._waiting: deque[np.ndarray] = deque()
        self._number: int | None = None
        self._written = 0  # samples

    @property
    def speaking(self) -> bool:
        return bool(self._waiting)

    def say(self, number: int, text: str) -> None:
        began = time.perf_counter()
        self.silence()
        speech = self._mouth.say(text, self._rate)
        self._number = number
        self._lay(speech)
        self._sounded(time.perf_counter() - began)

    def silence(self) -> None:
        self._waiting.clear()
        self._done(whole=False)

    def tone(self, kind: str) -> None:
        self._lay(tone(kind))

    def adjust(self, rate: int, volume: float) -> None:
        self._rate, self._volume = rate, volume

    def go_on(self, seconds: float) -> np.ndarray:
        """Let time pass; gives the samples of it at VOICE_RATE, which are written too."""
        self.seconds += seconds
        out = np.zeros(round(self.seconds * VOICE_RATE) - self._written, np.int16)
        filled = 0
        while self._waiting and filled < len(out):
            piece = self._waiting.popleft()
            taken = piece[: len(out) - filled]
            out[filled : filled + len(taken)] = taken
            filled += len(taken)
            if len(taken) < len(piece):
                self._waiting.appendleft(piece[len(taken) :])
        self.words += filled / VOICE_RATE
        self._written += len(out)
        if self._writer:
            self._writer.write(out)
        if not self._waiting:
            self._done(whole=True)
        return out

    def look(self) -> None: ...

    def events(self, item: object) -> list[Event]:
        return [item]

    def speak(self) -> None:
        """Let time pass until nothing is left to say, and a typed request's time with it."""
        while self._waiting:
            self.go_on(BLOCK)
        self.go_on(TYPED_PAUSE)

    def close(self) -> None:
        if self._writer:
            self._writer.close()
        self._mouth.close()

    def _lay(self, speech: Speech) -> None:
        samples = resample(speech.samples, speech.rate, VOICE_RATE)
        if len(samples):
            self._waiting.append(np.rint(samples * self._volume).astype(np.int16))

    def _done(self, whole: bool) -> None:
        if self._number is not None:
            number, self._number = self._number, None
            self._post(SpeechDone(number, whole))


class Source(Protocol):
    """Where the maker's sound comes from."""

    over: bool

    def next(self, seconds: float, speaking: bool) -> np.ndarray:
        """The next samples at HEARING_RATE; none while it is held. speaking: the coach is."""


class Recording:
    """A patient recording: held while the coach speaks."""

    def __init__(self, path: Path | str) -> None:
        """Raises RecordingError."""
        self.over = False
        self._reader = WavReader(path)
        self._blocks = self._reader.blocks(HEARING_RATE)
        self._rest = np.zeros(0, np.int16)

    def next(self, seconds: float, speaking: bool) -> np.ndarray:
        if speaking:
            return self._rest[:0]
        wanted = round(seconds * HEARING_RATE)
        while len(self._rest) < wanted and not self.over:
            block = next(self._blocks, None)
            if block is None:
                self.over = True
                self._reader.close()
            else:
                self._rest = np.concatenate([self._rest, block])
        taken, self._rest = self._rest[:wanted], self._rest[wanted:]
        return taken


class TapeStage:
    """Whole conversations in virtual time."""

    def __init__(
        self,
        source: Source,
        ear: Ear,
        voice: TapeVoice,
        paper: Paper,
        inbox: deque,
        mixed: Callable[[np.ndarray, np.ndarray], None] = lambda maker, coach: None,
        told: Callable[[Heard], None] = lambda heard: None,
        attention: Attention | None = None,
        keep_word: Callable[[KeepWord], str] = lambda word: "",
        figures: Figures | None = None,
        give_back: Callable[[], None] = lambda: None,
    ) -> None:
        """inbox: where the voice posts to; mixed: gets each block of maker (HEARING_RATE) and coach (VOICE_RATE);
        told: gets all that is heard, before it is acted on; attention: the ears (None: always open); keep_word: as for
        a `Session`; figures: gets how quick it was (seconds of sound that passed, and those that were computed);
        give_back: what else is done at the end."""
        self._keep_word = keep_word
        self._give_back = give_back
        self._figures = figures or Figures()
        self._attention = attention or Attention()
        self._source = source
        self._ears = Ears(ear)
        self._voice = voice
        self._paper = paper
        self._inbox = inbox
        self._mixed = mixed
        self._told = told
        self._finished = False  # the ear has given what was left

    def hold(self, topic: Topic, keep: Keep = forget, notices: Iterable[str] = ()) -> Ended:
        session = Session(
            Conversation(topic, attention=self._attention),
            self._voice,
            self._paper,
            keep,
            self._ears.listen_for,
            lambda action: self._inbox.append(self._ears.perform(action)),
            self._keep_word,
        )
        for notice in notices:
            self._paper.show(notice, "note")
        session.start()
        while not session.over:
            samples = self._source.next(BLOCK, self._voice.speaking)
            self._mixed(samples, self._voice.go_on(BLOCK))
            self._inbox.append(TimePassed(BLOCK))
            began = time.perf_counter()
            waited = self._hear(self._ears.feed(samples))
            if self._source.over and not len(samples) and not self._voice.speaking:
                if self._finished:
                    return Ended.INPUT
                self._finished = True
                waited = self._hear(self._ears.finish())
            saved = session.saved
            computed = time.perf_counter() - began
            session.take_all(self._inbox)
            if session.saved > saved and waited is not None:
                self._figures.word_to_action.append(waited + computed)
        return Ended.FINISHED

    def _hear(self, found: list[Heard | Sound]) -> float | None:
        """Take what was heard; gives the seconds since the end of the last words in it."""
        waited = None
        for heard in found:
            if isinstance(heard, Heard):
                self._told(heard)
                waited = max(0.0, heard.began - heard.lasted)
            self._inbox.append(heard)
        return waited

    def note(self, text: str) -> None:
        self._paper.show(text, "note")

    def close(self) -> None:
        self._mixed(np.zeros(0, np.int16), self._voice.go_on(AFTER))
        self._voice.close()
        self._ears.ear.close()
        self._give_back()
