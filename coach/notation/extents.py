"""How far: `around`, `across`, `to end`, `to last 2 sts`, `to next corner`, `until 9 sts remain`."""

from __future__ import annotations

from coach.notation.cursor import Cursor
from coach.notation.model import Amount, Times

AROUND = Times("fill", 0, said=False)
_EXTENT_FIRST = frozenset(("up", "all", "evenly", "back", "around", "across", "to", "within", "until"))


def read_extent(c: Cursor) -> Times | None:
    """`around`, `across`, `to end`, `to last 2 sts`, `to next corner`, `until 3 sts remain`; None when there is
    none.
    """
    if not c.is_in(_EXTENT_FIRST):
        return None
    at = c.at
    if c.take_all("all", "the?", "way?") and (c.done or c.is_(",", ";", ".")):  # "sc all"
        return AROUND
    if c.take_all("until", "you?", "get|reach|come|are", "back?", "to?|at?", "the?", "end|first|start"):
        c.take_all("of", "the?", "rnd|row|around")
        return AROUND
    c.take_all("up") if c.peek(1).is_("to") else None
    c.take_any("evenly", "back")
    if c.take_if("around", "across"):
        if c.is_("the") and (
            c.peek(1).is_("other") or c.peek(1).kind == "ordinal"
        ):  # "along the other side": no extent
            c.at = at
            return None
        if c.done or c.is_(",", ";", "."):  # as mostly
            return AROUND
        c.take_all("the|this|each", "rnd|row|around|ring|ch|piece")
        c.take_all("of", "the?", "rnd|row|around")
        _all_of_it(c)
        if c.is_("side", "edge") or c.peek(1).is_("side", "edge") and c.is_("the", "this", "left", "right", "long"):
            c.take_any("the", "this", "left", "right", "long", "side", "edge")
        if left := _until_left(c):
            return Times("made", left)
        return _to_last(c) or AROUND
    if c.take_all("to", "the?", "end"):
        c.take_all("of", "the?|each?", "rnd|row|around|ch")
        return AROUND
    if times := _to_last(c):
        return times
    c.at = at
    return None


def _all_of_it(c: Cursor) -> None:
    """`(around) entire blanket`, `the whole outer edge`, `all four sides`."""
    at = c.at
    c.take_if("the")
    while c.is_("entire", "whole", "outer", "outside", "all") or c.at > at and c.peek().value == 4:
        c.take()
    if c.tokens[c.at - 1].is_("entire", "whole", "outer", "outside", "all") or c.tokens[c.at - 1].value == 4:
        if c.take_if("edge", "edges", "side", "sides", "piece", "blanket", "square", "scarf", "work", "body", "border"):
            return
    c.at = at


def _until_left(c: Cursor) -> Amount | None:
    """`until 9 sts remain`."""
    at = c.at
    if c.take_all("until", "only?"):
        number = c.take_kind("number")
        if number and (c.take_if("st", "ch") or c.take_kind("stitch")):
            c.take_any("are", "have", "been")
            if c.take_if("remain"):
                c.take_all("unworked")
                return number.value
    c.at = at
    return None


def _to_last(c: Cursor) -> Times | None:
    at = c.at
    if c.take_all("to|until", "within?", "the?", "last"):
        if c.take_kind("space") or c.is_("sp", "corner", "gap", "block") or c.is_("ch") and c.peek(1).is_("sp"):
            c.take_any("ch", "corner", "sp", "gap", "block")
            return Times("last space")
        number = c.take_kind("number")
        if c.take_if("st", "ch", "sp") or c.take_kind("stitch") or number or c.done or c.is_(",", ".", ";", "and"):
            c.take_all("of", "the?", "end")
            return Times("fill", number.value if number else 1)
    c.at = at
    if c.take_all("to", "within"):
        number = c.take_kind("number")
        if number and (c.take_if("st", "ch") or c.take_kind("stitch")) and c.take_all("of|from?", "the?", "end?"):
            return Times("fill", number.value)
    c.at = at
    if (left := _until_left(c)) is not None:
        return Times("fill", left)
    if c.take_all("to", "the?", "center|middle", "st"):
        return Times("centre")
    if c.take_all("to", "the?", "top?", "of?", "tch"):
        return Times("fill", 1)
    if c.take_if("to", "until"):
        c.take_any("the", "you", "reach")
        _ = c.take_if("next") or c.take_first()
        c.take_kind("number") if c.peek(1).is_("ch") else None  # "up to the 2 chain"
        if c.take_kind("space") or c.is_("sp", "corner", "marker", "ch"):
            c.take_any("sp", "corner", "marker", "ch", "space", "st")
            return Times("space")
    c.at = at
    return None
