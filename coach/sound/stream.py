"""A stream to a sound device that survives the device: noticed when it stops, opened again by name when it is back.

`Microphone` and `LivePlayer` are the two kinds. Frames come in PortAudio's own thread; `look` is called by the shell's
loop a few times a second, with its clock's time.
"""

from __future__ import annotations

from abc import ABC, abstractmethod
from collections.abc import Callable
from contextlib import suppress
from dataclasses import dataclass
from typing import Any

from coach.sound.devices import Device, Kind, choose, devices, end_stream, hold, let_go, rescan, sound_system
from coach.sound.errors import DeviceFailed, NoDevice, SoundError
from coach.sound.watchdog import Sign, Watchdog

BLOCK_SECONDS = 0.02  # of one frame of samples
LATENCY_SECONDS = 0.1  # asked for; less makes some sound servers stutter


@dataclass(frozen=True, slots=True)
class DeviceLost:
    """The device gives or takes no more samples; it was probably unplugged."""

    kind: Kind
    name: str


@dataclass(frozen=True, slots=True)
class DeviceBack:
    """Samples flow again. name: of the device, which may be another one now."""

    kind: Kind
    name: str


class DeviceStream(ABC):
    """What the two kinds share. `tell` gets the events, from any thread; it must be quick (a queue's `put`)."""

    kind: Kind

    def __init__(self, tell: Callable[[Any], None], name: str | None, clock: Callable[[], float]) -> None:
        """name: part of the device's name, None for the usual one. Raises NoPortAudio, NoDevice, DeviceFailed."""
        self._tell = tell
        self._wanted = name
        self._clock = clock
        self._stream: Any = None
        self._watchdog = Watchdog(clock())
        self._closed = False
        self._attempts = 0
        self.device = choose(devices(), self.kind, name)
        self._open()
        hold(self)

    @property
    def busy(self) -> bool:
        """Whether closing the stream for a moment would be noticed."""
        return False

    @property
    def lost(self) -> bool:
        return self._watchdog.lost

    def look(self, now: float | None = None) -> None:
        """Notice a device that stopped, try to get it back. To be called a few times a second."""
        sign = Sign.FINE if self._closed else self._watchdog.look(self._clock() if now is None else now)
        if sign is Sign.LOST:
            self._attempts = 0
            self._tell(DeviceLost(self.kind, self.device.name))
            self._when_lost()
        elif sign is Sign.RETRY:
            self._try_again()
        elif sign is Sign.BACK:
            self._tell(DeviceBack(self.kind, self.device.name))

    def release(self) -> None:
        """Close the stream and keep everything else."""
        stream, self._stream = self._stream, None
        if stream is not None:
            end_stream(stream)

    def reopen(self) -> None:
        """Open the same device again by its name, or where none was asked for the usual one. Failing is no error:
        the watchdog has noticed or will."""
        if self._closed:
            return
        try:
            self.device = self._find()
            self._open()
            self._watchdog.opened(self._clock())
        except SoundError:
            self._stream = None

    def close(self) -> None:
        """Can be called twice."""
        self._closed = True
        let_go(self)
        self.release()

    def _find(self) -> Device:
        known = devices()
        try:
            return choose(known, self.kind, self.device.name)
        except NoDevice:
            return choose(known, self.kind, self._wanted)

    def _try_again(self) -> None:
        """By turns: this stream alone, which disturbs nothing and cures a stalled one; and after looking for devices
        anew, which closes every stream, but finds what was plugged in."""
        self._attempts += 1
        self.release()
        with suppress(SoundError):  # it stays lost, and is tried again
            if self._attempts % 2 == 0:
                rescan()  # reopens this one too, unless another stream is busy
        if self._stream is None:
            self.reopen()

    def _open(self) -> None:
        sd = sound_system()
        channels = self.device.inputs if self.kind == "microphone" else self.device.outputs
        for count in dict.fromkeys((1, min(2, channels))):  # some take two channels or nothing
            stream = None
            try:
                stream = self._make(
                    sd,
                    device=self.device.index,
                    samplerate=self.device.rate,
                    blocksize=round(self.device.rate * BLOCK_SECONDS),
                    channels=count,
                    dtype="int16",
                    latency=LATENCY_SECONDS,
                )
                stream.start()
                self._stream = stream
                return
            except sd.PortAudioError as fault:
                reason = str(fault)
                if stream is not None:
                    stream.close()
        raise DeviceFailed(
            f"The {self.kind} {self.device.name} can't be opened: {reason}.",
            "Another program may be using it; close that one, or choose another device.",
        )

    @abstractmethod
    def _make(self, sd: Any, **settings: Any) -> Any:
        """The sounddevice stream, with its callback."""

    def _when_lost(self) -> None:
        """What else there is to do then."""
