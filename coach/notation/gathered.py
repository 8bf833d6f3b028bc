"""Stitches told one after another and then put into one place: `3 dc, ch 2, 3 dc all in corner`."""

from __future__ import annotations

import re

from coach.notation.building import placed
from coach.notation.cursor import Cursor
from coach.notation.model import NEXT, SAME, Action, Chain, Group, Node, Repeat, Stitch
from coach.notation.places import read_where

_PLACED = re.compile(r"\b(?:in|into|on|over|around)\b", re.IGNORECASE)


def read_gathered(c: Cursor, nodes: list[Node], start: int) -> list[Node] | None:
    """`all in corner` behind stitches that have no place of their own: they are taken from `nodes`, from index `start`
    on, back to the last one that has."""
    at = c.at
    if not c.take_if("all") or (where := read_where(c)) is None or where.fill is not None:
        return None
    first = len(nodes)
    while first > start and _is_placeless(nodes[first - 1], c.text):
        first -= 1
    body = tuple(nodes[first:])
    if len(body) < 2:
        return None
    before = nodes[first - 1] if first else None
    joined = isinstance(before, Action) and before.into is not None and before.into.kind == "space"
    into = (
        SAME if joined and where.into.kind == "space" else where.into
    )  # "join in any corner, ch 3, 2 dc all in corner"
    del nodes[first:]
    span = body[0].span.to(c.span_from(at))
    return placed(Group(body, into, span), where, span)


def _is_placeless(node: Node, text: str) -> bool:
    """Whether it is written without a place: `2 dc`, and not `dc in next st`."""
    if _PLACED.search(text, node.span.start, node.span.end):
        return False
    if isinstance(node, Repeat):
        return node.times.kind == "exact" and len(node.body) == 1 and _is_placeless(node.body[0], text)
    return isinstance(node, Chain) or (isinstance(node, Stitch) and node.into == NEXT and node.stitch != "slst")
