"""The middle of something: `in center stitch` (of the row), `in the centre stitch of each loop`, `in centre of 1st
loop`, `on the second of the 3 plain that form the corner`, `on the centre one of 5`."""

from __future__ import annotations

from coach.notation.cursor import Cursor
from coach.notation.extents import AROUND
from coach.notation.model import Group, Into, Node, Repeat, Stitch

_SPACES = ("lp", "sp", "arch", "arches")
_GROUPS = (
    "scallop",
    "scallops",
    "corner",
    "group",
    "groups",
    "petal",
    "petals",
    "shell",
    "point",
    "points",
    "increase",
    "inc",
)
_PLAIN = ("sc", "hdc", "dc", "tr", "dtr", "trtr", "slst")
ROW, EACH_GROUP, SPACE, NEXT_ONE = Into("centre"), Into("middle"), Into("space"), Into()
FIRST = Into("first")
MOST = 12  # stitches in one middle stitch


def read_centre(c: Cursor) -> tuple[Into, bool] | None:
    """(the place, whether it is in each of several) where the middle of something is named; None (and no move)
    otherwise."""
    at = c.at
    c.take_any("the", "very")
    found = _second_of_three(c) or _middle(c)
    if found is None:
        c.at = at
    return found


def _middle(c: Cursor) -> tuple[Into, bool] | None:
    if not c.take_if("center", "middle"):
        return None
    stitch = c.take_if("st") or c.take_kind("stitch")
    if not stitch and c.peek().value == 1:  # "the centre one of 5"
        c.take()
    if c.take_if("of"):
        c.take_any("the")
        each = bool(c.take_if("each"))
        c.take_any("next", "small", "large", "first", "same")
        ordinal = c.take_kind("ordinal")
        if not stitch and not each and c.take_kind("number") and not c.is_("ch", "st"):  # "on centre of 5"
            return NEXT_ONE, False
        if c.take_if("ch"):
            c.take_if(*_SPACES)
            return SPACE, each
        if c.take_if(*_SPACES):
            return (EACH_GROUP if stitch else SPACE), each
        own = stitch and c.peek().kind == "stitch" and c.peek().value not in _PLAIN  # "centre dc of shell"
        if c.take_if(*_GROUPS) or own and c.take():
            return EACH_GROUP, each
        if stitch and not ordinal and not each and c.take_if("row", "rnd", "around"):
            return ROW, False
        return None
    return (ROW, False) if stitch else None


def read_but_middle(c: Cursor, nodes: list[Node]) -> list[Node] | None:
    """`(1 s.c. in every one but) the middle stitch, in which you work 3`, behind what goes all the way."""
    before = nodes[-1] if nodes else None
    at = c.at
    if not c.take_all("the?", "middle|center", "st", ",?", "in", "which", "you?", "work"):
        return None
    number = c.take_kind("number")
    one = before.body[0] if isinstance(before, Repeat) and before.times == AROUND and len(before.body) == 1 else None
    if number is None or not isinstance(one, Stitch) or not isinstance(number.value, int) or number.value > MOST:
        c.at = at
        return None
    return [Group((one,) * number.value, ROW, c.span_from(at))]


def where_the_first(c: Cursor) -> Into | None:
    """`the stitch on which the two first plain are worked`: the first of the round."""
    at = c.at
    if c.take_all("the?", "st", "on|in", "which", "the?"):
        c.take_kind("number")
        first = c.take_kind("ordinal") or c.take_if("first")
        c.take_kind("number")
        stitch = first and (c.take_kind("stitch") or c.take_if("st"))
        if stitch and c.take_all("are|were|is|was", "work"):
            return FIRST
    c.at = at
    return None


def _second_of_three(c: Cursor) -> tuple[Into, bool] | None:
    """`the second of the 3 plain that form the corner`: of each corner."""
    ordinal = c.take_kind("ordinal")
    if not ordinal or not isinstance(ordinal.value, int) or not c.take_all("st?", "of", "the?"):
        return None
    number = c.take_kind("number")
    if number is None or number.value != 2 * ordinal.value - 1 or not (c.take_kind("stitch") or c.take_if("st")):
        return None
    if not c.take_all("that|which", "form|forms", "the|each|a", "corner"):
        return None
    return EACH_GROUP, True
