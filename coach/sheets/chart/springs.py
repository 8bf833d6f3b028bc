"""Where the stitches of one line stand: each as near as can be to straight above its foot, all about evenly spaced."""

from __future__ import annotations

import cmath
import math
from collections.abc import Collection, Sequence

STIFFNESS = 3.0  # of the spacing, against standing straight
PINNED = 60.0  # how much harder a corner is held than a stitch
CLOSEST = 0.3  # of the even spacing; closer than that, the line is spaced evenly


def settle(
    even: Sequence[float], wanted: Sequence[float | None], length: float | None = None, pinned: Collection[int] = ()
) -> list[float]:
    """Places for stitches. even: their places at even spacing; wanted: straight above the foot (None: anywhere);
    length: of a closed line; pinned: indexes of those that are held where they are wanted. The order is kept
    always."""
    anchored = [(e, w) for k, (e, w) in enumerate(zip(even, wanted)) if w is not None and (not pinned or k in pinned)]
    if not anchored:
        return list(even)
    shift = _mean([w - e for e, w in anchored], length)
    off = [None if w is None else _wrapped(w - e - shift, length) for e, w in zip(even, wanted)]
    pull = [0.0 if o is None else PINNED if k in pinned else 1.0 for k, o in enumerate(off)]
    moved = _relaxed([o or 0.0 for o in off], pull, closed=length is not None)
    places = [e + shift + m for e, m in zip(even, moved)]
    if all(b - a >= CLOSEST * (f - e) for a, b, e, f in zip(places, places[1:], even, even[1:])):
        return places
    return [e + shift for e in even]


def _wrapped(d: float, length: float | None) -> float:
    return d if length is None else (d + length / 2) % length - length / 2


def _mean(differences: list[float], length: float | None) -> float:
    if length is None:
        return sum(differences) / len(differences)
    return cmath.phase(sum(cmath.rect(1, math.tau * d / length) for d in differences)) * length / math.tau


def _relaxed(off: list[float], pull: list[float], closed: bool) -> list[float]:
    """Least squares of pull · (e - off)² and STIFFNESS · (difference of neighbours)²: one tridiagonal system."""
    n = len(off)
    k = STIFFNESS
    right = [p * o for p, o in zip(pull, off)]
    if n == 1:
        return off
    if not closed or n == 2:
        ends = [k * (2 if 0 < i < n - 1 else 1) for i in range(n)]
        return _tridiagonal([p + e for p, e in zip(pull, ends)], -k, right)
    # a closed line: the corner entries by the formula of Sherman and Morrison
    gamma = -k
    diagonal = [p + 2 * k for p in pull]
    diagonal[0] -= gamma
    diagonal[-1] -= k * k / gamma
    x = _tridiagonal(diagonal, -k, right)
    z = _tridiagonal(diagonal, -k, [gamma] + [0.0] * (n - 2) + [-k])
    factor = (x[0] - k * x[-1] / gamma) / (1 + z[0] - k * z[-1] / gamma)
    return [a - factor * b for a, b in zip(x, z)]


def _tridiagonal(diagonal: list[float], off: float, right: list[float]) -> list[float]:
    c, d = [0.0] * len(diagonal), [0.0] * len(diagonal)
    for i, (a, r) in enumerate(zip(diagonal, right)):
        below = a - (off * c[i - 1] if i else 0.0)
        c[i] = off / below
        d[i] = (r - (off * d[i - 1] if i else 0.0)) / below
    for i in range(len(d) - 2, -1, -1):
        d[i] -= c[i] * d[i + 1]
    return d
