"""Corners told after the sides: `sc in each st around, working 3 sc in each corner sp` is worked as the corners
come."""

from __future__ import annotations

from coach.notation.model import Group, Node, Repeat, Stitch, Times

ON_THE_WAY = Times("space")


def in_order(nodes: list[Node]) -> list[Node]:
    """The nodes in the order of working: side, corner, side ... and what is left behind the last corner."""
    out: list[Node] = []
    for node in nodes:
        side = out[-1] if out else None
        if side is not None and _goes_round(side, "next") and _goes_round(node, "space"):
            each = Repeat(
                (Repeat(side.body, ON_THE_WAY, None, side.span), *node.body), side.times, None, side.span.to(node.span)
            )
            out[-1:] = [each, side]
        else:
            out.append(node)
    return out


def _goes_round(node: Node, into: str) -> bool:
    """Whether it is one thing worked all around: into each stitch, or into each corner space."""
    if not isinstance(node, Repeat) or node.times.kind != "fill" or node.times.said or len(node.body) != 1:
        return False
    one = node.body[0]
    return isinstance(one, (Stitch, Group)) and one.into.kind == into and one.into.corner == (into == "space")
