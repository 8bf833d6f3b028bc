"""The speech engine in a process of its own: `python -m coach.sound.mouth_worker`.

pyttsx3 can hang or crash the process that it runs in, and on Linux it loads espeak-ng (GPL), so nothing else lives
here: `coach.sound.mouth` starts this, kills it when it must, and starts it again.

One JSON object a line, UTF-8. From the worker first `{"ready": true, "engine": "espeak"}`, or `{"error": ...}` and the
end.
Then one answer for each request:

    {"text": "Next.", "rate": 175, "voice": "en-us+f3", "pitch": 50, "to": "/a/1.wav"}  ->  {"saved": "/a/1.wav"}
    {"voices": true}  ->  {"voices": [{"id": ..., "name": ..., "languages": [...]}, ...]}
    what can't be done  ->  {"error": "why", "kind": "voice" | "engine"}

`voice` and `pitch` may be null: the engine's own. The worker ends with its input, or after an error of the engine.
"""

from __future__ import annotations

import contextlib
import ctypes
import io
import json
import os
import signal
import sys
import wave
from collections.abc import Sequence
from pathlib import Path
from typing import Protocol, TextIO

ATTEMPTS = 3  # at a sentence that came out without a sample


class EngineVoice(Protocol):
    """A voice as pyttsx3 lists it."""

    id: str
    name: str
    languages: Sequence[str]


class Refused(Exception):
    """A request that the engine can't do. kind: "voice" when the voice is unknown, else "engine"."""

    def __init__(self, kind: str, why: str) -> None:
        super().__init__(why)
        self.kind = kind


def main() -> None:
    answers = _private_stdout()
    signal.signal(signal.SIGINT, signal.SIG_IGN)  # Ctrl-C is for the coach, which says good-bye with this worker's help
    try:
        engine = Engine()
    except Exception as fault:  # whatever the platform's driver raises, the coach has to be told
        _answer(answers, {"error": f"{type(fault).__name__}: {fault}", "kind": "engine"})
        return
    _answer(answers, {"ready": True, "engine": engine.driver})
    folders: set[Path] = set()
    for line in io.TextIOWrapper(sys.stdin.buffer, encoding="utf-8"):
        try:
            request = json.loads(line)
            if request.get("voices"):
                _answer(answers, {"voices": engine.voices()})
            else:
                folders.add(Path(request["to"]).parent)
                engine.save(request["text"], request["rate"], request["voice"], request["pitch"], request["to"])
                _answer(answers, {"saved": request["to"]})
        except Refused as fault:
            _answer(answers, {"error": str(fault), "kind": fault.kind})
        except Exception as fault:
            _answer(answers, {"error": f"{type(fault).__name__}: {fault}", "kind": "engine"})
            return  # pyttsx3 can't be used again after its loop was left by an error
    for folder in folders:  # the coach has ended; if it was killed, its folder is still there
        with contextlib.suppress(OSError):
            folder.rmdir()


class Engine:
    """pyttsx3 with what it hides brought out: refused properties, and files that were not written."""

    def __init__(self) -> None:
        if sys.platform == "linux":
            _load_espeak()
        import pyttsx3

        self._engine = pyttsx3.init()
        self._faults: list[Exception] = []
        self._engine.connect("error", lambda name, exception: self._faults.append(exception))
        self.driver: str = self._engine.driver_name
        self._default = self._engine.getProperty("voice")
        if self.driver == "espeak":
            self._engine.runAndWait()  # until its first loop ends, pyttsx3 keeps properties back

    def save(self, text: str, rate: int, voice: str | None, pitch: int | None, to: str) -> None:
        """Speech for `text` as a sound file at `to`.

        A file without a sample, as espeak has left one on a busy machine, is rendered again.
        """
        for _ in range(ATTEMPTS):
            self._render(text, rate, voice, pitch, to)
            if self.driver != "espeak" or _has_samples(to) or not any(c.isalnum() for c in text):
                return

    def _render(self, text: str, rate: int, voice: str | None, pitch: int | None, to: str) -> None:
        chosen = self._default if voice is None else self._voice(voice)
        self._engine.setProperty("voice", chosen)
        self._engine.setProperty("rate", rate)  # after the voice, which resets it in espeak
        if pitch is not None and self.driver == "espeak":  # the only driver that has one
            self._engine.setProperty("pitch", pitch)
        self._settle()
        self._engine.save_to_file(text, to)
        self._engine.runAndWait()
        self._settle()
        faults, self._faults[:] = list(self._faults), []
        if faults:
            raise Refused("voice" if "SetVoiceByName" in str(faults[0]) else "engine", str(faults[0]))
        if not Path(to).exists():
            raise Refused("engine", "no sound was written")

    def voices(self) -> list[dict[str, object]]:
        return [
            {"id": v.id, "name": v.name, "languages": [str(x) for x in v.languages or ()]}
            for v in self._engine.getProperty("voices")
        ]

    def _settle(self) -> None:
        """Wait until espeak has done all that it was asked: pyttsx3's loop cancels what is still queued, and a new rate
        was then lost; and it ends before a long text is rendered."""
        if self.driver == "espeak":
            from pyttsx3.drivers import _espeak

            _espeak.Synchronize()

    def _voice(self, wanted: str) -> str:
        if self.driver == "espeak":
            return wanted  # espeak takes languages, files, names and variants as they are
        return choose(wanted, self._engine.getProperty("voices"))


def choose(wanted: str, voices: Sequence[EngineVoice]) -> str:
    """The id of the voice that is meant by an id, a name or a language ("en-us"; "en" takes any English).

    espeak's variants ("en-us+f3") don't exist elsewhere: a variant means the last voice of the language instead of the
    first, so that two speakers still sound unlike. Raises Refused when there is none.
    """
    for voice in voices:
        if wanted.lower() in (voice.id.lower(), voice.name.lower()):
            return voice.id
    language, _, variant = wanted.lower().replace("_", "-").partition("+")
    spoken = {v.id: [str(x).lower().replace("_", "-") for x in v.languages or ()] for v in voices}
    exact = [v for v, languages in spoken.items() if language in languages]
    same = exact or [v for v, ls in spoken.items() if language.split("-")[0] in [x.split("-")[0] for x in ls]]
    if not same:
        raise Refused("voice", f"no voice {wanted}")
    return same[-1 if variant else 0]


def _has_samples(file: str) -> bool:
    with wave.open(file) as sound:
        return sound.getnframes() > 0


def _load_espeak() -> None:
    """Make pyttsx3 find the espeak-ng of the espeakng-loader wheel.

    pyttsx3 asks for it by its soname, which the dynamic linker answers with the library that is already loaded.
    """
    try:
        import espeakng_loader

        library, data = espeakng_loader.get_library_path(), espeakng_loader.get_data_path()
        ctypes.CDLL(library, mode=ctypes.RTLD_GLOBAL)
        os.environ["ESPEAK_DATA_PATH"] = str(Path(data).parent)
    except (ImportError, OSError, RuntimeError):
        pass  # a system-wide espeak-ng will do


def _private_stdout() -> TextIO:
    """Keep standard output for the answers alone; what the engine prints there goes nowhere."""
    answers = os.fdopen(os.dup(sys.stdout.fileno()), "w", encoding="utf-8")
    nowhere = os.open(os.devnull, os.O_WRONLY)
    os.dup2(nowhere, sys.stdout.fileno())
    os.close(nowhere)
    return answers


def _answer(answers: TextIO, value: dict[str, object]) -> None:
    answers.write(json.dumps(value) + "\n")
    answers.flush()


if __name__ == "__main__":
    main()
