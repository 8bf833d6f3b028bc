"""What a pattern needs: yarn for each part, stuffing, time. Every figure is a range, and says what it rests on."""

from __future__ import annotations

from dataclasses import dataclass

from coach.fabric.gauge import Gauge, Weight, gauge_of, weight_of
from coach.fabric.model import Fabric, WorkedPart
from coach.fabric.reckoned import stitches as reckoned
from coach.fabric.shape import Shape, shape_of, stuffed

# Yarn in a square of fabric: a maker measured 31.4 to 32.1 inches a square inch in worsted on a 5 mm hook, nearly the
# same for sc, hdc and dc (a teaching page, informal): 12.5 cm a cm². At 13.5 stitches to 10 cm that is 9.2 stitch
# widths of yarn for a square of one stitch width; other yarns are taken in proportion.
YARN_PER_STITCH_SQUARE = 9.2
HONEST = 0.25  # the range given without a swatch: a quarter either way
MEASURED = 0.10  # and with one
TAILS = 0.10  # a tenth more for tails, colour changes and joins (a teaching page gives 10 to 20 percent)
STEADY = 0.1  # how far a maker's own pace may change; common practice, no source
STUFFING_G_PER_CM3 = (0.04, 0.08)  # loosely to firmly filled; from memory
# Stitches a minute with everything that comes between them, from a first toy to a practised hand. The lower end: 25,511
# stitches in about 85 hours, as reported of Osinga & Krauskopf's Lorenz manifold (2004), is 5.0. The upper: from
# memory.
PACE = (5.0, 20.0)


@dataclass(frozen=True, slots=True)
class Range:
    """A quantity from `low` to `high`."""

    low: float
    high: float

    def times(self, factor: float) -> Range:
        return Range(self.low * factor, self.high * factor)

    def plus(self, other: Range) -> Range:
        return Range(self.low + other.low, self.high + other.high)


NOTHING = Range(0, 0)


@dataclass(frozen=True, slots=True)
class Swatch:
    """What a maker's own swatch took: `metres` of yarn for `stitches` by `rows`."""

    stitches: int
    rows: int
    metres: float


@dataclass(frozen=True, slots=True)
class PartNeeds:
    """One part, all its pieces together. yarn in metres; stuffing in grams (none for a flat piece); stitches made."""

    name: str
    make: int
    shape: Shape
    stitches: int
    yarn: Range
    stuffing: Range


@dataclass(frozen=True, slots=True)
class Needs:
    """The whole pattern. grams: of yarn, None where no yarn weight is named; minutes: at the usual or the maker's pace;
    weight: of the yarn that is reckoned with."""

    gauge: Gauge
    parts: tuple[PartNeeds, ...]
    metres: Range
    grams: Range | None
    stuffing: Range
    minutes: Range
    weight: Weight | None = None


def needs(
    fabric: Fabric,
    gauge: Gauge | None = None,
    swatch: Swatch | None = None,
    pace: float | None = None,
    yarn: Weight | None = None,
) -> Needs | None:
    """What the pattern takes; None when neither a gauge nor a yarn weight is known.

    pace: the maker's own stitches a minute, where it has been measured; yarn: another one than the pattern names.
    """
    gauge = gauge or gauge_of(fabric.pattern)
    if gauge is None:
        return None
    parts = tuple(found for part in fabric.parts if (found := part_needs(fabric, part, gauge, swatch)))
    metres = stuffing = NOTHING
    for part in parts:
        metres, stuffing = metres.plus(part.yarn), stuffing.plus(part.stuffing)
    stitches = sum(part.stitches for part in parts)
    weight = yarn or weight_of(fabric.pattern)
    return Needs(
        gauge, parts, metres, grams(metres, weight) if weight else None, stuffing, minutes_for(stitches, pace), weight
    )


def part_needs(fabric: Fabric, part: WorkedPart, gauge: Gauge, swatch: Swatch | None = None) -> PartNeeds | None:
    """What one part takes; None for a part without stitches."""
    shape = finished(fabric, part, gauge)
    if shape is None:
        return None
    stitches = sum(reckoned(r) for r in part.rounds) * part.make
    yarn = yarn_for(shape.surface * part.make, gauge, swatch)
    volume = (shape.volume or 0.0) * part.make if is_stuffed(fabric, part) else 0.0
    return PartNeeds(
        part.name,
        part.make,
        shape,
        stitches,
        yarn,
        Range(volume * STUFFING_G_PER_CM3[0], volume * STUFFING_G_PER_CM3[1]),
    )


def finished(fabric: Fabric, part: WorkedPart, gauge: Gauge) -> Shape | None:
    """The shape of a part as it is in the end: filled, where the pattern fills it."""
    shape = shape_of(part, gauge)
    return stuffed(shape) if shape and is_stuffed(fabric, part) else shape


def yarn_for(surface: float, gauge: Gauge, swatch: Swatch | None = None) -> Range:
    """Metres of yarn for so many cm² of fabric, tails included."""
    if swatch and swatch.stitches and swatch.rows:
        area = swatch.stitches * gauge.width * swatch.rows * gauge.height
        middle, spread = surface * swatch.metres / area, MEASURED
    else:
        middle, spread = surface * YARN_PER_STITCH_SQUARE / gauge.width / 100, HONEST
    return Range(middle * (1 - spread), middle * (1 + spread)).times(1 + TAILS)


def minutes_for(stitches: int, pace: float | None = None) -> Range:
    """Minutes at the hook. pace: the maker's own stitches a minute (None: the usual ones)."""
    slow, fast = (pace * (1 - STEADY), pace * (1 + STEADY)) if pace else PACE
    return Range(stitches / fast, stitches / slow)


def grams(metres: Range, weight: Weight) -> Range:
    """The weight of so much yarn of this kind."""
    longest, shortest = max(weight.metres_per_100_g), min(weight.metres_per_100_g)
    return Range(metres.low / longest * 100, metres.high / shortest * 100)


def is_stuffed(fabric: Fabric, part: WorkedPart) -> bool:
    """Whether a part is filled: its own notes say so, or not, or something near it does."""
    notes = [note for round in part.source.rounds for note in round.notes] + list(part.source.notes)
    text = " ".join(note.text.lower() for note in notes if note.kind == "stuff")
    if not text:
        name = part.name.lower().split()[0]
        return any(note.kind == "stuff" and name in note.text.lower() for note in fabric.assembly)
    return not ("not stuff" in text or "unstuffed" in text or "don't stuff" in text)
