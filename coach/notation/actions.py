"""What makes no stitch: turning, joining, rings, markers, colours, fastening off; and remarks in brackets."""

from __future__ import annotations

from coach.notation.cursor import Cursor
from coach.notation.model import Action, Into, Node
from coach.notation.places import PIECES, read_other_side, read_where

_REMARKS = ("counts", "does", "do", "rs", "ws", "this", "these", "note", "not", "right", "wrong", "see", "mark", "marker", "you", "beginning", "optional",
            "made", "including", "now", "both", "should", "stuff", "approximately", "approx", "about")


def read_action(c: Cursor) -> list[Node] | None:
    """One action; None (and no move) when there is none."""
    at = c.at
    for reader in (_ring, _other_side, _turn, _join, _fasten_off, _marker, _colour, _do_not):
        found = reader(c)
        if found is not None:
            return [Action(*found[:2], into=found[2], span=c.span_from(at))] if found[0] else []
        c.at = at
    return None


def _words(c: Cursor, at: int) -> str:
    return " ".join(str(t.value) for t in c.tokens[at:c.at])


def _ring(c: Cursor):
    if c.take_all("mr") or c.take_all("magic|adjustable|sliding", "ring|lp"):
        pass
    elif c.take_all("in?", "a|the", "magic|adjustable", "ring|lp"):
        pass
    elif c.take_all("form|forming", "a|the?", "ring|lp") or c.take_all("to", "form|close", "a|the?", "ring"):
        return ("join", "ring", Into("first"))
    else:
        return None
    if c.peek().kind == "number" and (c.peek(1).kind in ("end",) or c.peek(1).is_(",", ".", "(", ";")):
        return None  # "MR 6" is read as six stitches in the ring
    c.take_any("of")
    return ("ring", "", None)


def _turn(c: Cursor):
    if c.take_all("turn|rotate"):
        c.take_all("the|your", "work")
        c.take_all("work")
        c.take_any("clockwise", "upside", "down", "180", "degrees")
        if c.take_all("so", "that?") or c.take_all("to", "work"):
            at = c.at
            while not c.done and not c.is_(",", ":", ";", "."):
                c.take()
            if any(t.is_("other", "bottom", "underside") for t in c.tokens[at:c.at]):
                return ("other_side", "", None)
        return ("turn", "", None)
    return None


def _join(c: Cursor):
    at = c.at
    slip = c.peek().kind == "stitch" and c.peek().value == "slst" and bool(c.take())
    if slip:
        if c.take_all("to", "join") or c.take_all("join"):
            _joined_to(c)
            return ("join", "", Into("first"))
        where_at = c.at
        preposition = c.is_("in", "to", "on")
        c.take_if("in", "to", "on")
        c.take_any("the")
        if preposition and (c.is_("first", "top", "tch", "beg") or (c.peek().kind == "ordinal" and c.peek(1).is_("ch") and not c.peek(2).is_("from"))
                            or (c.peek().kind == "space" and False)):
            first = c.is_("first", "top", "tch") or c.peek().kind == "ordinal"
            _joined_to(c)
            ring = c.take_all("to?", "form|close|make", "a|the?", "ring|lp|around") or c.take_all("to", "join") or c.take_all("in", "a", "ring")
            if first or ring:
                return ("join", "ring" if ring else "", Into("first"))
        c.at = where_at
        if c.take_all("to", "close") or c.take_all("close"):
            return ("join", "", Into("first"))
        c.at = at
        return None
    if c.take_if("join", "close"):
        if c.is_("color", "new") or (c.peek().kind == "word" and c.peek(1).is_("in") and not c.is_("with", "to", "in", "rnd", "around", "the", "as", "ring", "ch")):
            while not c.done and not c.is_(",", ";", "."):
                c.take()
            return ("colour", _words(c, at), None)
        c.take_all("the?", "rnd|around|ring|ch")
        if c.take_if("with", "by"):
            c.take_any("a")
            c.take_kind("stitch")
        _joined_to(c)
        ring = c.take_all("to?", "form|make|in", "a|the?", "ring|lp|around")
        return ("join", "ring" if ring else "", Into("first"))
    if c.take_all("unite"):
        c.take_any("it", "the", "ends")
        return ("join", "ring", Into("first"))
    return None


def _joined_to(c: Cursor) -> None:
    """`to first st`, `in top of beg ch-3`, `to the first sc of the round`."""
    if not c.take_if("to", "in", "on"):
        if not c.is_("first", "top", "tch"):
            if c.peek().kind != "ordinal":
                return
    for _ in range(12):
        if c.is_("to") and c.peek(1).is_("form", "join", "close", "make"):
            return
        if c.is_("the", "first", "top", "of", "st", "ch", "tch", "sp", "turn", "rnd", "row", "around", "same", "next", "starting", "in", "inc") or (
                c.peek().kind in ("space", "ordinal", "stitch")) or (c.peek().kind == "number" and (c.tokens[c.at - 1].is_("ch", "first") or c.tokens[c.at - 1].is_("of", "the", "in", "to") and c.peek(1).is_("ch"))):
            if c.is_("in", "next") and not c.tokens[c.at - 1].is_("to", "the"):
                return
            if c.is_("turn") and not c.peek(1).is_("ch"):
                return
            if c.is_("ch") and c.peek(1).kind == "number" and not c.tokens[c.at - 1].is_("first", "of", "turn", "the", "to", "in"):
                return
            c.take()
        else:
            return


def _fasten_off(c: Cursor):
    at = c.at
    if c.take_all("fasten", "off") or c.take_all("fo") or c.take_all("finish", "off") or c.take_all("bind", "off") or c.take_all(
            "break", "off|yarn|color") or c.take_all("cut", "the?", "color|yarn"):
        while not c.done and not c.is_(".", ";"):
            c.take()
        return ("fasten_off", _words(c, at), None)
    return None


def _marker(c: Cursor):
    at = c.at
    if c.take_all("pm") or c.take_all("sm") or c.take_all("sl", "marker") or c.take_all("move", "the?", "marker") or c.take_all("work|place?", "a?|the?", "marker") or c.take_all(
            "mark", "this|the|first"):
        while not c.done and not c.is_(",", ";", ".", ")"):
            c.take()
        return ("marker", _words(c, at), None)
    return None


def _colour(c: Cursor):
    at = c.at
    if c.take_all("change|changing|switch", "to?", "color?") or c.take_all("drop") or c.take_all("pick", "up") or c.take_all("carry") or c.take_all("in", "color"):
        pass
    elif c.is_("with", "using") and c.peek(1).kind == "word" and not c.peek(1).is_("a", "the") or (
            c.is_("with", "using") and c.peek(1).is_("a", "the", "b", "c") and (c.peek(2).is_(",", ":", ";") or c.peek(2).is_("color") or c.peek(2).kind == "word")):
        c.take()
        while not c.done and not c.is_(",", ";", ".", ":") and c.peek().kind == "word":
            c.take()
        return ("colour", _words(c, at), None)
    elif c.peek().kind == "word" and c.peek().value in ("mc", "cc", "ca", "cb"):
        c.take()
        c.take_if(":", ",")
        return ("colour", _words(c, at), None)
    else:
        return None
    while not c.done and not c.is_(",", ";", ".", ")"):
        c.take()
    return ("colour", _words(c, at), None)


def _other_side(c: Cursor):
    return ("other_side", "", None) if read_other_side(c) else None


def _do_not(c: Cursor):
    if c.take_all("do|don't", "not?", "join|turn|stuff|fasten|cut|break|close|skip|work"):
        while not c.done and not c.is_(",", ";", "."):
            c.take()
        return ("", "", None)
    if c.take_all("without", "join|turn"):
        return ("", "", None)
    return None


def read_counts(c: Cursor) -> tuple[bool | None, str | None]:
    """`(counts as first dc)`, `(does not count as a st)`, `counts as dc`; (None, None) when nothing is said."""
    at = c.at
    bracket = bool(c.take_if("("))
    if not bracket:
        c.take_if(",")
    c.take_any("this", "which", "here", "and", "always", "ch", "turn", "tch", "now") or c.take_kind("space")
    c.take_any("will", "now", "always")
    counts: bool | None = None
    stands_for = None
    if c.take_if("does", "do", "doesn't", "not", "never"):
        c.take_if("not")
        if c.take_if("counts"):
            counts = False
    elif c.take_if("counts", "stands", "equals", "represents", "="):
        counts = True
    if counts is None:
        c.at = at
        return None, None
    depth = 0
    while not c.done:
        if bracket and c.is_("("):
            depth += 1
        if c.is_(")"):
            if bracket and depth == 0:
                c.take()
                break
            if not bracket:
                break
            depth -= 1
        if not bracket and c.is_(",", ";", "."):
            break
        token = c.take()
        if counts and token.kind == "stitch" and stands_for is None:
            stands_for = str(token.value)
            if not bracket and c.is_("in", "and"):
                break
        if token.is_("+", "and") and not bracket:
            break
    return counts, stands_for


def is_remark(c: Cursor, close: int) -> bool:
    """Whether the bracket that ends at token `close` holds a remark and no instruction."""
    first = c.peek()
    if first.kind == "word" and first.value in _REMARKS:
        return True
    if not any(t.kind in ("stitch", "space") or t.is_("ch", "inc", "dec", "turn", "skip") for t in c.tokens[c.at:close]):
        return not (first.kind == "number" and close - c.at == 1 and False)
    return False


__all__ = ["is_remark", "read_action", "read_counts", "read_where"]
