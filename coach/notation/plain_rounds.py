"""Rounds of one stitch, told without a label: `Work 3 more rounds of hdc`, `Sc in each st around for 4 rounds`."""

from __future__ import annotations

import re

from coach.notation.cursor import Cursor
from coach.notation.lexer import Token
from coach.notation.model import Amount
from coach.notation.references import Reference
from coach.notation.words import NUMBER_WORDS

_PLAIN = frozenset(("sc", "hdc", "dc", "tr", "dtr", "trtr"))
_ROWS = ("row", "rnd", "around")  # the lexer reads "rounds" as "around"

_TELLS = re.compile(
    r"\W*+(?:now |then )?(?:work|continue|cont|crochet|sc|hdc|dc|d?tr|htr|half|single|double|treble)\b"
    rf"[^.;\n]{{0,60}}?\b(?:\d{{1,3}}|{'|'.join(NUMBER_WORDS)})(?: ?\([\d, /]{{1,20}}\))?(?: more)? "
    r"(?:rows?|rounds?|rnds?)\b",
    re.IGNORECASE,
)


def tells_rounds(sentence: str) -> bool:
    """Whether a sentence tells to work several rounds, in whatever words."""
    return bool(_TELLS.match(sentence))


def read_plain_rounds(tokens: list[Token], text: str, start: int) -> Reference | None:
    """So many rounds more with one stitch in each; None where a sentence says anything else. text: the sentence; start:
    its offset, as that of its tokens."""
    c = Cursor(tokens)
    c.take_any("work", "continue", "continuing", "now", "then")
    if rows := _rows(c):
        c.take_any("evenly", "straight")
        stitch = c.take_kind("stitch") if c.take_if("of", "in") else None
        _in_each(c)
    else:
        c.take_any("evenly", "in")
        stitch = c.take_kind("stitch")
        _in_each(c)
        if c.peek(1).is_("for") or c.peek(1).kind == "number":  # "sc around for 3 rows"
            c.take_if("around", "across")
        c.take_any(",", "for", "a", "total", "of", "the", "next", "another")
        rows = _rows(c)
    c.take_any("evenly", "straight", "only", "more")
    if not stitch or not rows or stitch.value not in _PLAIN or not (c.done or c.is_(".", "(", "[")):
        return None
    rest = text[c.tokens[c.at - 1].end - start :]
    return Reference(last=1, even=True, rows=rows, of=str(stitch.value), rest=rest)


def _in_each(c: Cursor) -> None:
    if c.take_all("in", "each", "st|sc|hdc|dc|tr") or c.take_all("in", "each") and c.take_kind("stitch"):
        c.take_any("across", "evenly")
        c.take_if("around")
    c.take_any("evenly", "straight")


def _rows(c: Cursor) -> Amount | None:
    """`3 rounds`, `3 (4, 5) more rows`: how many; None (and no move) where it is not said."""
    at = c.at
    number = c.take_kind("number")
    if number:
        c.take_any("more", "further")
        if c.take_if(*_ROWS):
            return number.value
    c.at = at
    return None
