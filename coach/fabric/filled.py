"""The shape of a filled piece: what its fabric encloses when the filling pushes it out as far as it lets.

A row is as long along the outline as it is high, a round no wider than its stitches (narrower it may be: the fabric
gathers). Of all outlines that keep to this the one is taken that holds most; an
open end, which is sewn to another piece, stays as wide as its stitches. So a sphere, a cone and a tube come out
exactly, and two flat rounds sewn together become a mylar balloon (Paulsen, What Is the Shape of a Mylar Balloon?,
American Mathematical Monthly 101, 1994).
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from math import ceil, pi

import numpy as np
from numpy.lib.stride_tricks import sliding_window_view

LEVELS = 10  # steps of radius that a piece of outline can climb at most in the search
FINE = 60  # pieces of outline, at least, that a piece is divided into
MOST = 4  # pieces that one row is divided into
WIDEST = 2_000  # levels of radius; beyond it the search is coarser
SWEEPS, HALVINGS = 12, 12  # of the smoothing


@dataclass(frozen=True, slots=True)
class Outline:
    """radii, heights: in cm, of points from the start to the end; volume: in cm³, between flat lids where an end is
    open."""

    radii: tuple[float, ...]
    heights: tuple[float, ...]
    volume: float

    @property
    def width(self) -> float:
        return 2 * max(self.radii)

    @property
    def height(self) -> float:
        return self.heights[-1]


@lru_cache(maxsize=256)
def outline(radii: tuple[float, ...], rows: tuple[float, ...]) -> Outline:
    """The fullest outline. radii: of the rounds lying relaxed, in cm, the start's first (0: it is closed there); rows:
    height of each row, in cm; one fewer than radii."""
    widest, lengths = _divided(np.asarray(radii), np.asarray(rows))
    found = _smoothed(_searched(widest, lengths), widest, lengths)
    rise = np.sqrt(np.maximum(lengths**2 - np.diff(found) ** 2, 0))
    return Outline(
        tuple(found.tolist()), (0.0, *np.cumsum(rise).tolist()), float(np.sum(_volume(found[:-1], found[1:], lengths)))
    )


def _divided(radii: np.ndarray, rows: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
    """Rows in pieces, with the widest radius at the end of each that the rows beside it let it have."""
    pieces = min(max(ceil(FINE / len(rows)), 1), MOST)
    at = np.arange(len(rows) * pieces + 1) / pieces
    widest, lengths = np.interp(at, np.arange(len(radii)), radii), np.repeat(rows / pieces, pieces)
    along = np.concatenate(([0.0], np.cumsum(lengths)))
    widest = np.minimum.accumulate(widest - along) + along
    return np.minimum.accumulate((widest + along)[::-1])[::-1] - along, lengths


def _volume(a, b, length):
    """Of a frustum whose side is `length` long; 0 where the radii differ by more."""
    return pi / 3 * np.sqrt(np.maximum(length**2 - (b - a) ** 2, 0)) * (a * a + a * b + b * b)


def _searched(widest: np.ndarray, lengths: np.ndarray) -> np.ndarray:
    """The best outline whose radii are whole levels, found piece by piece (dynamic programming)."""
    level = max(float(lengths[lengths > 0].min(initial=lengths.max())) / LEVELS, float(widest.max()) / WIDEST, 1e-9)
    radius = np.arange(int(widest.max() / level + 1e-6) + 1) * level
    narrower = (widest[0] - radius) * (
        pi * widest.max() ** 2 * lengths.sum() / level**2
    )  # above all it begins as wide as it may
    best = np.where(radius <= widest[0] + 1e-9, -narrower, -np.inf)
    came: list[np.ndarray] = []
    gained: dict[float, np.ndarray] = {}  # by length of the piece: [level reached, level left, from -reach to reach]
    for limit, length in zip(widest[1:].tolist(), lengths.tolist()):
        reach = min(int(length / level + 1e-6), len(radius) - 1)
        if length not in gained:
            left = radius[:, None] + np.arange(-reach, reach + 1) * level
            gained[length] = np.where(left < -level / 2, -np.inf, _volume(left, radius[:, None], length))
        total = gained[length] + sliding_window_view(np.pad(best, reach, constant_values=-np.inf), 2 * reach + 1)
        chosen = np.argmax(total, axis=1)
        best = np.where(radius <= limit + 1e-9, np.take_along_axis(total, chosen[:, None], 1)[:, 0], -np.inf)
        came.append(np.arange(len(radius)) + chosen - reach)
    at = int(np.flatnonzero(np.isfinite(best))[-1])  # as wide as it may be
    path = [at]
    for source in reversed(came):
        at = int(source[at])
        path.append(at)
    return radius[path[::-1]]


def _smoothed(found: np.ndarray, widest: np.ndarray, lengths: np.ndarray) -> np.ndarray:
    """The same freed from the levels: each point in turn goes where it holds most between its neighbours."""
    found = found.copy()
    for turn in range(2 * SWEEPS):
        some = np.arange(1 + turn % 2, len(found) - 1, 2)
        a, b = found[some - 1], found[some + 1]
        la, lb = lengths[some - 1], lengths[some]
        low = np.maximum(np.maximum(a - la, b - lb), 0)
        high = np.maximum(np.minimum(np.minimum(a + la, b + lb), widest[some]), low)

        def held(x, a=a, b=b, la=la, lb=lb):
            return _volume(a, x, la) + _volume(x, b, lb)

        for _ in range(HALVINGS):
            third = (high - low) / 3
            up = held(low + third) < held(high - third)
            low, high = np.where(up, low + third, low), np.where(up, high, high - third)
        new = (low + high) / 2
        found[some] = np.where(held(new) > held(found[some]), new, found[some])
    return found
