"""Notices that a device has stopped: an unplugged one sends no error, only nothing. Time is an argument, in seconds."""

from __future__ import annotations

from enum import Enum
from math import inf

LOST_SECONDS = 1.5  # without a frame; frames come every 0.02 s, and the maker is told within two
RETRY_SECONDS = 3.0  # between attempts to open it again; a sound server may take two to begin
SETTLED_SECONDS = 0.5  # of frames, before a lost one counts as back: some give a few at their start and stall
START_SECONDS = 1.5  # more than that, for the first frames after opening


class Sign(Enum):
    """What a look at the device says."""

    FINE = "fine"
    LOST = "lost"  # it has stopped; said once
    RETRY = "retry"  # it is time to try to open it
    BACK = "back"  # frames come again; said once


class Watchdog:
    """`beat` at each frame, `look` now and then."""

    def __init__(self, now: float) -> None:
        """now: when the device was opened; it is taken as working."""
        self._heard = self._since = now
        self._tried = -inf
        self.lost = False

    def opened(self, now: float) -> None:
        """A device that worked was closed and opened again: it may take its time."""
        if not self.lost:
            self._heard = now + START_SECONDS

    def beat(self, now: float) -> None:
        """Frames came."""
        if self._since == inf or now - self._heard > SETTLED_SECONDS:
            self._since = now
        self._heard = max(self._heard, now)

    def look(self, now: float) -> Sign:
        """How the device is. Never looked at for long is not lost: it depends on frames alone."""
        flowing = now - self._heard <= LOST_SECONDS
        if self.lost and flowing and self._heard - self._since >= SETTLED_SECONDS:
            self.lost = False
            return Sign.BACK
        if not self.lost and not flowing:
            self.lost = True
            self._since = inf  # until the next frame
            self._tried = -inf  # the first attempt follows at once: some sound servers stall when a stream begins
            return Sign.LOST
        if self.lost and now - self._tried >= RETRY_SECONDS and now - self._heard > SETTLED_SECONDS:
            self._tried = now
            return Sign.RETRY
        return Sign.FINE
