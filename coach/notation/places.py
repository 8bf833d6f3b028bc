"""Where stitches go: `in next 3 sts`, `in each st around`, `in ch-2 sp`, `in 2nd ch from hook` ..."""

from __future__ import annotations

from dataclasses import replace

from coach.notation.centres import read_centre, where_the_first
from coach.notation.chain_places import (
    each_following,
    is_counted_loop,
    over_chains,
    top_of_chain,
    top_of_this,
)
from coach.notation.clauses import clause_ends
from coach.notation.cursor import Cursor
from coach.notation.edges import read_edge_named, read_row_ends
from coach.notation.extents import AROUND, read_extent
from coach.notation.lexer import Token
from coach.notation.lower_rounds import read_lower_round
from coach.notation.model import NEXT, Amount, Into, Times
from coach.notation.named_places import read_named
from coach.notation.nouns import read_noun
from coach.notation.pieces import named_piece, of_a_piece
from coach.notation.place_tails import read_tail
from coach.notation.sides import ARTICLES, leading_loop, read_other_side
from coach.values import value

_PREPOSITIONS = frozenset("in on over across under at to between through".split())
WHERE_FIRST = _PREPOSITIONS | frozenset("per around next each same first last".split())


@value
class Where:
    """A place as written. At most one of: `count` (so many places), `fill` (until ...); neither: one place.

    each: so many stitches go into each of `count` places; alternate: every other place; side: on the other side of the
    foundation chain; moved: said of the next, first or last places.
    """

    into: Into
    loop: str | None = None
    count: Amount | None = None
    fill: Times | None = None
    each: bool = False
    alternate: bool = False
    side: bool = False
    moved: bool = False


# -------------------------------------------------------------------- places
def read_where(c: Cursor) -> Where | None:
    """A place after `in`, `into`, `on`, `over`, `around` ...; None (and no move) when there is none."""
    at = c.at
    if c.is_("in") and c.peek(1).value == 1 and c.peek(2).is_("in", "on"):  # "3 stitches in 1 in the centre"
        c.at += 2
    if c.is_("per") and (c.peek(1).is_("st", "ch", "sp") or c.peek(1).kind in ("stitch", "space")):  # "2 hdc per st"
        c.take()
        per = read_noun(c)
        return Where(per, fill=read_extent(c) or AROUND) if per else None
    preposition = c.take_in(_PREPOSITIONS)
    post = False
    if not preposition:
        if c.is_("around") and (
            c.peek(1).is_("post", "the", "next", "each")
            or c.peek(1).kind in ("stitch", "number", "space")
            or c.peek(1).is_("same")
            and c.peek(2).kind == "space"
        ):
            c.take()
            c.take_all("the?", "post", "of")
            post = True
        elif not (c.is_("next", "each", "same") or (c.is_("first", "last") and c.peek(1).is_("st", "ch"))):
            return _top_said_alone(c)
    if preposition and preposition.value == "to" and c.is_("last", "end", "within"):
        c.at = at
        return None
    if preposition and (ends := read_row_ends(c)) is not None:
        fill = AROUND if ends.each or ends.alternate else None
        return Where(Into("row end"), count=ends.count, fill=fill, alternate=ends.alternate)
    spanned = preposition is not None and (preposition.value in ("over", "under") or c.peek().value == 1)
    if spanned and (number := over_chains(c)) is not None:
        return Where(Into("space", number))
    where = _between(c) if preposition and preposition.value == "between" else _place(c)
    far = preposition and preposition.value in ("to", "across")
    if where is not None and preposition and preposition.value == "across" and where.count is not None:
        return where  # "sl st across first 5 sts"
    if preposition and (lower := read_lower_round(c, at, where is None)) is not None:
        return Where(lower[0], count=where.count if where and where.count else lower[1])
    if where is None and preposition and not far and (named := _by_name(c, at, preposition)) is not None:
        return named
    if where is None or (far and (where.fill or where.count or where.into.kind in ("first", "last"))):
        c.at = at
        return None
    if preposition and preposition.value == "under" and where == Where(NEXT) and c.tokens[c.at - 1].is_("next"):
        where = Where(Into("space"))  # "a double under 1 chain, chain 3, a double under next"
    where = _tail(c, where)
    if preposition and not far and not clause_ends(c) and (named := _by_name(c, at, preposition)) is not None:
        return named
    return replace(where, loop=None) if post and not where.loop else where


def _top_said_alone(c: Cursor) -> Where | None:
    """`(dc in each dc) and top of tch`, `and the turning chain`."""
    at = c.at
    c.take_if("the")
    top = top_of_chain(c) or (Into("tch") if c.take_if("tch") or c.take_all("turn", "ch") else None)
    if top is not None and clause_ends(c):
        return Where(top)
    c.at = at
    return None


def _by_name(c: Cursor, at: int, preposition: Token) -> Where | None:
    """A place that only its name tells, to the end of the clause; None (and no move) when there is none."""
    here, c.at = c.at, at + 1
    named = read_named(c, str(preposition.value), at)
    if named is not None and (clause_ends(c) or c.is_("to")):
        into, number, each = named
        return Where(into, count=number, fill=AROUND if each and not number else None, each=bool(number))
    c.at = here
    return None


def _place(c: Cursor) -> Where | None:
    if c.is_("next", "each"):  # as most do
        return _nth_place(c)
    if (c.is_("top") or c.peek(1).is_("top")) and (top := top_of_chain(c) or top_of_this(c)):
        return Where(top)
    if c.is_("the", "center", "middle", "very") or c.peek().kind == "ordinal":
        if middle := read_centre(c):
            return Where(middle[0], fill=AROUND if middle[1] else None)
    if c.is_("all") and c.take_all("all", "of?", "the?", "st"):  # "in all stitches"
        return Where(NEXT, fill=read_extent(c) or AROUND)
    if c.peek(1).is_("st") or c.is_("st"):
        if first := where_the_first(c):
            return Where(first)
    loop = None if is_counted_loop(c) else leading_loop(c)
    c.pass_over(ARTICLES)
    if loop and (c.done or c.is_(",", ";", ".", "around", "across", "for", "to")):  # "sc in both loops around"
        at = c.at
        if c.take_all("for", "the?", "next?") and (number := c.take_kind("number")) and c.take_if("st"):
            return Where(NEXT, loop, count=number.value, moved=True)  # "sc in FLO for the next 8 sts"
        c.at = at
        return Where(NEXT, loop, fill=read_extent(c))
    if place := _named(c):
        return replace(place, loop=loop) if loop else place
    return _nth_place(c, loop)


def _nth_place(c: Cursor, loop: str | None = None) -> Where | None:
    """`next 3 sts`, `each st around`, `2nd st`, `last st`, `ch-2 sp`."""
    each = bool(c.take_if("each"))
    if each and c.is_("next") and (rest := each_following(c)) is not None:
        return Where(NEXT, loop, fill=rest)
    if each and (number := over_chains(c)) is not None:  # "in each 1 chain"
        return Where(Into("space", number), loop, fill=AROUND)
    if each and (c.done or c.is_(",", ";", ".")):  # "inc in each"
        return Where(NEXT, loop, fill=AROUND)
    other = remaining = False
    if not c.is_("next", "st"):  # as it mostly is
        if chains := _of_a_chain(c):
            return replace(chains, loop=loop)
        c.take_any("of", "the")
        other = bool(c.take_if("other"))
        if other and not each and c.is_("st", "ch"):  # "on the other chain stitches": only its name tells which
            return None
        if each and other and (c.done or c.is_(",", ";", ".")):  # "in each of the others"
            return Where(NEXT, loop, fill=AROUND)
        if each and c.is_("corner") and not c.peek(1).is_("st"):
            c.take_any("corner", "sp", "ch")
            return Where(Into("space", corner=True), loop, fill=AROUND)
        ordinal = c.take_kind("ordinal")
        if ordinal and ordinal.value != 1:
            return _ordinal(c, ordinal.value, loop)
        if c.is_("end") and c.peek(1).is_("ch", "st", "lp"):
            c.take()
            return _last(c, loop, each)
        if ordinal or c.take_if("first"):
            return _first(c, loop, each)
        if c.take_if("last"):
            return _last(c, loop, each)
        remaining = bool(c.take_if("remain"))
    moved = bool(c.take_if("next"))
    remaining = bool(c.take_if("remain")) or remaining
    if each and c.take_if("rest"):  # "1 in each of the rest"
        return Where(NEXT, loop, fill=read_extent(c) or AROUND)
    number = c.take_kind("number")
    if number and c.is_("next") and not c.peek(1).kind == "number":  # "in the 3 following stitches"
        moved = bool(c.take())
    if number and c.take_if("last"):  # "in two last"
        return Where(Into("last"), loop, count=number.value)
    if number and number.value == 1 and c.take_all("after", "that|it|this"):
        return Where(NEXT, loop)
    into = read_noun(c)
    if into is not None and c.take_all("you?", "just", "made|formed|worked"):  # "in loop just made"
        return Where(Into("same"))
    if into is None:
        if not (moved or number) or (each and not number):
            return None
        into = NEXT
    if (inside := _each_chain_of(c, into)) is not None:
        return inside
    if number and number.value != 1:
        return Where(into, loop, count=number.value, each=each, moved=moved)
    if each or remaining:
        into = _either(c, into)
        extent = read_extent(c)
        return Where(into, loop, fill=extent or AROUND, alternate=other)
    return Where(into, loop, count=1 if number else None)


def _of_a_chain(c: Cursor) -> Where | None:
    """`in ch 2`, `in other side of ch 2`: into each of so many chains."""
    at = c.at
    side = c.take_all("other", "side", "of", "the?")
    led = c.take_kind("space") or (c.take_kind("number") if side and c.peek(1).is_("ch") else None)
    if led and led.kind == "number":
        c.take()
    if led and side:
        return Where(Into("chain"), count=led.value, side=side)
    c.at = at if led else c.at
    if c.take_if("ch") and (number := c.take_kind("number")) and (c.done or c.is_(",", ";", ".", "and", "(")):
        return Where(Into("chain"), count=number.value, side=side)
    c.at = at
    return None


_NAMES = frozenset("ring it mc magic mr adjustable sliding center same skip tch turn first base".split())


def _named(c: Cursor) -> Where | None:
    """The ring, the same place, the turning chain, a skipped stitch."""
    if not c.is_in(_NAMES):
        return None
    at = c.at
    if c.take_all("ring", "of", "ch", "st?"):  # "over the circle of chain stitches"
        return Where(Into("ring"))
    if c.take_if("ring", "it", "mc") or c.take_all("magic|mr|adjustable|sliding", "ring?|lp?"):
        return Where(Into("ring"))
    if c.take_if("center") and not c.is_("st", "ch", "sp") and c.peek().kind not in ("stitch", "space"):
        c.take_all("of", "the?", "ring?")
        return Where(Into("ring"))
    c.at = at
    if c.take_if("same"):
        c.take_kind("ordinal")  # "in this same 1st stitch"
        for _ in range(2):
            _ = c.take_if("st", "sp", "ch", "corner", "lp") or c.take_kind("stitch") or c.take_kind("space")
        c.take_all("place")
        first = False
        if c.take_all("as"):
            first = _begins_the_round(c)
            _rest_of_same(c)
        return Where(Into("first" if first else "same"))
    if c.take_if("base") and (clause_ends(c) or c.take_all("of", "the?", "beg|first|turn?", "ch|tch")):  # "dc in base"
        return Where(Into("same"))
    c.at = at
    if c.take_if("skip") and (c.take_if("st") or c.take_kind("stitch")):
        return Where(Into("same"))
    c.at = at
    if c.take_if("tch") or c.take_all("turn", "ch"):
        return Where(Into("tch"))
    if c.is_("first") and c.peek(1).kind == "space" and not c.peek(2).is_("sp"):
        c.take(), c.take()
        return Where(Into("tch"))
    if c.is_("first") and c.peek(1).is_("ch") and c.peek(2).kind == "end":
        c.take(), c.take()
        return Where(Into("first"))
    return None


def _begins_the_round(c: Cursor) -> bool:
    """`(in same ch as) first 2 hdc`: where the round began."""
    at = c.at
    c.take_any("the", "your")
    if c.take_first() and (c.take_kind("number") is not None or c.peek().kind == "stitch"):
        return True
    c.at = at
    return False


def _rest_of_same(c: Cursor) -> None:
    """`same st as joining`, `same st as last sc`, `as the sl st`: what it is the same as says no more."""
    for _ in range(6):
        if c.is_(
            "join",
            "last",
            "first",
            "st",
            "the",
            "previous",
            "sp",
            "tch",
            "ch",
            "turn",
            "prev",
            "you",
            "joined",
            "where",
            "made",
        ) or (
            c.peek().kind in ("stitch", "space", "ordinal")
            or (c.peek().kind == "number" and c.tokens[c.at - 1].is_("last"))  # "as the last two"
        ):
            c.take()
        else:
            return


def _first(c: Cursor, loop: str | None, each: bool) -> Where | None:
    number = c.take_kind("number")
    if number and (into := read_noun(c) or (NEXT if clause_ends(c) else None)):  # "in first 4 sts", "in first 4"
        return Where(into, loop, count=number.value, each=each, moved=True)
    return _ordinal(c, 1, loop) if not number else None


def _last(c: Cursor, loop: str | None, each: bool) -> Where | None:
    number = c.take_kind("number")
    into = read_noun(c)
    if into is not None and not number and c.take_if("made", "work"):  # "in last sc made"
        return Where(Into("same"))
    if into is None:
        return (
            Where(Into("last"), loop, count=number.value if number else None, each=each)
            if number or c.done or c.is_(",", ";", ".", "and")
            else None
        )
    return Where(
        Into("last", stitch="ch" if into.kind == "chain" else into.stitch) if into.kind in ("next", "chain") else into,
        loop,
        count=number.value if number else None,
        each=each,
        moved=True,
    )


def _ordinal(c: Cursor, n: Amount, loop: str | None) -> Where | None:
    into = read_noun(c)
    if into is None:
        if n != 1 and (top := _of_turning_chain(c)):  # "in 4th of the 5 ch"
            return Where(top, loop)
        return Where(NEXT if n != 1 else Into("first"), loop) if c.done or c.is_(",", ";", ".", "and") else None
    if into.kind == "chain" and n != 1 and (top := _of_turning_chain(c)):
        return Where(top, loop)
    if c.take_all("from", "the|your?", "hook") or (
        into.kind in ("next", "chain") and n != 1 and c.take_all("of", "the?", "foundation?", "ch")
    ):
        return Where(Into("hook", n), loop)
    if n == 1:
        c.take_all("of", "the?", "ch")
        first = replace(into, words="in first sp") if into.kind == "space" else Into("first", into.number, into.stitch)
        return Where(first, loop)
    return Where(Into("nth", n, into.stitch), loop)


def _of_turning_chain(c: Cursor) -> Into | None:
    """`(in 3rd ch) of turning ch`, `of beg ch-5`."""
    at = c.at
    if c.take_all("of", "the?"):
        named = c.take_if("turn", "beg", "first", "starting", "tch")
        if (named and (c.take_if("ch") or named.is_("tch") or c.take_kind("space"))) or c.take_kind("space"):
            c.take_kind("number")
            return Into("tch")
        number = c.take_kind("number")
        if c.take_if("ch") and (number or c.take_kind("number")):  # "of the 5 ch", "of ch 5"
            return Into("tch")
    c.at = at
    return None


def _between(c: Cursor) -> Where | None:
    """`between next 2 dc`, `between first and second dc of next group`, `between the posts`, `between each group of 2
    trebles`."""
    each, at = False, c.at - 1
    while c.is_(*ARTICLES, "next", "first", "last", "each", "and"):
        each = bool(c.take().value == "each") or each
    told = False
    while (ordinal := c.take_kind("ordinal")) or c.take_kind("number"):
        told = told or ordinal is not None and ordinal.value not in (1, 2)
        c.take_any("and", "next", "the")
    if each and c.is_("ch"):
        return None
    groups = c.is_("group", "cluster", "shell")
    if read_noun(c) is None:
        return None
    c.take_all("and", "next?|the?", "st?") if not c.peek(1).kind == "number" else None
    many = None
    if c.take_if("of"):
        c.take_any("the", "next", "same", "each")
        many = c.take_kind("number") if groups else None
        read_noun(c)
    if told:  # "between 3d and 4th trebles of shell": which they are only the words tell
        of_a_round(c)
        return Where(Into("named", words=c.written(at)))
    into = Into("between", many.value if many else None)
    return Where(into, fill=AROUND if each else None)


def _each_chain_of(c: Cursor, into: Into) -> Where | None:
    """`in each ch of next ch-5 sp`: so many stitches into one space; `in each ch of ch-5`: into each of its chains."""
    at = c.at
    if into.kind == "chain" and c.take_if("of"):
        c.take_any("the", "next", "each", "same")
        space = read_noun(c)
        if space is not None and space.kind == "space" and space.number is not None:
            return Where(space if c.tokens[c.at - 1].is_("sp", "lp") else into, count=space.number)
    c.at = at
    return None


def _either(c: Cursor, into: Into) -> Into:
    """`in each dc and in each ch-1 sp`, `in each st and in each ch`: every place of either kind."""
    at = c.at
    if c.take_all("and", "in?", "each?"):
        other = read_noun(c)
        kinds = {into.kind, other.kind} if other is not None else set()
        if kinds == {"next", "space"}:
            return Into("top")
        if kinds == {"next", "chain"}:
            return Into("chain")
    c.at = at
    return into


def _tail(c: Cursor, where: Where) -> Where:
    """Words behind a place: `of the round`, `around first leg`, `along the other side`."""
    if c.done or c.is_(",", ".", ";"):
        return where
    at = c.at
    if c.take_all("after|from", "that|it|there", "on?") or c.take_all("thereafter"):  # "and in every chain after that"
        return where
    if (
        where.into.kind == "chain"
        and c.take_all("of", "the?")
        and c.take_first()
        and (c.take_kind("stitch") or c.take_if("st"))
    ):
        return Where(Into("first"))  # "in the ch of the first sc"
    c.at = at
    if where.fill and (edge := read_edge_named(c, where.into)):
        return replace(where, side=edge == "bottom")
    if (told := read_tail(c, where.into)) is not None:
        where, at = replace(where, into=told, fill=where.fill and (read_extent(c) or where.fill)), c.at
    if read_other_side(c):
        return replace(where, side=True)
    if (piece := of_a_piece(c)) or c.tokens[at - 1].is_("around", "across") and (piece := named_piece(c, at)):
        return replace(where, into=piece)
    c.take_any("starting", "start", "beg")
    if c.take_if("from") and (nth := c.take_kind("ordinal")) and c.take_if("ch"):  # "in each ch from 2nd ch"
        c.take_all("from", "the|your?", "hook")
        along = where.fill and where.into in (NEXT, Into("chain"))
        return replace(where, into=Into("hook", nth.value)) if along else where
    c.at = at
    if c.is_("next") and (
        c.peek(1).kind == "end" or c.peek(1).is_(",", ";", ".")
    ):  # "in each of 68 stitches following"
        c.take()
        return where
    if where == Where(NEXT) and c.take_all("over", "the") and c.take_kind("stitch") and c.take_if("beneath", "below"):
        return where  # "on the stitch over the treble beneath"
    c.at = at
    if of_a_round(c) or c.take_all("beneath|below"):
        return where
    c.at = at
    return where


def of_a_round(c: Cursor) -> bool:
    """`of the previous round`, `in last row`, `of the 2nd row`, `of chain`: says again where a stitch or space is."""
    at = c.at
    if c.take_all("of|on|in", "the?|this?|previous?", "previous?|preceding?|last?"):
        c.take_kind("ordinal")
        if c.take_if("rnd", "around", "ring", "row"):
            c.take_any("below", "beneath")
            return True
        if c.tokens[at].is_("of") and c.take_if("ch") and c.peek().kind != "number" and not c.is_("sp", "lp"):
            return True
    c.at = at
    return False
