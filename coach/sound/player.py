"""Players: what speaks through the loudspeaker, and what writes into a file in its place.

The coach plays everything through one stream of its own, which stays open and silent between sentences: opening one
takes time and may stall, and only who plays knows when speaking ends.
"""

from __future__ import annotations

import threading
import time
from collections.abc import Callable
from pathlib import Path
from typing import Any, Protocol

import numpy as np

from coach.sound.devices import Kind
from coach.sound.model import Speech
from coach.sound.playback import TAIL_SECONDS, Playback, Played, Quiet, scaled
from coach.sound.resample import resample
from coach.sound.stream import DeviceStream
from coach.sound.wav import WavWriter

FILE_RATE = 22_050  # samples a second of a recording of the coach: what the engine renders
GAP_SECONDS = 0.5  # of silence after each sentence in a recording
QUICK_SECONDS = 0.15  # a device that holds more than this back is cut off rather than left to play it after "stop"

Tell = Callable[[Any], None]


class Player(Protocol):
    """Plays one piece after another. Events go to `tell`: Played at the end of each piece, Quiet when speaking is over,
    DeviceLost and DeviceBack."""

    volume: float  # 0 to 1

    @property
    def speaking(self) -> bool: ...

    def play(self, speech: Speech) -> int:
        """Queue a piece (a sentence, a tone); gives its number, which its Played will have."""

    def stop(self) -> None:
        """Silence within 0.2 seconds; what was queued is dropped."""

    def look(self, now: float | None = None) -> None:
        """To be called a few times a second: notices a lost device."""

    def close(self) -> None: ...


class LivePlayer(DeviceStream):
    """Through the loudspeaker. `tell` is called in PortAudio's thread too; it must be quick (a queue's `put`)."""

    kind: Kind = "loudspeaker"

    def __init__(
        self,
        tell: Tell,
        name: str | None = None,
        clock: Callable[[], float] = time.monotonic,
        played: Callable[[np.ndarray, int], None] = lambda samples, rate: None,
    ) -> None:
        """name: part of the device's name, None for the usual one; played: gets all that goes to the device, with its
        rate, in PortAudio's thread. Raises NoPortAudio, NoDevice, DeviceFailed."""
        self._played = played
        self._playback = Playback(0)
        self._lock = threading.Lock()  # held for the copying of one block at most
        super().__init__(tell, name, clock)

    @property
    def speaking(self) -> bool:
        return self._playback.speaking

    @property
    def busy(self) -> bool:
        return self.speaking

    @property
    def latency(self) -> float:
        """Seconds from a sample's being handed over until it is heard, as PortAudio tells."""
        stream = self._stream
        return stream.latency if stream is not None else 0.0

    @property
    def volume(self) -> float:
        return self._playback.volume

    @volume.setter
    def volume(self, volume: float) -> None:
        self._playback.volume = min(1.0, max(0.0, volume))

    def play(self, speech: Speech) -> int:
        samples = resample(speech.samples, speech.rate, self._playback.rate)
        with self._lock:
            number = self._playback.queue(samples)
            events = self._playback.lose() if self.lost else []
        self._tell_all(events)
        return number

    def stop(self) -> None:
        stream = self._stream
        slow = stream is not None and stream.latency > QUICK_SECONDS
        with self._lock:
            events = self._playback.stop(fade=not slow)  # it would be heard long after the rest
        if events and slow:
            stream.abort()  # silent in a few milliseconds, whatever has been handed over
            stream.start()
        self._tell_all(events)

    def _make(self, sd: Any, **settings: Any) -> Any:
        def wanted(frames: np.ndarray, count: int, times: object, status: object) -> None:
            self._watchdog.beat(self._clock())
            with self._lock:
                samples, events = self._playback.pull(count)
            frames[:] = samples[:, np.newaxis]
            self._played(samples, settings["samplerate"])
            self._tell_all(events)

        stream = sd.OutputStream(callback=wanted, **settings)
        with self._lock:
            lost = self._playback.lose() if self._playback.rate != settings["samplerate"] else []
            self._playback.rate = settings["samplerate"]
            self._playback.tail = TAIL_SECONDS + stream.latency  # what was pulled is heard that much later
        self._tell_all(lost)
        return stream

    def _when_lost(self) -> None:
        with self._lock:
            events = self._playback.lose()
        self._tell_all(events)

    def _tell_all(self, events: list[Played | Quiet]) -> None:
        for event in events:
            self._tell(event)


class SilentPlayer:
    """In place of a loudspeaker where there is none: each piece is over at once, as whoever reads along has seen it."""

    speaking = False

    def __init__(self, tell: Tell) -> None:
        self.volume = 1.0
        self._tell = tell
        self._pieces = 0

    def play(self, speech: Speech) -> int:
        self._pieces += 1
        self._tell(Played(self._pieces, speech.seconds, speech.seconds))
        self._tell(Quiet())
        return self._pieces

    def stop(self) -> None:
        """Nothing is ever waiting."""

    def look(self, now: float | None = None) -> None:
        """There is nothing to lose."""

    def close(self) -> None:
        """There is nothing to close."""


class FilePlayer(SilentPlayer):
    """Into a WAV file in place of a loudspeaker: each piece at once, in order, with silence after it."""

    def __init__(self, path: Path | str, tell: Tell, rate: int = FILE_RATE, gap: float = GAP_SECONDS) -> None:
        """Makes the file. gap: seconds of silence after each piece. Raises RecordingError."""
        super().__init__(tell)
        self._gap = gap
        self._writer = WavWriter(path, rate)

    @property
    def seconds(self) -> float:
        """The length of the recording so far."""
        return self._writer.seconds

    def play(self, speech: Speech) -> int:
        """Raises RecordingError, e.g. when the disk is full."""
        samples = resample(speech.samples, speech.rate, self._writer.rate)
        self._writer.write(scaled(samples, self.volume))
        self.silence(self._gap)
        return super().play(speech)

    def silence(self, seconds: float) -> None:
        """Let time pass in the recording. Raises RecordingError."""
        self._writer.write(np.zeros(round(seconds * self._writer.rate), np.int16))

    def close(self) -> None:
        self._writer.close()
