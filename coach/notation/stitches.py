"""The words of one stitch: `sc`, `2 dc in next st`, `sc 3`, `6 inc`, `dc2tog`, `sc in BLO of each st around` ..."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

from coach.notation.building import Context, Own
from coach.notation.cursor import Cursor
from coach.notation.edges import (
    Side,
    over_rows,
    read_opening,
    read_per_rows,
    read_picked_up,
    read_side,
    read_spread,
    read_told_before,
    read_told_of_rows,
)
from coach.notation.extents import AROUND, read_extent
from coach.notation.lexer import Token
from coach.notation.model import NEXT, SAME, Action, Amount, Group, Into, Node, Repeat, Skip, Span, Times
from coach.notation.pieces import of_a_piece
from coach.notation.places import Where, of_a_round, read_where
from coach.notation.repeats import read_times
from coach.notation.sides import LOOP_BEGINS, read_loop

OPENING = ("(", "[", "{")
FIRST_WORDS = LOOP_BEGINS | frozenset("plain inc dec picot".split())
SEPARATORS = frozenset((",", ";", ".", "and", "then", "&", ":", "+", "—", "=", "now", "also", "/", "-", "but"))


def read_stitch(c: Cursor, ctx: Context, loop: str | None = None) -> list[Node] | None:
    """One stitch with its numbers and its place; None when there is none."""
    at = c.at
    before = c.take_kind("number")
    if before and before.value == 1 and c.take_all("around|rnd|row", "of"):  # "1 round of sc evenly around"
        before = None
    if before:
        c.take_if("more", "x", "times")
        if c.is_(*OPENING):
            return None
    c.take_any("plain")
    loop = loop or _loop_before(c)
    unit = _unit(c, ctx, bool(before))
    if unit is None:
        return None
    if unit not in ("inc", "dec", "invdec"):
        ctx.last = unit
    elif c.peek().kind == "number" and c.peek(1).is_("st") and c.peek(2).is_("from"):
        return None  # "narrow 11 stitches from middle of toe": where, not how many
    if not c.is_("in"):  # as it mostly is
        c.take_any("loosely", "tightly", "firmly")
        c.take_all("as", "before")
        c.take_all("close", "together", ",?")
    back = c.peek(1).is_("in", "on") and c.take_if("back")
    after = _number_after(c) if not before else None
    if before and isinstance(before.value, int) and c.take_if("together"):  # "3 dc tog"
        unit, before = f"{unit}{before.value}tog", None
    if unit.endswith("tog") and c.is_("all") and c.peek(1).is_("in", "on"):  # "dc3tog all in next st"
        c.take()
    if together := _together(c, unit):
        unit, before, after = together, None, None
    if loop is None and (loop := read_loop(c)):
        c.take_if("of")
    loop = loop or ctx.loop
    count = before or after
    amount = count.value if count else 1
    if times := (read_times(c, not ctx.starred) if not count or c.is_("x", "times", "*") else None):
        return _so_many_times(c, ctx, unit, times, loop, at)
    if (piece := of_a_piece(c)) is not None:
        around = piece.words.startswith("around ") and not count
        one = ctx.one(unit, piece, loop, c.span_from(at))
        if around:
            return [Repeat((one,), AROUND, None, c.span_from(at))]
        return [one] if amount == 1 and not count else [Repeat((one,), Times("exact", amount), None, c.span_from(at))]
    if before and amount != 1 and _on_the_next(c):  # "4 plain on the next stitches"
        return ctx.counted(unit, amount, loop, c.span_from(at))
    if ctx.row_ends and (told := read_told_rows(c)) is not None:
        return ctx.worked(unit, amount, bool(count), told, loop, c.span_from(at))
    if (side := read_side(c, bool(count)) or (read_spread(c) if ctx.row_ends else None)) is not None:
        told = read_told_of_rows(c) if side.into.kind == "side" and not count else None
        if told is not None:
            along = _each_row(ctx, told[0] or unit, told[1], told[2], loop, c.span_from(at))
            return [along] if side.times == 1 else [Repeat((along,), Times("exact", side.times), None, along.span)]
        return _along(ctx, unit, amount if count else None, side, loop, c.span_from(at))
    if count and isinstance(amount, int) and amount > 0 and (rows := read_per_rows(c)) is not None:
        return [_each_row(ctx, unit, amount, rows, loop, c.span_from(at))]
    if count and (opening := read_opening(c)) is not None:
        return [Repeat((ctx.one(unit, opening, loop, c.span_from(at)),), Times("exact", amount), None, c.span_from(at))]
    where = read_where(c) if unit == "slst" or not c.is_("to") else None  # "sc to next corner" says how far
    if where is not None and count and where == Where(NEXT, where.loop) and _ends_with_a_loop(c):
        return ctx.counted(unit, amount, where.loop or loop, c.span_from(at))  # "4 sc in back loops"
    if where is None:
        of_a_round(c)  # "12 stars in the row"
        if extent := (read_extent(c) if not count or before else None):  # "2 sc around": so many in each
            one = ctx.many(unit, amount, NEXT, loop, c.span_from(at))
            return [_filled(one, extent, ctx.takes(unit), c.span_from(at))]
        return ctx.counted(unit, amount, loop, c.span_from(at))
    if back and where.into.kind == "first":  # "a treble back in 1st stitch": in the one that was skipped
        where = Where(SAME)
    found = ctx.worked(unit, amount, bool(count), where, loop, c.span_from(at))
    found += more_places(c, lambda w, s: ctx.worked(unit, amount if before else 1, bool(before), w, loop, s))
    if len(found) == 1 and not isinstance(found[0], Repeat):
        extent = None
        times = read_times(c, not ctx.starred) or (extent := read_extent(c) if where.fill is None else None)
        if times:
            return [Repeat(tuple(found), times, None, c.span_from(at))]
    return found


def _along(ctx: Context, unit: str, amount: Amount | None, side: Side, loop: str, span: Span) -> list[Node]:
    """So many of a stitch (None: not said) along an edge, or along each of several."""
    times = AROUND if amount is None else Times("exact", amount)
    along: Node = Repeat((ctx.one(unit, side.into, loop, span),), times, None, span)
    found = [along] if side.times == 1 else [Repeat((along,), Times("exact", side.times), None, span)]
    return [Action("other_side", span=span), *found] if side.bottom else found


def _each_row(ctx: Context, unit: str, many: int, rows: int, loop: str, span: Span) -> Repeat:
    """So many of a stitch for the ends of so many rows, all along."""
    body: list[Node] = [
        ctx.many(unit, n, Into("row end"), loop, span) if n else Skip(span=span) for n in over_rows(many, rows)
    ]
    return Repeat(tuple(body), AROUND if len(body) == 1 else replace(AROUND, partly=True), None, span)


def read_told_rows(c: Cursor) -> Where | None:
    """`in each row`, where it is told before that the work goes along the ends of rows."""
    at = c.at
    if c.take_all("in|on", "each|the", "row") and not c.is_("end", "side", "edge"):
        return Where(Into("row end"), fill=AROUND)
    c.at = at
    return None


def read_along_rows(c: Cursor, ctx: Context) -> list[Node] | None:
    """`working in ends of rows`, told before what goes there; `pick up 20 sts along the side`."""
    at = c.at
    if read_told_before(c):
        ctx.row_ends = True
        return []
    if (found := read_picked_up(c, ctx.main)) is None:
        return None
    unit, amount, into = found
    ctx.last = unit
    return _along(ctx, unit, amount, Side(into), ctx.loop, c.span_from(at))


def _ends_with_a_loop(c: Cursor) -> bool:
    return c.tokens[c.at - 1].is_("lp", "blo", "flo", "only")


def _on_the_next(c: Cursor) -> bool:
    """Takes `on the next stitches`: as many as are made."""
    at = c.at
    if c.take_all("in|on|over", "the?", "next", "st") and c.tokens[c.at - 1].end - c.tokens[c.at - 1].start > 2:
        if c.text[c.tokens[c.at - 1].start : c.tokens[c.at - 1].end].lower() in ("sts", "stitches"):
            return True
    c.at = at
    return False


def _filled(one: Node, extent: Times, takes: int, span: Span) -> Repeat:
    """`sc2tog until 9 sts remain` leaves nine in all, `sc until 9 sts remain` nine of the round below."""
    return Repeat((one,), extent if takes > 1 or extent.kind != "made" else Times("fill", extent.amount), None, span)


def _so_many_times(c: Cursor, ctx: Context, unit: str, times: Times, loop: str, at: int) -> list[Node]:
    where = read_where(c)
    span = c.span_from(at)
    if where is None or where.count is not None or where.fill is not None:
        if where is not None:
            return [Repeat(tuple(ctx.worked(unit, 1, False, where, loop, span)), times, None, span)]
        return [Repeat((ctx.one(unit, NEXT, loop, span),), times, None, span)]
    if where.into.kind in ("ring", "next"):  # "sc 6 times in magic ring"
        return [Repeat((ctx.one(unit, where.into, loop, span),), times, None, span)]
    return [Group((Repeat((ctx.one(unit, NEXT, loop, span),), times, None, span),), where.into, span)]


def _unit(c: Cursor, ctx: Context, counted: bool) -> str | None:
    """What is worked: a name, or after a number the stitch named before (`2 in next`)."""
    named = _name(c, counted)
    if named is not None:
        c.take_if("st")
        if c.is_("(") and named not in ("inc", "dec"):
            _define(c, ctx, named)
        if named == "picot" and c.is_("(") and c.peek(1).is_("ch") and (close := c.closing()):  # how it is worked
            c.at = close + 1
        return None if counted and c.is_("of") and c.peek(1).is_(*OPENING) else named  # "1 shell of [3 dc, 1 ch, 3 dc]"
    if not counted:
        return None
    if c.is_("st") and c.peek(1).is_("of") and c.peek(2).kind == "stitch":  # "30 stitches of double crochet"
        c.take(), c.take()
        return _name(c)
    if ctx.last and c.is_("in", "on", "over") and not c.peek(1).is_("rnd", "row"):
        return ctx.last
    if c.is_("in") and c.peek(1).is_("each", "next"):  # "carry on with 1 in each": the stitch of the rounds before
        return ctx.main
    if c.is_("st") and not c.peek(1).is_("remain", "left", "unworked"):
        c.take()
        return ctx.last or ctx.main
    return None


def _name(c: Cursor, counted: bool = False) -> str | None:
    if c.peek().kind == "space" and c.peek(1).value == "picot":  # "ch-3 picot"
        c.take()
    if c.peek().kind == "stitch":
        id = str(c.take().value)
        apart = counted and c.peek(1).is_("x", "times", "*")  # "2 sc inc x 6"
        shaped = c.is_("inc", "dec") and not c.peek(1).is_("evenly") and not apart
        if shaped and c.peek().start - c.tokens[c.at - 1].end <= 1:
            return f"{id} inc" if c.take().value == "inc" else f"{id}2tog"
        return id
    if c.is_("inc", "dec"):
        return str(c.take().value)
    return "picot" if c.take_if("picot") else None


def _define(c: Cursor, ctx: Context, name: str) -> None:
    """`shell (5 dc in same st) in next st`: what the name means, said at its first use."""
    close = c.closing()
    if (
        close is None
        or close - c.at < 5
        or not (c.tokens[close - 1].is_("st", "sp") and c.tokens[close - 2].is_("same", "next", "1"))
    ):
        return
    inner = Cursor(c.tokens, c.at + 1, close)
    body = read_stitch(inner, Context(ctx.text, main=ctx.main))
    if body and inner.done:
        first = body[0]
        ctx.special[name] = Own(first.body if len(body) == 1 and isinstance(first, Group) else tuple(body))
        c.at = close + 1


def _number_after(c: Cursor):
    """`sc 3`, `sc 3 sts`; not `sc 3 times`."""
    if c.peek().kind != "number" or (c.peek(1).is_("times", "x", "more") and not c.peek(1).is_("st")):
        return None
    number = c.take()
    if c.is_("st") and not c.peek(1).is_("together"):
        c.take()
    return number


def _loop_before(c: Cursor) -> str | None:
    at = c.at
    loop = read_loop(c)
    if loop:
        c.take_any("of", "in") if c.peek(1).kind == "stitch" else None
        if c.peek().kind == "stitch" or c.is_("inc", "dec"):
            return loop
    c.at = at
    return None


def _together(c: Cursor, unit: str) -> str | None:
    """`sc next 2 sts together`, `sc 2 together`."""
    at = c.at
    number = c.tokens[c.at - 1] if c.tokens[c.at - 1].kind == "number" else None
    if number and c.take_all("st?", "together"):
        return f"{unit}{number.value}tog"
    c.at = at
    c.take_any("in", "the", "over")
    if c.take_if("next", "first", "last"):
        number = c.take_kind("number")
        if number:
            c.take_if("st") or c.take_kind("stitch")
            if c.take_if("together"):
                return f"{unit}{number.value}tog"
    c.at = at
    return None


def more_places(c: Cursor, build: Callable[[Where, Span], list[Node]]) -> list[Node]:
    """`... and in each ch across`, `, then in next 5 ch`: the same again at further places."""
    found: list[Node] = []
    while c.is_(",", "and", "&", "then"):
        if c.is_(",") and not c.peek(1).is_("in", "each", "then", "and"):
            return found
        _pass_over_where(c)
        at = c.at
        joined = bool(c.take_if("and", "&"))
        if not joined and c.is_(",") and c.peek(1).is_("in", "each", "then", "and"):
            c.take()
            joined = True
        joined = bool(c.take_if("then")) or joined
        if joined and (extent := read_extent(c)):  # "sc in 2nd ch from hook and across"
            found += build(Where(NEXT, fill=extent), c.span_from(at + 1))
            continue
        if (
            not joined
            or c.peek().kind in ("number", "stitch")
            or (where := read_where(c)) is None
            or _goes_elsewhere(c, where)
        ):
            c.at = at
            return found
        found += build(where, c.span_from(at + 1))
    return found


def _pass_over_where(c: Cursor) -> None:
    """`, in same stitches where the first 9 were worked`: says again where that is."""
    if not (c.is_(",") and c.peek(1).is_("in")):
        return
    for ahead in range(2, 7):
        if c.peek(ahead).is_("where"):
            c.at += ahead
            while not c.done and not c.is_(",", ";", "."):
                c.take()
            return


def _goes_elsewhere(c: Cursor, where: Where) -> bool:
    """`and in next st work 2 dc`: the place belongs to what follows it."""
    return c.is_("work", *OPENING) or c.peek().kind in ("number", "stitch")


def main_stitch(tokens: list[Token]) -> str:
    """The stitch that a bare `inc` or `dec` of this round is made of: the first plain one named, else single
    crochet.
    """
    for token in tokens:
        if token.kind == "stitch" and token.value in ("sc", "hdc", "dc", "tr", "dtr", "trtr"):
            return str(token.value)
    return "sc"
