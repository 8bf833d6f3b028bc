"""How large a part gets: the profile of a piece worked in the round, width and length of one worked in rows.

In the round, a round of n stitches is a circle of circumference n · width. From one round to the next the fabric is one
row high along its slope; what the radius does not take of it is height. A round that widens by more than a flat circle
allows must ruffle; one that stays far below it cups.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from itertools import pairwise
from math import pi, sqrt

from coach.fabric.gauge import Gauge
from coach.fabric.model import Worked, WorkedPart
from coach.fabric.reckoned import doubts, stitches
from coach.fabric.tree import Leaf, Loop, Tree
from coach.notation.model import Action, Chain, Group

# of a row's height: a flat circle of stitches as high as wide takes 6 a round, not 2π (teaching pages, seen): 6/2π
FLAT = 0.95
# of a row's height: an oval that grows by so much from its chain to its edge is flat; common practice, no source
OVAL = 0.7
RUFFLES = (
    1.5  # times the flat growth (a square takes 1.3): beyond it a round stands in waves; common practice, no source
)


@dataclass(frozen=True, slots=True)
class Ring:
    """One round of a profile: label, radius and height above the start, height of its row, in cm; ruffles: it can't lie
    flat."""

    label: str
    radius: float
    height: float
    row: float
    ruffles: bool = False


@dataclass(frozen=True, slots=True)
class Shape:
    """A finished piece, in cm, cm² and cm³. kind: round, oval, square, flat or edging. profile: rounds from the start
    (round pieces only).

    height: of a round piece standing, length of a flat one; width: widest diameter, width of a flat one, length along
    the edge of an edging, which is as wide as its height;
    volume: None for a flat piece; start: radius that a round piece begins with; drawn: its end is drawn together;
    outline: (radius, height) of points from start to end, of a filled piece.
    """

    kind: str
    width: float
    height: float
    surface: float
    volume: float | None
    profile: tuple[Ring, ...] = ()
    start: float = 0.0
    drawn: bool = False
    outline: tuple[tuple[float, float], ...] = ()

    @property
    def ruffled(self) -> tuple[str, ...]:
        return tuple(ring.label for ring in self.profile if ring.ruffles)


def shape_of(part: WorkedPart, gauge: Gauge) -> Shape | None:
    """The shape of a part, of the rounds that stitches are known of; None when there are none. An edging adds to the
    fabric of the piece that it goes around, and to neither width nor length."""
    rounds = [r for r in part.rounds if stitches(r) > 0]
    if not rounds:
        return None
    edging = next((i for i, r in enumerate(rounds) if r.edged is not None), len(rounds))
    rounds, strip = rounds[:edging], rounds[edging:]
    if not rounds:
        return replace(_flat(strip, gauge), kind="edging")
    if strip:
        shape = _flat(rounds, gauge)
        return replace(shape, surface=shape.surface + _flat(strip, gauge).surface)
    rows = sum(r.source.kind == "row" for r in rounds)
    if rounds[0].base == 0 and _corners(rounds[-1]) == 4 and len(rounds) > 1:
        side = stitches(rounds[-1]) * gauge.width / 4
        return Shape("square", side, side, side * side, None)
    return _flat(rounds, gauge) if rows * 2 > len(rounds) else _round(rounds, gauge, _after_a_gap(part))


def stuffed(shape: Shape) -> Shape:
    """The same piece filled: as full as its fabric lets it be."""
    if not shape.profile:
        return shape
    radii = (shape.start, *(ring.radius for ring in shape.profile))
    rows = tuple(ring.row for ring in shape.profile)
    if shape.drawn:
        radii, rows = (*radii, 0.0), (*rows, radii[-1])
    from coach.fabric.filled import outline  # brings numpy, which a check of counts does without

    full = outline(radii, rows)
    pieces = (len(full.radii) - 1) // len(rows)
    profile = tuple(
        replace(ring, radius=full.radii[n * pieces], height=full.heights[n * pieces])
        for n, ring in enumerate(shape.profile, 1)
    )
    return replace(
        shape,
        width=full.width,
        height=full.height,
        volume=full.volume,
        profile=profile,
        outline=tuple(zip(full.radii, full.heights)),
    )


def widest(shape: Shape) -> str:
    """The label of the round at which a round piece is widest; "" for another."""
    return max(shape.profile, key=lambda ring: ring.radius).label if shape.profile else ""


def _corners(worked: Worked) -> int:
    """How many corners the round below has: chain spaces that the round works groups into, or that it makes itself."""
    made = sum(n for kind, n in worked.tree.tally.items() if kind.startswith("space"))
    return made if made == 4 else sum(_groups(worked.tree))


def _groups(tree: Tree) -> list[int]:
    if isinstance(tree, Leaf):
        return [int(isinstance(tree.node, Group) and tree.node.into.kind == "space")]
    if isinstance(tree, Loop):
        return [tree.times * sum(_groups(tree.child))]
    return [n for child in tree.children for n in _groups(child)]


def row_height(worked: Worked, gauge: Gauge) -> float:
    """The height of a round in cm: that of the stitches it has most of."""
    kinds = {kind: n for kind, n in worked.tree.tally.items() if not kind.startswith("space")}
    return gauge.height_of(max(kinds, key=kinds.get)) if kinds else gauge.height


def _flat(rounds: list[Worked], gauge: Gauge) -> Shape:
    widths = [stitches(r) * gauge.width for r in rounds]
    heights = [row_height(r, gauge) for r in rounds]
    return Shape("flat", max(widths), sum(heights), sum(w * h for w, h in zip(widths, heights)), None)


def _round(rounds: list[Worked], gauge: Gauge, apart: set[int]) -> Shape:
    """apart: ids of rounds whose round below isn't known."""
    radii = [stitches(r) * gauge.width / (2 * pi) for r in rounds]
    heights = [row_height(r, gauge) for r in rounds]
    oval = _around_a_chain(rounds[0])
    start = (rounds[0].base or 0) * gauge.width / (2 * pi) if oval else 0.0 if rounds[0].base == 0 else radii[0]
    if oval and radii[-1] - start >= sum(heights) * OVAL:
        return _oval(pi * start, sum(heights))
    profile: list[Ring] = []
    z, before = 0.0, start
    surface = volume = 0.0
    for i, (worked, radius, slope) in enumerate(zip(rounds, radii, heights)):
        rise, ruffles = climb(radius - before, slope)
        surface += pi * (before + radius) * slope
        volume += pi * rise * (before**2 + before * radius + radius**2) / 3
        z += rise
        profile.append(Ring(worked.label, radius, z, slope, ruffles and i > 0 and id(worked) not in apart))
        before = radius
    rim = radii[-1]
    drawn = stitches(rounds[-1]) <= 12 and rim < max(radii)  # drawn together: the last hole closes flat
    if drawn:
        surface += pi * rim**2
    return Shape("round", 2 * max(radii), z, surface, volume, tuple(profile), start, drawn)


def _after_a_gap(part: WorkedPart) -> set[int]:
    """The ids of rounds before which one is left out, or missing in the text."""
    out = set(map(id, doubts(part).left_out))
    pairs = pairwise(part.rounds)
    return {id(r) for below, r in pairs if id(below) in out or r.source.number > below.source.number + 1}


def _around_a_chain(first: Worked) -> bool:
    """Whether a piece begins along both sides of a chain."""
    nodes = first.source.foundation
    joined = any(isinstance(n, Action) and n.kind in ("join", "ring") for n in nodes)
    return bool(first.base) and first.source.kind == "round" and any(isinstance(n, Chain) for n in nodes) and not joined


def _oval(length: float, around: float) -> Shape:
    """A flat oval: `around` a line of some `length`, in cm; a strip with half a disc at either end."""
    return Shape("oval", length + 2 * around, 2 * around, 2 * around * length + pi * around**2, None)


def climb(widening: float, slope: float) -> tuple[float, bool]:
    """(height gained, whether it ruffles) of a round whose radius grows by `widening` cm along `slope` cm of fabric."""
    if abs(widening) >= slope * FLAT:
        return 0.0, widening > slope * FLAT * RUFFLES
    return slope * sqrt(1 - (widening / slope) ** 2), False
