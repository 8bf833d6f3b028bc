"""Corners told after the sides: `sc in each st around, working 3 sc in each corner sp` is worked as the corners come;
and so are the middle stitches of groups or of the row (`a double in each double, with 3 in centre stitch`)."""

from __future__ import annotations

from dataclasses import replace

from coach.notation.model import NEXT, Group, Into, Node, Repeat, Stitch, Times

ON_THE_WAY = Times("space")


def in_order(nodes: list[Node]) -> list[Node]:
    """The nodes in the order of working: side, corner, side ... and what is left behind the last corner."""
    out: list[Node] = []
    for node in map(_in_the_middle, map(_in_its_turn, nodes)):
        side, what = out[-1] if out else None, _place(node)
        if _is_along(side, "side") and _is_along(node, "row end"):  # "sc along the side, 1 sc in end of each row": how
            out[-1] = node
        elif side is not None and (edges := _of_each_edge(side, node)):
            out[-1] = edges
        elif side is None or what is None or what.kind == "next" or _place(side) != NEXT:
            out.append(node)
        elif what.kind == "centre":
            out[-1:] = [replace(side, times=Times("centre")), node, side]
        else:
            way = ON_THE_WAY if what.kind == "space" else Times("middle")
            each = Repeat(
                (Repeat(side.body, way, None, side.span), *node.body), side.times, None, side.span.to(node.span)
            )
            out[-1:] = [each, side]
    return out


def _in_its_turn(node: Node) -> Node:
    """`(3 sc in corner, sc evenly along the side) 4 times`: the side is each edge in its turn."""
    around = isinstance(node, Repeat) and (node.times.kind == "fill" or node.times.amount == 4)
    if not around or not any(isinstance(n, (Group, Stitch)) and n.into.corner for n in node.body):
        return node
    return replace(node, body=tuple(_along_the_next(n) for n in node.body))


def _along_the_next(node: Node) -> Node:
    one = node.body[0] if isinstance(node, Repeat) and len(node.body) == 1 else None
    if not isinstance(one, (Group, Stitch)) or one.into.kind != "side":
        return node
    edge = replace(one, into=Into("edge", words="evenly along next edge"))
    return replace(node, body=(edge,), times=Times("fill") if node.times.kind == "space" else node.times)


def _in_the_middle(node: Node) -> Node:
    """`3 sc in each corner st`: in the middle stitch of what is in each corner."""
    one = node.body[0] if isinstance(node, Repeat) and node.times.kind == "fill" and len(node.body) == 1 else None
    if not isinstance(one, (Stitch, Group)) or one.into.kind != "next" or not one.into.corner:
        return node
    return replace(node, body=(replace(one, into=Into("middle", corner=True)),))


def _is_along(node: Node | None, kind: str) -> bool:
    """Whether a node fills an edge with one thing, or with so many for some rows."""
    told = isinstance(node, Repeat) and node.times.kind == "fill" and (len(node.body) == 1 or node.times.partly)
    return told and isinstance(node.body[0], (Stitch, Group)) and node.body[0].into.kind == kind


def _of_each_edge(side: Node, node: Node) -> Repeat | None:
    """`work 20 sc along each side, 3 sc in each corner`: side, corner, side ...; None for anything else."""
    corner = node.body[0] if isinstance(node, Repeat) and len(node.body) == 1 else None
    if not isinstance(side, Repeat) or not isinstance(corner, (Group, Stitch)) or not corner.into.corner:
        return None
    along = side.body[0] if side.times.kind == "exact" and len(side.body) == 1 else None
    one = along.body[0] if isinstance(along, Repeat) else None
    if not isinstance(one, (Group, Stitch)) or one.into.kind != "edge":
        return None
    return replace(side, body=(along, corner), span=side.span.to(node.span))


def _place(node: Node) -> Into | None:
    """Where a node works one thing all around, into each stitch, corner or middle (or once, into that of the row); None
    where it does anything else."""
    if isinstance(node, (Stitch, Group)):
        return node.into if node.into.kind == "centre" else None
    if not isinstance(node, Repeat) or node.times.kind != "fill" or node.times.said or len(node.body) != 1:
        return None
    one = node.body[0]
    if not isinstance(one, (Stitch, Group)):
        return None
    told = one.into.kind == "next" and not one.into.corner or one.into.kind == "space" and one.into.corner
    if not told and one.into.kind != "middle":
        return None
    return replace(one.into, stitch=None) if one.into.stitch else one.into
