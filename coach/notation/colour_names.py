"""Names of colours where no verb tells that they are one: `Rnd 1 (red):`, `Row 9 (RS), with A:`, `MC: sc 4`; and where
the stitches come first: `sc 9 (white)`, `6 sc with A`."""

from __future__ import annotations

import re

from coach.notation.cursor import Cursor
from coach.notation.lexer import Token

_COLOURS = frozenset(
    "amber aqua aquamarine beige black blue bronze brown burgundy cerise charcoal claret coral cream crimson cyan ecru "
    "emerald fawn gold golden gray green grey indigo ivory khaki lavender lilac magenta maroon mauve mint mustard "
    "natural navy ochre olive orange peach pink plum purple red rose rust salmon sand scarlet silver tan teal "
    "terracotta turquoise violet white yellow".split()
)
_SHADES = frozenset(
    "light lighter lightest dark darker darkest pale paler bright deep soft off mid medium sea sky royal".split()
)
_LED = ("with", "in", "using")
_PLACES = ("in", "to", "around", "across", "on", "over", "each")
_MARKS = (",", ";", ".", ":")
_OPENING = ("(", "[", "{")
_CLOSING = (")", "]", "}")
_LETTERS = frozenset("mc cc ca cb cc1 cc2 cc3 a b c d e f".split())
_NAMES = _LETTERS | _COLOURS | {"color"}  # a name of a colour has one of these
FIRST_WORDS = _NAMES | _SHADES


def read_colour(c: Cursor) -> str:
    """Takes the name of a colour, as `color a`, `mc`, `dark green`; gives it, or "" where none stands there."""
    if not c.is_in(FIRST_WORDS):
        return ""
    at = c.at
    said = c.take_if("color")
    if (said and c.take_kind("number")) or c.take_in(_LETTERS):
        return _told(c, at)
    c.pass_over(_SHADES)
    if c.take_in(_COLOURS):
        c.take_in(_COLOURS)  # "navy blue"
        return _told(c, at)
    c.at = at
    return ""


def is_colour(word: str) -> bool:
    """Whether a word by itself names a colour or a yarn."""
    return word in _COLOURS or word in _LETTERS


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
    if _NAMES.isdisjoint([token.value for token in tokens]):
        return tokens
    c = Cursor(tokens)
    out: list[Token] = []
    begins = [0]  # where in `out` the clause began, for each open bracket
    while not c.done:
        at = c.at
        begun = out[begins[-1] :]
        if name := _clause_colour(c, text, begun):
            here = begins[-1] if _works(begun) or _counts(begun) else len(out)
            place = out[here].start if here < len(out) else tokens[at].start
            end = place if here < len(out) else tokens[c.at - 1].end
            words = ["with", *(token.value for token in name), ","]
            out[here:here] = [Token("mark" if w == "," else "word", w, place, end) for w in words]
            begins[-1] = here + len(words) if here + len(words) == len(out) else begins[-1]
            if _counts(begun) and not _follows(c):  # "sc 9 red, 9 white"
                out.append(Token("word", "st", out[-1].end, out[-1].end))
            continue
        token = c.take()
        out.append(token)
        if token.is_(*_OPENING):
            begins.append(len(out))
        elif token.is_(*_CLOSING):
            _ = len(begins) > 1 and begins.pop()
        elif (
            token.is_(*_MARKS)
            or (token.kind == "mark" and str(token.value)[0] in "*†")
            or _goes_on(c, -1)
            or token.is_("x")
            and len(out) == begins[-1] + 1  # a cross that marks a repeat
        ):
            begins[-1] = len(out)
    return out


def _clause_colour(c: Cursor, text: str, begun: list[Token]) -> list[Token]:
    """Takes the colour of a clause, wherever it stands: `(red)`, `with A`, `in blue sc 6`, `red sc 6`, `6 red sc`,
    `sc in red 6`, `sc 6 red`; gives the words of the name."""
    at = c.at
    bracket = bool(c.take_if("(", "["))
    led = c.take_if(*_LED)
    named = c.at
    if read_colour(c) and _is_colour(c.tokens[named : c.at], text, bracket or bool(led)):
        name = c.tokens[named : c.at]
        if bracket:
            fits = c.take_if(*_CLOSING)
        elif not begun or all(t.kind in ("number", "stitch") for t in begun):  # stitches and numbers may follow
            told = led or begun or c.tokens[named].is_("color") and len(name) > 1  # "Colour B. Join in ..."
            fits = _follows(c) or told and _ends(c) or begun and led and c.is_(*_PLACES)
            if (
                not fits and not led and _counts(begun) and c.is_("in", "on", "work", "(")
            ):  # "2 red in 1", "1 red on next"
                fits = not c.take_if("work") or c.is_("in", "on")
        else:
            fits = (led or _works(begun)) and _ends(c)
        if fits:
            _ = begun or c.take_if(",", ":")
            return name
    c.at = at
    return []


def _is_colour(name: list[Token], text: str, told: bool) -> bool:
    """Whether words are meant as a colour: a letter is one where it is told with a bracket or a preposition, or the
    pattern says elsewhere that it is a yarn."""
    written = text[name[-1].start : name[-1].end]
    if len(written) > 1:
        return True
    return written.isupper() and (told or len(name) > 1 or _is_yarn(name[0], text))


def _ends(c: Cursor) -> bool:
    return c.done or c.is_(*_MARKS, *_CLOSING) or _goes_on(c)


def _follows(c: Cursor) -> bool:
    """Whether something to work is next."""
    return c.peek().kind in ("number", "stitch") or c.is_("inc", "dec")


def _counts(clause: list[Token]) -> bool:
    return len(clause) == 1 and clause[0].kind == "number"


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
    starts = first is not None and (first.kind in ("number", "stitch") or first.is_("ch", "inc", "dec", *_OPENING))
    stitches = [t for t in clause if t.kind == "stitch" or t.is_("ch", "inc", "dec")]
    return starts and bool(stitches) and all(t.value != "slst" for t in stitches)


def _told(c: Cursor, at: int) -> str:
    return " ".join(str(token.value) for token in c.tokens[at : c.at])
