"""Loops and stitches said before or behind what they are for: `In BLO, sc ...`, `work in sc`, `taking up the back
loop`.
"""

from __future__ import annotations

from dataclasses import replace

from coach.notation.building import Context
from coach.notation.cursor import Cursor
from coach.notation.extents import AROUND, read_extent
from coach.notation.model import NEXT, Action, Group, Into, Node, Repeat, Stitch
from coach.notation.places import Where, of_a_round
from coach.notation.sides import LOOP_BEGINS, read_loop
from coach.notation.stitches import OPENING, SEPARATORS, read_stitch

LOOP_FIRST = LOOP_BEGINS | frozenset("in using of".split())
HOOK_FIRST = frozenset("first start from in the".split())


def read_even(c: Cursor, ctx: Context) -> list[Node] | None:
    """`work even to last 2 sts`: the plain stitch of the round, one in each; `close double`: so, to the end."""
    at = c.at
    if c.is_("close") and c.peek(1).kind == "stitch" and c.peek(1).value != "slst":  # "close double crochet"
        c.take()
        id = str(c.take().value)
        ctx.last = id
        extent = read_extent(c) or AROUND
        return [Repeat((ctx.one(id, NEXT, ctx.loop, c.span_from(at)),), extent, None, c.span_from(at))]
    if not (at and c.tokens[at - 1].is_("work") and c.take_if("evenly", "straight", "plain")):
        return None
    extent = read_extent(c)
    return (
        [Repeat((ctx.one(ctx.main, NEXT, ctx.loop, c.span_from(at)),), extent, None, c.span_from(at))]
        if extent
        else None
    )


def read_in_stitch(c: Cursor, ctx: Context) -> list[Node] | None:
    """`work in sc`, `work in sc to last 5 sts`."""
    at = c.at
    if not (at and c.tokens[at - 1].is_("work") and c.take_if("in")):
        return None
    stitch = c.take_kind("stitch")
    extent = read_extent(c)
    if stitch is None or not (extent or c.done or c.is_in(SEPARATORS)):
        return None
    span = c.span_from(at)
    return [Repeat((ctx.one(str(stitch.value), NEXT, ctx.loop, span),), extent or AROUND, None, span)]


def read_loop_taken_up(c: Cursor, ctx: Context, nodes: list[Node]) -> list[Node] | None:
    """`..., taking up the back loop`, said behind the stitches that it is for; `working in back loops only, sc in each
    st`, said before them."""
    if not c.take_all("taking", "up?") and not c.take_all("work", "always?", "in"):
        return None
    loop = read_loop(c)
    if loop is None:
        return None
    c.take_any("of", "st", "each", "the")
    of_a_round(c)
    if not (c.done or c.is_in(SEPARATORS) or c.is_("to", "throughout")):
        return None
    if c.take_if("to"):  # "to form a rib"
        c.take_any("form", "work", "a", "the", "rib", "ribs", "ribbed")
    if not nodes or (taken_up := _in_loop(nodes[-1], loop)) == nodes[-1] or _stitches_follow(c):
        ctx.loop = loop
    else:
        nodes[-1] = taken_up
    return []


def read_loop_first(c: Cursor, ctx: Context) -> list[Node] | None:
    """`In BLO, sc in each st`: the loop holds for the rest of the round."""
    preposition = bool(c.take_if("in", "through", "using"))
    c.take_any("of")
    at = c.at
    loop = read_loop(c)
    if loop is None:
        return None
    if (c.take_all("of", "rnd|row|around") or c.take_all("only", "of", "rnd|row|around")) and c.take_kind("number"):
        c.take_any("now", "only")
        ctx.loop = loop
        text = ctx.text[c.tokens[at].start : c.tokens[c.at - 1].end]
        return [Action("elsewhere", text, span=c.span_from(at))]
    c.take_any("only")
    stitch = c.peek().kind in ("stitch", "number")
    if c.done or c.is_(",", ":", ".", "*", *OPENING) or (stitch and preposition):
        ctx.loop = loop
        return []
    return read_stitch(c, ctx, loop) if stitch or c.is_("inc", "dec") else None


def read_from_hook(c: Cursor) -> Where | None:
    """`from 2nd ch: 6 sc`, `starting in the second chain from the hook`."""
    at = c.at
    c.pass_over(HOOK_FIRST)
    ordinal = c.take_kind("ordinal")
    if c.at > at and ordinal and c.take_if("ch"):
        hook = c.take_all("from", "the|your?", "hook")
        if hook or c.tokens[at].is_("from", "first", "start"):
            return Where(Into("hook", ordinal.value))
    c.at = at
    return None


def _in_loop(node: Node, loop: str) -> Node:
    if isinstance(node, Stitch):
        return replace(node, loop=loop)
    if isinstance(node, (Group, Repeat)):
        return replace(node, body=tuple(_in_loop(n, loop) for n in node.body))
    return node


def _stitches_follow(c: Cursor) -> bool:
    """Whether stitches come next, and not the end of the round (`join with sl st in first sc`)."""
    ahead = 0
    while c.peek(ahead).is_(*SEPARATORS, "*", "work"):
        ahead += 1
    token = c.peek(ahead)
    return token.kind in ("stitch", "number") and not token.is_("slst") or token.is_("inc", "dec", *OPENING)
