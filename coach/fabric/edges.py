"""The edges of a flat piece, as an edging comes along them: the last row, the ends of the rows, the chain it was begun
with, and the ends on the other side.

How many stitches go along the ends of rows, the text says, or its count tells; else as many as are usual: one for a row
of single crochet, three for two rows of half double, two for a row of double (common practice, no source). Each is
placed: the j-th of n stitches goes into the j * rows // n-th row from where the edge begins.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from itertools import accumulate, takewhile
from typing import TYPE_CHECKING

from coach.fabric.base import Base
from coach.fabric.tree import Leaf, Loop, Run, Top, Tree
from coach.notation.model import Action, Group, Repeat, Round, Stitch
from coach.notation.walk import places, walk
from coach.stitches.catalogue import stitch as entry_of
from coach.values import value

if TYPE_CHECKING:
    from coach.fabric.model import Worked

ALONG = ("side", "edge", "row end")  # places that only a piece's edges have
FEWEST, MOST = 0.4, 2.5  # times the usual number that a stated count may ask for along an edge
_ROW = {"sc": 1.0, "hdc": 1.5, "dc": 2.0, "tr": 3.0}  # stitches that usually go along the end of one row


@value
class Edge:
    """kind: top, rows or chain; size: its stitches or rows; usual: stitches that go along it where nothing tells how
    many; tree: what it is (its tops in the order in which they were made); places: stitches that do go along it."""

    kind: str
    size: int
    usual: int
    tree: Tree
    places: int | None = None

    @property
    def worked(self) -> Tree:
        """The tops that are worked into."""
        if self.places is None or self.places == self.tree.tops:
            return self.tree
        return Loop(Leaf(None, tops=(Top("row end"),)), self.places)

    def row(self, place: int) -> int:
        """The row (or stitch) of this edge, counted from 0 where the edge begins, that a place lies on."""
        return place * self.size // max(self.worked.tops, 1)


@value
class Edged:
    """The edges in the order of working. turned: the last row is come back along."""

    edges: tuple[Edge, ...]
    turned: bool = True

    @property
    def base(self) -> Base:
        trees = tuple(edge.worked for edge in self.edges)
        return Base(Run(trees[::-1] if self.turned else trees), self.turned)

    @property
    def stops(self) -> tuple[int, ...]:
        """The top behind the last one of each edge."""
        return tuple(accumulate(edge.worked.tops for edge in self.edges))

    def begin(self, edge: int) -> int:
        return self.stops[edge - 1] if edge else 0

    def at(self, place: int) -> tuple[Edge, int]:
        """(edge, place on it) of a place in the order of working; one past the end lies on the last edge."""
        edge = next((k for k, stop in enumerate(self.stops) if place < stop), len(self.edges) - 1)
        return self.edges[edge], place - self.begin(edge)

    def row(self, place: int) -> int | None:
        """The row, counted from 1, at whose end a place lies: down the first side, up the other; None elsewhere."""
        edge, on = self.at(place)
        if edge.kind != "rows":
            return None
        first = place < self.stops[next(k for k, e in enumerate(self.edges) if e.kind == "rows")]
        return edge.size - edge.row(on) if first else edge.row(on) + 1

    def with_places(self, edge: int, n: int) -> Edged:
        edges = list(self.edges)
        edges[edge] = replace(edges[edge], places=n)
        return replace(self, edges=tuple(edges))


def edged(rows: tuple[Worked, ...], round: Round) -> Edged | None:
    """The edges of a piece of these rows as a round comes to them; None where they are not known."""
    if not rows or not all(w.counted and w.tree.tops for w in rows):
        return None
    first, last = rows[0], rows[-1]
    if first.base is None:
        return None
    usual = int(sum(_along(w) for w in rows) + 0.5)
    side = Edge("rows", len(rows), usual, Loop(Leaf(None, tops=(Top("row end"),)), len(rows)))
    stands = _stands(first.tree)
    chain = Edge(
        "chain", first.base + stands, first.base + stands, Loop(Leaf(None, tops=(Top("ch"),)), first.base + stands)
    )
    top = Edge("top", last.tree.stitches, last.tree.stitches, last.tree)
    around = (side, chain, side) if chain.size else (side, side)
    if _starts_along_rows(round):
        return Edged((*around, top), False)
    return Edged((top, *around))


def piece(rounds: Sequence[Worked]) -> tuple[Worked, ...]:
    """The rows that a part begins with, before anything goes along their ends."""
    return tuple(takewhile(lambda w: w.source.kind == "row" and not goes_along(w.source), rounds))


def goes_along(round: Round) -> bool:
    """Whether a round goes along the edges of a piece."""
    return not places(round.body).isdisjoint(ALONG)


def turns_corners(round: Round) -> bool:
    """Whether a round has corners: on a plain row, those are the corners of the piece."""
    if round.kind != "round" or places(round.body).isdisjoint(("space", "middle")):
        return False
    return any(
        isinstance(n, (Stitch, Group)) and n.into.kind in ("space", "middle") and n.into.corner
        for n in walk(round.body)
    )


def is_corner(node: object) -> bool:
    """Whether an edging comes to another edge with this node."""
    if isinstance(node, Repeat):
        return bool(node.body) and is_corner(node.body[0])
    if isinstance(node, Action):
        return node.kind == "other_side"
    return isinstance(node, (Stitch, Group)) and (node.into.corner or node.into.kind in ALONG)


def shared_out(usual: tuple[int, ...], more: int) -> tuple[int, ...] | None:
    """The numbers along each edge that bring a round to `more` stitches than with the usual ones; None where those are
    no sensible numbers. Equal edges get as equal numbers as can be."""
    total = sum(usual)
    wanted = total + more
    if not total or not FEWEST * total <= wanted <= MOST * total:
        return None
    ends = [n * wanted // total for n in accumulate(usual, initial=0)]
    return tuple(b - a for a, b in zip(ends, ends[1:], strict=False))


def _along(worked: Worked) -> float:
    """Stitches that usually go along the end of a row: by the stitch it has most of."""
    kinds = {kind: n for kind, n in worked.tree.tally.items() if not kind.startswith("space")}
    entry = entry_of(max(kinds, key=kinds.get)) if kinds else None
    return _ROW.get(entry.id, max(float(entry.turning_chain or 1) - 1, 1.0)) if entry else 1.0


def _stands(tree: Tree) -> int:
    """1 where the chains before a foundation row stand for a stitch."""
    while isinstance(tree, Run) and tree.children:
        tree = tree.children[0]
    return int(isinstance(tree, Leaf) and not tree.steps and bool(tree.makes))


def _starts_along_rows(round: Round) -> bool:
    first = next((n for n in walk(round.body) if isinstance(n, (Stitch, Group)) and not _slips(n)), None)
    return first is not None and first.into.kind in ("side", "row end")


def _slips(node: Stitch | Group) -> bool:
    return isinstance(node, Stitch) and node.stitch == "slst"
