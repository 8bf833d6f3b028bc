"""Microphones and loudspeakers: which there are, which is meant, what is missing, in plain words.

sounddevice (PortAudio) is imported when it is needed only: importing fails where the PortAudio library is missing.
"""

from __future__ import annotations

import atexit
import sys
import threading
import weakref
from collections.abc import Sequence
from contextlib import suppress
from dataclasses import dataclass
from difflib import get_close_matches
from types import ModuleType
from typing import Any, Literal, Protocol

from coach.sound.errors import NoDevice, NoPortAudio

Kind = Literal["microphone", "loudspeaker"]

END_SECONDS = 0.5  # for a stream to be closed; usually 0.01

_INSTALL = {
    "linux": "Install it with: sudo apt install libportaudio2",
    "darwin": "Install it with: brew install portaudio",
}
_PLUG_IN = {
    "microphone": "Plug one in or switch it on, and let this program use it. Typed requests and keys work without it.",
    "loudspeaker": "Plug one in or switch it on. Every sentence is printed as well.",
}


@dataclass(frozen=True, slots=True)
class Device:
    """A sound device. index: PortAudio's number for it, until `rescan`; inputs, outputs: channels; rate: its usual
    samples a second; default_in, default_out: whether the system uses it where none is named."""

    index: int
    name: str
    host: str
    inputs: int
    outputs: int
    rate: int
    default_in: bool = False
    default_out: bool = False

    def can(self, kind: Kind) -> bool:
        return (self.inputs if kind == "microphone" else self.outputs) > 0

    def is_default(self, kind: Kind) -> bool:
        return self.default_in if kind == "microphone" else self.default_out


class Reopening(Protocol):
    """Whoever holds a stream: it has to be closed while PortAudio looks for devices anew. busy: not just now."""

    @property
    def busy(self) -> bool: ...

    def release(self) -> None:
        """Close the stream."""

    def reopen(self) -> None:
        """Open it again, if that is possible."""


_holders: weakref.WeakSet[Reopening] = weakref.WeakSet()
_hung: list[threading.Thread] = []


def sound_system() -> ModuleType:
    """The sounddevice module. Raises NoPortAudio."""
    try:
        import sounddevice
    except (ImportError, OSError):
        hint = _INSTALL.get(sys.platform, "Install the Python package sounddevice again.")
        raise NoPortAudio("The sound library PortAudio is missing, so there is no live sound.", hint) from None
    return sounddevice


def devices() -> tuple[Device, ...]:
    """All devices that PortAudio knows, as it found them at its start or the last `rescan`. Raises NoPortAudio."""
    sd = sound_system()
    hosts = sd.query_hostapis()
    default_in, default_out = (_default(sd, kind) for kind in ("input", "output"))
    return tuple(
        Device(
            index=at,
            name=d["name"],
            host=hosts[d["hostapi"]]["name"],
            inputs=d["max_input_channels"],
            outputs=d["max_output_channels"],
            rate=round(d["default_samplerate"]),
            default_in=at == default_in,
            default_out=at == default_out,
        )
        for at, d in enumerate(sd.query_devices())
    )


def choose(known: Sequence[Device], kind: Kind, name: str | None = None) -> Device:
    """The device of that kind that is meant: the system's usual one, or the one whose name has `name` in it (a whole
    name first, then the usual one, then the first). Raises NoDevice."""
    fitting = [d for d in known if d.can(kind)]
    if not fitting:
        raise NoDevice(f"There is no {kind}.", _PLUG_IN[kind])
    if name is None:
        return next((d for d in fitting if d.is_default(kind)), fitting[0])
    named = [d for d in fitting if name.casefold() in d.name.casefold()]
    if not named:
        names = list(dict.fromkeys(d.name for d in fitting))
        meant = "".join(f"Did you mean {near}? " for near in _near(name, names))
        raise NoDevice(f"There is no {kind} called {name}.", f"{meant}There are: {'; '.join(names)}.")
    return min(named, key=lambda d: (d.name.casefold() != name.casefold(), not d.is_default(kind)))


def _near(name: str, names: Sequence[str]) -> list[str]:
    """The one of these names that is nearly the name, or has words that are nearly it; none or one."""
    rows = {word.casefold(): whole for whole in reversed(names) for word in whole.split()}
    rows |= {whole.casefold(): whole for whole in names}
    return [rows[found] for found in get_close_matches(name.casefold(), rows, n=1)]


def missing(known: Sequence[Device] | None = None) -> tuple[str, ...]:
    """What is missing for live sound: a sentence and what to do, each. Nothing missing: an empty tuple."""
    found: list[str] = []
    try:
        known = devices() if known is None else known
    except NoPortAudio as fault:
        return (str(fault),)
    for kind in ("microphone", "loudspeaker"):
        try:
            choose(known, kind)
        except NoDevice as fault:
            found.append(str(fault))
    return tuple(found)


def hold(holder: Reopening) -> None:
    """Have `rescan` close and reopen a stream."""
    _holders.add(holder)


def let_go(holder: Reopening) -> None:
    _holders.discard(holder)


def end_stream(stream: Any) -> None:
    """Stop and close a sounddevice stream, without waiting for one that can't be: when a sound server dies, PortAudio
    may wait for its own thread for ever."""
    ending = threading.Thread(target=_end, args=(stream,), name="ending a stream", daemon=True)
    ending.start()
    ending.join(END_SECONDS)
    if ending.is_alive():
        _hung.append(ending)
        atexit.unregister(getattr(sound_system(), "_exit_handler", None))  # it would wait for this stream, too


def rescan() -> tuple[Device, ...]:
    """Look for devices anew: PortAudio lists them once, at its start, so it has to be ended and started. Streams that
    are held are closed and reopened. Nothing is done while one is busy (the coach is speaking), nor where a stream
    hangs: PortAudio could not be ended. Raises NoPortAudio."""
    sd = sound_system()
    held = list(_holders)
    if any(holder.busy for holder in held) or any(ending.is_alive() for ending in _hung):
        return devices()
    for holder in held:
        holder.release()
    sd._terminate()  # sounddevice has no public name for it
    sd._initialize()
    found = devices()
    for holder in held:
        holder.reopen()
    return found


def _end(stream: Any) -> None:
    for end in (stream.abort, stream.close):
        with suppress(sound_system().PortAudioError):  # the device may be gone
            end()


def _default(sd: ModuleType, kind: str) -> int | None:
    try:
        return sd.query_devices(kind=kind)["index"]
    except (sd.PortAudioError, ValueError):
        return None
