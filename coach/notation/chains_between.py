"""Chains told after the stitches that they part: `2 treble, with 1 chain between, in next stitch`, `4 treble, with 1
chain between the 2nd and 3rd`, `1 treble on each treble, 3 chain between`, `2 treble divided by 3 purl`."""

from __future__ import annotations

from dataclasses import replace

from coach.notation.building import Context, placed
from coach.notation.by_kind import BY_KIND
from coach.notation.cursor import Cursor
from coach.notation.extents import AROUND
from coach.notation.model import NEXT, Chain, Group, Node, Repeat, Stitch, Times
from coach.notation.places import read_where

MOST = 12  # stitches that are parted by chains of their own
FIRST_WORDS = frozenset("with always and ch divided parted separated".split())
ENDS = (",", ";", ".", ")", "]", "*", "and", "then")


def read_chains_between(c: Cursor, ctx: Context, nodes: list[Node]) -> list[Node] | None:
    """What takes the place of the last of `nodes`; None (and no move) where no chains are said to part them."""
    number = c.peek().kind == "number"
    if not nodes or not (c.peek(1).is_("ch") or c.peek(1).kind == "space" if number else c.is_in(FIRST_WORDS)):
        return None
    at = c.at
    if (chain := _after_them(c)) is not None:
        if not _fills(nodes[-1]):
            return [chain]
        before = nodes.pop()
        return [replace(before, body=(*before.body, chain))]
    c.at = at
    parting = _parting(c)
    if parting is None:
        c.at = at
        return None
    before = nodes[-1]
    if _fills(before):
        if not (c.done or c.is_(*ENDS)):
            c.at = at
            return None
        del nodes[-1]
        body, one = (*before.body, *parting), before.body[0]
        if isinstance(one, (Stitch, Group)) and one.into.kind == "next" and one.into.stitch:
            return [replace(before, body=(Repeat(body, Times("exact", 1), None, before.span),), times=BY_KIND)]
        return [replace(before, body=body)]
    stitches, group = _apart(before)
    only = _between_which(c)
    if not 2 <= len(stitches) <= MOST or (only is not None and not 0 < only < len(stitches)):
        c.at = at
        return None
    body = _interleaved(stitches, parting, only)
    behind = c.at
    c.take_any(",", "all")
    where = read_where(c) if group is None else None
    if where is None:
        c.at = behind
    if group is None and where is None and not (c.done or c.is_(*ENDS)):
        c.at = at
        return None
    del nodes[-1]
    span = before.span.to(c.span_from(at))
    if group is not None:
        return [replace(group, body=body, span=span)]
    return placed(Group(body, where.into, span), where, span) if where is not None else list(body)


def _parting(c: Cursor) -> tuple[Node, ...] | None:
    """`with 1 chain between`, `ch 1 between each`, `divided by 3 purl`."""
    at = c.at
    if c.take_all("divided|parted|separated", "by"):
        number = c.take_kind("number")
        if number and isinstance(number.value, int) and 0 < number.value <= MOST and c.peek().value == "picot":
            c.take()
            return (Stitch("picot", span=c.span_from(at)),) * number.value
        chain = _chain(c, number.value if number else None, at)
        return (chain,) if chain else None
    c.take_any("with", "always", "and", "work")
    number = c.take_kind("number")
    chain = _chain(c, number.value if number else None, at)
    if chain is None or not c.take_if("between"):
        return None
    c.take_any("them", "each", "of")
    return (chain,)


def _after_them(c: Cursor) -> Chain | None:
    """`4 chain after the 4 treble`, behind what goes all around: after each."""
    at = c.at
    number = c.take_kind("number")
    chain = _chain(c, number.value if number else None, at)
    if chain is None or not c.take_all("after", "the?|each?"):
        return None
    c.take_kind("number")
    return chain if (c.take_kind("stitch") or c.take_if("st", "group")) and (c.done or c.is_(*ENDS)) else None


def _chain(c: Cursor, count, at: int) -> Chain | None:
    if count is None and c.peek().kind == "space":
        return Chain(c.take().value, span=c.span_from(at))
    if not c.take_if("ch"):
        return None
    if count is None:
        after = c.take_kind("number")
        count = after.value if after else 1
    return Chain(count, span=c.span_from(at))


def _between_which(c: Cursor) -> int | None:
    """`between the 2nd and 3rd`: behind how many stitches the only chain is."""
    at = c.at
    c.take_if("the")
    first = c.take_kind("ordinal")
    if first and c.take_all("and", "the?") and (second := c.take_kind("ordinal")) and second.value == first.value + 1:
        c.take_if("st") or c.take_kind("stitch")
        return first.value
    c.at = at
    return None


def _fills(node: Node) -> bool:
    """Whether it is one thing worked all around."""
    return isinstance(node, Repeat) and node.times == AROUND and len(node.body) == 1


def _apart(node: Node) -> tuple[tuple[Node, ...], Group | None]:
    """(its stitches one by one, the group that they are): what chains can part; ((), None) where it is none."""
    if isinstance(node, Group):
        stitches, _ = _apart(node.body[0]) if len(node.body) == 1 else (node.body, None)
        return (stitches, node) if all(isinstance(n, Stitch) for n in stitches) else ((), None)
    if isinstance(node, Repeat) and node.times.kind == "exact" and len(node.body) == 1:
        one, n = node.body[0], node.times.amount
        if isinstance(one, Stitch) and one.into == NEXT and isinstance(n, int) and n <= MOST:
            return (one,) * n, None
    return (), None


def _interleaved(stitches: tuple[Node, ...], parting: tuple[Node, ...], only: int | None) -> tuple[Node, ...]:
    body: list[Node] = [stitches[0]]
    for k, stitch in enumerate(stitches[1:], 1):
        body += [*(parting if only in (None, k) else ()), stitch]
    return tuple(body)
