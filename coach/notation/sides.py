"""Which loop of a stitch, and which side of the foundation chain: `BLO`, `front loop of`, `on the other side`."""

from __future__ import annotations

from coach.notation.cursor import Cursor

LOOPS = {"blo": "back", "flo": "front"}
_SIDE_OF = ("of", "the", "foundation", "starting", "ch", "base", "first", "original", "beg", "row", "in", "same")
ARTICLES = frozenset("the of a an this that these its both all any very following".split())
_BEFORE_LOOP = ARTICLES | {"top", "front", "work"}
LOOP_BEGINS = frozenset("the through blo flo back front both third".split())


def read_loop(c: Cursor) -> str | None:
    """`BLO`, `back loop(s) only`, `both loops`, `front loop of`; None when the cursor is not at one."""
    if not c.is_in(LOOP_BEGINS) and c.peek().kind != "ordinal":
        return None
    at = c.at
    c.take_any("the", "through")
    if token := c.take_if("blo", "flo"):
        c.take_any("only", "lp")
        return LOOPS[str(token.value)]
    third = c.peek().kind == "ordinal" and c.peek().value == 3 and c.peek(1).is_("lp")
    if third or c.is_("back", "front", "both", "third"):
        loop = "third" if third else str(c.peek().value)
        c.take()
        c.take_if("top")
        if c.take_if("lp", "vein", "bump", "bumps"):
            bumps = c.tokens[c.at - 1].is_("bump", "bumps")
            c.take_any("only")
            return "third" if bumps else loop
        if c.take_if("post"):
            return f"{loop} post"
    c.at = at
    return None


def read_other_side(c: Cursor) -> bool:
    """`on the other side of the foundation chain`, `back along the chain`, `working in unused loops`."""
    if c.peek().kind != "word":
        return False
    at = c.at
    c.take_any(
        *("now", "then", "and", "to", "work", "rotate", "turn", "continue", "continuing", "cont", "going", "it"),
        *("so", "that", "around") if c.is_("turn", "rotate") else ("so", "that"),
    )
    back = bool(c.take_if("back"))
    c.take_any("across", "in", "on", "down", "up", "around", "to", "the", "st", "each")
    if c.take_if("other", "underside", "bottom", "unused", "free", "remain"):
        c.take_any("other")
        if c.take_if("side", "edge", "lp", "of") or c.tokens[c.at - 1].is_("underside") or _along_the_bottom(c, at):
            c.take_any(*_SIDE_OF)
            _on_top(c)
            return True
    elif back and c.take_if("ch"):
        return True
    elif back and c.take_all("other", "side"):
        c.take_any(*_SIDE_OF)
        return True
    c.at = at
    return False


def _along_the_bottom(c: Cursor, at: int) -> bool:
    """`along the bottom`, and no more of that."""
    ends = c.done or c.is_(",", ";", ".", ":", "and")
    return ends and c.tokens[c.at - 1].is_("bottom") and any(t.is_("across", "down") for t in c.tokens[at : c.at])


def _on_top(c: Cursor) -> None:
    c.take_all("is|faces", "on|up", "top?")


def leading_loop(c: Cursor) -> str | None:
    loop = None
    while True:
        if not loop_ahead(c):
            c.pass_over(_BEFORE_LOOP)
        if (found := read_loop(c)) is None:
            return loop
        loop = found
        c.take_any("of", "only", "in", "on")


def loop_ahead(c: Cursor) -> bool:
    first = c.is_("back", "front", "both", "third") or (c.peek().kind == "ordinal" and c.peek().value == 3)
    return c.is_("blo", "flo") or (first and c.peek(1).is_("lp", "top", "post", "vein", "bump", "bumps"))
