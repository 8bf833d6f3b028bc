"""How quick a session was, as the maker feels it.

word to action    seconds from the end of a word to the action it leads to
action to sound   seconds from there to the first sample of the answer at the loudspeaker
"""

from __future__ import annotations

import json
from collections import deque
from collections.abc import Iterable
from math import ceil
from pathlib import Path

from coach.whole import write_whole

FILE = "figures.json"  # in the coach's folder: those of the last session
KEPT = 10_000  # of each kind: more than an evening has
NAMES = {"word_to_action": "From the end of a word to the action", "action_to_sound": "From there to the first sound"}


class Figures:
    """Those of one session, in seconds."""

    def __init__(self) -> None:
        self.word_to_action: deque[float] = deque(maxlen=KEPT)
        self.action_to_sound: deque[float] = deque(maxlen=KEPT)

    def as_json(self) -> dict[str, dict[str, float | int | None]]:
        """{"word_to_action": {"count", "p50", "p95"}, "action_to_sound": the same}; null where there is nothing."""
        return {name: _summed(getattr(self, name)) for name in NAMES}

    def write(self, folder: Path) -> None:
        """Keep them as those of the last session; nothing where there are none. Raises OSError."""
        if any(getattr(self, name) for name in NAMES):
            write_whole(folder / FILE, json.dumps(self.as_json()) + "\n")


def read(folder: Path) -> dict[str, dict[str, float | int | None]]:
    """Those of the last session, as `Figures.as_json` has them; of a session without any where there are none."""
    try:
        found = json.loads((folder / FILE).read_text("utf-8"))
        as_text(found)  # they are what they should be
    except (OSError, ValueError, TypeError, KeyError):
        return Figures().as_json()
    return found


def as_text(figures: dict[str, dict[str, float | int | None]]) -> list[str]:
    """A sentence for each: `From the end of a word to the action: 0.4 s, at most 0.6 s for 95 of 100 (17 measured).`"""
    return [f"{told}: {_told(**figures[name])}" for name, told in NAMES.items()]


def _told(count: int, p50: float | None, p95: float | None) -> str:
    return f"{p50:.2f} s, at most {p95:.2f} s for 95 of 100 ({count} measured)." if count else "nothing measured."


def _summed(seconds: Iterable[float]) -> dict[str, float | int | None]:
    """Percentiles by nearest rank: each is a value that was measured."""
    measured = sorted(seconds)
    p50, p95 = (round(measured[ceil(p * len(measured)) - 1], 3) if measured else None for p in (0.5, 0.95))
    return {"count": len(measured), "p50": p50, "p95": p95}
