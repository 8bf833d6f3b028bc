"""Chains, skips, and increases or decreases that are only counted: `ch 3`, `sk next 2 sts`, `inc 6 sts evenly
around`.
"""

from __future__ import annotations

from coach.notation import actions
from coach.notation.building import Context
from coach.notation.cursor import Cursor
from coach.notation.extents import AROUND, read_extent
from coach.notation.model import NEXT, Amount, Chain, Evenly, Group, Node, Repeat, Skip, Stitch, Times
from coach.notation.places import of_a_round

_SPREAD = frozenset("evenly spaced spread apart distributed".split())
SHAPING_FIRST = _SPREAD | frozenset("work with and by but inc dec times in each double".split())


def read_chain(c: Cursor) -> list[Node] | None:
    """`ch 3`, `3ch`, `a chain of 54 stitches`, each with what it counts as."""
    at = c.at
    c.take_if("base", "foundation")
    if c.peek().kind == "space" and c.peek(1).value == "picot":
        return None
    number = c.take_kind("number")
    if c.peek().kind == "space" and not number and not c.peek(1).is_("sp", "corner", "lp"):
        count: Amount = c.take().value
    elif c.take_if("ch"):
        c.take_if("of")
        after = c.take_kind("number") if not number else None
        if after and c.is_("st") and c.peek(1).kind != "end":
            c.take()
        count = number.value if number else after.value if after else 1
    else:
        return None
    c.take_if("ch", "st")  # "a chain of 54 stitches", "4 chain stitches"
    c.take_all("for", "the?|each?|a?", "corner")
    said = c.at
    counts, stands_for = _told_in_brackets(c)
    if counts is None:
        counts, stands_for = actions.read_counts(c)
    more = _chains_more(c, said) if stands_for else None
    if counts is None and c.take_all("for", "a|the?", "first?"):
        _ = c.take_kind("ordinal") if c.peek().value == 1 else None
        stitch = c.take_kind("stitch")
        counts, stands_for = (True, str(stitch.value)) if stitch else (None, None)
    return [Chain(count, counts, stands_for, c.span_from(at), more)]


def _told_in_brackets(c: Cursor) -> tuple[bool | None, str | None]:
    """`4 chain (a treble and a chain)`: what it stands for, and no more than that in the brackets."""
    at, close = c.at, c.closing() if c.is_("(") else None
    if close is not None:
        c.take()
        c.take_any("a", "an", "1", "first", "=", "as", "is")
        c.take_kind("number") if c.peek().value == 1 else None
        stitch = c.take_kind("stitch")
        c.take_if("st")
        if stitch and (c.at == close or c.is_("and", "+", "plus", ",") and _only_chains(c.within(c.at + 1, close))):
            c.at = close + 1
            if not c.is_("in", "x", "times", "twice") and c.peek().kind != "number":
                return True, str(stitch.value)
    c.at = at
    return None, None


def _only_chains(c: Cursor) -> bool:
    c.take_if("a")
    number = c.take_kind("number")
    named = c.take_kind("space") or c.take_if("ch")
    _ = number or c.take_kind("number")
    c.take_any("sp", "lp")
    return bool(named) and c.done


def _chains_more(c: Cursor, said: int) -> Amount | None:
    """`counts as dc and ch 1`: the chains beside the stitch, from token `said` on; without brackets they stand behind
    it."""
    within = Cursor(c.tokens, said, c.at)
    while not within.done and not within.take_kind("stitch"):
        within.take()
    behind = within.done
    if behind:
        within = c.within(c.at, c.stop)
    if not within.take_if("and", "+", "plus", ",") or (behind and c.is_(",")):
        return None
    within.take_if("a")
    if space := within.take_kind("space"):
        more = space.value
    else:
        number = within.take_kind("number")
        if not within.take_if("ch") or not (number := number or within.take_kind("number")):
            return None
        more = number.value
    within.take_any("sp", "lp", "ch")
    if behind:
        c.at = within.at
    return more


def read_left(c: Cursor) -> list[Node] | None:
    """`the other 6 are left for the neck`, `remaining 8 sts stay unworked`."""
    at = c.at
    c.take_if("the")
    if not c.take_if("other", "remain", "last", "rest") or not (number := c.take_kind("number")):
        return None
    c.take_if("st", "ch") or c.take_kind("stitch")
    if not c.take_all("are|is|stay|will|be", "be?|left?|remain?") or c.peek().kind in ("number", "stitch"):
        return None
    while not c.done and not c.is_(",", ".", ";", ")"):
        c.take()
    return [Skip(number.value, "rest", span=c.span_from(at))]


def read_skip(c: Cursor) -> list[Node] | None:
    """`sk next 2 sts`, `miss 1`, `skip tch`, `leave the last 2 sts unworked`."""
    at = c.at
    if c.take_all("leave|leaving", "the?"):
        c.take_any("last", "remain", "rest", "other", "of", "the", "all")
        number = c.take_kind("number")
        c.take_any("st", "ch", "remain")
        c.take_kind("stitch")
        if c.is_("for") and number:  # "leave the other 13 for the top of the foot"
            while not c.done and not c.is_(",", ".", ";", ")"):
                c.take()
        if c.take_if("unworked", "free") or not number or c.done or c.is_(",", ".", ";"):
            return [Skip(number.value if number else 0, "rest", span=c.span_from(at))]
        return None
    if not c.take_if("skip"):
        return None
    if c.take_all("all?", "of?", "the?", "st", "to|until") or c.take_all("to"):  # "skip all sts to next corner sp"
        c.at -= 1
        far = read_extent(c)
        return [Repeat((Skip(span=c.span_from(at)),), far, None, c.span_from(at))] if far else None
    c.take_any("over", "under", "the", "a", "each", "of", "latter")
    first = bool(c.take_if("first")) or bool(c.peek().kind == "ordinal" and c.peek().value == 1 and c.take())
    c.take_any("next", "same", "last")
    number = c.take_kind("number")
    if c.take_if("tch") or c.take_all("turn", "ch"):
        return [Skip(0, "tch", span=c.span_from(at))]
    if c.peek().value == "picot":  # none is worked into anyway
        c.take()
        return []
    what = _skipped(c)
    of_a_round(c)
    c.take_all("under|below|beneath", "it|them")
    if c.take_all("at", "the?", "first|end", "of?", "the?", "row|rnd|around"):
        first = True
    kind = c.tokens[c.at - 1].kind == "stitch"
    return [Skip(number.value if number else 1, what, first, c.span_from(at)), *_skipped_too(c, kind)]


def _skipped_too(c: Cursor, kind: bool) -> list[Node]:
    """`sk first st and next ch-1 sp`: what else is skipped; a stitch and a place behind it are something to work, and
    so is a stitch alone (`sk next 2 sts and hdc`), or so many of them where what is skipped is not named by its kind.
    """
    found: list[Node] = []
    while c.is_("and", "&", "+"):
        at = c.at
        c.take()
        said = c.is_("the", "next")
        c.take_any("the", "next")
        number = c.take_kind("number")
        noun = c.at
        what = _skipped(c)
        worked = c.tokens[noun].kind == "stitch" and not said and not (number and kind) if c.at > noun else True
        if worked or not (c.done or c.is_(",", ";", ".", ")", "]", "and", "&", "+")):
            c.at = at
            break
        found.append(Skip(number.value if number else 1, what, False, c.span_from(at + 1)))
    return found


def _skipped(c: Cursor) -> str:
    if c.take_kind("space"):
        c.take_any("corner", "sp")
        return "space"
    if c.is_("ch") and c.peek(1).is_("sp"):
        c.take(), c.take()
        return "space"
    if c.take_if("sp", "corner"):
        c.take_if("sp")
        return "space"
    if c.take_if("ch"):
        return "chain"
    if c.take_if("row"):  # its end, along the side of a piece
        c.take_if("end")
        return "stitch"
    c.take_kind("stitch")
    c.take_if("st")
    return "stitch"


# -------------------------------------------------------------------- shaping that is only counted
def read_shaping(c: Cursor, ctx: Context, nodes: list[Node]) -> list[Node] | None:
    """`inc 6 sts evenly around`, `making five evenly spaced increases`, `narrowing at each end`.

    A plain fill before it is what it is spread over: it is taken from `nodes`.
    """
    if c.peek().kind == "number":
        readers = (_every_other,) if c.peek(1).kind == "stitch" else (_evenly,)
    else:
        readers = (_evenly, _at_each_end, _every_other, _every_nth, _doubled)
    at = c.at
    if c.is_("dec") and (together := read_every_two(c, ctx)) is not None:
        return together
    c.at = at
    for reader in readers:
        if (found := reader(c, ctx, nodes, at)) is not None:
            return found
        c.at = at
    return None


def _evenly(c: Cursor, ctx: Context, nodes: list[Node], at: int) -> list[Node] | None:
    c.take_any("work", "with", "and", "by")
    token = c.take_if("inc", "dec")
    number = c.take_kind("number")
    c.take_if("times")
    spread = bool(c.take_in(_SPREAD))
    c.pass_over(_SPREAD)
    if not token:
        if not number or not (token := c.take_if("inc", "dec")):
            return None
    c.take_if("st") or c.take_kind("stitch")
    spread = bool(c.take_in(_SPREAD)) or spread
    c.pass_over(_SPREAD)
    if not number or not spread:
        return None
    read_extent(c)
    made_of = c.take_if("in", "with") and c.take_kind("stitch")  # "inc 8 sts evenly around in hdc"
    of = Stitch(str(made_of.value)) if made_of else _take_fill(nodes)
    return [Evenly(str(token.value), number.value, of.stitch if of else ctx.main, c.span_from(at))]


def _at_each_end(c: Cursor, ctx: Context, nodes: list[Node], at: int) -> list[Node] | None:
    c.take_any("work", "with", "and")
    token = c.take_if("inc", "dec")
    if not token:
        return None
    number = c.take_kind("number")
    c.take_if("st")
    if number and number.value != 1 or not c.take_all("at?", "each|both", "end|side"):
        return None
    c.take_all("of", "the|this?", "row|rnd")
    of = _take_fill(nodes) or Stitch(ctx.main)
    return each_end(str(token.value), of, c.span_from(at))


def each_end(kind: str, of: Stitch, span) -> list[Node]:
    """A row of `of` with one increase or decrease at each end."""
    shaped: Node = Group((of, of), NEXT, span) if kind == "inc" else Stitch(f"{of.stitch}2tog", NEXT, of.loop, span)
    return [shaped, Repeat((of,), AROUND, None, span), shaped]


def _every_other(c: Cursor, ctx: Context, nodes: list[Node], at: int) -> list[Node] | None:
    """`sc in each st around, working 2 sc in every other st`."""
    c.take_any("work", "with", "and", "but")
    number = c.take_kind("number")
    stitch = c.take_kind("stitch")
    if not number or not stitch or not c.take_all("in", "each", "other", "st"):
        return None
    read_extent(c)
    of = _take_fill(nodes)
    if of is None:
        return None
    span = c.span_from(at)
    return [Repeat((of, ctx.many(str(stitch.value), number.value, NEXT, of.loop, span)), AROUND, None, span)]


def _every_nth(c: Cursor, ctx: Context, nodes: list[Node], at: int) -> list[Node] | None:
    """`inc in every third st`, `every 2nd st inc`, `dec in every 4th`: the others are plain."""
    kind = c.take_if("inc", "dec") or (c.take_if("double") if c.peek(1).is_("each") else None)
    c.take_if("in")
    if not c.take_if("each"):
        return None
    ordinal = c.take_kind("ordinal")
    other = c.take_if("other") if not ordinal else None
    if (
        not (ordinal or other)
        or not (
            c.take_if("st") or c.take_kind("stitch") or (kind and (c.done or c.is_(",", ";", ".", "around", "across")))
        )
        or not (kind := kind or c.take_if("inc", "dec"))
    ):
        return None
    n = ordinal.value if ordinal else 2
    if not isinstance(n, int) or not 2 <= n <= 999:
        return None
    read_extent(c)
    of = _take_fill(nodes) or Stitch(ctx.main)
    span = c.span_from(at)
    widens = kind.is_("inc", "double")
    shaped: Node = Group((of, of), NEXT, span) if widens else Stitch(f"{of.stitch}2tog", NEXT, of.loop, span)
    before = n - (1 if widens else 2)
    plain = (Repeat((of,), Times("exact", before), None, span),) if before > 1 else (of,) * before
    return [Repeat((*plain, shaped), AROUND, None, span)]


def read_every_two(c: Cursor, ctx: Context) -> list[Node] | None:
    """`sc every 3rd and 4th st together`: the others are plain."""
    at = c.at
    unit = c.take_kind("stitch") or c.take_if("dec")
    if not unit or not c.take_all("each"):
        return None
    first = c.take_kind("ordinal")
    second = c.take_kind("ordinal") if first and c.take_if("and", "&") else None
    if not second or second.value != first.value + 1 or not c.take_all("st", "together?"):
        return None
    of = Stitch(str(unit.value)) if unit.kind == "stitch" else Stitch(ctx.main)
    read_extent(c)
    span = c.span_from(at)
    plain = (Repeat((of,), Times("exact", first.value - 1), None, span),) if first.value > 1 else ()
    return [Repeat((*plain, Stitch(f"{of.stitch}2tog", span=span)), AROUND, None, span)]


def _doubled(c: Cursor, ctx: Context, nodes: list[Node], at: int) -> list[Node] | None:
    """`double each st`."""
    if not c.take_all("double", "in?", "each", "st"):
        return None
    extent = read_extent(c) or AROUND
    span = c.span_from(at)
    return [Repeat((ctx.many(ctx.main, 2, NEXT, ctx.loop, span),), extent, None, span)]


def _take_fill(nodes: list[Node]) -> Stitch | None:
    """The stitch of a plain fill that ends `nodes`, taken off them."""
    last = nodes[-1] if nodes else None
    if (
        isinstance(last, Repeat)
        and last.times == Times("fill", 0, said=False)
        and len(last.body) == 1
        and isinstance(last.body[0], Stitch)
    ):
        nodes.pop()
        return last.body[0]
    return None
