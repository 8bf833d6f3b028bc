"""Clauses that stand among instructions and make no stitch: what something is for, what is counted in, where one is."""

from __future__ import annotations

from coach.notation.cursor import Cursor
from coach.notation.model import Action, Node

_ENDS = (",", ";", ".", ")", "]")
_TO_PLACES = (
    "end",
    "last",
    "within",
    "next",
    "corner",
    "first",
    "marker",
    "the",
    "form",
    "close",
    "join",
    "top",
    "work",
    "tch",
)
_SHAPING = ("inc", "dec", "shaping")
_ROUNDS = "spiral|spirals|around|rnd|rows"
FIRST_WORDS = frozenset("forming to coming which including without or for in work continue".split())


def read_aside(c: Cursor) -> list[Node] | None:
    """`including the 3 trebles of shell`, `to widen for center of back`, `or center stitch`, `without widening`, `after
    the 7th treble: 4 chain`; None (and no move) when there is none."""
    at = c.at
    if c.take_all("forming", "a?|an?|the?"):  # "forming a crossed treble"
        return _note(c, at)
    if (
        c.take_all("to", "reach")
        or c.take_all("to", "close", "the")
        and not c.is_("rnd", "around", "ring", "ch", "row")
    ):
        return _note(c, at)
    c.at = at
    if c.take_all("work|continue?", "work?", "in", "a?|continuous?", _ROUNDS) and (c.done or c.is_(*_ENDS)):
        return _note(c, at)  # "working in a spiral"
    c.at = at
    if c.take_all("coming", "back", ":"):  # along what was just made: "9 chain, miss 1 = coming back: 1 single ..."
        return [Action("elsewhere", c.written(at).rstrip(": "))]
    if c.take_all("which", "completes|complete|forms|form"):  # "which completes the mat"
        return _note(c, at)
    if c.take_if("including"):
        return _note(c, at)
    if c.take_if("without") and c.take_if(*_SHAPING):
        return _note(c, at) if c.done or c.is_(*_ENDS) else _back(c, at)
    c.at = at
    if c.take_if("or") and c.is_("center", "middle", "corner", "the"):
        return _note(c, at)
    c.at = at
    if (c.take_if("for") or c.take_if("to") and not c.is_(*_TO_PLACES)) and not c.done and _names_nothing(c):
        return _note(c, at)
    return _back(c, at)


def _names_nothing(c: Cursor) -> bool:
    """Whether the clause names no stitch, no number and no repeat."""
    for i in range(c.at, c.stop):
        token = c.tokens[i]
        if token.is_(*_ENDS):
            return True
        if token.kind in ("stitch", "number", "space", "ordinal") or token.is_(
            "ch", "rep", "turn", "skip", "each", "row", "rnd"
        ):
            return False
    return True


def _note(c: Cursor, at: int) -> list[Node]:
    while not c.done and not c.is_(*_ENDS):
        c.take()
    return [Action("note", c.written(at))]


def _back(c: Cursor, at: int) -> None:
    c.at = at
