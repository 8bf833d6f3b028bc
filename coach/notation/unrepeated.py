"""Rounds that old books write once and mean all around: `1 double, 5 chain, miss 1`, `Alternately 1 double, 7 chain,
miss 3`, `36 stitches of double crochet`. Both readings are kept; the arithmetic tells which it is."""

from __future__ import annotations

import re

from coach.notation.extents import AROUND
from coach.notation.filet import meshed
from coach.notation.model import NEXT, Action, Chain, Count, Evenly, Group, Node, Repeat, Skip, Stitch, Times, Unread
from coach.notation.walk import walk

_OLD = re.compile(
    r"\b\d{1,3} (?:close |long |half |short |double |triple )?(?:doubles?|trebles?|plain|purls?|spots?|chain)\b",
    re.IGNORECASE,
)
_WORDS = ("double", "treble", "plain", "purl", "spot", "chain", "alternately", "stitches of")  # of which they have one
_ALTERNATELY = re.compile(r"\W*alternately\b", re.IGNORECASE)
_SO_MANY = re.compile(r"\W*\d{1,4} stitches of (?:\w+ ){0,2}\w+\W*$", re.IGNORECASE)
_INCLUDING = re.compile(r"\bincluding (?:the |this )?(?:bar of |\d{1,2} )?chain", re.IGNORECASE)
ONCE = Times("exact", 1)


def unrepeated(nodes: list[Node], text: str, totals: tuple[Count, ...] = ()) -> list[Node]:
    """The nodes, held together where their round can be meant all around. text: of the round; totals: so many of a
    stitch that it says it has in all."""
    lower = text.lower()
    if not totals and not any([word in lower for word in _WORDS]):
        return nodes
    if _ALTERNATELY.match(text):
        return _held(nodes, lambda body, span: Repeat(body, AROUND, None, span))
    if _SO_MANY.match(text) and len(nodes) == 1 and isinstance(many := nodes[0], Repeat):
        return [_spread(many)]
    if any(t.kind == "loop" for t in totals):
        nodes = meshed(nodes)
    if not _OLD.search(text) or any(isinstance(n, Unread) for n in walk(tuple(nodes))):
        return nodes
    begun = _begun_with(nodes, text)
    for total in totals:  # "1 treble on the ring, 2 chain, 8 trebles in all, including the bar of chain stitches"
        if times := _so_often(nodes, total, begun):
            return _held(nodes[begun:], lambda body, span: Repeat(body, times, None, span), nodes[:begun])
    return _held(nodes, lambda body, span: Repeat(body, ONCE, None, span, other=Repeat(body, AROUND, None, span)))


def _begun_with(nodes: list[Node], text: str) -> int:
    """1 where the chain that the round starts with is one of those counted."""
    return int(bool(nodes) and isinstance(nodes[0], Chain) and _INCLUDING.search(text) is not None)


def _so_often(nodes: list[Node], total: Count, begun: int) -> Times | None:
    """How often the nodes are worked for a total in a ring; None where that does not come out."""
    lone = [n for n in nodes[begun:] if isinstance(n, Stitch)]
    if len(lone) != 1 or lone[0].stitch != total.kind or lone[0].into.kind != "ring" or isinstance(total.amount, tuple):
        return None
    return Times("exact", total.amount - begun) if total.amount - begun > 1 else None


def _held(nodes: list[Node], hold, before: list[Node] | None = None) -> list[Node]:
    first = next((i for i, n in enumerate(nodes) if not isinstance(n, Action)), len(nodes))
    last = next((i for i in range(len(nodes), first, -1) if not isinstance(nodes[i - 1], Action)), first)
    if last < len(nodes) and isinstance(nodes[last - 1], Chain) and getattr(nodes[last], "kind", "") == "turn":
        last -= 1  # "chain 1, turn"
    body = tuple(nodes[first:last])
    if not _is_written_once(body, before is not None):
        return [*(before or ()), *nodes]
    return [*(before or ()), *nodes[:first], hold(body, body[0].span.to(body[-1].span)), *nodes[last:]]


def _is_written_once(body: tuple[Node, ...], ring: bool = False) -> bool:
    """Whether it is stitches with chains or skips among them, nothing of which is repeated, begun with a stitch."""
    if len(body) < 2 or not isinstance(body[0], (Stitch, Group, Repeat)):
        return False
    for node in body:
        if isinstance(node, Repeat) and not _is_lone(node):
            return False
        if not isinstance(node, (Stitch, Group, Repeat, Chain, Skip)):
            return False
        kind = node.into.kind if isinstance(node, (Stitch, Group)) else ""
        if kind in ("first", "last", "hook", "tch") or kind == "ring" and not ring:
            return False
    return any(isinstance(n, (Chain, Skip)) for n in body)


def _is_lone(node: Repeat) -> bool:
    return node.times.kind == "exact" and len(node.body) == 1 and isinstance(node.body[0], Stitch)


def _spread(many: Repeat) -> Repeat:
    """So many stitches, on as many as there are below or on others with increases or decreases evenly between."""
    one = many.body[0] if _is_lone(many) else None
    if not isinstance(one, Stitch) or one.into != NEXT or not isinstance(many.times.amount, int):
        return many
    evenly = Evenly("to", many.times.amount, one.stitch, many.span)
    return Repeat(many.body, many.times, None, many.span, other=Repeat((evenly,), ONCE, None, many.span))
