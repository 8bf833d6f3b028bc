"""Stitches that go back to one that was skipped: `miss 1st stitch, a treble in next, then a treble back in 1st stitch`;
and chains that are fastened back to make a picot."""

from __future__ import annotations

from dataclasses import replace

from coach.notation.cursor import Cursor
from coach.notation.extents import AROUND
from coach.notation.model import SAME, Chain, Into, Node, Repeat, Skip, Stitch, Times
from coach.notation.walk import walk


def crossed(nodes: list[Node]) -> list[Node]:
    """The nodes, where what is skipped and gone back to is never the stitch that a chain stands on."""
    if not any([isinstance(n, Skip) and n.first for n in walk(tuple(nodes))]):
        return nodes
    out: list[Node] = []
    for i, node in enumerate(nodes):
        if isinstance(node, Repeat):
            node = replace(node, body=tuple(crossed(list(node.body))))
        elif isinstance(node, Skip) and node.first:
            behind = nodes[i + 1 : i + 3]
            if len(behind) == 2 and all(isinstance(n, Stitch) for n in behind) and behind[1].into == SAME:
                node = replace(node, first=False)
        out.append(node)
    return out


def read_fastened_back(c: Cursor, nodes: list[Node]) -> list[Node] | None:
    """`(chain 4,) fasten back in 1st stitch for a picot`: a slip stitch into the first of these chains."""
    chain = nodes[-1] if nodes else None
    if not isinstance(chain, Chain) or not c.is_("fasten", "fastened") or not c.peek(1).is_("back"):
        return None
    at = c.at
    c.take(), c.take()
    if c.take_all("in", "the?") and c.take_kind("ordinal") and (c.take_if("st", "ch")):
        c.take_all("for|to", "form|work?", "a")
        _ = c.peek().value == "picot" and c.take()
        return [Stitch("slst", Into("hook", chain.count), span=c.span_from(at))]
    c.at = at
    return None


def closes_a_picot(nodes: list[Node] | tuple[Node, ...], i: int) -> bool:
    """Whether node i is the slip stitch that makes a picot of the chain before it."""
    node = nodes[i] if 0 < i < len(nodes) else None
    slips = isinstance(node, Stitch) and node.stitch == "slst" and node.into.kind in ("hook", "same")
    return slips and isinstance(nodes[i - 1], Chain)


def often_for(c: Cursor, body: tuple[Node, ...], times: Times) -> Times:
    """`repeat, making 5 picots around the shell`: so often that there are that many."""
    at = c.at
    c.take_if(",")
    bare = c.at < 2 or c.tokens[c.at - 2].is_("rep")  # "repeat across, making 26 doubles" tells a total
    number = stitch = None
    if bare and times == AROUND and c.take_if("work"):
        number, stitch = c.take_kind("number"), c.take_kind("stitch")
    if number is None or stitch is None or not isinstance(number.value, int):
        c.at = at
        return times
    made = [n.stitch for n in body if isinstance(n, Stitch)]
    each = made.count(str(stitch.value))
    each += sum(closes_a_picot(body, i) for i in range(len(body))) if stitch.value == "picot" else 0
    if not each or number.value % each:
        c.at = at
        return times
    if c.is_("around") and c.peek(1).is_("the") and c.peek(2).kind == "stitch":
        c.at += 3
    return Times("exact", number.value // each)
