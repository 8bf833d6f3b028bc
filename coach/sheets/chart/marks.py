"""What a drawing is made of: placed symbols, labels and the places that the next round stands on."""

from __future__ import annotations

from dataclasses import dataclass, field

from coach.sheets.chart.plan import RISE, WIDTH, Figure

CHAIN = 9.0  # length of one drawn chain
ROUNDING = 0.4 * WIDTH  # of a corner
CENTRE = 0.5 * WIDTH  # radius of a ring drawn tight
LOWEST = 3 * RISE  # how far a short stitch may end below a tall neighbour


@dataclass(frozen=True, slots=True)
class Mark:
    """A placed symbol. round: index within the part; step, made: as in Piece; feet, head: points of the page;
    curve: the points of an arc's chains."""

    kind: str
    id: str
    round: int
    step: int
    made: int
    feet: tuple[complex, ...]
    head: complex
    away: complex
    loop: str = "both"
    fan: int = 1
    chains: int = 0
    curve: tuple[complex, ...] = ()


@dataclass(frozen=True, slots=True)
class Label:
    """A round's number beside its first stitch, and the tip of the marker that points to it."""

    round: int
    text: str
    point: complex
    tip: complex
    along: complex


@dataclass(slots=True)
class Drawing:
    """A figure with everything in its place. ovals: (point, direction) of foundation chains; dots: places of the
    round below that were made in the figure before; ring: (middle, radius) of a ring; number: chains of a ring,
    written in it."""

    figure: Figure
    marks: list[Mark] = field(default_factory=list)
    labels: list[Label] = field(default_factory=list)
    ovals: list[tuple[complex, complex]] = field(default_factory=list)
    dots: list[complex] = field(default_factory=list)
    ring: tuple[complex, float] | None = None
    number: int | None = None


@dataclass(frozen=True, slots=True)
class Top:
    """A place for the next round. corner: which corner of a polygon it is, from 0."""

    point: complex
    level: float
    corner: int | None = None
