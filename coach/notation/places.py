"""Where stitches go: `in next 3 sts`, `in each st around`, `in ch-2 sp`, `in 2nd ch from hook` ..."""

from __future__ import annotations

from dataclasses import dataclass

from coach.notation.cursor import Cursor
from coach.notation.model import Amount, Into, Times

_ARTICLES = ("the", "of", "a", "an", "this", "that", "these", "its", "both", "all")
LOOPS = {"blo": "back", "flo": "front"}


@dataclass(frozen=True, slots=True)
class Where:
    """A place as written. Exactly one of: `into` alone (one place), `count` (so many places), `fill` (until ...)."""

    into: Into
    loop: str | None = None
    count: Amount | None = None
    fill: Times | None = None


def read_loop(c: Cursor) -> str | None:
    """`BLO`, `back loop(s) only`, `both loops`, `front loop of`; None when the cursor is not at one."""
    at = c.at
    c.take_any("the", "through")
    if token := c.take_if("blo", "flo"):
        c.take_any("only", "lp")
        return LOOPS[token.value]
    for word, loop in (("back", "back"), ("front", "front"), ("both", "both"), ("third", "third")):
        if c.take_if(word):
            c.take_if("top")
            if c.take_if("lp", "veins", "vein"):
                c.take_any("only")
                return loop
            if c.take_if("post"):
                return f"{loop} post"
            break
    c.at = at
    return None


def read_extent(c: Cursor) -> Times | None:
    """`around`, `across`, `to end`, `to last 2 sts`, `to next corner`, `until 3 sts remain`; None when there is none."""
    at = c.at
    c.take_any("all", "the", "evenly")
    if c.take_if("around", "across"):
        c.take_all("the|this|each", "rnd|row|around|ring|ch|piece")
        c.take_all("of", "the?", "rnd|row|around")
        if inner := _to_last(c):
            return inner
        return Times("fill", 0, said=False)
    if c.take_all("to", "the?", "end"):
        c.take_all("of", "the?|each?", "rnd|row|around")
        return Times("fill", 0, said=False)
    if times := _to_last(c):
        return times
    c.at = at
    return None


def _to_last(c: Cursor) -> Times | None:
    at = c.at
    if c.take_all("to", "within?", "the?", "last"):
        number = c.take_kind("number")
        if c.take_if("st", "ch", "sp") or c.take_kind("stitch") or number:
            c.take_all("of", "the?", "end")
            return Times("fill", number.value if number else 1)
    c.at = at
    if c.take_all("to", "within"):
        number = c.take_kind("number")
        if number and (c.take_if("st", "ch") or c.take_kind("stitch")) and c.take_all("of|from?", "the?", "end?"):
            return Times("fill", number.value)
    c.at = at
    if c.take_all("until", "only?"):
        number = c.take_kind("number")
        if number and (c.take_if("st", "ch") or c.take_kind("stitch")) and c.take_if("remain"):
            c.take_all("unworked")
            return Times("fill", number.value)
    c.at = at
    if c.take_if("to", "until"):
        c.take_any("the", "you", "reach")
        c.take_if("next")
        if c.take_kind("space") or c.is_("sp", "corner", "marker", "ch"):
            c.take_any("sp", "corner", "marker", "ch", "space", "st")
            return Times("space")
    c.at = at
    return None


def read_where(c: Cursor) -> Where | None:
    """A place after `in`, `into`, `on`, `over`, `around` ...; None (and no move) when there is none."""
    at = c.at
    preposition = c.take_if("in", "on", "over", "across", "under", "at", "to", "between", "through")
    post = False
    if not preposition:
        if c.is_("around") and (c.peek(1).is_("post", "the", "next", "each") or c.peek(1).kind in ("stitch", "number")):
            c.take()
            post = True
        elif not (c.is_("next", "each", "same") or (c.is_("first", "last") and c.peek(1).is_("st", "ch"))):
            return None
    where = _place(c, between=bool(preposition and preposition.value == "between"))
    if where is None or (preposition and preposition.value == "to" and where.fill):
        c.at = at
        return None
    return where if not post or where.loop else Where(where.into, None, where.count, where.fill)


def _place(c: Cursor, between: bool) -> Where | None:
    loop = None
    while True:
        c.take_any(*_ARTICLES, "very", "top", "tops", "front", "st's", "work") if not _loop_ahead(c) else None
        if (found := read_loop(c)) is None:
            break
        loop = found
        c.take_any("of", "only", "in", "on", "each_") if not c.is_("in") else c.take()
    c.take_any(*_ARTICLES)
    if c.take_if("ring") or c.take_all("magic|mr|adjustable|sliding", "ring?|lp?"):
        return Where(Into("ring"), loop)
    if c.take_if("center", "centre") and not c.is_("st", "ch", "sp") and c.peek().kind not in ("stitch", "space"):
        c.take_all("of", "the?", "ring?")
        return Where(Into("ring"), loop)
    if c.take_if("same"):
        c.take_if("st", "sp", "ch", "corner") or c.take_kind("stitch") or c.take_kind("space")
        c.take_if("sp", "st")
        c.take_all("place")
        if c.take_all("as"):
            _rest_of_same(c)
        return Where(Into("same"), loop)
    if c.take_if("tch") or c.take_all("turn", "ch") or (c.is_("first") and c.peek(1).kind == "space" and not c.peek(2).is_("sp") and c.take() and c.take()):
        return Where(Into("tch"), loop)
    if c.is_("first") and c.peek(1).is_("ch") and c.peek(2).kind == "end":
        c.take(), c.take()
        return Where(Into("first"), loop)
    each = bool(c.take_if("each"))
    c.take_any("of", "the")
    other = bool(c.take_if("other"))
    remaining = bool(c.take_if("remain"))
    if each and c.is_("corner") and not c.peek(1).is_("st"):
        c.take_any("corner", "sp", "ch")
        return Where(Into("space", corner=True), loop, fill=Times("fill", 0, said=False))
    if ordinal := c.take_kind("ordinal"):
        return _ordinal(c, ordinal.value, loop)
    if c.take_if("first"):
        return _ordinal(c, 1, loop)
    if c.take_if("last"):
        number = c.take_kind("number")
        into = _noun(c)
        if into is None:
            return None
        return Where(Into("last", stitch=into.stitch) if into.kind == "next" else into, loop, count=number.value if number else None)
    moved = bool(c.take_if("next"))
    remaining = bool(c.take_if("remain")) or remaining
    number = c.take_kind("number")
    if between:
        c.take_if("next")
    into = _noun(c)
    if into is None:
        if not (moved or number) or each and not number:
            return None
        into = Into()
        if not number and not moved:
            return None
    if between:
        return Where(Into("between"), loop)
    if number:
        return Where(into, loop, count=number.value)
    if each or remaining:
        return Where(into, loop, fill=read_extent(c) or Times("fill", 0, said=False) if not other else read_extent(c))
    return Where(into, loop)


def _loop_ahead(c: Cursor) -> bool:
    return c.is_("blo", "flo") or (c.is_("back", "front", "both", "third") and c.peek(1).is_("lp", "top", "post", "vein", "veins"))


def _rest_of_same(c: Cursor) -> None:
    """`same st as joining`, `same st as last sc`, `as the sl st`: what it is the same as says no more."""
    for _ in range(6):
        if c.is_("join", "last", "first", "st", "the", "previous", "sp", "tch", "ch", "turn", "prev", "you", "joined", "where", "made") or c.peek().kind in (
                "stitch", "space"):
            c.take()
        else:
            return


def _ordinal(c: Cursor, n: Amount, loop: str | None) -> Where | None:
    into = _noun(c)
    if into is None:
        return None
    if c.take_all("from", "the?", "hook"):
        return Where(Into("hook", n), loop)
    if n == 1:
        if c.take_all("of", "the?", "ch"):
            pass
        return Where(Into("first", stitch=into.stitch, number=into.number) if into.kind != "space" else into, loop)
    return Where(Into("nth", n, into.stitch), loop)


def _noun(c: Cursor) -> Into | None:
    """`st`, `ch`, `ch-2 sp`, `corner`, `dc`, `sc and ch` ...; None when there is none."""
    corner = bool(c.take_if("corner"))
    if space := c.take_kind("space"):
        corner = bool(c.take_if("corner")) or corner
        if c.take_if("sp", "lp") or corner or True:
            corner = bool(c.take_if("corner")) or corner
            c.take_if("sp")
            return Into("space", space.value, corner=corner)
    if c.is_("ch") and c.peek(1).is_("sp", "lp", "corner") or (c.is_("number") and False):
        c.take(), c.take()
        return Into("space", corner=corner)
    if c.peek().kind == "number" and c.peek(1).is_("ch") and c.peek(2).is_("sp", "lp"):
        number = c.take().value
        c.take(), c.take()
        return Into("space", number, corner=corner)
    if c.take_if("sp", "lp"):
        return Into("space", corner=corner)
    if c.take_if("tch"):
        return Into("tch")
    if c.take_if("ch"):
        c.take_all("st")
        return Into("chain")
    if stitch := c.take_kind("stitch"):
        if c.is_("sp"):
            c.take()
            return Into("between")
        c.take_if("st", "corner")
        return Into(stitch=str(stitch.value))
    if c.take_if("st", "vein", "stitch"):
        return Into(corner=corner)
    if c.take_if("inc", "dec", "picot", "cluster", "group", "shell", "petal", "place", "post"):
        return Into()
    return Into("space", corner=True) if corner else None
