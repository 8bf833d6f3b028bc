"""Places in a round further down, which the rounds between have left: `in the back loops of Rnd 4 for 8 sts`, `into the
gap between the shells of Rnd 2`. Only the words tell where."""

from __future__ import annotations

from coach.notation.cursor import Cursor
from coach.notation.model import Amount, Into
from coach.notation.nouns import read_noun
from coach.notation.sides import leading_loop


def read_lower_round(c: Cursor, start: int, loops: bool) -> tuple[Into, Amount | None] | None:
    """(place, how many stitches) behind what is read of it; None (and no move) where no lower round is named. start:
    the token of the preposition; loops: nothing of it is read, and loops may be all that is named."""
    if not loops and not c.is_("between", "of", "from") and not c.tokens[c.at - 1].is_("of"):  # as mostly
        return None
    here = c.at
    if loops:
        c.at = start + 1
        if not leading_loop(c):
            c.at = here
            return None
    if c.take_all("between", "the?|two?", "next?"):
        read_noun(c)
    said = c.take_all("of|from") or c.tokens[c.at - 1].is_("of")
    if not (said and c.take_all("the?", "rnd|row|around") and c.take_kind("number")):
        c.at = here
        return None
    words, number = c.written(start), None
    if c.is_("for") and c.peek(1).kind == "number" and c.take():
        number = c.take().value
        c.take_if("st") or c.take_kind("stitch")
    return Into("named", words=words), number
