"""Rounds that are as another one but for something: `Like 3rd, with 5 white instead of 3`, `Same as the 2nd. The 2
treble always in 1 chain`, `Same as 2d row, making 1 extra double each side of center, each row`."""

from __future__ import annotations

import re
from dataclasses import replace

from coach.notation.building import Problem
from coach.notation.colour_names import read_colour
from coach.notation.cursor import Cursor
from coach.notation.lexer import Token
from coach.notation.model import NEXT, Action, Group, Into, Node, Repeat, Skip, Span, Stitch, Times
from coach.notation.places import read_where
from coach.values import value

_LEADS = (",", ".", ";", ":", "-", "—", "and", "but")


_OTHERWISE = re.compile(
    r"[\s.,;:—-]*+(?:and |but )?"
    r"(?:end(?:ing|s|ed)?|finish(?:ing)?|except|omit\w*|leav\w+|replac\w*|begin(?:ning)?|start(?:ing)?)\b[^.;\n]*"
    r"|[^.;\n]*\binstead\b[^.;\n]*",
    re.IGNORECASE,
)


@value
class Change:
    """One of: `number` of a stitch or a colour (in place of `instead` of them); `extra` stitches more, in a place or on
    each side of the middle, each time; a place for every stitch of a kind."""

    stitch: str | None = None
    colour: str | None = None
    number: int = 0
    instead: int | None = None
    extra: int = 0
    into: Into | None = None


def read_change(tokens: list[Token], text: str) -> Change | None:
    """The change that words behind a reference tell; None where they tell none that is understood. text: of the
    pattern."""
    c = Cursor(tokens, text=text)
    c.take_any(*_LEADS)
    at = c.at
    for read in (_number, _more_each_side, _place):
        c.at = at
        if (found := read(c)) is not None:
            return found
    return None


def not_read(rest: str, start: int, like: str) -> Problem | None:
    """That words behind a reference (at this offset) tell what is otherwise than in the round `like`, and are not
    read: `As Row 2, ending last rep with dc in last st`; None where they tell no such thing."""
    m = _OTHERWISE.match(rest)
    if m is None:
        return None
    words = m[0].strip(" .,;:—-")
    at = start + rest.index(words)
    message = f'What is otherwise than in {like}, "{words[:60]}", is not understood.'
    return Problem("unknown", Span(at, at + len(words)), message, "Write this round in full.")


def _number(c: Cursor) -> Change | None:
    if not c.take_if("with", "having"):
        return None
    number = c.take_kind("number")
    if number is None or not isinstance(number.value, int):
        return None
    stitch = c.take_kind("stitch")
    colour = read_colour(c) if stitch is None else ""
    if stitch is None and not colour:
        return None
    instead = c.take_kind("number") if c.take_all("instead", "of") else None
    if not (c.done or c.is_(",", ".", ";")):
        return None
    return Change(
        stitch=str(stitch.value) if stitch else None,
        colour=colour or None,
        number=number.value,
        instead=instead.value if instead and isinstance(instead.value, int) else None,
    )


def _more_each_side(c: Cursor) -> Change | None:
    if not c.take_if("with", "work", "having"):
        return None
    number = c.take_kind("number")
    if not (number and isinstance(number.value, int) and c.take_all("extra|more")):
        return None
    stitch = c.take_kind("stitch")
    if stitch and c.take_all("on?|at?", "each", "side", "of", "the?", "center|middle"):
        return Change(stitch=str(stitch.value), extra=number.value)
    where = read_where(c) if stitch else None  # "with 3 extra trebles under arm"
    return Change(stitch=str(stitch.value), extra=number.value, into=where.into) if stitch and where else None


def _place(c: Cursor) -> Change | None:
    c.take_if("the")
    c.take_kind("number")
    stitch = c.take_kind("stitch")
    if stitch is None or not c.take_if("always"):
        return None
    at = c.at
    if c.take_all("in|on", "the?") and c.take_kind("ordinal") and c.take_if("ch"):  # of each loop of chains
        return Change(stitch=str(stitch.value), into=Into("space", words=c.written(at)))
    c.at = at
    where = read_where(c)
    return Change(stitch=str(stitch.value), into=where.into) if where is not None else None


def changed(body: tuple[Node, ...], change: Change, time: int) -> tuple[Node, ...] | None:
    """The body with the change made for the time-th round (from 1); None where it does not fit it."""
    if change.extra and change.into is not None:
        more = Stitch(change.stitch or "sc", change.into, span=body[-1].span) if body else None
        return (*body, Repeat((more,), Times("exact", change.extra), None, more.span)) if more else None
    if change.into is not None:
        moved = _moved(body, change.stitch, change.into)
        return moved if moved != body else None
    if change.extra:
        return _grown(body, change, time)
    found: list[bool] = []
    new = _numbered(body, change, found)
    return new if len(found) == 1 else None


def _numbered(body: tuple[Node, ...], change: Change, found: list[bool]) -> tuple[Node, ...]:
    colour = ""
    out: list[Node] = []
    for node in body:
        if isinstance(node, Action) and node.kind == "colour":
            colour = node.text
        lone = isinstance(node, Repeat) and node.times.kind == "exact" and len(node.body) == 1
        one = node.body[0] if lone else None
        if isinstance(one, Stitch):
            meant = colour.endswith(f" {change.colour}") if change.colour else one.stitch == change.stitch
            if meant and change.instead in (None, node.times.amount):
                found.append(True)
                node = replace(node, times=replace(node.times, amount=change.number))
        elif isinstance(node, Repeat):
            node = replace(node, body=_numbered(node.body, change, found))
        out.append(node)
    return tuple(out)


def _grown(body: tuple[Node, ...], change: Change, time: int) -> tuple[Node, ...] | None:
    """`10 doubles, 3 in the centre stitch, 10 doubles`: so many more of the first and of the last."""
    sides = [
        i
        for i, n in enumerate(body)
        if isinstance(n, Repeat) and n.times.kind == "exact" and _is_lone(n, change.stitch)
    ]
    middle = [i for i, n in enumerate(body) if isinstance(n, Group)]
    if len(sides) != 2 or len(middle) != 1 or not sides[0] < middle[0] < sides[1]:
        return None
    more = change.extra * time
    return tuple(
        replace(n, times=replace(n.times, amount=n.times.amount + more)) if i in sides else n
        for i, n in enumerate(body)
    )


def _is_lone(node: Repeat, stitch: str | None) -> bool:
    one = node.body[0] if len(node.body) == 1 else None
    return isinstance(one, Stitch) and one.stitch == stitch and isinstance(node.times.amount, int)


def _moved(body: tuple[Node, ...], stitch: str | None, into: Into) -> tuple[Node, ...]:
    """The stitches of a kind put into a place; what was skipped between them is passed over with it."""
    out: list[Node] = []
    for node in body:
        if isinstance(node, Skip) and into.kind == "space":
            continue
        if isinstance(node, Stitch) and node.stitch == stitch:
            node = replace(node, into=into)
        elif isinstance(node, Group) and any(isinstance(n, Stitch) and n.stitch == stitch for n in node.body):
            node = replace(node, into=into)
        elif isinstance(node, Repeat):
            one = node.body[0] if len(node.body) == 1 else None
            if isinstance(one, Stitch) and one.stitch == stitch and one.into == NEXT and node.times.kind == "exact":
                node = Group((node,), into, node.span)
            else:
                other = _moved((node.other,), stitch, into)[0] if node.other else None
                node = replace(node, body=_moved(node.body, stitch, into), other=other)
        out.append(node)
    return tuple(out)
