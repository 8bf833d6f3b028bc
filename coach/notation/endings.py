"""How the last time of a repeat ends where it is unlike the others: cut short, or ended by something else."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

from coach.notation.cursor import Cursor
from coach.notation.model import Action, Chain, Node, Repeat, Stitch, Times
from coach.notation.places import read_where
from coach.notation.printer import write


def last_told(c: Cursor) -> list[Node] | None:
    """`..., working last sc in last ch`: says again where a row that goes across ends."""
    if not c.take_all("work", "the?", "last|final") or not c.take_kind("stitch"):
        return None
    where = read_where(c)
    return [] if where is not None and where.into.kind in ("last", "tch", "chain") and where.fill is None else None


def omitted(c: Cursor, items: Callable[[Cursor], list[Node]], body: tuple[Node, ...]) -> int | None:
    """`omitting last ch 3 on last rep`: how many nodes of the body its last time has."""
    at = c.at
    c.take_any(",", ";", "and", "but")
    if c.take_if("skip") and c.take_all("the?", "last|final"):
        end = next((i for i in range(c.at, c.stop) if c.tokens[i].is_(",", ";", ".", "on", "at", "from", "in")), c.stop)
        left_out = items(c.within(c.at, end))
        n = len(left_out)
        if 0 < n < len(body) and write(left_out) == write(body[-n:]):
            c.at = end
            c.take_all("on|at|from|in", "the?", "last|final", "rep|time")
            return len(body) - n
    c.at = at
    return None


def ended_by(node: Node, following: Node) -> Node:
    """A repeat whose last time is ended by what follows, which takes the place of its last node when it is alike."""
    if not isinstance(node, Repeat) or node.ending is None or not node.body:
        return node
    last = node.body[-1]
    if not node.ending:  # "ending with dc in last st", where each time ends with dc
        same = isinstance(last, Stitch) and isinstance(following, Stitch) and last.stitch == following.stitch
        return replace(node, ending=int(same and len(node.body) > 1))
    alike = isinstance(following, Chain) == isinstance(node.body[-1], Chain) and not isinstance(following, Action)
    return replace(node, ending=int(alike))


def one_less(times: Times) -> Times:
    """One time less, in each of its readings."""
    if times.kind != "exact":
        return times
    amounts = [a - 1 if isinstance(a, int) else tuple(n - 1 for n in a) for a in (times.amount, *times.readings)]
    return Times("exact", amounts[0], tuple(a for a in amounts[1:] if a != 0))
