"""What a figure stands on: a ring, a chain, or the round that the figure before ended with."""

from __future__ import annotations

import math

from coach.sheets.chart.frames import Disc, Flat, Frame, Inward, Polygon
from coach.sheets.chart.marks import CENTRE, CHAIN, ROUNDING, Drawing, Top
from coach.sheets.chart.plan import CLOSED, TIGHT, WIDTH, Course, Figure, corners, outer_radius


def direction(figure: Figure, course: Course) -> int:
    """Right-side rows run from right to left, rounds against the clock (of the right-handed)."""
    return (1 if figure.shape != "flat" else -1) * (-1 if course.back else 1)


def frame_of(figure: Figure) -> Frame:
    first = figure.courses[0]
    if figure.shape == "flat":
        return Flat()
    if figure.shape == "inward":
        return Inward(outer_radius(figure.courses))
    cornered = corners(figure.courses)
    if cornered:
        return Polygon(cornered.count, ROUNDING)
    if first.foundation is not None and first.foundation.limit is not None:
        return Disc((first.foundation.limit - 1) / 2 * WIDTH)
    return Disc()


def ground(drawing: Drawing, frame: Frame, hand: int) -> tuple[list[Top], float]:
    figure = drawing.figure
    first = figure.courses[0]
    sign = hand * direction(figure, first)
    limit = first.foundation.limit if first.foundation is not None else None
    n = first.base.tops
    if figure.shape == "disc" and first.foundation is not None:
        if limit is not None:
            return _both_sides(drawing, limit, n, sign), 0.0
        if first.ring or n <= 2:
            return [], _ring(drawing, first, frame)
        level = frame.fit(0.0, n * WIDTH * TIGHT)
        line = frame.line(level, sign)
        tops = [line.at((i + 0.5) / n * line.length) for i in range(n)]
        drawing.ovals += [(p - away * 3, away * 1j) for p, away in tops]
        return [Top(p, level) for p, _ in tops], level
    if first.ring:
        return [], 0.0
    line = frame.line(0.0, sign)
    if line.length:
        tops = [Top(line.at((CLOSED + i + 0.5) / (CLOSED + n) * line.length)[0], 0.0) for i in range(n)]
    else:
        tops = [Top(line.at((i - (n - 1) / 2) * WIDTH)[0], 0.0) for i in range(n)]
    if first.foundation is not None:
        drawing.ovals += [(t.point + 3j, 1 + 0j) for t in tops]
    else:
        drawing.dots += [t.point for t in tops]
    if first.base.turned:
        tops.reverse()  # tops are counted as the round below made them
    return tops, 0.0


def _ring(drawing: Drawing, first: Course, frame: Frame) -> float:
    if first.chains > 2:
        radius = max(first.chains * CHAIN / math.tau, CENTRE)
        line = Disc().line(radius, 1)
        drawing.ovals += [
            (p, away * 1j) for p, away in (line.at((i + 0.5) / first.chains * line.length) for i in range(first.chains))
        ]
        drawing.number = first.chains
        return radius + 4
    drawing.ring = (0j, CENTRE)
    return CENTRE


def _both_sides(drawing: Drawing, limit: int, n: int, sign: int) -> list[Top]:
    """Places along one side of a chain, its end, and back along the other; a little off the line, towards their
    side."""
    half = (limit - 1) / 2
    end = 2 * limit - n > 0  # the last chain holds both sides
    points = []
    for i in range(n):
        if i < limit:
            off = complex(0.01, 0) if i == limit - 1 and end else 0.01j
            points.append(complex((i - half) * WIDTH, 0) + off)
        else:
            x = half - (i - limit) - end
            off = complex(-0.01, 0) if x <= -half and end else -0.01j
            points.append(complex(x * WIDTH, 0) + off)
    points = [complex(p.real * sign, p.imag) for p in points]
    drawing.ovals += [(complex((i - half) * WIDTH, 0), 1 + 0j) for i in range(limit)]
    return [Top(p, 0.0) for p in points]
