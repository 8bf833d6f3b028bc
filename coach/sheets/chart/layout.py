"""Places every symbol of a figure: each foot on the head of the stitch it is worked into."""

from __future__ import annotations

import math

from coach.sheets.chart.frames import Frame, Line, Polygon
from coach.sheets.chart.ground import direction, frame_of, ground
from coach.sheets.chart.marks import CHAIN, LOWEST, Drawing, Label, Mark, Top
from coach.sheets.chart.pieces import Piece, pieces
from coach.sheets.chart.plan import CLOSED, RISE, TIGHT, WIDTH, Course, Figure, corners
from coach.sheets.chart.springs import settle
from coach.stitches.catalogue import stitch as entry_of


def draw(figure: Figure, size: int = 0, left: bool = False) -> Drawing:
    """left: for the left hand, mirrored."""
    drawing = Drawing(figure)
    frame = frame_of(figure)
    hand = -1 if left else 1
    tops, level = ground(drawing, frame, hand)
    solid = corners(figure.courses) if isinstance(frame, Polygon) else None
    for course in figure.courses:
        first = solid.first if solid and solid.course == course.index else ()
        tops, level = _course(drawing, course, frame, tops, level, hand * direction(figure, course), size, first)
    return drawing


def _course(
    drawing: Drawing,
    course: Course,
    frame: Frame,
    below: list[Top],
    ground: float,
    sign: int,
    size: int,
    cornered: tuple[int, ...] = (),
) -> tuple[list[Top], float]:
    """cornered: those of its tops that lie at corners, where the round below can't tell."""
    found = pieces(course.worked, course.base, size, course.wrong_side)
    standing = (
        course.chains - (course.foundation.limit or course.base.tops)
        if course.foundation and not course.ring and not course.base.is_ring
        else 0
    )
    found = _with_foundation(found, max(standing, 0))
    slots = [p for p in found if p.top or p.kind == "stitch"]
    if not slots:
        return below, ground
    widths = _widths(slots)
    leading = any(p.kind == "turning" for p in found)
    apart = CLOSED if drawing.figure.shape == "inward" else 1.3
    seam = (2.3 if leading else apart) if frame.line(1.0, 1).length else 0.0
    heights = [_height(p) * RISE for p in slots]
    feet = [[below[f] for f in p.feet if f < len(below)] for p in slots]
    levels = [max((t.level for t in some), default=ground) + h for some, h in zip(feet, heights)]
    top = frame.fit(max(levels), (sum(widths) + seam) * WIDTH * TIGHT)
    raised = top - max(levels)
    levels = _with_arcs(slots, [max(v + raised, top - LOWEST) for v in levels])
    line = frame.line(top, sign)
    pitch = line.length / (sum(widths) + seam) if line.length else WIDTH
    even, s = [], seam * pitch
    for w in widths:
        even.append(s + w * pitch / 2)
        s += w * pitch
    wanted = _spread(slots, [_above(line, some) for some in feet], pitch)
    at_corner: dict[int, int] = {}  # slot → corner
    if isinstance(frame, Polygon):
        with_top = [k for k, piece in enumerate(slots) if piece.top]
        at_corner = {with_top[top]: corner for corner, top in enumerate(cornered) if top < len(with_top)}
        at_corner = at_corner or _corner_slots(slots, feet, frame.corners)
        for k, corner in at_corner.items():
            wanted[k] = line.corner(corner)  # type: ignore[attr-defined]
    places = settle(even, wanted, line.length, at_corner)
    heads = []
    for place, level in zip(places, levels):
        point, away = line.at(place)
        heads.append((point + away * (level - top), away))
    tops: list[Top] = []
    for k, piece in enumerate(slots):
        mark = _mark(course, piece, k, heads, feet[k], heights[k], ground if drawing.figure.shape == "disc" else None)
        drawing.marks.append(mark)
        if piece.top:
            n = len(mark.curve)
            point = (mark.curve[(n - 1) // 2] + mark.curve[n // 2]) / 2 if mark.kind == "arc" and n else mark.head
            tops.append(Top(point, levels[k], at_corner.get(k)))
    low = max((t.level for t in feet[0]), default=levels[0] - heights[0])
    _extras(drawing, course, found, slots, line, places, (low - top, levels[0] - top), pitch)
    return tops, top


def _with_foundation(found: list[Piece], standing: int) -> list[Piece]:
    """Chains of the foundation that stand beside the first stitch, as a column or for turning."""
    if standing <= 0:
        return found
    if found and found[0].kind == "column" and not found[0].chains:
        first = found[0]
        return [Piece("column", first.id, first.step, first.made, first.feet, chains=standing), *found[1:]]
    return (
        [Piece("turning", "ch", 0, 0, top=False, chains=standing), *found]
        if not any(p.kind == "turning" for p in found[:1])
        else found
    )


def _widths(slots: list[Piece]) -> list[float]:
    """In stitches. A chain space takes the room between the stitches it lies between."""
    widths = []
    for k, piece in enumerate(slots):
        if piece.kind != "arc":
            widths.append(1.0)
            continue
        a = slots[k - 1].feet[-1:] if k else ()
        b = slots[(k + 1) % len(slots)].feet[:1]
        apart = abs(b[0] - a[0]) - 1 if a and b and a != b else 0.6 * piece.chains
        widths.append(min(max(apart, 0.5), max(float(piece.chains), 0.6)))
    return widths


def _height(piece: Piece) -> float:
    """In chains."""
    if piece.kind == "arc":
        return 0.6
    entry = entry_of(piece.id)
    return max(entry.height if entry else 1.0, 0.5)


def _above(line: Line, feet: list[Top]) -> float | None:
    if not feet:
        return None
    point = sum(t.point for t in feet) / len(feet)
    return line.where(point)


def _spread(slots: list[Piece], wanted: list[float | None], pitch: float) -> list[float | None]:
    """Stitches that share a foot want to stand to both sides of it."""
    out = list(wanted)
    k = 0
    while k < len(slots):
        end = k + 1
        while end < len(slots) and slots[k].feet and slots[end].feet == slots[k].feet:
            end += 1
        for i in range(k, end):
            if (at := wanted[i]) is not None:
                out[i] = at + (i - (k + end - 1) / 2) * pitch
        k = end
    return out


def _with_arcs(slots: list[Piece], levels: list[float]) -> list[float]:
    """A chain space lies as high as the lower of the stitches beside it."""
    out = list(levels)
    for k, piece in enumerate(slots):
        if piece.kind == "arc":
            beside = [levels[i % len(slots)] for i in (k - 1, k + 1) if slots[i % len(slots)].kind != "arc"]
            out[k] = min(beside, default=levels[k])
    return out


def _corner_slots(slots: list[Piece], feet: list[list[Top]], count: int) -> dict[int, int]:
    """Which slot lies at which corner: the widest spaces of a first round, then what is worked into them."""
    if not any(feet):
        widest = max((p.chains for p in slots if p.kind == "arc"), default=0)
        found = [k for k, p in enumerate(slots) if p.kind == "arc" and p.chains == widest]
        return {k: j for j, k in enumerate(found)} if len(found) == count else {}
    by_corner: dict[int, list[int]] = {}
    for k, some in enumerate(feet):
        if some and some[0].corner is not None:
            by_corner.setdefault(some[0].corner, []).append(k)
    return {
        max(ks, key=lambda k: (slots[k].chains, -abs(k - ks[len(ks) // 2]))): corner for corner, ks in by_corner.items()
    }


def _mark(
    course: Course,
    piece: Piece,
    k: int,
    heads: list[tuple[complex, complex]],
    feet: list[Top],
    rise: float,
    ring: float | None,
) -> Mark:
    """ring: radius of the ring that a disc's stitches without a foot stand on."""
    head, away = heads[k]
    closed = ring is not None
    points = tuple(t.point for t in feet) or (head / abs(head) * ring if ring and abs(head) else head - away * rise,)
    curve: tuple[complex, ...] = ()
    if piece.kind == "arc":
        around = [
            heads[i % len(heads)] if closed or 0 <= i < len(heads) else (head + (k - i) * away * 1j * WIDTH, away)
            for i in (k - 1, k + 1)
        ]
        curve = _curve(around[0][0], around[1][0], away, piece.chains)
    elif piece.kind == "column":
        n = max(piece.chains, 1)
        curve = tuple(points[0] + (head - points[0]) * (i + 0.5) / n for i in range(n))
    return Mark(
        piece.kind,
        piece.id,
        course.index,
        piece.step,
        piece.made,
        points,
        head,
        away,
        piece.loop,
        piece.fan,
        piece.chains,
        curve,
    )


def _curve(start: complex, end: complex, away: complex, chains: int) -> tuple[complex, ...]:
    """The middles of a space's chains, on a bow that is as long as they are."""
    apart = abs(end - start)
    spare = max(chains * CHAIN * 1.15 + 8 - apart, 0.0)
    bow = min(math.sqrt(spare * max(apart, 6.0) * 3 / 8), chains * CHAIN / 2) + 2
    control = (start + end) / 2 + away * 2 * bow
    inner = 6 / max(apart + spare, 13)
    share = [inner + (1 - 2 * inner) * (i + 0.5) / chains for i in range(chains)]
    return tuple(start * (1 - t) ** 2 + control * 2 * t * (1 - t) + end * t * t for t in share)


def _extras(
    drawing: Drawing,
    course: Course,
    found: list[Piece],
    slots: list[Piece],
    line: Line,
    places: list[float],
    first: tuple[float, float],
    pitch: float,
) -> None:
    """What stands beside the stitches: turning chain, join, picots, the number of the round. first: from where to
    where the first stitch reaches, measured from the line."""
    low, high = first
    before = places[0] - pitch * 0.5
    at = 0
    carried = _carried(drawing, course)
    if carried and not any(p.kind in ("turning", "column") for p in found[:2]):
        found = [Piece("turning", "ch", 0, 0, top=False, chains=carried), *found]
    for piece in found:
        if piece.top or piece.kind == "stitch":
            at += 1
            continue
        if piece.kind == "turning" and at == 0:
            before -= pitch * 0.35
            point, away = line.at(before)
            n = max(piece.chains, 1)
            rise = min(high - low, n * CHAIN)
            curve = tuple(point + away * (low + rise * (i + 0.5) / n) for i in range(n))
            drawing.marks.append(
                Mark(
                    "turning",
                    "ch",
                    course.index,
                    piece.step,
                    piece.made,
                    (point + away * low,),
                    point + away * high,
                    away,
                    chains=n,
                    curve=curve,
                )
            )
            before -= pitch * 0.55
            continue
        if piece.kind == "turning":
            continue  # made at the end of a row: it is drawn with the row that it turns to
        place = places[min(max(at - 1, 0), len(places) - 1)]
        if piece.kind == "join" and at >= len(slots):
            place += pitch * 0.6
        elif piece.kind == "travel":
            place = places[0]
        point, away = line.at(place)
        drawing.marks.append(
            Mark(
                piece.kind,
                piece.id,
                course.index,
                piece.step,
                piece.made,
                (point - away * 7,),
                point,
                away,
                chains=piece.chains,
            )
        )
    tip, away = line.at(before - pitch * 0.1)
    back, _ = line.at(before - pitch * 0.8)
    beside, away_there = line.at(before - pitch * 0.95)
    middle = max((low + high) / 2, high - RISE / 2)
    drawing.labels.append(
        Label(
            course.index,
            str(course.worked.source.number),
            beside + away_there * middle,
            tip + away * middle,
            tip - back,
        )
    )


def _carried(drawing: Drawing, course: Course) -> int:
    """Chains for turning that the row before ended with."""
    for before in drawing.figure.courses:
        if before.index == course.index - 1:
            last = [p for p in pieces(before.worked, before.base) if p.kind == "turning"]
            return last[-1].chains if last and last[-1].step > 0 and last[-1].step >= before.worked.steps - 2 else 0
    return 0
