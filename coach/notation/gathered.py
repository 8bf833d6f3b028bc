"""Stitches told one after another and then put into one place: `3 dc, ch 2, 3 dc all in corner`."""

from __future__ import annotations

import re
from dataclasses import replace

from coach.notation.building import placed
from coach.notation.cursor import Cursor
from coach.notation.model import NEXT, SAME, Action, Chain, Group, Node, Repeat, Stitch
from coach.notation.places import read_where

_ANY = re.compile(r"\bin(?:to)? any\b", re.IGNORECASE)
_NEXT = re.compile(r"\bnext\b", re.IGNORECASE)
_MORE = re.compile(r"\bmore\b", re.IGNORECASE)
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
        return node.times.kind == "exact" and all(_is_placeless(n, text) for n in node.body)
    return isinstance(node, Chain) or (isinstance(node, Stitch) and node.into == NEXT and node.stitch != "slst")


def begun_anywhere(nodes: list[Node], text: str) -> list[Node]:
    """`Sc in any corner, 2 more sc in same corner, ...`: the round begins in that space, and with a group. text: of the
    pattern."""
    first = next((i for i, n in enumerate(nodes) if not isinstance(n, (Chain, Action))), len(nodes))
    node = nodes[first] if first < len(nodes) else None
    if not isinstance(node, (Stitch, Group)) or node.into.kind != "space" or not _written(_ANY, node, text):
        return nodes
    if isinstance(node, Stitch) and node.stitch == "slst":  # it joins there already
        return nodes
    begun = replace(node, into=SAME)
    more = nodes[first + 1] if first + 1 < len(nodes) else None
    further = isinstance(more, Group) and more.into == SAME and isinstance(node, Stitch) and _written(_MORE, more, text)
    if further and all(isinstance(n, Stitch) and n.stitch == node.stitch for n in more.body):
        begun = Group((replace(node, into=NEXT), *more.body), SAME, node.span.to(more.span))
        nodes = [*nodes[: first + 1], *nodes[first + 2 :]]
    start = Action("colour", "join yarn", node.into, node.span)
    return [*nodes[:first], start, begun, *nodes[first + 1 :]]


def in_the_space_begun(nodes: list[Node], text: str) -> list[Node]:
    """`Sl st to corner, ch 3, 2 dc, ch 2, 3 dc in corner`: all of it goes into the space that the round begins in."""
    begun = next((i for i, n in enumerate(nodes) if not isinstance(n, Action) or n.into is not None), len(nodes))
    into = getattr(nodes[begun], "into", None) if begun < len(nodes) else None
    if into is None or into.kind != "space" or len(nodes) < begun + 4 or not isinstance(nodes[begun + 1], Chain):
        return nodes
    first = last = begun + 2
    while last < len(nodes) and _is_placeless(nodes[last], text):
        last += 1
    end = nodes[last] if last < len(nodes) else None
    alike = isinstance(end, (Stitch, Group)) and end.into.kind in ("space", "same") and not _written(_NEXT, end, text)
    again = last == first and alike and end.into == into  # "..., ch 3, (2 dc, ch 2, 3 dc) in corner"
    if again:
        return [*nodes[:first], replace(end, into=SAME), *nodes[last + 1 :]]
    if last == first or not alike or isinstance(nodes[first], Chain):
        return nodes
    placed = end.body if isinstance(end, Group) else (replace(end, into=NEXT),)
    held = Group((*nodes[first:last], *placed), SAME, nodes[first].span.to(end.span))
    return [*nodes[:first], held, *nodes[last + 1 :]]


def _written(words: re.Pattern, node: Node, text: str) -> bool:
    return words.search(text, node.span.start, node.span.end) is not None
