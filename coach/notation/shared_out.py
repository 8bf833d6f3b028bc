"""Rounds shared out: `Divide the round into 7 parts; work 12 spots, always working 1 double between each spot`. Both
hold for the rounds that follow, too. And shades that are numbered: `3rd shade of red`, `Same shade`."""

from __future__ import annotations

from dataclasses import replace

from coach.notation.colour_names import read_colour
from coach.notation.cursor import Cursor
from coach.notation.model import Action, Node, Repeat, Stitch, Times
from coach.values import value

_MARKS = (",", ";", ".", ":")


@value
class Shared:
    """What holds for this round and those after it. parts: how often what it says is worked; of, parting: the stitch
    that is always parted from the next one of its kind, and the stitch between."""

    parts: int = 1
    of: str = ""
    parting: str = ""


_NOTHING = Shared()


def read_shared(c: Cursor, shared: Shared) -> Shared | None:
    """What is shared out from here on; None (and no move) where nothing is said of it."""
    at = c.at
    if c.take_all("divide", "the?", "rnd|row|around", "in"):
        number = c.take_kind("number")
        if number and isinstance(number.value, int) and 1 < number.value <= 99 and c.take_all("parts"):
            return replace(shared, parts=number.value)
    elif c.take_all("always", "work"):
        number = c.take_kind("number")
        parting = c.take_kind("stitch")
        if number and number.value == 1 and parting and c.take_all("between", "each"):
            of = c.take_kind("stitch")
            if of and (c.done or c.is_(*_MARKS)):
                return replace(shared, of=str(of.value), parting=str(parting.value))
    c.at = at
    return None


def read_said_again(c: Cursor) -> list[Node] | None:
    """`after 12 spots,` before what follows them, `then 12 more, and so on`: what the division into parts says already;
    `taking care to place them between those of preceding round:`, a note."""
    if not (c.peek(1).is_("more") if c.peek().kind == "number" else c.is_("after", "taking")):
        return None
    at = c.at
    if c.take_if("after") and c.take_kind("number") and c.take_kind("stitch") and c.take_if(","):
        return []
    c.at = at
    if c.take_kind("number") and c.take_all("more", ",?", "and", "so", "on"):
        return []
    c.at = at
    if c.take_all("taking", "care"):
        while not c.done and not c.is_(*_MARKS):
            c.take()
        return [Action("note", c.written(at), span=c.span_from(at))]
    return None


def read_shade(c: Cursor, nodes: list[Node]) -> list[Node] | None:
    """`3rd shade of red,`, `Same shade,`; behind stitches, `with the 3rd shade`, it stands before them."""
    if not (c.peek(1).is_("shade") or c.is_("with") and (c.peek(2).is_("shade") or c.peek(3).is_("shade"))):
        return None
    at = c.at
    behind = c.take_all("with", "the?") and bool(nodes) and isinstance(nodes[-1], (Stitch, Repeat))
    same = c.take_if("same", "next")
    if (same or c.take_kind("ordinal")) and c.take_if("shade"):
        _ = c.take_if("of") and read_colour(c)
        if c.done or c.is_(*_MARKS):
            name = c.written(at).removeprefix("with ").removeprefix("the ")
            colour = Action("colour", f"with {name}", span=c.span_from(at))
            if behind:
                nodes.insert(len(nodes) - 1, colour)
            return [] if behind or same and same.is_("same") else [colour]
    c.at = at
    return None


def shared_out(nodes: list[Node], shared: Shared) -> list[Node]:
    """The nodes of a round with what is shared out in it."""
    if shared == _NOTHING:
        return nodes
    parted = [_parted(n, shared) for n in nodes] if shared.of else nodes
    if shared.parts < 2 or any(isinstance(n, Repeat) and n.times.kind != "exact" for n in parted):
        return parted
    first = next((i for i, n in enumerate(parted) if not isinstance(n, Action)), len(parted))
    body = tuple(n for n in parted[first:] if not isinstance(n, Action) or n.kind != "note")
    notes = [n for n in parted[first:] if n not in body]
    if not any(_has(n, shared.of) for n in body):
        return parted
    return [*parted[:first], *notes, Repeat(body, Times("exact", shared.parts), None, body[0].span.to(body[-1].span))]


def _has(node: Node, stitch: str) -> bool:
    return (
        any(_has(n, stitch) for n in node.body) if isinstance(node, Repeat) else getattr(node, "stitch", "") == stitch
    )


def _parted(node: Node, shared: Shared) -> Node:
    one = node.body[0] if isinstance(node, Repeat) and len(node.body) == 1 else None
    if not isinstance(one, Stitch) or one.stitch != shared.of or not isinstance(node.times.amount, int):
        return node
    pair = Repeat((one, Stitch(shared.parting, span=one.span)), Times("exact", node.times.amount - 1), None, node.span)
    return Repeat((pair, one), Times("exact", 1), None, node.span)
