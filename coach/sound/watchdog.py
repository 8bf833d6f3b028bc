"""Notices that a device has stopped: an unplugged one sends no error, only nothing. Time is an argument, in seconds."""

from __future__ import annotations

from enum import Enum
from math import inf

LOST_SECONDS = 1.5  # without a frame; frames come every 0.02 s, and the maker is told within two
RETRY_SECONDS = 2.0  # between attempts to open it again


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
        self._heard = now
        self._tried = -inf
        self.lost = False

    def beat(self, now: float) -> None:
        """Frames came."""
        self._heard = max(self._heard, now)

    def look(self, now: float) -> Sign:
        """How the device is. Never looked at for long is not lost: it depends on frames alone."""
        flowing = now - self._heard <= LOST_SECONDS
        if self.lost and flowing:
            self.lost = False
            return Sign.BACK
        if not self.lost and not flowing:
            self.lost = True
            self._tried = -inf  # the first attempt follows at once: some sound servers stall when a stream begins
            return Sign.LOST
        if self.lost and now - self._tried >= RETRY_SECONDS:
            self._tried = now
            return Sign.RETRY
        return Sign.FINE
