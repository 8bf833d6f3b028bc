"""What can go wrong with sound. Every message is one or more plain sentences that a maker can be told as they stand.

    SoundError
     ├─ NoPortAudio       the library that reaches sound devices is not there
     ├─ NoDevice          no microphone, no loudspeaker, or none of the name asked for
     ├─ DeviceFailed      a device is there but can't be opened or used
     ├─ MouthError        speech can't be rendered
     ├─ EarError          speech can't be recognised
     │   └─ NoModel       the speech model that an ear needs is not there
     └─ RecordingError    a sound file can't be read or written

A maker never needs sound to go on: whoever catches one of these says it and keeps the keys and typed requests working.
"""

from __future__ import annotations

from coach.errors import CoachError


class SoundError(CoachError):
    """Base of this room."""


class NoPortAudio(SoundError):
    """The PortAudio library can't be loaded."""


class NoDevice(SoundError):
    """There is no such device."""


class DeviceFailed(SoundError):
    """The device can't be opened, or stopped working."""


class MouthError(SoundError):
    """Speech can't be rendered."""


class EarError(SoundError):
    """Speech can't be recognised."""


class NoModel(EarError):
    """The speech model is not there, or is not whole."""


class RecordingError(SoundError):
    """A sound file can't be read or written."""
