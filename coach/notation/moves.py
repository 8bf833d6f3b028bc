"""Stitches told by the moves of the hook: `wool over, draw up a loop, draw through all the loops on hook`. The moves
are read out as written; what they make is not counted, unless the text says how many it comes to."""

from __future__ import annotations

from coach.notation.building import Context
from coach.notation.cursor import Cursor
from coach.notation.model import Action, Count, Node, Repeat, Times

_YARN = ("wool", "yarn", "thread", "cotton", "silk", "color")
_HOOK = ("hook", "needle")
_MARKS = (",", ";", ".", "*", ")", "]")
FIRST_WORDS = frozenset((*_YARN, *_HOOK, *"draw pull insert put putting inserting take work taking rep".split()))
LONGEST = 40  # tokens of one move
MOST = 60  # moves in a row


def read_moves(c: Cursor, ctx: Context, nodes: list[Node]) -> list[Node] | None:
    """As many moves as come one after another, as one step that is told as written; None (and no move) for none."""
    at = c.at
    if _told_again(c, ctx, nodes):
        return [Action("moves", c.written(at), span=c.span_from(at))]
    c.at = at
    if not _begins(c, False):
        return None
    _to_its_end(c)
    for _ in range(MOST):
        here = c.at
        while c.is_(",", "and", "then", ";"):
            c.take()
        if c.at == here or not _begins(c, True):
            c.at = here
            break
        _to_its_end(c)
    return [Action("moves", c.written(at), span=c.span_from(at))]


def _told_again(c: Cursor, ctx: Context, nodes: list[Node]) -> bool:
    """`and repeat until you have made 6 stars`, behind moves: what of them is repeated, nothing tells but the words."""
    return (
        bool(nodes)
        and c.is_("rep")
        and c.peek(1).is_("until")
        and c.take_all("rep", "until")
        and any(isinstance(n, Action) and n.kind == "moves" for n in nodes)
        and _so_many(c, ctx)
    )


def _begins(c: Cursor, going_on: bool) -> bool:
    """Whether a move comes next. going_on: behind another one, where `2 in ring` and `5th in stitch ahead` are moves
    too."""
    second = c.peek(1)
    if c.is_("draw", "pull"):
        return (
            second.is_("up", "a", "through", "lp") or second.kind == "number" or second.is_("the") and _goes_through(c)
        )
    if c.is_("insert", "put", "putting", "inserting"):
        return second.is_(*_HOOK)
    if c.is_(*_HOOK):
        return second.is_("in", "under")
    if c.is_(*_YARN):
        return second.is_("over")
    if c.is_("take", "work"):
        return (
            second.is_("up")
            and c.peek(2).is_(*_YARN)
            or c.is_("work")
            and second.is_("off")
            and c.peek(2).is_("all", "as", "both", "these", "them", "two")
        )
    if c.is_("taking"):
        return second.is_("the") and c.peek(2).kind == "ordinal" and c.peek(3).is_("lp")
    if not going_on:
        return False
    if c.is_("over"):
        return second.is_(*_MARKS)
    if c.is_("another"):
        return second.is_("through", "in")
    return (
        c.peek().kind in ("number", "ordinal")
        and second.is_("through", "in", "under")
        and not c.peek(2).is_("next", "each")
    )


def _goes_through(c: Cursor) -> bool:
    """Whether the clause names what it is drawn through."""
    for ahead in range(2, LONGEST):
        token = c.peek(ahead)
        if token.kind == "end" or token.is_(*_MARKS):
            return False
        if token.is_("through"):
            return True
    return False


def _to_its_end(c: Cursor) -> None:
    for _ in range(LONGEST):
        if c.done or c.is_(*_MARKS):
            return
        if c.is_("and") and (c.peek(1).is_("rep", "ch", "chain") or c.peek(1).kind == "stitch" or _begins_at(c, 1)):
            return
        if c.is_("(") and (close := c.closing()) is not None:
            c.at = close + 1
            continue
        c.take()


def _begins_at(c: Cursor, ahead: int) -> bool:
    return _begins(c.within(c.at + ahead, c.stop), False)


def read_until_made(c: Cursor, ctx: Context, body: tuple[Node, ...], times: Times) -> Times:
    """`repeat from * until there are 19 wedge-stitches in the round`: each time through the moves makes one of them."""
    at = c.at
    if not c.take_if("until") or not any(isinstance(n, Action) and n.kind == "moves" for n in body):
        c.at = at
        return times
    behind = c.at
    if not _so_many(c, ctx):
        c.at = at
        return times
    number = next(t for t in c.tokens[behind : c.at] if t.kind == "number")
    return Times("exact", number.value)


def _so_many(c: Cursor, ctx: Context) -> bool:
    """Takes `there are 19 wedge-stitches in the round`: their name and number are kept."""
    c.take_any("you", "have", "there", "are", "made", "work")
    number = c.take_kind("number")
    name = c.at
    noun = c.take_kind("stitch") or (c.take() if c.peek().kind == "word" else None)
    if number is None or noun is None or not isinstance(number.value, int):
        return False
    c.take_if("st")
    ctx.told = (
        str(noun.value) if noun.kind == "stitch" else c.written(name).lower().removesuffix("es").removesuffix("s")
    )
    ctx.totals.append(Count(number.value, None, c.span_from(name - 1)))
    c.take_all("in", "the?|all?", "rnd|row|around?")
    return True


def read_widened(c: Cursor, nodes: list[Node]) -> list[Node] | None:
    """`(make 16 stars,) widening 4 times`: how those are placed, and nothing more to make."""
    made = nodes and isinstance(nodes[-1], Repeat) and nodes[-1].times.kind == "exact"
    if not made or not c.is_("inc", "dec") or c.peek(1).kind != "number" or not c.peek(2).is_("times"):
        return None
    at = c.at
    c.at += 3
    if c.written(at).lower().startswith(("widening", "narrowing")) and (c.done or c.is_(*_MARKS)):
        return [Action("note", c.written(at), span=c.span_from(at))]
    c.at = at
    return None
