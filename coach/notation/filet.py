"""Squares of square crochet (filet): `6 sq.` is six open squares, each a long stitch, two chains and two skipped."""

from __future__ import annotations

from coach.notation.cursor import Cursor
from coach.notation.extents import AROUND
from coach.notation.model import Chain, Node, Repeat, Skip, Stitch, Times

SQUARES = ("sq", "square", "squares")


def read_squares(c: Cursor) -> list[Node] | None:
    """`6 sq.`, `1 square`; None (and no move) where no squares are counted."""
    if c.peek().kind != "number" or not c.peek(1).is_(*SQUARES):
        return None
    at = c.at
    number = c.take()
    c.take()
    if c.is_(".") and c.peek(1).is_(","):
        c.take()  # "6 sq.,"
    if not (c.done or c.is_(",", ".", ";", "and", "*", "rep", ")")):
        c.at = at
        return None
    span = c.span_from(at)
    square = (Stitch("dc", span=span), Chain(2, span=span), Skip(2, span=span))
    return [Repeat(square, Times("exact", number.value), None, span)]


def meshed(nodes: list[Node]) -> list[Node]:
    """`1 l., 2 ch., 1 l. into 3rd loop, make 138 squares`: the first stitch, and squares all the way."""
    if len(nodes) < 3:
        return nodes
    first, chain, again = nodes[-3:]
    if not (isinstance(first, Stitch) and isinstance(chain, Chain) and isinstance(again, Stitch)):
        return nodes
    if again.stitch != first.stitch or again.into.kind != "nth":
        return nodes
    return [*nodes[:-2], Repeat((chain, again), AROUND, None, chain.span.to(again.span))]
