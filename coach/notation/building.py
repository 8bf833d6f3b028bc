"""What a round's reading remembers, and how the words of one stitch become nodes."""

from __future__ import annotations

from dataclasses import dataclass, field, replace

from coach.notation.model import NEXT, SAME, Action, Amount, Count, Group, Into, Node, Repeat, Skip, Span, Stitch, Times
from coach.notation.places import Where
from coach.notation.shared_out import Shared
from coach.values import value

_PLAIN = ("sc", "hdc", "dc", "tr", "dtr", "trtr")


@value
class Own:
    """A stitch of the pattern's own. spread: each of its nodes has a place of its own (`sc in next st, dc in next st`);
    otherwise all of them go into one place."""

    body: tuple[Node, ...]
    spread: bool = False


@dataclass(slots=True)
class Problem:
    """A fault found while reading one round; the reader gives it its line."""

    kind: str
    span: Span
    message: str
    hint: str = ""


@dataclass(slots=True)
class Context:
    """State while one round is read.

    special: the pattern's own stitches; main: the stitch that `inc` is made of; dec: what `dec` means; loop: the loop
    that the rest of the round is worked in; last: the stitch named last; starred: a `*` is open; hook: the chain that
    the next stitch goes into (`starting in the 2nd ch from hook`); standing: (whether skipped chains count, as what);
    pattern: what the rounds before work over and over; totals: counts said among the instructions;
    row_ends: it is worked into the ends of rows; told: the stitch that moves of the hook make; shared: what is shared
    out in this round and those after it; no_places: tokens (from, to) that nothing put into one place was read from.
    """

    text: str
    special: dict[str, Own] = field(default_factory=dict)
    main: str = "sc"
    dec: str | None = None
    loop: str = "both"
    last: str | None = None
    starred: bool = False
    hook: Amount | None = None
    standing: tuple[bool | None, str | None] = (None, None)
    pattern: tuple[Node, ...] = ()
    problems: list[Problem] = field(default_factory=list)
    totals: list[Count] = field(default_factory=list)
    told: str = ""
    shared: Shared = Shared()
    row_ends: bool = False
    no_places: set[tuple[int, int]] = field(default_factory=set)

    def one(self, unit: str, into: Into, loop: str, span: Span) -> Node:
        """One working of a stitch, an increase, a decrease or one of the pattern's own stitches."""
        if unit in self.special:
            return _own(self.special[unit], into, loop, span)
        if unit == "inc" or unit.endswith(" inc"):
            return self.many(self.main if unit == "inc" else unit[:-4], 2, into, loop, span)
        if unit == "dec":
            unit = self.dec or f"{self.main}2tog"
        return Stitch(unit, into, loop, span)

    def many(self, unit: str, count: Amount, into: Into, loop: str, span: Span) -> Node:
        """`count` of a stitch in one place."""
        if count == 1:
            return self.one(unit, into, loop, span)
        if count == 0:
            return _times(self.one(unit, into, loop, span), 0, span)
        one = self.one(unit, NEXT, loop, span)
        return Group(
            (one,) * count if isinstance(count, int) and count <= 3 else (_times(one, count, span),), into, span
        )

    def counted(self, unit: str, amount: Amount, loop: str, span: Span) -> list[Node]:
        """`sc 3`: one in each of the next places."""
        one = self.one(unit, NEXT, loop, span)
        return [one] if amount == 1 else [_times(one, amount, span)]

    def worked(self, unit: str, amount: Amount, counted: bool, where: Where, loop: str, span: Span) -> list[Node]:
        """`amount` of a stitch at a place as written; counted: the amount was written."""
        found = self._worked(unit, amount, counted, where, where.loop or loop, span)
        return [Action("other_side", span=span), *found] if where.side else found

    def _worked(self, unit: str, amount: Amount, counted: bool, where: Where, loop: str, span: Span) -> list[Node]:
        into, count = where.into, where.count
        one_place = count is None and where.fill is None
        if into.kind == "hook" and one_place and (amount != 1 or unit == "inc"):
            if unit == "inc":
                return [self.many(self.main, 1, into, loop, span), Stitch(self.main, SAME, loop, span)]
            return [self.one(unit, into, loop, span), _times(self.one(unit, SAME, loop, span), _less(amount), span)]
        if into.kind == "ring":
            one = self.one(unit, into, loop, span)
            return [one] if amount == 1 else [_times(one, amount, span)]
        takes = self.takes(unit)
        if into.kind == "hook" and where.fill is not None:  # "in each ch from 2nd ch"
            along = self.many(unit, amount, Into("chain"), loop, span)
            begun = self._worked(unit, amount, counted, replace(where, fill=None), loop, span)
            return [*begun, Repeat((along,), where.fill, None, span)]
        one_stitch = into.kind == "next" and unit.endswith("tog")  # "dc2tog in next st"
        if one_place and amount == 1 and (takes > 2 or takes == 2 and one_stitch):  # in one place: a cluster
            return [Group((self.one(unit, NEXT, loop, span),), into, span)]
        if one_place:
            return [self.many(unit, amount, into, loop, span)]
        if where.fill is not None:
            one = self.many(unit, amount, into, loop, span)
            if where.alternate and amount == 1 and unit in _PLAIN:  # "sc in every other st"
                return [Repeat((one, Skip(span=span)), where.fill, None, span)]
            return [Repeat((self.plain(loop, span), one) if where.alternate else (one,), where.fill, None, span)]
        if takes > 1 and isinstance(count, int) and into.kind in ("next", "last", "chain"):
            return self.counted(
                unit, amount if counted else max(1, count // takes), loop, span
            )  # "dec over next 4 sts"
        if into.kind == "last":
            into = NEXT
        if into.kind == "space" and into.number == count:  # in each ch of a ch-5 sp
            return [Group((_times(self.one(unit, NEXT, loop, span), count, span),), into, span)]
        if amount == count and amount != 1 and not where.each:  # "3 sc in next 3 sts": one in each, or three in each
            three = _times(self.many(unit, amount, into, loop, span), count, span)
            return [
                replace(_times(self.one(unit, into, loop, span), count, span), other=three if where.moved else None)
            ]
        one = self.many(unit, amount, into, loop, span)
        return [_times(one, count, span)] if count != 1 else [one]

    def plain(self, loop: str, span: Span) -> Node:
        """One plain stitch of the kind this round is made of."""
        return Stitch(self.last or self.main, NEXT, loop, span)

    def takes(self, unit: str) -> int:
        """Stitches that one working takes up, as far as its name or definition tells."""
        if unit in self.special:
            own = self.special[unit]
            return sum(self.takes(n.stitch) if isinstance(n, Stitch) else 1 for n in own.body) if own.spread else 1
        if unit in ("dec", "invdec"):
            return 2
        head, _, tail = unit.rpartition("tog")
        return int(head[-1]) if tail == "" and head and head[-1].isdigit() else 1


def placed(group: Group, where: Where, span: Span) -> list[Node]:
    """A group at each place of `where`."""
    found: Node = group
    if where.fill is not None:
        found = Repeat((group,), where.fill, None, span)
    elif where.count is not None and where.count != 1:
        found = Repeat((group,), Times("exact", where.count), None, span)
    return [Action("other_side", span=span), found] if where.side else [found]


def hooked(nodes: list[Node], n: Amount) -> list[Node]:
    """The first stitch of nodes goes into the n-th chain from the hook."""
    if not nodes:
        return nodes
    first, into = nodes[0], Into("hook", n)
    if isinstance(first, Stitch):
        return [Stitch(first.stitch, into, first.loop, first.span), *nodes[1:]]
    if isinstance(first, Repeat) and isinstance(first.body[0], Stitch) and len(first.body) == 1:
        stitch = first.body[0]
        begun = Stitch(stitch.stitch, into, stitch.loop, stitch.span)
        if first.times.kind != "exact":
            return [begun, *nodes]
        return [begun, Repeat(first.body, Times("exact", _less(first.times.amount)), None, first.span), *nodes[1:]]
    if isinstance(first, Group) and all(isinstance(n, Stitch) for n in first.body):
        return [
            Stitch(first.body[0].stitch, into, first.body[0].loop, first.span),
            *(Stitch(n.stitch, SAME, n.loop, n.span) for n in first.body[1:]),
            *nodes[1:],
        ]
    return nodes


def _own(own: Own, into: Into, loop: str, span: Span) -> Node:
    if own.spread:
        return own.body[0] if len(own.body) == 1 else Repeat(own.body, Times("exact", 1), None, span)
    if len(own.body) == 1 and isinstance(own.body[0], Stitch):
        return Stitch(own.body[0].stitch, into, loop, span)
    return Group(own.body, into, span)


def _times(node: Node, amount: Amount, span: Span) -> Repeat:
    return Repeat((node,), Times("exact", amount), None, span)


def _less(amount: Amount) -> Amount:
    return amount - 1 if isinstance(amount, int) else tuple(n - 1 for n in amount)
