"""A simulated PortAudio for faults that no real device here can be asked to have: unplugging, refusing, coming back.

It takes sounddevice's place where `coach.sound` imports it. Frames move only when a test says so.
"""

from __future__ import annotations

import threading
from collections.abc import Callable
from typing import Any

import numpy as np


class PortAudioError(Exception):
    """As sounddevice's."""


class SimulatedStream:
    def __init__(self, card: SimulatedCard, kind: str, callback: Callable[..., None], **settings: Any) -> None:
        self.card, self.kind, self.callback, self.settings = card, kind, callback, settings
        self.latency = card.latency
        self.held: list[np.ndarray] = []  # blocks that were handed over and are not heard yet
        self.running = False
        self.aborted = 0
        name = card.listed[settings["device"]]["name"]
        if settings["channels"] not in card.channels.get(name, (1, 2)):
            raise PortAudioError("Invalid number of channels [PaErrorCode -9998]")
        if name in card.in_use or name not in card.plugged:
            raise PortAudioError("Device unavailable [PaErrorCode -9985]")
        self.name = name
        card.streams.append(self)

    def start(self) -> None:
        size = self.settings["blocksize"]
        self.held = [np.zeros(size, np.int16)] * round(self.latency * self.settings["samplerate"] / size)
        self.running = True

    def abort(self) -> None:
        if self.name in self.card.hanging:
            self.card.freed.wait(60)
        self.running = False
        self.aborted += 1
        if self.name not in self.card.plugged:
            raise PortAudioError("Unanticipated host error [PaErrorCode -9999]")

    def close(self) -> None:
        self.running = False
        self.card.streams.remove(self)


class SimulatedCard:
    """plugged: names of the devices that are there, in order; what PortAudio lists is renewed only by `_initialize`."""

    PortAudioError = PortAudioError

    def __init__(self, **plugged: dict[str, Any]) -> None:
        self.plugged = plugged
        self.in_use: set[str] = set()
        self.hanging: set[str] = set()  # devices whose streams can't be ended until `freed`
        self.freed = threading.Event()
        self.channels: dict[str, tuple[int, ...]] = {}
        self.latency = 0.1
        self.streams: list[SimulatedStream] = []
        self._initialize()

    def _initialize(self) -> None:
        self.listed = [
            {"name": name, "hostapi": 0, "max_input_channels": 0, "max_output_channels": 0,
             "default_samplerate": 48_000.0, "index": at, **figures}
            for at, (name, figures) in enumerate(self.plugged.items())
        ]  # fmt: skip

    def _terminate(self) -> None:
        assert not self.streams, "PortAudio was ended with open streams"

    def query_hostapis(self) -> list[dict[str, Any]]:
        return [{"name": "Simulated"}]

    def query_devices(self, kind: str | None = None) -> Any:
        if kind is None:
            return self.listed
        for device in self.listed:
            if device[f"max_{kind}_channels"]:
                return device
        raise PortAudioError("Error querying device -1")

    def InputStream(self, **settings: Any) -> SimulatedStream:  # noqa: N802, sounddevice's name
        return SimulatedStream(self, "input", **settings)

    def OutputStream(self, **settings: Any) -> SimulatedStream:  # noqa: N802
        return SimulatedStream(self, "output", **settings)

    def hear(self, frames: np.ndarray) -> None:
        """The microphone gets these frames, shape (n, channels)."""
        for stream in self.streams:
            if stream.kind == "input" and stream.running and stream.name in self.plugged:
                stream.callback(frames, len(frames), None, None)

    def sound(self, seconds: float) -> np.ndarray:
        """What the loudspeaker plays in the next seconds, its first channel."""
        played = [np.zeros(0, np.int16)]
        for stream in self.streams:
            if stream.kind == "output" and stream.running and stream.name in self.plugged:
                size = stream.settings["blocksize"]
                for _ in range(round(seconds * stream.settings["samplerate"] / size)):
                    frames = np.full((size, stream.settings["channels"]), 99, np.int16)
                    stream.callback(frames, size, None, None)
                    assert (frames == frames[:, :1]).all()
                    played.append(frames[:, 0].copy())
        return np.concatenate(played)


    def audible(self, seconds: float) -> np.ndarray:
        """What is heard from the loudspeaker in the next seconds: its device holds `latency` of it back, and an aborted
        stream drops that."""
        heard = [np.zeros(0, np.int16)]
        for stream in [s for s in self.streams if s.kind == "output"]:
            for _ in range(round(seconds * stream.settings["samplerate"] / stream.settings["blocksize"])):
                stream.held.append(self.sound(stream.settings["blocksize"] / stream.settings["samplerate"]))
                heard.append(stream.held.pop(0))
        return np.concatenate(heard)


MICROPHONE = {"max_input_channels": 2}
LOUDSPEAKER = {"max_output_channels": 2}
