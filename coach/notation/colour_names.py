"""Names of colours where no verb tells that they are one: `Rnd 1 (red):`, `Row 9 (RS), with A:`, `MC: sc 4`; and where
the stitches come first: `sc 9 (white)`, `6 sc with A`."""

from __future__ import annotations

import re

from coach.notation.cursor import Cursor
from coach.notation.lexer import Token

_COLOURS = frozenset(
    "amber aqua aquamarine beige black blue bronze brown burgundy charcoal coral cream crimson cyan ecru emerald "
    "fawn gold golden gray green grey indigo ivory khaki lavender lilac magenta maroon mauve mint mustard natural "
    "navy ochre olive orange peach pink plum purple red rose rust salmon sand scarlet silver tan teal terracotta "
    "turquoise violet white yellow".split()
)
_SHADES = frozenset(
    "light lighter lightest dark darker darkest pale paler bright deep soft off mid medium sea sky royal".split()
)
_SINGLE = frozenset("abcdef")
_LED = ("with", "in", "using")
_ENDS = (",", ";", ".", ":")
_OPENING = ("(", "[", "{")
_CLOSING = (")", "]", "}")
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
    led = bool(c.take_if(*_LED))
    name = read_colour(c) if bracket or led else ""
    if name and (c.take_if(")", "]") if bracket else c.is_(":")):
        return name
    c.at = at
    return ""


def colours_first(tokens: list[Token], text: str) -> list[Token]:
    """The tokens of a round with every colour before the stitches that are worked in it, as `with red,`.

    A colour in brackets before stitches is for what follows (`(MC) sc 6`); behind stitches, in brackets or not, it is
    for these (`sc 9 (white)`, `6 sc with A`).
    """
    c = Cursor(tokens)
    out: list[Token] = []
    begins = [0]  # where in `out` the clause began, for each open bracket
    while not c.done:
        at = c.at
        begun = out[begins[-1] :]
        if name := _led_colour(c, text, bool(begun)):
            here = begins[-1] if _works(begun) else len(out)
            place = out[here].start if here < len(out) else tokens[at].start
            end = place if here < len(out) else tokens[c.at - 1].end
            words = ["with", *(token.value for token in name), ","]
            out[here:here] = [Token("mark" if w == "," else "word", w, place, end) for w in words]
            begins[-1] = here + len(words) if here + len(words) == len(out) else begins[-1]
            continue
        token = c.take()
        out.append(token)
        if token.is_(*_OPENING):
            begins.append(len(out))
        elif token.is_(*_CLOSING):
            _ = len(begins) > 1 and begins.pop()
        elif token.is_(*_ENDS) or (token.kind == "mark" and str(token.value)[0] in "*†") or _goes_on(c, -1):
            begins[-1] = len(out)
    return out


def _led_colour(c: Cursor, text: str, begun: bool) -> list[Token]:
    """Takes `(red)`, `[in white]`, or where its clause ends `with A`, `in blue`; gives the words of the name."""
    at = c.at
    bracket = bool(c.take_if("(", "["))
    led = c.take_if(*_LED)
    named = c.at
    if (bracket or led) and read_colour(c):
        name = c.tokens[named : c.at]
        written = text[name[-1].start : name[-1].end]
        ends = c.take_if(*_CLOSING) if bracket else c.done or c.is_(*_ENDS, *_CLOSING) or _goes_on(c)
        if ends and (len(written) > 1 or written.isupper()):
            _ = begun or c.take_if(",", ":")
            return name
    c.at = at
    letter = c.peek()
    if not begun and letter.value in _SINGLE and c.peek(1).kind in ("number", "stitch") and _is_yarn(letter, text):
        return [c.take()]  # "A 6 sc, B 6 sc"
    return []


def _goes_on(c: Cursor, ahead: int = 0) -> bool:
    """Whether `and 6 sc` is next."""
    return c.peek(ahead).is_("and", "then") and c.peek(ahead + 1).kind in ("number", "stitch")


def _is_yarn(letter: Token, text: str) -> bool:
    """Whether the pattern says elsewhere that this capital is a yarn: `with A`, `colour B`, `A: red`."""
    name = text[letter.start : letter.end]
    said = rf"\b(?i:with|to|colou?r|yarn) {name}\b|\b{name} ?[:=]"
    return name.isupper() and re.search(said, text) is not None


def _works(clause: list[Token]) -> bool:
    """Whether a clause begins with stitches, and so is no joining, change or ending that names its yarn."""
    first = clause[0] if clause else None
    starts = first is not None and (first.kind in ("number", "stitch") or first.is_("inc", "dec", *_OPENING))
    stitches = [t for t in clause if t.kind == "stitch" or t.is_("inc", "dec")]
    return starts and bool(stitches) and all(t.value != "slst" for t in stitches)


def _told(c: Cursor, at: int) -> str:
    return " ".join(str(token.value) for token in c.tokens[at : c.at])
