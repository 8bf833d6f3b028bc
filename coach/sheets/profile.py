"""A profile of each part: its outline from the side as the gauge makes it, filled where it is, with its size."""

from __future__ import annotations

from collections.abc import Iterator
from html import escape
from math import cos, pi, sin
from textwrap import wrap

from coach.fabric.gauge import Gauge, gauge_of
from coach.fabric.model import Fabric, WorkedPart
from coach.fabric.needs import finished
from coach.fabric.reckoned import stitches
from coach.fabric.reckoned import told as doubts_of
from coach.fabric.shape import Shape, row_height, widest
from coach.sheets.errors import SheetError
from coach.sheets.titles import titled

TALLEST = 360.0  # units of the drawing for the largest part; all are drawn to one scale
MARGIN = 40.0
LINE, WIDEST = 20.0, 80  # between lines of text; characters of a line
LOWEST = 0.05  # cm; what is lower is told as flat
QUARTER = 12  # points of a quarter of a circle
STYLE = """
svg { background: #fff; }
.piece { fill: #eef2fa; stroke: #000; stroke-width: 2; stroke-linejoin: round; }
.round { stroke: #44506b; stroke-width: 0.8; } .measure { stroke: #000; stroke-width: 1; fill: none; }
.ruffle { stroke: #000; stroke-width: 2; fill: none; }
text { font-family: Verdana, "Bitstream Vera Sans", "DejaVu Sans", sans-serif; font-size: 14px; fill: #000; }
.title { font-size: 22px; font-weight: bold; } .part { font-size: 17px; font-weight: bold; } .small { font-size: 11px; }
.middle { text-anchor: middle; }
"""
SAID = {"pattern": "the pattern's gauge", "usual": "the usual gauge for this yarn"}


def profile(fabric: Fabric, *, part: str | None = None, gauge: Gauge | None = None) -> str:
    """The profiles as SVG. Raises SheetError where no gauge and no yarn weight is known, or for an unknown part."""
    gauge = gauge or gauge_of(fabric.pattern)
    if gauge is None:
        raise SheetError(
            "Without a gauge I can't tell how big it gets.",
            "Add a line like this under Gauge: 14 sc and 16 rounds to 10 cm",
        )
    chosen = [p for p in fabric.parts if p.rounds and (part is None or p.name.casefold() == part.casefold())]
    if not chosen:
        if part is None:
            raise SheetError("There are no rounds to draw.", "A profile needs at least one round that can be read.")
        raise SheetError(
            f"There is no part called {part}.", f"The parts are: {', '.join(p.name for p in fabric.parts)}."
        )
    drawn = [(p, shape) for p in chosen if (shape := finished(fabric, p, gauge))]
    if not drawn:
        raise SheetError(" ".join(map(_unsized, chosen)), "See what is wrong with: coach check PATTERN")
    scale = TALLEST / max(max(s.height, s.width, 0.1) for _, s in drawn)
    title = titled(fabric)
    rests_on = (
        f"Reckoned from {SAID.get(gauge.said, gauge.said)}: one stitch {gauge.width:.2f} cm wide, "
        f"a row {gauge.height:.2f} cm high."
    )
    body = [
        f'<text class="title" x="{MARGIN}" y="44">{escape(title)}: size and shape</text>',
        f'<text class="small" x="{MARGIN}" y="66">{rests_on}</text>',
    ]
    y, width = 80.0, max(6.8 * len(rests_on), 15.0 * len(title) + 200) + 2 * MARGIN
    for one, shape in drawn:
        strokes, w, h = _part(one, shape, gauge, scale, y)
        body += strokes
        width, y = max(width, w), y + h
    unsized = [_unsized(one) for one in chosen if not any(one is p for p, _ in drawn)]
    for line in unsized:
        y += LINE
        body.append(f'<text x="{MARGIN}" y="{y:.0f}">{escape(line)}</text>')
        width = max(width, MARGIN + 8.5 * len(line))
    told = " ".join((rests_on, *(_told(one, shape) for one, shape in drawn), *unsized))
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{width:.0f}" height="{y + 20:.0f}" viewBox="0 0 '
        f'{width:.0f} {y + 20:.0f}" role="img" '
        f'aria-labelledby="profile-title profile-desc" lang="en">\n<title id="profile-title">{escape(title)}: '
        f"size and shape</title>\n"
        f'<desc id="profile-desc">{escape(told)}</desc>\n<style>{STYLE}</style>\n' + "\n".join(body) + "\n</svg>\n"
    )


def sizes(fabric: Fabric) -> Iterator[str]:
    """The size of each part, a sentence each; nothing where no gauge is known."""
    gauge = gauge_of(fabric.pattern)
    for part in fabric.parts if gauge else ():
        if shape := finished(fabric, part, gauge):
            yield _told(part, shape)
        elif part.rounds:
            yield _unsized(part)


def size_in_words(shape: Shape) -> str:
    """`4.8 cm across at Rnd 5, 3.5 cm high, filled`; a flat piece: `22.0 cm wide, 23.1 cm long`."""
    if shape.kind == "round":
        filled = ", filled" if shape.outline else ""
        high = f"{shape.height:.1f} cm high" if shape.height >= LOWEST else "flat"
        return f"{shape.width:.1f} cm across at {widest(shape)}, {high}{filled}"
    if shape.kind == "oval":
        return f"a flat oval of {shape.width:.1f} by {shape.height:.1f} cm"
    if shape.kind == "edging":
        return f"{shape.width:.1f} cm along the edge, {shape.height:.1f} cm wide"
    return f"{shape.width:.1f} cm wide, {shape.height:.1f} cm long"


def _name(part: WorkedPart) -> str:
    return part.name + (f", make {part.make}" if part.make > 1 else "")


def _told(part: WorkedPart, shape: Shape) -> str:
    wavy = f" It ruffles at {', '.join(shape.ruffled)}." if shape.ruffled else ""
    return " ".join((f"{_name(part)}: {size_in_words(shape)}.{wavy}", *doubts_of(part)))


def _unsized(part: WorkedPart) -> str:
    return f"{_name(part)}: its size can't be told, since none of its rounds can be counted."


def _part(part: WorkedPart, shape: Shape, gauge: Gauge, scale: float, y: float) -> tuple[list[str], float, float]:
    """(elements, width, height) of one part from y down."""
    out = [
        f'<text class="part" x="{MARGIN}" y="{y + 26:.0f}">{escape(_name(part))}</text>',
        f'<text x="{MARGIN}" y="{y + 48:.0f}">{escape(size_in_words(shape))}</text>',
    ]
    doubtful = [line for sentence in doubts_of(part) for line in wrap(sentence, WIDEST)]
    for k, line in enumerate(doubtful):
        out.append(f'<text x="{MARGIN}" y="{y + 68 + LINE * k:.0f}">{escape(line)}</text>')
    top = y + 70 + LINE * len(doubtful)
    half, high = shape.width / 2 * scale, max(shape.height * scale, 3.0)
    middle, floor = MARGIN + 60 + half, top + high
    points = [(r * scale, z * scale) for r, z in _edge(part, shape, gauge)]
    points = [(middle + x, floor - up) for x, up in points] + [(middle - x, floor - up) for x, up in reversed(points)]
    out.append('<path class="piece" d="M' + "L".join(f"{a:.1f} {b:.1f}" for a, b in points) + 'Z"/>')
    lines = [(ring.radius, ring.height, ring.ruffles) for ring in shape.profile[:-1]]
    if shape.kind in ("flat", "edging"):
        lines = [(r, z, False) for r, z in [*_rows(part, gauge)][1:-1:2]]
    for r, z, ruffles in lines:
        x, up = r * scale, floor - z * scale
        out.append(
            f'<line class="{"ruffle" if ruffles else "round"}" x1="{middle - x:.1f}" x2="{middle + x:.1f}" '
            f'y1="{up:.1f}" y2="{up:.1f}"/>'
        )
    out += _measure(middle - half, floor + 16, middle + half, floor + 16, f"{shape.width:.1f} cm", (middle, floor + 34))
    if high > 24:
        out += _measure(
            middle + half + 18,
            floor,
            middle + half + 18,
            top,
            f"{shape.height:.1f} cm",
            (middle + half + 54, (floor + top) / 2 + 5),
        )
    if shape.ruffled:
        out.append(f'<text x="{MARGIN}" y="{floor + 56:.0f}">It ruffles at {escape(", ".join(shape.ruffled))}.</text>')
    width = max(middle + half + 120, *(MARGIN + 8.5 * len(line) for line in doubtful), 0.0)
    return out, width, floor + (66 if shape.ruffled else 44) - y


def _edge(part: WorkedPart, shape: Shape, gauge: Gauge) -> Iterator[tuple[float, float]]:
    """(half the width, height) in cm from the bottom up; a piece in the round as it stands, its start at the bottom."""
    if shape.outline:
        yield from shape.outline
    elif shape.profile:
        yield shape.start, 0.0
        yield from ((ring.radius, ring.height) for ring in shape.profile)
    elif shape.kind == "oval":
        end = shape.height / 2
        turns = (pi * n / QUARTER / 2 - pi / 2 for n in range(2 * QUARTER + 1))
        yield from ((shape.width / 2 - end + end * cos(turn), end + end * sin(turn)) for turn in turns)
    elif shape.kind == "square":
        yield from ((shape.width / 2, z) for z in (0.0, shape.height))
    else:
        yield from _rows(part, gauge)


def _rows(part: WorkedPart, gauge: Gauge) -> Iterator[tuple[float, float]]:
    z = 0.0
    for row in part.rounds:
        if made := stitches(row):
            yield made * gauge.width / 2, z
            z += row_height(row, gauge)
            yield made * gauge.width / 2, z


def _measure(x1: float, y1: float, x2: float, y2: float, text: str, at: tuple[float, float]) -> list[str]:
    """A line with a bar at either end, and what it measures."""
    bar = (0, 5) if y1 == y2 else (5, 0)
    ends = "".join(
        f"M{x - bar[0]:.1f} {y - bar[1]:.1f}L{x + bar[0]:.1f} {y + bar[1]:.1f}" for x, y in ((x1, y1), (x2, y2))
    )
    return [
        f'<path class="measure" d="M{x1:.1f} {y1:.1f}L{x2:.1f} {y2:.1f}{ends}"/>',
        f'<text class="middle" x="{at[0]:.1f}" y="{at[1]:.1f}">{text}</text>',
    ]
