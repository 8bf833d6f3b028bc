"""A chart as one SVG page: figures below one another, a caption to each, and the key to the symbols."""

from __future__ import annotations

from dataclasses import dataclass, replace
from html import escape
from textwrap import wrap

from coach.fabric.model import Fabric, WorkedPart
from coach.sheets.chart.key import AHEAD, HERE, IN_TURN, INTO_ONE, MARGIN, STARTS, STOOD_ON, drawn_key
from coach.sheets.chart.layout import draw
from coach.sheets.chart.marks import CHAIN, Drawing, Mark
from coach.sheets.chart.place import Place, check_place, place_in_words
from coach.sheets.chart.plan import figures
from coach.sheets.chart.symbols import DOT, SIZE, Strokes, at, markup, symbol_of
from coach.sheets.chart.symbols import draw as draw_symbol
from coach.sheets.chart.words import caption, not_drawn, told
from coach.sheets.errors import SheetError
from coach.sheets.titles import titled
from coach.stitches.catalogue import stitch as entry_of

MOST = 5_000  # stitches of a part: beyond that no page shows a chart that can be read
WIDEST = 90  # characters of a line of notes
CHECK = "See what is wrong with: coach check PATTERN"
STYLE = """
svg { background: #fff; }
.line { fill: none; stroke: #000; stroke-width: 1.3; stroke-linecap: round; stroke-linejoin: round; }
.fill { fill: #000; stroke: none; }
.odd .line { stroke: #0b3d91; } .odd .fill { fill: #0b3d91; }
.ahead .line { stroke: #6b6b6b; } .ahead .fill { fill: #6b6b6b; }
.ground .line { stroke: #6b6b6b; stroke-width: 1; } .ground .fill { fill: #6b6b6b; }
.here { fill: #ffe45c; stroke: #000; stroke-width: 2.5; }
text { font-family: Verdana, "Bitstream Vera Sans", "DejaVu Sans", sans-serif; font-size: 11px; fill: #000; }
.number { font-size: 9px; font-weight: bold; text-anchor: middle;
  stroke: #fff; stroke-width: 3px; paint-order: stroke; }
.title { font-size: 20px; font-weight: bold; }
.part { font-size: 16px; font-weight: bold; } .caption { font-size: 12px; }
"""


@dataclass(slots=True)
class Box:
    left: float = 0.0
    top: float = 0.0
    right: float = 0.0
    bottom: float = 0.0

    def hold(self, point: complex, around: float = 0.0) -> None:
        self.left, self.right = min(self.left, point.real - around), max(self.right, point.real + around)
        self.top, self.bottom = min(self.top, point.imag - around), max(self.bottom, point.imag + around)


def chart(
    fabric: Fabric, *, part: str | None = None, place: Place | None = None, left: bool = False, terms: str | None = None
) -> str:
    """The chart as SVG. part: draw this one only; place: shown by a disc behind the last stitch made, with all that
    is still to come in grey; left: mirrored for the left hand; terms: US or UK, of the words (None: the pattern's).
    Raises SheetError for an unknown part or place, or too many stitches."""
    chosen, terms = _chosen(fabric, part), terms or fabric.pattern.terms
    if not chosen:
        raise SheetError("There are no rounds to draw.", "A chart needs at least one round that can be read.")
    for index in chosen:
        _readable(fabric.parts[index])
    if not any(figures(fabric.parts[index], fabric.size) for index in chosen):
        raise SheetError(" ".join(one for index in chosen for one in not_drawn(fabric.parts[index])), CHECK)
    if place is not None:
        check_place(fabric, place)
    body: list[str] = []
    width, y = 0.0, MARGIN + 20
    title = titled(fabric)
    body.append(f'<text class="title" x="{MARGIN}" y="{y:.0f}">{escape(title)}</text>')
    drawings: list[Drawing] = []
    used: dict[str, None] = {}
    loops: dict[str, None] = {}
    for index in chosen:
        one = fabric.parts[index]
        y += 34
        made = f", make {one.make}" if one.make > 1 else ""
        body.append(
            f'<g class="piece" data-part="{index + 1}">\n<text class="part" x="{MARGIN}" '
            f'y="{y:.0f}">{escape(one.name + made)}</text>'
        )
        width = max(width, 10.0 * len(one.name + made))
        for note in (line for sentence in not_drawn(one) for line in wrap(sentence, WIDEST)):
            y += 20
            body.append(f'<text class="caption" x="{MARGIN}" y="{y:.0f}">{escape(note)}</text>')
            width = max(width, 7.2 * len(note))
        for figure in figures(one, fabric.size):
            y += 22
            under = caption(figure, one, left)
            body.append(f'<text class="caption" x="{MARGIN}" y="{y:.0f}">{escape(under)}</text>')
            drawing = draw(figure, fabric.size, left)
            drawings.append(drawing)
            here = place if place is not None and place.part == index else None
            if place is not None and place.part < index:
                here = replace(place, part=index, round=0, stitch=0)  # nothing of it is made
            strokes, box = _drawing(drawing, here)
            dx, dy = MARGIN - box.left, y + 12 - box.top
            body.append(f'<g transform="translate({dx:.1f} {dy:.1f})">\n' + "\n".join(strokes) + "\n</g>")
            width = max(width, box.right - box.left, 7.2 * len(under))
            y += 12 + box.bottom - box.top
            used |= dict.fromkeys(m.id for m in drawing.marks)
            loops |= dict.fromkeys(m.loop for m in drawing.marks if m.loop in ("back", "front"))
            used |= {"ring": None} if drawing.ring is not None else {}
            used |= {"chring": None} if drawing.number is not None else {}
        body.append("</g>")
    remarks = (*_remarks(drawings), *_shown(chosen, place))
    width = max(width, 13.0 * len(title), 6.7 * max(map(len, remarks)), 420.0) + 2 * MARGIN
    key, y = drawn_key(used, loops, terms, y + 36, width, remarks)
    body += key
    height = y + MARGIN
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{width:.0f}" height="{height:.0f}" viewBox="0 0 '
        f'{width:.0f} {height:.0f}" '
        f'role="img" aria-labelledby="chart-title chart-desc" lang="en">\n<title '
        f'id="chart-title">{escape(title)}: stitch chart</title>\n'
        f'<desc id="chart-desc">{escape(" ".join(told(fabric, chosen, place, terms)))}</desc>\n<style>{STYLE}</style>\n'
        + "\n".join(body)
        + "\n</svg>\n"
    )


def _remarks(drawings: list[Drawing]) -> tuple[str, ...]:
    """What the key says of the signs that are no stitches."""
    kinds = {course.worked.source.kind for one in drawings for course in one.figure.courses}
    many = max(len(one.figure.courses) for one in drawings) > 1
    kind = "row" if kinds == {"row"} else "round or row" if "row" in kinds else "round"
    said = {
        STARTS.format(kind=kind): True,
        INTO_ONE: any(mark.fan > 1 for one in drawings for mark in one.marks),
        STOOD_ON.format(kind=kind): any(one.dots for one in drawings),
        IN_TURN.format(kind=kind.replace(" or ", "s or ").capitalize()): many,
    }
    return tuple(remark for remark, so in said.items() if so)


def _shown(chosen: list[int], place: Place | None) -> tuple[str, ...]:
    """What the key says of the place."""
    if place is None or max(chosen) < place.part:
        return ()
    return (HERE,) if place.part in chosen else (AHEAD,)


def _chosen(fabric: Fabric, part: str | None) -> list[int]:
    drawn = [i for i, p in enumerate(fabric.parts) if p.rounds]
    if part is None:
        return drawn
    found = [i for i in drawn if fabric.parts[i].name.casefold() == part.casefold()]
    if not found:
        names = ", ".join(fabric.parts[i].name for i in drawn)
        raise SheetError(f"There is no part called {part}.", f"The parts are: {names}.")
    return found


def _readable(part: WorkedPart) -> None:
    count = sum(max(w.steps, w.tree.tops) for w in part.rounds)
    if count > MOST:
        raise SheetError(
            f"{part.name} has {count:,} stitches, more than the {MOST:,} that a chart can show legibly.",
            "Draw another part with --part NAME; for this one, large print tells every round: --to FILE.html",
        )


def _drawing(drawing: Drawing, place: Place | None) -> tuple[list[str], Box]:
    out: list[str] = []
    box = Box(bottom=4.0)
    ground = Strokes()
    for point, along in drawing.ovals:
        ground.oval(point, along, SIZE * 0.95, SIZE * 0.5)
        box.hold(point, 8)
    for point in drawing.dots:
        ground.oval(point, 1 + 0j, 1.2, 1.2, filled=True)
        box.hold(point, 4)
    if drawing.ring is not None:
        ground.oval(drawing.ring[0], 1 + 0j, drawing.ring[1] - 1, drawing.ring[1] - 1)
    if ground.lines or ground.fills:
        out.append(f'<g class="ground">{markup(ground)}</g>')
    if drawing.number is not None:
        out.append(f'<text class="number" x="0" y="3">{drawing.number}</text>')
    here = _here(drawing, place)
    if here is not None:
        middle = (here.head + sum(here.feet) / len(here.feet)) / 2
        out.append(
            f'<circle class="here" cx="{middle.real:.1f}" cy="{middle.imag:.1f}" '
            f'r="{max(SIZE * 1.9, abs(here.head - middle) + 2):.1f}"/>'
        )
        box.hold(middle, 24)
    by_round: dict[int, list[Mark]] = {}
    for mark in drawing.marks:
        by_round.setdefault(mark.round, []).append(mark)
        for point in (mark.head, *mark.curve, *mark.feet):
            box.hold(point, 9)
    for label in drawing.labels:
        box.hold(label.point, 12)
    for index, marks in by_round.items():
        parity = " odd" if index % 2 else ""
        out.append(f'<g class="round{parity}" data-round="{index + 1}">')
        for mark in marks:
            ahead = (
                ' class="ahead"' if place is not None and (index + 1, mark.made) > (place.round, place.stitch) else ""
            )
            out.append(f'<g data-step="{mark.step}" data-made="{mark.made}"{ahead}>{markup(strokes_of(mark))}</g>')
        out.append("</g>")
    for label in drawing.labels:
        along = label.along / (abs(label.along) or 1)
        tip, back, side = label.tip, label.tip - along * 5, along * 1j * 3
        out.append(
            f'<path class="fill" d="M{at(tip)}L{at(back + side)}L{at(back - side)}Z"/>'
            f'<text class="number" x="{label.point.real:.1f}" y="{label.point.imag + 3:.1f}">{label.text}</text>'
        )
    return out, box


def _here(drawing: Drawing, place: Place | None) -> Mark | None:
    """The last stitch made; before the first of a round, the last of the round below."""
    if place is None:
        return None
    done = [
        m
        for m in drawing.marks
        if m.kind in ("stitch", "column") and (m.round + 1, m.made) <= (place.round, place.stitch)
    ]
    last = done[-1] if done else None
    if (
        last is None
        or last.round + 1 < place.round
        and (place.stitch or not any(m.round + 1 == place.round for m in drawing.marks))
    ):
        return None
    return last


def strokes_of(mark: Mark) -> Strokes:
    """One placed symbol."""
    if mark.kind in ("arc", "column", "turning") or mark.kind == "picot" and mark.id == "ch":
        return _chains(mark)
    symbol = DOT if mark.kind in ("join", "travel") else symbol_of(entry_of(mark.id))
    return draw_symbol(symbol, mark.feet, mark.head, loop=mark.loop, stemmed=mark.fan > 1)


def _chains(mark: Mark) -> Strokes:
    out = Strokes()
    if mark.kind == "picot":
        return draw_symbol(symbol_of(entry_of("picot")), mark.feet, mark.head)
    points = mark.curve
    for i, point in enumerate(points):
        a, b = points[max(i - 1, 0)], points[min(i + 1, len(points) - 1)]
        upright = mark.away if mark.kind != "arc" else mark.away * 1j
        along = (b - a) / abs(b - a) if abs(b - a) > 1e-6 else upright
        room = abs(b - a) / (2 if 0 < i < len(points) - 1 else 1) if len(points) > 1 else CHAIN
        out.oval(point, along, min(SIZE * 0.9, max(room * 0.5, 2.0)), min(SIZE * 0.45, max(room * 0.35, 1.5)))
    return out


__all__ = ["MOST", "Place", "chart", "check_place", "place_in_words", "strokes_of"]
