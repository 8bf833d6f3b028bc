"""Text to speech: pyttsx3 in a worker process that is watched, killed and replaced.

    say(text) ── in the cache? ── worker "now" ── WAV file ── trimmed Speech ── cache
    prepare(texts) ─ background thread ─ worker "ahead" ─────────────────────────┘

Two workers, because rendering can't be interrupted: what is likely next never delays what is wanted now.
A worker that dies or is late is replaced and the sentence tried once more; then it is a MouthError.
"""

from __future__ import annotations

import threading
from collections import OrderedDict
from collections.abc import Callable, Iterable, Sequence
from contextlib import suppress
from dataclasses import dataclass
from pathlib import Path
from tempfile import TemporaryDirectory
from types import TracebackType
from typing import Any

import numpy as np

from coach.sound.aiff import is_aiff, read_aiff
from coach.sound.errors import MouthError, RecordingError
from coach.sound.line_worker import LineWorker, WorkerLost, python_module
from coach.sound.model import Speech
from coach.sound.wav import read_speech

START_SECONDS = 10.0  # for a worker to load the engine; a cold disk is slow, a warm one takes 0.1 s
BASE_SECONDS = 0.8  # for any sentence; espeak-ng needs 0.02
SECONDS_PER_CHARACTER = 0.002  # on top, so 1.3 s for a long sentence; espeak-ng needs 0.0005, and speaking takes 0.06
SECOND_TRY = 4.0  # times the patience when it is tried again: a busy machine is not a hung one
CACHED_SENTENCES = 128  # about 12 MB at two seconds each
ENGINE_RATE = 22_050  # samples a second of espeak-ng, for speech without samples
QUIET = 50  # of 32767: the pauses around a sentence stay below (espeak-ng: 12 ms before, 300 ms after it)
LEAD_SECONDS, TRAIL_SECONDS = 0.01, 0.06  # of the engine's pauses that are kept

WORKER = python_module("coach.sound.mouth_worker")

_NO_VOICE_HINT = "Choose one of the voices that are listed, or none for the usual one."
_NO_ENGINE_HINT = "Sentences are still printed. On Linux, installing espeak-ng helps where the coach's own is missing."


@dataclass(frozen=True, slots=True)
class Voice:
    """A voice of the engine. languages: tags as the engine gives them ("en-us")."""

    id: str
    name: str
    languages: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class _Sentence:
    text: str
    rate: int
    voice: str | None
    pitch: int | None


class EngineMouth:
    """A mouth on pyttsx3's engine for this system. Safe to use from several threads."""

    def __init__(
        self,
        voice: str | None = None,
        *,
        pitch: int | None = None,
        command: Sequence[str] = WORKER,
        cached: int = CACHED_SENTENCES,
    ) -> None:
        """voice: an id, a name or a language, with espeak also a variant ("en-us+f3"); None for the engine's own.
        pitch: 0 to 99, espeak only. command: the worker, started at once but not waited for. cached: sentences kept."""
        self.voice = voice
        self.pitch = pitch  # both can be changed; sentences already rendered with others are not mixed up
        self._cache = _Cache(cached)
        self._now = _Renderer(command)
        self._ahead = _Ahead(_Renderer(command, start=False), self._keep)

    def say(self, text: str, rate: int = 175) -> Speech:
        """Speech for a text at `rate` words a minute, without the engine's pauses around it; nothing for a blank text.

        Raises MouthError when the voice is unknown or the engine fails twice.
        """
        return self._keep(self._now, self._sentence(text, rate))

    def prepare(self, texts: Iterable[str], rate: int = 175) -> None:
        """Render what is likely to be said next, in the background. What an earlier call still waits for is dropped."""
        self._ahead.want([self._sentence(text, rate) for text in texts])

    def prepared(self, text: str, rate: int = 175) -> bool:
        """Whether a sentence is in the cache."""
        return self._sentence(text, rate) in self._cache

    def voices(self) -> tuple[Voice, ...]:
        """The engine's voices. Raises MouthError."""
        answer = self._now.ask({"voices": True}, START_SECONDS)
        return tuple(Voice(v["id"], v["name"], tuple(v["languages"])) for v in answer["voices"])

    def close(self) -> None:
        """End the workers. Can be called twice; whoever waits in `say` gets a MouthError."""
        self._ahead.close()
        self._now.close()

    def __enter__(self) -> EngineMouth:
        return self

    def __exit__(self, kind: type[BaseException] | None, fault: BaseException | None, at: TracebackType | None) -> None:
        self.close()

    def _sentence(self, text: str, rate: int) -> _Sentence:
        return _Sentence(_speakable(text), rate, self.voice, self.pitch)

    def _keep(self, renderer: _Renderer, sentence: _Sentence) -> Speech:
        speech = self._cache.get(sentence)
        if speech is None:
            speech = renderer.render(sentence)
            self._cache.put(sentence, speech)
        return speech


class _Renderer:
    """One worker after another, and the folder that they write to. One request at a time, others wait."""

    def __init__(self, command: Sequence[str], start: bool = True) -> None:
        self._command = command
        self._asking = threading.Lock()
        self._worker: LineWorker | None = None
        self._ready = False
        self._folder: TemporaryDirectory[str] | None = None
        self._closed = False
        if start:
            try:
                self._start()
            except (WorkerLost, OSError):
                self._stop()  # `ask` tries again, and tells

    def render(self, sentence: _Sentence) -> Speech:
        if not sentence.text:
            return Speech(np.zeros(0, np.int16), ENGINE_RATE)
        return self.ask(
            {
                "text": sentence.text,
                "rate": sentence.rate,
                "voice": sentence.voice,
                "pitch": sentence.pitch,
                "to": "speech.wav",
            },
            BASE_SECONDS + SECONDS_PER_CHARACTER * len(sentence.text),
        )["speech"]

    def ask(self, request: dict[str, Any], seconds: float) -> dict[str, Any]:
        """The worker's answer, with the "speech" that it saved. Raises MouthError."""
        with self._asking:
            for patience in (seconds, seconds * SECOND_TRY):
                try:
                    return self._ask(request, patience)
                except (WorkerLost, RecordingError, OSError) as fault:
                    self._stop()
                    why = fault
            self._restart_for_later()
        raise MouthError(f"The speech engine does not work: {why}.", _NO_ENGINE_HINT)

    def _ask(self, request: dict[str, Any], seconds: float) -> dict[str, Any]:
        if self._closed:
            raise MouthError("The voice has been closed.")
        if self._worker is None:
            self._start()
        assert self._worker is not None and self._folder is not None
        if not self._ready:
            hello = self._worker.hear(START_SECONDS)
            if "error" in hello:
                raise WorkerLost(hello["error"])
            self._ready = True
        if "to" in request:
            request = {**request, "to": str(Path(self._folder.name, request["to"]))}
        answer = self._worker.ask(request, seconds)
        if answer.get("kind") == "voice":
            raise MouthError(f"There is no voice called {request['voice']}.", _NO_VOICE_HINT)
        if "error" in answer:
            raise WorkerLost(answer["error"])
        if "saved" in answer:
            file = Path(answer["saved"])
            answer["speech"] = trimmed(read_rendered(file))
            file.unlink(missing_ok=True)
        return answer

    def close(self) -> None:
        self._closed = True
        worker = self._worker
        if worker is not None:
            worker.kill()  # frees whoever waits for its answer, and the lock with it
        with self._asking:
            self._stop()

    def _start(self) -> None:
        self._folder = TemporaryDirectory(prefix="coach-voice-", ignore_cleanup_errors=True)
        self._worker = LineWorker(self._command)
        self._ready = False

    def _restart_for_later(self) -> None:
        """After giving up, have a fresh one loading for the next sentence."""
        if not self._closed:
            try:
                self._start()
            except (WorkerLost, OSError):
                self._stop()

    def _stop(self) -> None:
        if self._worker is not None:
            self._worker.kill()
            self._worker = None
        if self._folder is not None:
            self._folder.cleanup()
            self._folder = None


class _Ahead:
    """The background thread. It is started with the first wish, and keeps only the latest wishes."""

    def __init__(self, renderer: _Renderer, keep: Callable[[_Renderer, _Sentence], Speech]) -> None:
        self._renderer = renderer
        self._keep = keep
        self._wishes: list[_Sentence] = []
        self._changed = threading.Condition()
        self._closed = False
        self._thread: threading.Thread | None = None

    def want(self, sentences: list[_Sentence]) -> None:
        with self._changed:
            if self._closed:
                return
            self._wishes = sentences
            if self._thread is None:
                self._thread = threading.Thread(target=self._run, name="speech ahead", daemon=True)
                self._thread.start()
            self._changed.notify()

    def close(self) -> None:
        with self._changed:
            self._closed = True
            self._changed.notify()
        self._renderer.close()
        if self._thread is not None:
            self._thread.join()

    def _run(self) -> None:
        while True:
            with self._changed:
                self._changed.wait_for(lambda: self._wishes or self._closed)
                if self._closed:
                    return
                sentence = self._wishes.pop(0)
            with suppress(MouthError):  # nobody waits for it: `say` will try by itself and tell
                self._keep(self._renderer, sentence)


class _Cache:
    """The sentences that were wanted last, at most `size`."""

    def __init__(self, size: int) -> None:
        self._size = size
        self._kept: OrderedDict[_Sentence, Speech] = OrderedDict()
        self._lock = threading.Lock()

    def __contains__(self, sentence: _Sentence) -> bool:
        with self._lock:
            return sentence in self._kept

    def get(self, sentence: _Sentence) -> Speech | None:
        with self._lock:
            speech = self._kept.get(sentence)
            if speech is not None:
                self._kept.move_to_end(sentence)
            return speech

    def put(self, sentence: _Sentence, speech: Speech) -> None:
        speech.samples.flags.writeable = False  # it is shared
        with self._lock:
            self._kept[sentence] = speech
            self._kept.move_to_end(sentence)
            while len(self._kept) > self._size:
                self._kept.popitem(last=False)


def read_rendered(file: Path) -> Speech:
    """What an engine wrote: WAV, on macOS AIFF. Raises RecordingError, OSError."""
    return read_aiff(file) if is_aiff(file) else read_speech(file)


def trimmed(speech: Speech) -> Speech:
    """Speech without the silence that the engine puts around it: the first sound comes sooner, the end is the end."""
    loud = np.flatnonzero(np.abs(speech.samples.astype(np.int32)) > QUIET)
    if not len(loud):
        return Speech(speech.samples[:0].copy(), speech.rate)
    first = max(0, int(loud[0]) - int(LEAD_SECONDS * speech.rate))
    last = int(loud[-1]) + 1 + int(TRAIL_SECONDS * speech.rate)
    return Speech(speech.samples[first:last].copy(), speech.rate)


def _speakable(text: str) -> str:
    """One line, without characters that no engine can take: control characters and halves of surrogate pairs."""
    whole = text.encode("utf-8", "ignore").decode()
    return " ".join("".join(c if c.isprintable() else " " for c in whole).split())
