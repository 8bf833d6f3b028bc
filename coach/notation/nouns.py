"""What a place is called: `st`, `ch`, `ch-2 sp`, `corner`, a stitch's own name."""

from __future__ import annotations

from coach.notation.cursor import Cursor
from coach.notation.model import NEXT, Into


def read_noun(c: Cursor) -> Into | None:
    """`st`, `ch`, `ch-2 sp`, `corner`, `dc`, `sc and ch` ...; None when there is none."""
    if c.take_if("st", "vein", "stitch"):
        return NEXT
    middle = c.is_("center", "middle") and (
        c.peek(1).kind == "space" or c.peek(1 + c.peek(1).is_("ch")).is_("sp", "lp")
    )  # "in centre sp": the widest one, as a corner is
    corner = bool(middle and c.take()) or bool(c.take_if("corner"))
    if space := c.take_kind("space"):
        corner = bool(c.take_if("corner")) or corner
        c.take_if("sp", "lp")
        corner = bool(c.take_if("corner")) or corner
        c.take_if("sp")
        return Into("space", space.value, corner=corner)
    if c.is_("ch") and c.peek(1).is_("sp", "lp", "corner"):
        c.take(), c.take()
        return Into("space", corner=corner)
    if c.peek().kind == "number" and c.peek(1).is_("ch") and (c.peek(2).is_("sp", "lp") or c.peek(2).kind == "end"):
        number = c.take().value
        c.take()
        c.take_if("sp", "lp")
        return Into("space", number, corner=corner)
    if c.take_if("sp", "lp", "handle", "handles", "thumbhole", "gap", "gaps"):
        return Into("space", corner=corner)
    if c.take_if("tch"):
        return Into("tch")
    if c.take_if("ch"):
        c.take_all("st")
        return Into("chain")
    if stitch := c.take_kind("stitch"):
        if c.take_if("sp"):
            return Into("between")
        if stitch.value == "slst" and (kind := c.take_kind("stitch")):  # "in single treble": in one that stands alone
            stitch = kind
        c.take_if("st", "corner")
        return Into(stitch=str(stitch.value))
    if c.take_if("st", "vein", "stitch"):
        return Into(corner=corner)
    if c.take_if("inc", "dec", "picot", "cluster", "group", "groups", "shell", "petal", "place", "post"):
        return NEXT
    return Into("space", corner=True) if corner else None
