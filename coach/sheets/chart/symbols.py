"""Chart symbols: one stitch as strokes from the foot it stands on to the head it makes.

The shapes are those of the published standard set, in the catalogue's words (`Stitch.symbol`): a cross for the short
stitch, a T for each taller one, and as many slashes on the stem as yarn overs before the hook goes in. Points are
complex numbers, x to the right and y down, in units of the drawing.
"""

from __future__ import annotations

import cmath
from dataclasses import dataclass, field, replace

from coach.stitches.catalogue import Stitch
from coach.stitches.catalogue import stitch as entry_of

SIZE = 5.0  # half the width of a cross or a bar, in units of the drawing
GAP = 2.0  # between a symbol and what it stands on


@dataclass(frozen=True, slots=True)
class Symbol:
    """How a stitch is drawn.

    body: stem, cross, dot, oval, star or loop; bar: across the head; slashes: across the stem; stems: from one foot;
    gathered: the stems meet at the head; bulge: how far the outer stems bow out, in units of SIZE; foot: hook, hook
    back, tail, oval, long or none; top: wave, oval, loop or none; link: a bar to the stitch before.
    """

    body: str = "stem"
    bar: bool = False
    slashes: int = 0
    stems: int = 1
    gathered: bool = False
    bulge: float = 0.0
    foot: str = ""
    top: str = ""
    link: bool = False


CROSS = Symbol("cross")
DOT = Symbol("dot")
OVAL = Symbol("oval")


def tee(slashes: int, **more: object) -> Symbol:
    return Symbol("stem", True, slashes, **more)  # type: ignore[arg-type]


COUNTED = ("", "one", "two", "three", "four", "five")
SYMBOLS: dict[str, Symbol] = {
    "oval": OVAL,
    "dot": DOT,
    "dot on the fabric": DOT,
    "cross": CROSS,
    "T": tee(0),
    "T with one slash": tee(1),
    **{f"T with {COUNTED[n]} slashes": tee(n) for n in range(2, 6)},
    "two strokes meeting at the top, crossed": CROSS,
    "three strokes meeting at the top": CROSS,
    "two Ts meeting at the top": tee(0),
    "three Ts meeting at the top": tee(0),
    "two slashed Ts meeting at the top": tee(1),
    "three slashed Ts meeting at the top": tee(1),
    "two double-slashed Ts meeting at the top": tee(2),
    "three double-slashed Ts meeting at the top": tee(2),
    "three slashed Ts from one point meeting at the top": tee(1, stems=3, gathered=True, bulge=1.2),
    "closed oval of slashed stems": tee(1, stems=5, gathered=True, bulge=1.9),
    "closed oval of curved stems": Symbol("stem", stems=3, gathered=True, bulge=1.3, top="cap"),
    "fan of slashed Ts under an oval": tee(1, stems=5, top="oval"),
    "star": Symbol("star"),
    "loop of three ovals closed by a dot": Symbol("loop"),
    "cross with a hooked foot": replace(CROSS, foot="hook"),
    "cross with a foot hooked the other way": replace(CROSS, foot="hook back"),
    "T with a hooked foot": tee(0, foot="hook"),
    "T with a foot hooked the other way": tee(0, foot="hook back"),
    "slashed T with a hooked foot": tee(1, foot="hook"),
    "slashed T with a foot hooked the other way": tee(1, foot="hook back"),
    "double-slashed T with a hooked foot": tee(2, foot="hook"),
    "double-slashed T with a foot hooked the other way": tee(2, foot="hook back"),
    "triple-slashed T with a hooked foot": tee(3, foot="hook"),
    "triple-slashed T with a foot hooked the other way": tee(3, foot="hook back"),
    "cross under a wave": replace(CROSS, top="wave"),
    "cross with a tail": replace(CROSS, foot="tail"),
    "T with a tail": tee(0, foot="tail"),
    "slashed T with a tail": tee(1, foot="tail"),
    "double-slashed T with a tail": tee(2, foot="tail"),
    "two slashed Ts joined by a bar": tee(1, link=True),
    "cross with a long stem": replace(CROSS, foot="long"),
    "cross with a loop": replace(CROSS, top="loop"),
    "cross on an oval": replace(CROSS, foot="oval"),
    "T on an oval": tee(0, foot="oval"),
    "slashed T on an oval": tee(1, foot="oval"),
}
MANY = {  # several whole symbols from one foot: the chart draws each on its own
    "two crosses from one point",
    "three crosses from one point",
    "two Ts from one point",
    "two slashed Ts from one point",
    "fan of five slashed Ts",
    "two slashed Ts from one point, an oval between",
}


def symbol_of(entry: Stitch | None) -> Symbol:
    """The symbol of a catalogue entry; a stitch without one is drawn as a plain stem."""
    if entry is None:
        return Symbol()
    if entry.symbol in MANY and entry.of:
        entry = entry_of(entry.of) or entry
    return SYMBOLS.get(entry.symbol, Symbol())


@dataclass(slots=True)
class Strokes:
    """Lines and filled shapes as SVG path data."""

    lines: list[str] = field(default_factory=list)
    fills: list[str] = field(default_factory=list)

    def line(self, *points: complex) -> None:
        self.lines.append("M" + "L".join(map(at, points)))

    def curve(self, start: complex, control: complex, end: complex) -> None:
        self.lines.append(f"M{at(start)}Q{at(control)} {at(end)}")

    def oval(self, centre: complex, axis: complex, long: float, short: float, filled: bool = False) -> Strokes:
        """An ellipse whose long half-axis lies along `axis` (a unit)."""
        turn = f"{cmath.phase(axis) * 180 / cmath.pi:.1f}"
        a, b = centre - axis * long, centre + axis * long
        arc = f"A{long:.1f} {short:.1f} {turn} 1 1 "
        (self.fills if filled else self.lines).append(f"M{at(a)}{arc}{at(b)}{arc}{at(a)}Z")
        return self


def markup(strokes: Strokes) -> str:
    """The strokes as SVG elements of the classes line and fill."""
    return "".join(
        (
            f'<path class="line" d="{"".join(strokes.lines)}"/>' if strokes.lines else "",
            f'<path class="fill" d="{"".join(strokes.fills)}"/>' if strokes.fills else "",
        )
    )


def at(point: complex) -> str:
    return f"{point.real:.1f} {point.imag:.1f}"


def unit(vector: complex, otherwise: complex = -1j) -> complex:
    return vector / abs(vector) if abs(vector) > 1e-9 else otherwise


def draw(
    symbol: Symbol,
    feet: tuple[complex, ...],
    head: complex,
    *,
    loop: str = "both",
    stemmed: bool = False,
    size: float = SIZE,
) -> Strokes:
    """The strokes of one stitch. feet: one point for each stitch it takes up; loop: back or front for the arc under the
    foot; stemmed: shares its foot with others, so that even a cross shows what it stands on."""
    out = Strokes()
    foot = sum(feet) / len(feet)
    axis = unit(head - foot)
    across = axis * 1j
    if symbol.body == "dot":
        out.oval(head - axis * min(size * 0.6, abs(head - foot) / 2), across, size * 0.62, size * 0.45, filled=True)
    elif symbol.body == "oval":
        out.oval((head + foot) / 2, across, size * 0.95, size * 0.5)
    elif symbol.body == "star":
        middle = (head + foot) / 2
        for k in range(3):
            arm = axis * cmath.rect(size * 1.1, cmath.pi * k / 3)
            out.line(middle - arm, middle + arm)
    elif symbol.body == "loop":
        _picot(out, head, axis, size)
    elif symbol.stems > 1:
        _stems(out, symbol, foot + axis * GAP, head - axis * GAP, axis, size)
    else:
        for one in feet:
            _stem(out, symbol, one, head, len(feet) > 1, stemmed or len(feet) > 1, size)
        if len(feet) > 1 or symbol.bar:
            width = size * (0.8 if symbol.bar else 0.35)
            out.line(head - axis * GAP - across * width, head - axis * GAP + across * width)
    if loop in ("back", "front"):
        _arc(out, feet, head, 1 if loop == "back" else -1, size)
    _top(out, symbol, head, axis, size)
    return out


def _stem(
    out: Strokes, symbol: Symbol, foot: complex, head: complex, gathered: bool, stemmed: bool, size: float
) -> None:
    axis = unit(head - foot)
    across = axis * 1j
    low, high = foot + axis * GAP, head - axis * GAP
    if symbol.foot == "oval":
        out.oval(low + axis * size * 0.5, across, size * 0.9, size * 0.5)
        low += axis * size
    elif symbol.foot == "tail":
        out.curve(low - across * size * 0.6, low + axis * size * 0.6, low + across * size * 0.6)
    elif symbol.foot == "long":
        low = foot - axis * size * 2
    elif symbol.foot.startswith("hook"):
        side = across * (size * 0.8) * (-1 if symbol.foot == "hook back" else 1)
        out.curve(low + axis * size * 0.4, low - axis * size * 0.5 + side * 0.4, low + side + axis * size * 0.2)
        low += axis * size * 0.4
    middle = (low + high) / 2
    if symbol.body == "cross":
        if gathered:
            bar = across * size * 0.7
            out.line(low, high)
            out.line(middle - bar, middle + bar)
            return
        if stemmed:
            middle = high - axis * size * 0.4
        if stemmed or symbol.foot in ("long", "hook", "hook back") or abs(head - foot) > size * 4.5:
            out.line(low, high if abs(head - foot) > size * 4.5 else middle)
        arm = size * 0.8
        for turn in (cmath.pi / 4, -cmath.pi / 4):
            stroke = axis * cmath.rect(arm, turn)
            out.line(middle - stroke, middle + stroke)
        return
    out.line(low, high)
    _slashes(out, symbol.slashes, low, high, size)
    if symbol.link:
        out.line(middle, middle - across * size * 2.2)


def _slashes(out: Strokes, count: int, low: complex, high: complex, size: float) -> None:
    axis = unit(high - low)
    step = min(size * 0.75, abs(high - low) * 0.7 / max(count, 1))
    for k in range(count):
        middle = low + (high - low) * 0.55 + axis * step * (k - (count - 1) / 2)
        stroke = axis * cmath.rect(size * 0.65, cmath.pi * 0.32)
        out.line(middle - stroke, middle + stroke)


def _stems(out: Strokes, symbol: Symbol, low: complex, high: complex, axis: complex, size: float) -> None:
    across = axis * 1j
    for k in range(symbol.stems):
        side = across * size * 2 * (k / (symbol.stems - 1) - 0.5)
        if symbol.gathered:
            out.curve(low, (low + high) / 2 + side * symbol.bulge * 1.3, high)
            middle = (low + high) / 2 + side * symbol.bulge * 0.65
        else:
            out.line(low, high + side * 1.3)
            middle = (low + high + side * 1.3) / 2
        if symbol.slashes and (symbol.stems <= 3 or k % 2 == 0):
            _slashes(out, symbol.slashes, middle - axis * size * 0.8, middle + axis * size * 0.6, size * 0.8)
    if symbol.bar and symbol.gathered:
        out.line(high - across * size * 0.8, high + across * size * 0.8)


def _arc(out: Strokes, feet: tuple[complex, ...], head: complex, way: int, size: float) -> None:
    for foot in feet:
        axis = unit(head - foot)
        across = axis * 1j
        low = foot + axis * GAP * (0.2 if way > 0 else 1.2)
        out.curve(
            low - across * size * 0.8 + axis * size * 0.35 * way,
            low - axis * size * 0.45 * way,
            low + across * size * 0.8 + axis * size * 0.35 * way,
        )


def _top(out: Strokes, symbol: Symbol, head: complex, axis: complex, size: float) -> None:
    across = axis * 1j
    if symbol.top == "oval":
        out.oval(head + axis * size * 0.2, across, size * 1.6, size * 0.5)
    elif symbol.top == "cap":
        out.line(head - axis * GAP - across * size * 0.5, head - axis * GAP + across * size * 0.5)
    elif symbol.top == "loop":
        out.oval(head + axis * size * 0.1, axis, size * 0.6, size * 0.4)
    elif symbol.top == "wave":
        for side in (-1, 1):
            out.curve(
                head + across * size * 0.9 * min(side, 0),
                head + across * size * 0.45 * side + axis * size * 0.7 * side,
                head + across * size * 0.9 * max(side, 0),
            )


def _picot(out: Strokes, head: complex, axis: complex, size: float) -> None:
    for turn in (-1, 0, 1):
        out.oval(
            head + axis * size * 1.5 + axis * cmath.rect(size * 0.95, turn * cmath.pi / 2.2),
            axis * cmath.rect(1, turn * cmath.pi / 2.2) * (1j if turn == 0 else 1),
            size * 0.7,
            size * 0.4,
        )
    out.oval(head + axis * size * 0.3, axis * 1j, size * 0.4, size * 0.35, filled=True)
