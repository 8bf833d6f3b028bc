"""Pieces that are made before and worked onto: `of first leg`, `around leg 2`, `across arm 1`."""

from __future__ import annotations

from coach.notation.cursor import Cursor
from coach.notation.model import Into

PIECES = frozenset("leg arm piece wing ear foot half strap thumb sleeve section legs pieces arms".split())
_WHICH = {"first": 1, "next": 2, "other": 2}


def of_a_piece(c: Cursor) -> Into | None:
    """A piece behind `of`, `around`, `on` ...; None (and no move) where there is none."""
    at = c.at
    if c.take_all("of|around|on|from|to|in|across") and (piece := named_piece(c, at)) is not None:
        return piece
    c.at = at
    return None


def named_piece(c: Cursor, at: int) -> Into | None:
    """The piece at the cursor, its words from token `at` on; None (and no move) where none is named. Its number is that
    of `leg 2`, of `second leg`."""
    start = c.at
    c.take_if("the")
    said = c.at
    which = c.take_if("first", "next", "other", "remain", "right")  # "left" is read as "remaining"
    ordinal = c.take_kind("ordinal")
    if not c.take_in(PIECES):
        c.at = start
        return None
    number = _WHICH.get(str(which.value)) if which else ordinal.value if ordinal else None
    behind = c.peek(1)
    alone = behind.kind == "end" or behind.is_(",", ";", ".", ")", "(", "with", "and", "for", "around", "in")
    if c.peek().kind == "number" and isinstance(c.peek().value, int) and alone:
        number = c.take().value
    around = c.tokens[at].is_("around", "across", "in") or at == start
    words = c.written(said)
    return Into("piece", number, words=f"{'around' if around else 'on'} {words[:1].lower()}{words[1:]}")
