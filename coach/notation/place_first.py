"""Instructions that name their place before what is worked there: `In next st work 2 sc, ch 3, 2 sc`, `starting in 2nd
ch from hook, sc 6`."""

from __future__ import annotations

from collections.abc import Callable

from coach.notation.building import Context, placed
from coach.notation.clauses import end_of_place
from coach.notation.cursor import Cursor
from coach.notation.loops import read_from_hook
from coach.notation.model import Action, Group, Node, Unread
from coach.notation.places import Where, read_where
from coach.notation.stitches import OPENING


def read_place_first(c: Cursor, ctx: Context, items: Callable[[Cursor], list[Node]]) -> list[Node] | None:
    """What is worked into a place said first; a chain counted from the hook alone is kept for the next stitch. items:
    reads all items up to the end of a cursor. None (the cursor may have moved) where no such place is said, or nothing
    that goes into it."""
    at = c.at
    where = read_from_hook(c) or read_where(c)
    if where is None:
        return None
    if where.into.kind == "hook" and (all_there := _all_there(c, ctx, where, at)):
        return all_there
    verb = c.is_("work", "make") and bool(c.take())
    if where.into.kind == "hook" and not (verb and _are_several(c)):
        ctx.hook = where.into.number
        return []
    if where.count is not None and c.is_(";") and c.peek(1).kind == "number":
        c.take()  # "On each of the first 6 chain; 1 plain"
    c.take_any(",", ":")
    if c.done or (
        not verb
        and not c.is_(*OPENING)
        and c.peek().kind not in ("number", "stitch", "space")
        and not c.is_("ch", "inc", "dec")
    ):
        return ctx.worked(ctx.last, 1, False, where, ctx.loop, c.span_from(at)) if ctx.last else None
    end = end_of_place(c)
    if (c.at, end) in ctx.no_places:
        return None
    body = tuple(items(c.within(c.at, end)))
    if not body or any(isinstance(n, (Unread, Action)) for n in body):
        ctx.no_places.add((c.at, end))
        return None
    c.at = end
    return placed(Group(body, where.into, c.span_from(at)), where, c.span_from(at))


def _all_there(c: Cursor, ctx: Context, where: Where, at: int) -> list[Node] | None:
    """`in 2d stitch of chain make 8 doubles`: all of them in that one."""
    here = c.at
    several = c.is_("work") and _are_several(c)
    if not several and c.take_if("work") and (number := c.take_kind("number")) and (stitch := c.take_kind("stitch")):
        if c.done or c.is_(",", ".", ";"):
            ctx.last = str(stitch.value)
            return ctx.worked(ctx.last, number.value, True, where, ctx.loop, c.span_from(at))
    c.at = here
    return None


def _are_several(c: Cursor) -> bool:
    """`(in 4th ch from hook work) 2 dc, ch 2, 3 dc`: chains among what goes there."""
    return any(c.tokens[i].is_("ch") or c.tokens[i].kind == "space" for i in range(c.at, end_of_place(c)))
