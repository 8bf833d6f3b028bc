"""Coming along the edges of a piece: which edge a place lies on, and how many stitches go along it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from coach.fabric.edges import ALONG
from coach.notation.model import Group, Into, Repeat, Span, Stitch, for_size

if TYPE_CHECKING:
    from coach.fabric.hand import Hand
    from coach.fabric.worker import Worker

_ON = {"row end": "rows", "side": "rows", "chain": "chain"}


def come_to(hand: Hand, into: Into, span: Span) -> None:
    """Go on to the edge that a place lies on; a corner ends the edge before it."""
    edges, here = hand.edged.edges, edges_kind(hand)
    if into.kind == "same":
        return
    if into.corner and into.kind in ("space", "middle"):
        if hand.i > hand.edged.begin(hand.edge):
            _leaves(hand, span)
        return
    wanted, done = _ON.get(into.kind), hand.i >= hand.stop
    if wanted is None or wanted == here and not done:
        if done and hand.edge + 1 < len(edges):
            go_on(hand, hand.edge + 1, span)
        return
    further = [k for k in range(hand.edge + 1, len(edges)) if edges[k].kind == wanted]
    if further and (done or into.kind in ALONG):
        go_on(hand, further[0], span)


def edges_kind(hand: Hand) -> str:
    """The kind of the edge under the hook: top, rows or chain."""
    return hand.edged.edges[hand.edge].kind


def go_on(hand: Hand, edge: int, span: Span) -> None:
    """To the beginning of an edge."""
    if hand.i > hand.edged.begin(hand.edge):
        _leaves(hand, span)
    hand.edge, hand.i = edge, hand.edged.begin(edge)
    hand.stop = hand.edged.stops[edge]


def to_the_chain(hand: Hand, span: Span) -> None:
    """`on other side of ch`."""
    further = [k for k, edge in enumerate(hand.edged.edges) if edge.kind == "chain" and k > hand.edge]
    if further:
        go_on(hand, further[0], span)
    elif hand.i >= hand.stop and hand.edge + 1 < len(hand.edged.edges):
        go_on(hand, hand.edge + 1, span)


def _leaves(hand: Hand, span: Span) -> None:
    """An edge that is left before its end, or gone beyond."""
    left = hand.base.stitches_in(hand.i, hand.stop)
    if left > 0:
        many = "1 stitch is" if left == 1 else f"{left} stitches are"
        hand.trouble("leaves", span, f"Before this corner, {many} left unworked.", "Count the stitches of this edge.")
        hand.i = hand.stop
    elif hand.i > hand.stop:
        over = hand.i - hand.stop
        many = "1 stitch" if over == 1 else f"{over} stitches"
        hand.trouble("short", span, f"This edge ends {many} before this corner.", "Count the stitches of this edge.")
        hand.i = hand.stop


def unworked(hand: Hand) -> int:
    """Stitches that the round has not come to: of an edging, those of the edge that it ends on."""
    if hand.edged is None:
        return hand.base.stitches_in(hand.i, hand.base.tops)
    return hand.base.stitches_in(hand.i, hand.stop) if hand.i > hand.edged.begin(hand.edge) else 0


def places(worker: Worker, node: Repeat) -> int | None:
    """How many stitches a repeat works along an edge, which is made to have as many places; None where it works into
    what is there: each stitch, the end of each row."""
    one = node.body[0] if node.body else None
    if not isinstance(one, (Stitch, Group)):
        return None
    into = one.into
    come_to(worker, into, node.span)
    along = into.kind in ("side", "edge")
    fills = node.times.kind in ("fill", "space", "middle") and not node.times.amount
    if len(node.body) > 1 or not isinstance(one, Stitch):
        return None
    edge = worker.edged.edges[worker.edge]
    plain = into.kind == "next" and edge.kind == "rows"
    if not along and not (plain and (fills or for_size(node.times.amount, worker.size) > edge.size)):
        return None
    if worker.i != worker.edged.begin(worker.edge):  # some of it is worked already
        return None if fills else for_size(node.times.amount, worker.size)
    if fills:
        n = _share(worker, edge.usual)
    else:
        n = for_size(node.times.amount, worker.size)
    worker.edged = worker.edged.with_places(worker.edge, n)
    worker.base, worker.stop = worker.edged.base, worker.edged.stops[worker.edge]
    return n


def _share(worker: Worker, usual: int) -> int:
    """The number along an edge that the round's count leaves, where nothing else tells; else the usual one."""
    shares = worker.chosen.get("along", ())
    n = shares[len(worker.open_edges)] if len(worker.open_edges) < len(shares) else usual
    worker.open_edges.append(usual)
    return n
