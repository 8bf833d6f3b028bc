"""The lines that rounds and rows are drawn along: straight, or closed around a point, a chain or a polygon.

A line turns a length along it, in the order of working, into a point of the page and back. Points are complex
numbers, x to the right and y down; `sign` is 1 where work runs anticlockwise (or to the right), -1 the other way. A
level is a height above the base of the figure: the radius of a disc, the distance from the base line of a flat piece.
"""

from __future__ import annotations

import cmath
import math
from dataclasses import dataclass
from typing import Protocol


class Line(Protocol):
    length: float | None  # of a closed line, None for an open one

    def at(self, s: float) -> tuple[complex, complex]:
        """The point at length s and the direction away from the work below (a unit)."""

    def where(self, point: complex) -> float | None:
        """The length at which a point's stitch stands straight on it; None where every direction is as good."""


class Frame(Protocol):
    def fit(self, level: float, span: float) -> float:
        """The level, raised where a line there is shorter than `span`."""

    def line(self, level: float, sign: int) -> Line: ...


@dataclass(frozen=True, slots=True)
class Straight:
    level: float
    sign: int
    length: None = None

    def at(self, s: float) -> tuple[complex, complex]:
        return complex(self.sign * s, -self.level), -1j

    def where(self, point: complex) -> float:
        return self.sign * point.real


@dataclass(frozen=True, slots=True)
class Flat:
    """Rows, and tubes laid open."""

    def fit(self, level: float, span: float) -> float:
        return level

    def line(self, level: float, sign: int) -> Straight:
        return Straight(level, sign)


class Around:
    """Every point at `radius` from a convex core: a point, a segment or a polygon (anticlockwise, y up)."""

    def __init__(self, core: tuple[complex, ...], radius: float, sign: int, outward: bool = True):
        self.core, self.radius, self.sign, self.outward = core, radius, sign, outward
        m = len(core)
        self.edges = [(core[(k + 1) % m] - core[k]) for k in range(m)] if m > 1 else []
        self.normals = [-1j * e / abs(e) for e in self.edges]
        self.turns = (
            [cmath.phase(self.normals[(k + 1) % m] / self.normals[k]) % math.tau or math.pi for k in range(m)]
            if m > 1
            else [math.tau]
        )
        self.starts = [0.0]  # length at which each edge starts; each is followed by the arc at its end
        for edge, turn in zip(self.edges, self.turns):
            self.starts.append(self.starts[-1] + abs(edge) + turn * radius)
        self.length = self.starts[-1] if self.edges else math.tau * radius

    def at(self, s: float) -> tuple[complex, complex]:
        s %= self.length
        if not self.edges:
            normal = cmath.rect(1, s / self.radius - math.pi / 2)
            return self._page(self.core[0] + normal * self.radius, normal)
        k = max(i for i in range(len(self.edges)) if self.starts[i] <= s)
        s -= self.starts[k]
        if s <= abs(self.edges[k]):
            return self._page(
                self.core[k] + self.edges[k] / abs(self.edges[k]) * s + self.normals[k] * self.radius, self.normals[k]
            )
        normal = self.normals[k] * cmath.rect(1, (s - abs(self.edges[k])) / max(self.radius, 1e-9))
        return self._page(self.core[(k + 1) % len(self.core)] + normal * self.radius, normal)

    def where(self, point: complex) -> float | None:
        p = complex(point.real * self.sign, -point.imag)
        if not self.edges:
            return (
                None
                if abs(p - self.core[0]) < 1e-6
                else (cmath.phase(p - self.core[0]) + math.pi / 2) % math.tau * self.radius
            )
        k = max(range(len(self.edges)), key=lambda i: ((p - self.core[i]) * self.normals[i].conjugate()).real)
        along = ((p - self.core[k]) * (self.edges[k] / abs(self.edges[k])).conjugate()).real
        if 0 <= along <= abs(self.edges[k]):
            return self.starts[k] + along
        corner = k if along > 0 else k - 1  # the arc at the end of edge `corner`
        corner %= len(self.edges)
        turned = cmath.phase((p - self.core[(corner + 1) % len(self.core)]) / self.normals[corner])
        turned = min(max(turned, 0.0), self.turns[corner])
        return self.starts[corner] + abs(self.edges[corner]) + turned * self.radius

    def corner(self, k: int) -> float:
        """The length at which the k-th corner of the core is passed."""
        k = (k - 1) % len(self.edges)
        return self.starts[k] + abs(self.edges[k]) + self.turns[k] * self.radius / 2

    def _page(self, point: complex, normal: complex) -> tuple[complex, complex]:
        away = normal if self.outward else -normal
        return complex(point.real * self.sign, -point.imag), complex(away.real * self.sign, -away.imag)


@dataclass(frozen=True, slots=True)
class Disc:
    """Rounds that grow around a point, or around both sides of a chain `2 * half` long."""

    half: float = 0.0

    def fit(self, level: float, span: float) -> float:
        return max(level, (span - 4 * self.half) / math.tau)

    def line(self, level: float, sign: int) -> Around:
        core = (complex(-self.half), complex(self.half)) if self.half else (0j,)
        return Around(core, max(level, 0.1), sign)


@dataclass(frozen=True, slots=True)
class Polygon:
    """Rounds with corners; a side lies at the bottom, and the work starts on it."""

    corners: int
    rounding: float

    def fit(self, level: float, span: float) -> float:
        return max(
            level,
            (span - math.tau * self.rounding) / (2 * self.corners * math.tan(math.pi / self.corners)) + self.rounding,
        )

    def line(self, level: float, sign: int) -> Around:
        apothem = max(level - self.rounding, 0.1)
        reach = apothem / math.cos(math.pi / self.corners)
        corners = [cmath.rect(reach, -math.pi / 2 + math.tau * (k + 0.5) / self.corners) for k in range(self.corners)]
        return Around(tuple(corners), min(self.rounding, max(level, 0.1)), sign)


@dataclass(frozen=True, slots=True)
class Inward:
    """Rounds that close towards the middle, from a line of this radius. Seen from the outside of the work they run
    the other way."""

    radius: float

    def fit(self, level: float, span: float) -> float:
        return level

    def line(self, level: float, sign: int) -> Around:
        return Around((0j,), max(self.radius - level, 1.0), -sign, outward=False)
