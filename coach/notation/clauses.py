"""Where a clause begins and ends."""

from __future__ import annotations

from coach.notation.cursor import Cursor
from coach.notation.words import CANONICAL

OPENING = ("(", "[", "{")
_CLAUSE_ENDS = (",", ";", ".", ":", ")", "]", "*", "and", "then", "work", "around", "across", "rep", "=", "—")


def clause_ends(c: Cursor) -> bool:
    """Whether a clause ends here."""
    return c.done or c.is_(*_CLAUSE_ENDS)


def pass_over_title(c: Cursor) -> None:
    """`Darkest pink: make 41 ch`: a word or two that name what follows."""
    if c.is_("work") and c.peek(1).is_(","):  # "Work, 1 chain ..."
        c.at += 2
    words = 0
    while c.peek(words).kind == "word" and c.peek(words).value not in CANONICAL and words < 4:
        words += 1
    if 0 < words < 4 and (c.peek(words).is_(":") or c.peek(words).is_(".") and c.peek(words + 1).is_("-", "—")):
        c.at += words + 1  # "Darkest pink:", "Insertion.--"


def end_of_place(c: Cursor) -> int:
    """Where what goes into a place said first ends: at its bracket, or before the next stitch with a place of its
    own.
    """
    if c.is_(*OPENING):
        close = c.closing()
        return close + 1 if close is not None else c.stop
    cut = c.at
    for i in range(c.at, c.stop):
        if c.tokens[i].kind not in ("word", "mark"):
            continue
        if c.tokens[i].is_(".", ";", "*", "rep"):
            return i - (i > c.at and c.tokens[i - 1].is_("and"))
        if c.tokens[i].is_("turn", "join") and i > c.at:
            return i - c.tokens[i - 1].is_(",", "and")
        if c.tokens[i].is_(","):
            cut = i
        elsewhere = c.tokens[i].is_("on") and c.tokens[i - 1].is_("then", ",")
        if (c.tokens[i].is_("in") or elsewhere) and cut > c.at:
            return cut
    return c.stop
