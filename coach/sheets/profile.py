"""A profile of each part: its outline from the side as the gauge makes it, with its size written beside it."""

from __future__ import annotations

from collections.abc import Iterator
from html import escape

from coach.fabric.gauge import Gauge, gauge_of
from coach.fabric.model import Fabric, WorkedPart
from coach.fabric.needs import is_stuffed
from coach.fabric.shape import Shape, row_height, shape_of, stuffed
from coach.sheets.errors import SheetError

TALLEST = 360.0  # units of the drawing for the largest part; all are drawn to one scale
MARGIN = 40.0
STYLE = """
svg { background: #fff; }
.piece { fill: #eef2fa; stroke: #000; stroke-width: 2; stroke-linejoin: round; }
.round { stroke: #44506b; stroke-width: 0.8; } .measure { stroke: #000; stroke-width: 1; fill: none; }
.ruffle { stroke: #000; stroke-width: 2; fill: none; }
text { font-family: Verdana, "Bitstream Vera Sans", "DejaVu Sans", sans-serif; font-size: 14px; fill: #000; }
.title { font-size: 22px; font-weight: bold; } .part { font-size: 17px; font-weight: bold; } .small { font-size: 11px; }
.middle { text-anchor: middle; }
"""
SAID = {"pattern": "the pattern's gauge", "swatch": "your swatch", "usual": "the usual gauge for this yarn"}


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
    drawn = [(p, shape) for p in chosen if (shape := shape_of(p, gauge))]
    if not drawn:
        raise SheetError("There are no stitches to draw.", "A profile needs at least one round with stitches.")
    scale = TALLEST / max(max(s.height, s.width, 0.1) for _, s in drawn)
    title = fabric.pattern.title or "Pattern"
    rests_on = (
        f"Reckoned from {SAID.get(gauge.said, gauge.said)}: one stitch {gauge.width:.2f} cm wide, "
        f"a row {gauge.height:.2f} cm high. Outlines before stuffing."
    )
    body = [
        f'<text class="title" x="{MARGIN}" y="44">{escape(title)}: size and shape</text>',
        f'<text class="small" x="{MARGIN}" y="66">{rests_on}</text>',
    ]
    y, width = 80.0, max(6.8 * len(rests_on), 15.0 * len(title) + 200) + 2 * MARGIN
    for one, shape in drawn:
        strokes, w, h = _part(one, shape, size_in_words(shape, is_stuffed(fabric, one)), gauge, scale, y)
        body += strokes
        width, y = max(width, w), y + h
    told = " ".join((rests_on, *(_told(one, shape, is_stuffed(fabric, one)) for one, shape in drawn)))
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{width:.0f}" height="{y + 20:.0f}" viewBox="0 0 '
        f'{width:.0f} {y + 20:.0f}" role="img" '
        f'aria-labelledby="profile-title profile-desc" lang="en">\n<title id="profile-title">{escape(title)}: '
        f'size and shape</title>\n'
        f'<desc id="profile-desc">{escape(told)}</desc>\n<style>{STYLE}</style>\n' + "\n".join(body) + "\n</svg>\n"
    )


def size_in_words(shape: Shape, filled: bool = False) -> str:
    """`4.8 cm across at the widest, 2.3 cm high, about 3.9 cm when stuffed`; a flat piece: `22.0 cm wide, 23.1 cm
    long`."""
    if shape.kind != "round":
        return f"{shape.width:.1f} cm wide, {shape.height:.1f} cm long"
    full = stuffed(shape).height if filled else shape.height
    more = f", about {full:.1f} cm when stuffed" if full - shape.height > 0.1 else ""
    return f"{shape.width:.1f} cm across at the widest, {shape.height:.1f} cm high{more}"


def _name(part: WorkedPart) -> str:
    return part.name + (f", make {part.make}" if part.make > 1 else "")


def _told(part: WorkedPart, shape: Shape, filled: bool) -> str:
    wavy = f" It ruffles at {', '.join(shape.ruffled)}." if shape.ruffled else ""
    return f"{_name(part)}: {size_in_words(shape, filled)}.{wavy}"


def _part(
    part: WorkedPart, shape: Shape, size: str, gauge: Gauge, scale: float, y: float
) -> tuple[list[str], float, float]:
    """(elements, width, height) of one part from y down."""
    out = [
        f'<text class="part" x="{MARGIN}" y="{y + 26:.0f}">{escape(_name(part))}</text>',
        f'<text x="{MARGIN}" y="{y + 48:.0f}">{size}</text>',
    ]
    top = y + 70
    rows = list(_levels(part, shape, gauge))
    half = max(r for _, r, _ in rows) * scale
    middle = MARGIN + 60 + half
    high = max(rows[-1][0] * scale, 3.0)
    floor = top + high
    points = [(middle + r * scale, floor - z * scale) for z, r, _ in rows]
    points += [(middle - r * scale, floor - z * scale) for z, r, _ in reversed(rows)]
    out.append('<path class="piece" d="M' + "L".join(f"{a:.1f} {b:.1f}" for a, b in points) + 'Z"/>')
    for z, r, wavy in rows[1:-1]:
        out.append(
            f'<line class="{"ruffle" if wavy else "round"}" x1="{middle - r * scale:.1f}" '
            f'x2="{middle + r * scale:.1f}" '
            f'y1="{floor - z * scale:.1f}" y2="{floor - z * scale:.1f}"/>'
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
    return out, middle + half + 120, floor + (66 if shape.ruffled else 44) - y


def _levels(part: WorkedPart, shape: Shape, gauge: Gauge) -> Iterator[tuple[float, float, bool]]:
    """(height, half the width, ruffles) in cm from the bottom up; a piece in the round as it stands, its start at the
    bottom."""
    if shape.profile:
        first = shape.profile[0]
        yield 0.0, 0.0 if part.rounds[0].base == 0 else first.radius, False
        yield from ((ring.height, ring.radius, ring.ruffles) for ring in shape.profile)
        return
    if shape.kind == "square":
        yield from ((z, shape.width / 2, False) for z in (0.0, shape.height))
        return
    z = 0.0
    rounds = [r for r in part.rounds if r.made > 0]
    yield 0.0, rounds[0].made * gauge.width / 2, False
    for round_ in rounds:
        z += row_height(round_, gauge)
        yield z, round_.made * gauge.width / 2, False


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
