"""Names of colours where no verb tells that they are one: `Rnd 1 (red):`, `Row 9 (RS), with A:`, `MC: sc 4`."""

from __future__ import annotations

from coach.notation.cursor import Cursor

_COLOURS = frozenset(
    "amber aqua aquamarine beige black blue bronze brown burgundy charcoal coral cream crimson cyan ecru emerald "
    "fawn gold golden gray green grey indigo ivory khaki lavender lilac magenta maroon mauve mint mustard natural "
    "navy ochre olive orange peach pink plum purple red rose rust salmon sand scarlet silver tan teal terracotta turquoise violet "
    "white yellow".split()
)
_SHADES = frozenset(
    "light lighter lightest dark darker darkest pale paler bright deep soft off mid medium sea sky royal".split()
)
_LETTERS = frozenset("mc cc ca cb cc1 cc2 cc3 a b c d e f".split())


def read_colour(c: Cursor) -> str:
    """Takes the name of a colour, as `color a`, `mc`, `dark green`; gives it, or "" where none stands there."""
    at = c.at
    said = c.take_if("color")
    if (said and c.take_kind("number")) or c.take_if(*_LETTERS):
        return _told(c, at)
    c.take_any(*_SHADES)
    if c.take_if(*_COLOURS):
        c.take_if(*_COLOURS)  # "navy blue"
        return _told(c, at)
    c.at = at
    return ""


def read_titled_colour(c: Cursor) -> str:
    """The colour that what follows is worked in: `MC: sc 4`, `dark green: sc 6`."""
    at = c.at
    if (name := read_colour(c)) and c.take_if(":"):
        return name
    c.at = at
    return ""


def read_labelled_colour(c: Cursor) -> str:
    """The colour of a whole round, behind its number: `(red):`, `(with MC):`, `, with A:`, `in white:`."""
    at = c.at
    c.take_if(",")
    bracket = bool(c.take_if("(", "["))
    led = bool(c.take_if("with", "in", "using"))
    name = read_colour(c) if bracket or led else ""
    if name and (c.take_if(")", "]") if bracket else c.is_(":")):
        return name
    c.at = at
    return ""


def _told(c: Cursor, at: int) -> str:
    return " ".join(str(token.value) for token in c.tokens[at : c.at])
