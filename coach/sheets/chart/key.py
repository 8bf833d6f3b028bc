"""The key of a chart: what each of its symbols means, in the terms of the pattern, and in the others where they
differ."""

from __future__ import annotations

import cmath
import math
from html import escape

from coach.sheets.chart.marks import CENTRE
from coach.sheets.chart.plan import RISE, WIDTH
from coach.sheets.chart.symbols import SIZE, Strokes, markup, symbol_of
from coach.sheets.chart.symbols import draw as draw_symbol
from coach.stitches.catalogue import Stitch
from coach.stitches.catalogue import stitch as entry_of

MARGIN = 30.0  # of the page, in units of the drawing
RING_OF = 5  # chains of the ring that is shown
STARTS = "A number and its arrow show where a {kind} starts."
INTO_ONE = "Lines that meet below, like a V: worked into one place."
STOOD_ON = "Grey dots: the stitches of the {kind} before, in the drawing above."
IN_TURN = "{kind}s are black and blue in turn; these are no colours of yarn."
HERE = "The disc shows the last stitch made; what is grey is still to come."
AHEAD = "All of it is grey, since it is still to come."


def drawn_key(
    used: dict[str, None], loops: dict[str, None], terms: str, y: float, width: float, notes: tuple[str, ...] = ()
) -> tuple[list[str], float]:
    """(elements, where they end) of the key from y down. used: catalogue ids; loops: back and front, where one loop
    only is worked into; terms: in which a stitch is named first; notes: what the drawing
    shows besides stitches."""
    out = [f'<text class="part" x="{MARGIN}" y="{y:.0f}">Key, in {terms} terms</text>']
    y += 10
    x = MARGIN
    column = 330.0
    entries: list[tuple[Strokes, str]] = []
    seen: set[str] = set()
    for id in used:
        entry = entry_of(id)
        if entry is None or id in seen:
            continue
        seen.add(id)
        other = "UK" if terms == "US" else "US"
        name = f"{entry.abbreviation(terms)}: {entry.name(terms)}"
        if entry.name(other) != entry.name(terms):
            name += f" ({other} {entry.abbreviation(other)})"
        entries.append((_symbol(entry), name))
    for loop in loops:
        strokes = draw_symbol(symbol_of(entry_of("sc")), (complex(0, RISE / 2),), complex(0, -RISE / 2), loop=loop)
        entries.append((strokes, f"arc under the foot: {loop} loop only"))
    tall = RISE * 3.4
    per_line = max(int((width - 2 * MARGIN) // column), 1)
    for k, (strokes, name) in enumerate(entries):
        column_x = x + (k % per_line) * column
        middle = y + (k // per_line) * tall + tall / 2
        out.append(
            f'<g transform="translate({column_x + 18:.1f} {middle:.1f})">{markup(strokes)}</g><text '
            f'x="{column_x + 44:.1f}" y="{middle + 4:.1f}">{escape(name)}</text>'
        )
    y += tall * -(-len(entries) // per_line)
    for note in notes:
        out.append(f'<text x="{MARGIN}" y="{y + 14:.0f}">{note}</text>')
        y += 18
    return out, y + 2


def _symbol(entry: Stitch) -> Strokes:
    """A symbol around the middle of its place, upright."""
    if entry.id == "ring":
        return Strokes().oval(0j, 1 + 0j, CENTRE - 1, CENTRE - 1)
    if entry.id == "chring":
        ring = Strokes()
        for k in range(RING_OF):
            away = cmath.rect(1, math.tau * k / RING_OF)
            ring.oval(away * CENTRE, away * 1j, SIZE * 0.7, SIZE * 0.4)
        return ring
    rise = max(entry.height, 0.8) * RISE
    takes = max(entry.takes, 1)
    feet = tuple(complex((k - (takes - 1) / 2) * WIDTH * 0.8, rise / 2) for k in range(takes))
    return draw_symbol(symbol_of(entry), feet, complex(0, -rise / 2))
