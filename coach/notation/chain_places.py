"""Places that chains make: the top of a turning chain, the space over so many, the third chain from here."""

from __future__ import annotations

from coach.notation.clauses import clause_ends
from coach.notation.cursor import Cursor
from coach.notation.extents import AROUND, read_extent
from coach.notation.model import Amount, Into, Times


def over_chains(c: Cursor) -> Amount | None:
    """`over 2 chain`, `under next 1 chain`, `in 1 chain`: the space that they make."""
    at = c.at
    c.take_any("the", "next")
    number = c.take_kind("number")
    if number and c.take_if("ch") and clause_ends(c):
        return number.value
    c.at = at
    return None


def top_of_this(c: Cursor) -> Into | None:
    """`in the top of this treble stitch`: of the stitch just made."""
    at = c.at
    if c.take_all("the?", "top", "of", "this|that") and c.take_kind("stitch"):
        c.take_if("st")
        return Into("own", words=c.written(at - 1))
    c.at = at
    return None


def is_counted_loop(c: Cursor) -> bool:
    """`into 3rd loop`: the third chain from here, not a third loop of the stitch."""
    if not c.at or c.peek().kind != "ordinal" or not c.peek(1).is_("lp"):
        return False
    into = c.text[c.tokens[c.at - 1].start : c.tokens[c.at - 1].end].lower() == "into"
    return into and (c.peek(2).kind == "end" or c.peek(2).is_(","))


def top_of_chain(c: Cursor) -> Into | None:
    """`in top of 3ch`, `in the top of the turning ch-3`: the top of the chain that the row below starts with."""
    at = c.at
    c.take_if("the")
    if c.take_all("top", "of"):
        c.take_any("the", "beg", "first", "start", "starting", "turn", "previous", "last", "skip", "your")
        number = c.take_kind("space") or c.take_kind("number")
        chain = c.take_if("ch", "tch") or (number is not None and number.kind == "space")
        number = number or (c.take_kind("number") if chain else None)
        if chain and not c.is_("sp", "lp"):
            c.take_all("of", "last|previous", "row|rnd")
            return Into("tch", number.value if number and isinstance(number.value, int) else None)
    c.at = at
    return None


def each_following(c: Cursor) -> Times | None:
    """`in each following (to the end)`."""
    at = c.at
    c.take()
    if (extent := read_extent(c)) is not None or clause_ends(c):
        return extent or AROUND
    c.at = at
    return None
