"""Cuts a stream of samples into stretches of sound with quiet around them.

The gate compares the energy of short frames with a noise floor that it keeps track of. It opens a little before the
sound and closes when it has been quiet for a while. The floor starts as the quietest part of the first half second and
then follows the quietest part of the last seconds, so a fan that is switched on shuts the gate again after a while.

How far above the floor a sound has to be follows the room as well: little where it is steady (a fan), more where it
rises and falls (talk in the next room). Measured on 60 recordings of phrases, per cent cut out where they begin and
end: with 9 dB always, and with what follows the room

    quiet   pink noise 20, 10, 5 dB   babble 20, 10, 5 dB   a room of 0.6 s
     85          98, 45, 15               25, 10,  5             68
     87         100, 93, 78               55, 32, 20             75

All work is done on frames of one size, counted from the first sample: the pieces that samples come in change nothing.
"""

from __future__ import annotations

import math
from collections import deque
from collections.abc import Iterator
from dataclasses import dataclass, replace

import numpy as np

from coach.sound.model import HEARING_RATE

FULL_SCALE = 32_768.0


@dataclass(frozen=True, slots=True)
class GateSettings:
    """Every number of the gate. Levels in dB below full scale (negative), times in seconds."""

    frame: float = 0.02
    """Length of a frame."""
    start: float = 0.5
    """How much is heard before the first decision: the floor is the quietest part of it."""
    memory: float = 5.0
    """How far back the floor looks: longer than `longest`, so that a steady sound is too long before it is a floor."""
    quietest: float = 0.15
    """The floor is this quantile of the frames looked at."""
    over_floor: float = 5.0
    """A frame is sound when it is this many dB above the floor, in a steady room."""
    unrest: float = 1.5
    """And so many times more as the frames' median is above the floor."""
    highest_over: float = 15.0
    """But never more dB than this: while somebody talks, the median is talk."""
    lowest_floor: float = -66.0
    """A floor below this is taken as this: digital silence must not make every rustle a sound."""
    highest_start: float = -40.0
    """The first floor is never above this, unless it is steady: a recording may start with speech, which is none."""
    steady: float = 8.0
    """The start is steady when its frames (the middle eight of ten) differ by fewer dB than this."""
    attack: float = 0.06
    """The gate opens after this much sound within twice the time."""
    pause: float = 0.3
    """The gate closes after this much quiet."""
    margin: float = 0.1
    """How much quiet is kept before and after the sound."""
    longest: float = 4.0
    """Sound that lasts longer than this is no request: the gate lets it pass by."""


@dataclass(frozen=True, slots=True)
class Segment:
    """A stretch of sound: first sample counted from the start of the stream; int16 samples at HEARING_RATE;
    too_long: it went on for longer than the gate allows, so its end is missing."""

    first: int
    samples: np.ndarray
    too_long: bool = False

    @property
    def start(self) -> float:
        """Seconds since the first sample of the stream."""
        return self.first / HEARING_RATE

    @property
    def end(self) -> float:
        return (self.first + len(self.samples)) / HEARING_RATE


def level(samples: np.ndarray) -> float:
    """Root mean square level in dB below full scale (0 = as loud as can be), slow drifts of the card left out."""
    values = samples.astype(np.float64)
    power = float(np.mean((values - values.mean()) ** 2)) if len(values) else 0.0
    return 10.0 * float(np.log10(max(power, 1e-2) / FULL_SCALE**2))


class Gate:
    """Takes samples in any pieces; gives segments. `frames` and `step` are `feed` taken apart, for an ear that looks at
    a segment before it is over."""

    def __init__(self, settings: GateSettings = GateSettings()) -> None:
        self.settings = settings
        self._size = round(settings.frame * HEARING_RATE)
        self._in_frames = lambda seconds: max(1, round(seconds / settings.frame))
        self._levels: deque[float] = deque(maxlen=self._in_frames(settings.memory))
        self._rest = np.zeros(0, np.int16)
        self._waiting: list[np.ndarray] | None = []  # frames heard before the floor is known
        self._steady_start = False
        self._before: deque[np.ndarray] = deque(maxlen=self._in_frames(settings.margin + 2 * settings.attack))
        self._recent: deque[bool] = deque(maxlen=self._in_frames(2 * settings.attack))
        self._taken: list[np.ndarray] | None = None  # frames of the open segment
        self._heard = 0  # frames stepped through
        self._opened_at = 0  # frame number of the open segment's first frame
        self._quiet = 0  # frames of quiet at the end of the open segment
        self._passing_by: float = 0  # frames of sound that are let pass by until it is quiet

    @property
    def floor(self) -> float:
        """The noise floor in dB below full scale."""
        return self._floor_and_over()[0]

    def _floor_and_over(self) -> tuple[float, float]:
        """The floor, and how many dB above it a sound has to be."""
        settings = self.settings
        if not self._levels:
            return settings.lowest_floor, settings.over_floor
        quiet, usual = np.quantile(self._levels, (settings.quietest, 0.5))
        floor = max(settings.lowest_floor, float(quiet))
        if len(self._levels) < self._levels.maxlen and not self._steady_start:
            floor = min(floor, settings.highest_start)
        over = settings.over_floor + settings.unrest * float(usual - quiet)
        return floor, min(over, settings.highest_over)

    @property
    def is_open(self) -> bool:
        return self._taken is not None

    @property
    def quiet_for(self) -> float:
        """Seconds of quiet at the end of the open segment; 0 while the gate is shut."""
        return self._quiet * self.settings.frame if self._taken is not None else 0.0

    def frames(self, samples: np.ndarray) -> Iterator[np.ndarray]:
        """The whole frames that these samples complete; a rest is kept for the next time."""
        joined = np.concatenate([self._rest, samples.astype(np.int16, copy=False)])
        whole = len(joined) // self._size * self._size
        self._rest = joined[whole:]
        for at in range(0, whole, self._size):
            frame = joined[at : at + self._size]
            if self._waiting is None:
                yield frame
                continue
            self._waiting.append(frame)
            self._levels.append(level(frame))
            if len(self._waiting) >= self._in_frames(self.settings.start):
                yield from self._start()

    def _start(self) -> list[np.ndarray]:
        """The frames held back at the start: from here on the floor is known."""
        held, self._waiting = self._waiting or [], None
        if self._levels:
            low, high = np.quantile(self._levels, (0.1, 0.9))
            self._steady_start = bool(high - low < self.settings.steady)
        return held

    def step(self, frame: np.ndarray) -> Segment | None:
        """Take one frame of `frames`; give the segment that it ends."""
        settings, number = self.settings, self._heard
        self._heard += 1
        loud = level(frame)
        if number >= self._in_frames(settings.start):  # the first frames are in the floor already
            self._levels.append(loud)
        is_sound = loud > sum(self._floor_and_over())
        if self._taken is not None:
            return self._go_on(frame, is_sound)
        self._before.append(frame)
        self._recent.append(is_sound)
        if self._passing_by:
            self._passing_by = self._passing_by - 1 if any(self._recent) else 0
        elif sum(self._recent) >= self._in_frames(settings.attack):
            self._taken = list(self._before)
            self._opened_at = self._heard - len(self._taken)
            self._quiet = 0
        return None

    def _go_on(self, frame: np.ndarray, is_sound: bool) -> Segment | None:
        assert self._taken is not None
        self._taken.append(frame)
        self._quiet = 0 if is_sound else self._quiet + 1
        if self._quiet >= self._in_frames(self.settings.pause):
            return self.close()
        if len(self._taken) > self._in_frames(self.settings.longest + 2 * self.settings.margin):
            segment = self.close(too_long=True)
            self.pass_by(math.inf)
            return segment
        return None

    def so_far(self) -> Segment | None:
        """The open segment as it would be if the gate closed now."""
        if self._taken is None:
            return None
        spare = max(0, self._quiet - self._in_frames(self.settings.margin))
        kept = self._taken[: len(self._taken) - spare]
        return Segment(self._opened_at * self._size, np.concatenate(kept))

    def close(self, too_long: bool = False) -> Segment | None:
        """Shut the gate now; give the segment that was open."""
        segment = self.so_far()
        self._taken, self._quiet = None, 0
        self._before.clear()
        self._recent.clear()
        return replace(segment, too_long=True) if segment is not None and too_long else segment

    def pass_by(self, seconds: float) -> None:
        """Let the sound that goes on now pass by, until it is quiet, or for so long."""
        self._recent.append(True)
        self._passing_by = seconds if seconds == math.inf else self._in_frames(seconds)

    def feed(self, samples: np.ndarray) -> list[Segment]:
        """The segments that ended in these samples."""
        return [segment for frame in self.frames(samples) if (segment := self.step(frame)) is not None]

    def last_frames(self) -> list[np.ndarray]:
        """The stream is over: the frames that are left. A rest shorter than a frame is filled with quiet."""
        frames = list(self.frames(np.zeros(-len(self._rest) % self._size, np.int16)))
        return frames + self._start() if self._waiting is not None else frames

    def finish(self) -> list[Segment]:
        """The stream is over: the segments that are left."""
        found = [self.step(frame) for frame in self.last_frames()] + [self.close()]
        return [segment for segment in found if segment is not None]
