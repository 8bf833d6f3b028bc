"""How a part is divided into figures: a disc while it grows, a strip where it is a tube, a disc again where it closes.

A round drawn on a ring far wider than its stitches can't be read; so a tube is laid open, and a closing end is drawn
from its edge inwards, as the trade's printed charts do. A round that can't be counted, or of which nobody knows what it
stands on, is not drawn; what comes after it, and what doesn't fit on the round below, is drawn apart.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterator
from dataclasses import dataclass

from coach.fabric.base import Base
from coach.fabric.foundation import Foundation, lay
from coach.fabric.model import Worked, WorkedPart
from coach.fabric.tree import Leaf, leaves
from coach.fabric.work import main_stitch
from coach.notation.model import Action, Chain, for_size
from coach.notation.walk import walk
from coach.stitches.catalogue import stitch as entry_of

WIDTH = 15.0  # of a stitch, in units of the drawing
RISE = 14.0  # of one chain of height
TIGHT = 1.0  # WIDTHs that a stitch of a ring gets at least
CLOSED = 1.9  # WIDTHs between the ends of a closing round, for its number: its last stitch leans towards the first
SPARSE = 2.8  # WIDTHs between the stitches of a ring: beyond that it is laid open


@dataclass(frozen=True, slots=True)
class Course:
    """A round or row to draw. base: what it stands on; back: whether it runs the other way (the work was turned);
    chains: of its own foundation; apart: the round below is not drawn, or doesn't fit; ring: it stands on a ring, of
    `chains` chains or drawn tight."""

    index: int
    worked: Worked
    base: Base
    back: bool
    foundation: Foundation | None = None
    chains: int = 0
    apart: bool = False

    @property
    def ring(self) -> bool:
        return self.base.is_ring or self.foundation is not None and in_ring(self.worked)

    @property
    def height(self) -> float:
        return height(self.worked)

    @property
    def wrong_side(self) -> bool:
        return self.worked.source.side == "WS" if self.worked.source.side else self.back


@dataclass(frozen=True, slots=True)
class Figure:
    """Courses drawn together. shape: disc, inward or flat."""

    shape: str
    courses: tuple[Course, ...]


def courses(part: WorkedPart, size: int) -> Iterator[Course]:
    """The rounds of a part that can be drawn."""
    back = False
    below: Worked | None = None
    for index, worked in enumerate(part.rounds):
        own = worked.edged is None and (
            below is None or any(isinstance(n, Action) and n.kind == "ring" for n in worked.source.foundation)
        )
        if worked.edged is not None:  # along the edges of a piece: drawn apart, each stitch on its place
            course = Course(index, worked, Base.chain(worked.edged.base.tops), back, apart=True)
        elif own:
            back = worked.source.side == "WS" and worked.source.kind == "row"
            foundation = _foundation(worked, size)
            chains = sum(for_size(n.count, size) for n in worked.source.foundation if isinstance(n, Chain))
            course = Course(index, worked, foundation.base, back, foundation, chains)
        else:
            turned = _turns(below)
            back ^= turned
            apart = not is_drawn(part, index - 1) or _misfits(worked, below)
            base = Base.chain(max(worked.base or 0, worked.tree.moves)) if apart else Base(below.tree, turned)
            course = Course(index, worked, base, back, apart=apart)
        if is_drawn(part, index):
            yield course
        below = worked


def is_drawn(part: WorkedPart, index: int) -> bool:
    """Whether a round can be drawn: all of it is read, and what it stands on is known."""
    worked = part.rounds[index]
    return worked.counted and (worked.base is not None or index == 0)


def undrawn(part: WorkedPart) -> tuple[Worked, ...]:
    """The rounds of a part that no chart shows."""
    return tuple(worked for index, worked in enumerate(part.rounds) if not is_drawn(part, index))


def _misfits(worked: Worked, below: Worked) -> bool:
    """Whether it takes up more than the round below has."""
    return not worked.sound and worked.tree.moves > below.tree.tops


def _foundation(worked: Worked, size: int) -> Foundation:
    """The foundation in the reading that has the places the fabric found."""
    main = main_stitch(worked.source)
    ways = [lay(worked.source, main, size, way, counts) for way in (0, 1) for counts in (None, True, False)]
    return next((w for w in ways if w.base.stitches == worked.base), ways[0])


def _turns(worked: Worked) -> bool:
    return worked.source.kind == "row" or any(
        isinstance(n, Action) and n.kind == "turn" for n in walk(worked.source.body)
    )


def in_ring(worked: Worked) -> bool:
    return any(getattr(getattr(leaf.node, "into", None), "kind", "") == "ring" for leaf in leaves(worked.tree))


def height(worked: Worked) -> float:
    """In chains: of the tallest stitch."""
    entries = [entry_of(kind) for kind in worked.tree.tally if not kind.startswith("space")]
    return max((e.height for e in entries if e and e.height), default=1.0) if entries else 1.0


def figures(part: WorkedPart, size: int = 0) -> list[Figure]:
    """The part divided; every round is in exactly one figure."""
    found: list[Figure] = []
    run: list[Course] = []
    for course in courses(part, size):
        if run and (course.worked.source.kind != run[-1].worked.source.kind or course.foundation or course.apart):
            found += _divided(run)
            run = []
        run.append(course)
    return found + (_divided(run) if run else [])


def _divided(run: list[Course]) -> list[Figure]:
    if run[0].worked.source.kind == "row":
        return [Figure("flat", tuple(run))]
    grown = _growing(run)
    closing = max(_closing(run), 0 if run[0].foundation is None else 1)
    rooted = run[0].foundation is not None  # else there is no middle that it could grow from
    if rooted and (grown >= len(run) or len(run) - grown <= 1 and closing >= len(run)):
        return [Figure("disc", tuple(run))]
    grown = min(grown, closing)
    parts = (("disc", run[:grown]), ("flat", run[grown:closing]), ("inward", run[closing:]))
    return [Figure(shape, tuple(some)) for shape, some in parts if some]


def _growing(run: list[Course]) -> int:
    """How many courses from the first on fill their rings."""
    first = run[0]
    if first.foundation is None or _is_tube(run):
        return 0
    if not first.ring and first.foundation.limit is not None:
        straight = 2 * first.foundation.limit * WIDTH
    else:
        straight = 0.0
    radius = WIDTH * 0.6
    for k, course in enumerate(run):
        n = max(course.worked.tree.tops, 1)
        radius = max(radius + course.height * RISE, (n * WIDTH * TIGHT - straight) / math.tau)
        if k >= 2 and (math.tau * radius + straight) / n > SPARSE * WIDTH:
            return k
    return len(run)


def _is_tube(run: list[Course]) -> bool:
    """Begun on a joined chain and not growing: laid open from the first round."""
    first = run[0]
    joined = first.foundation is not None and not first.ring and first.foundation.limit is None and first.base.tops > 8
    return joined and max(c.worked.tree.tops for c in run[:4]) <= 1.2 * first.base.tops


def _closing(run: list[Course]) -> int:
    """The first course from which the rest closes and fills its rings; the number of courses where none does."""
    start, radius = len(run), 0.0
    for k in range(len(run) - 1, -1, -1):
        course = run[k]
        n, below = course.worked.tree.tops, course.base.tops
        radius = max(radius, n * WIDTH * TIGHT / math.tau, WIDTH) + course.height * RISE
        if below < n or not n or math.tau * radius / below > SPARSE * WIDTH:
            break
        if below > n:
            start = k
    if start < len(run) and run[-1].worked.tree.tops * 2 > run[start].base.tops:
        return len(run)
    return start


def outer_radius(run: tuple[Course, ...]) -> float:
    """Of the line that a closing figure starts from."""
    level, radius = 0.0, (run[0].base.tops + CLOSED) * WIDTH * TIGHT / math.tau
    for course in run:
        level += course.height * RISE
        radius = max(radius, level + max(course.worked.tree.tops * WIDTH * TIGHT / math.tau, WIDTH))
    return radius


@dataclass(frozen=True, slots=True)
class Corners:
    """count: how many corners the work has; first: the tops that the first corners of a solid work stand on, and the
    course that makes them (an index within the part); without them, the corners are the widest spaces of the first
    course."""

    count: int
    course: int = -1
    first: tuple[int, ...] = ()


def corners(run: tuple[Course, ...]) -> Corners | None:
    """The corners of work with corner spaces, or with three or more stitches in one at each corner; None for what is
    round."""
    many = [n for n in (_corner_groups(c.worked) for c in run) if 3 <= n <= 8]
    if many and len(set(many)) == 1 and (len(many) >= 2 or _widest_spaces(run[0].worked) == many[0]):
        return Corners(many[0])
    return _solid_corners(run)


def _solid_corners(run: tuple[Course, ...]) -> Corners | None:
    fans = [_fans(course) for course in run]
    begun = next((k for k, some in enumerate(fans) if some), 0)
    count = len(fans[begun])
    if not begun or not 3 <= count <= 8 or len(run) - begun < 2:
        return None
    for before, some in itertools.pairwise(fans[begun:]):
        if len(some) != count or any(
            foot not in _middles(tops) for (_, tops), (foot, _) in zip(before, some, strict=True)
        ):
            return None
    return Corners(count, run[begun - 1].index, tuple(foot for foot, _ in fans[begun]))


def _middles(tops: range) -> range:
    return tops[(len(tops) - 1) // 2 : len(tops) // 2 + 1]


def _fans(course: Course) -> list[tuple[int, range]]:
    """Three or more stitches worked into one: (the top they stand on, the tops they make)."""
    found: list[tuple[int, range]] = []
    below, above = 0, 0
    for leaf in leaves(course.worked.tree):
        if leaf.at is not None and leaf.tops >= 3 and not leaf.spaces:
            found.append((below + leaf.at, range(above, above + leaf.tops)))
        below, above = below + leaf.moves, above + leaf.tops
    return found


def _widest_spaces(worked: Worked) -> int:
    """How many of the widest chain spaces a round has."""
    wide = [top.chains for leaf in leaves(worked.tree) for top in leaf.made_tops if top.is_space]
    return wide.count(max(wide)) if wide else 0


def _corner_groups(worked: Worked) -> int:
    def is_corner(leaf: Leaf) -> bool:
        tops = leaf.made_tops
        return len(tops) >= 3 and not tops[0].is_space and not tops[-1].is_space and any(t.is_space for t in tops)

    return sum(is_corner(leaf) for leaf in leaves(worked.tree))
