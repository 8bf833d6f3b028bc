"""Words behind a place that say more of it: `st at base of ch`, `each space between dc`, `ch-3 sp of block`."""

from __future__ import annotations

from coach.notation.cursor import Cursor
from coach.notation.model import SAME, Into

_OF_WHAT = (
    "block blocks square squares shell shells group groups cluster clusters v motif petal fan fans point scallop corner"
).split()


def read_tail(c: Cursor, into: Into) -> Into | None:
    """The place that the words behind it make of one; None (and no move) where none of these follow."""
    at = c.at
    if into.kind == "next" and c.take_all("at", "the?", "base|bottom|foot", "of", "the?", "beg?|first?|turn?"):
        if c.take_if("ch", "tch") or c.take_kind("space"):
            return SAME
    elif into.kind == "space" and c.take_if("between"):  # "a space between 2 dc", "each space between groups"
        c.take_any("any", "each", "next", "the", "last", "first", "and")
        c.take_kind("number")
        if c.take_if("st", *_OF_WHAT) or c.take_kind("stitch"):
            c.take_all("and", "next?|the?", "st?")
            return Into("between")
    elif c.take_all("of", "the?|that?|this?|each?|any?", "next?|previous?|same?|last?") and (c.take_first() or True):
        if c.take_if(*_OF_WHAT):
            return into
    c.at = at
    return None
