"""What is being played, sample by sample: the player's core, without a device, a clock or a thread.

The device pulls; `Playback` answers with exactly the samples that were queued, then silence. It owns "speaking": that
is true from the first queued sample until the last one and a tail have been pulled, so that the ears can wait for the
room to be quiet. Not safe for threads by itself.
"""

from __future__ import annotations

from collections import deque
from dataclasses import dataclass

import numpy as np

TAIL_SECONDS = 0.3  # after the last sample, until the room has stopped ringing and the ears may listen fully
FADE_SECONDS = 0.004  # of what is cut off by `stop`, or it would click


@dataclass(frozen=True, slots=True)
class Played:
    """A piece has ended. number: as it was queued; heard, length: in seconds; heard is shorter where it was stopped."""

    number: int
    heard: float
    length: float

    @property
    def whole(self) -> bool:
        return self.heard >= self.length


@dataclass(frozen=True, slots=True)
class Quiet:
    """Speaking is over: the last sample and the tail have been played. lost: because the loudspeaker was lost."""

    lost: bool = False


@dataclass(slots=True)
class _Piece:
    number: int
    samples: np.ndarray
    at: int = 0


class Playback:
    """A queue of pieces, pulled in blocks of any size."""

    def __init__(self, rate: int, tail: float = TAIL_SECONDS) -> None:
        """rate: samples a second, queued and pulled; tail: seconds of silence that still count as speaking."""
        self.rate = rate
        self.tail = tail
        self.volume = 1.0  # 0 to 1, on what is pulled from now on
        self.speaking = False
        self._queue: deque[_Piece] = deque()
        self._fading = np.zeros(0, np.int16)
        self._quiet_in = 0  # samples of tail still to come
        self._pieces = 0

    @property
    def left(self) -> float:
        """Seconds of samples that are queued and not yet pulled."""
        return sum(len(p.samples) - p.at for p in self._queue) / self.rate

    def queue(self, samples: np.ndarray) -> int:
        """Add int16 samples after all others; gives the piece's number, counted from 1."""
        self._pieces += 1
        self._queue.append(_Piece(self._pieces, samples))
        self.speaking = True
        return self._pieces

    def pull(self, count: int) -> tuple[np.ndarray, list[Played | Quiet]]:
        """The next `count` int16 samples, and what ended in them."""
        out = np.zeros(count, np.int16)
        events: list[Played | Quiet] = []
        filled = self._pull_fade(out)
        while self._queue:
            piece = self._queue[0]
            taken = piece.samples[piece.at : piece.at + count - filled]
            out[filled : filled + len(taken)] = scaled(taken, self.volume)
            filled += len(taken)
            piece.at += len(taken)
            if piece.at < len(piece.samples):
                return out, events
            events.append(self._end(self._queue.popleft()))
        self._quiet_in = max(0, self._quiet_in - (count - filled))
        if self.speaking and not self._quiet_in:
            self.speaking = False
            events.append(Quiet())
        return out, events

    def stop(self, fade: bool = True) -> list[Played | Quiet]:
        """Silence at once, but for a fade too short to be heard; gives how far each piece was heard. The tail that
        follows still counts as speaking. fade: otherwise what was pulled last is the end."""
        if fade and self._queue and self._queue[0].at:
            front = self._queue[0]
            cut = scaled(front.samples[front.at : front.at + round(FADE_SECONDS * self.rate)], self.volume)
            self._fading = np.rint(cut * np.linspace(1, 0, len(cut))).astype(np.int16)
        ended: list[Played | Quiet] = [self._end(piece) for piece in self._queue]
        self._queue.clear()
        return ended

    def lose(self) -> list[Played | Quiet]:
        """Nobody pulls any more: everything ends here, without a tail."""
        ended = self.stop()
        self._fading = self._fading[:0]
        self._quiet_in = 0
        if self.speaking:
            self.speaking = False
            ended.append(Quiet(lost=True))
        return ended

    def _end(self, piece: _Piece) -> Played:
        self._quiet_in = round(self.tail * self.rate)
        return Played(piece.number, piece.at / self.rate, len(piece.samples) / self.rate)

    def _pull_fade(self, out: np.ndarray) -> int:
        faded = self._fading[: len(out)]
        out[: len(faded)] = faded
        self._fading = self._fading[len(faded) :]
        return len(faded)


def scaled(samples: np.ndarray, volume: float) -> np.ndarray:
    """int16 samples at a volume from 0 to 1."""
    return samples if volume == 1.0 else np.rint(samples * volume).astype(np.int16)
