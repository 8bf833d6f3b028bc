"""Rounds that a reference to others stands for: how many they are, what is worked in each, and whose its count is."""

from __future__ import annotations

from coach.notation.bounds import MOST_UNWRITTEN
from coach.notation.changed import Change, changed
from coach.notation.established import gone_on_with, unit
from coach.notation.extents import AROUND
from coach.notation.model import Amount, Count, Node, Repeat, Round, Span, Stitch
from coach.notation.references import Reference
from coach.notation.steps import each_end


def how_many(ref: Reference, targets: int, first: int) -> tuple[tuple[int, ...], tuple[int, ...] | None]:
    """(the numbers of the rounds, how many of them each size works; None: all of them). targets: the rounds pointed at;
    first: the number of the next round."""
    amount: Amount = targets
    if ref.rows is not None:
        amount = ref.rows
    elif ref.up_to is not None:
        each = ref.up_to if isinstance(ref.up_to, tuple) else (ref.up_to,)
        most = tuple(max(n - first + 1, 0) for n in each)
        amount = most if len(most) > 1 else most[0]
    elif ref.times is not None:
        amount = ref.times * targets if isinstance(ref.times, int) else tuple(t * targets for t in ref.times)
    most = min(amount if isinstance(amount, int) else max(amount), 2 * MOST_UNWRITTEN)
    return tuple(range(first, first + most)), None if isinstance(amount, int) else amount


def worked_again(
    ref: Reference, target: Round, main: str, span: Span, change: Change | None = None, time: int = 1
) -> tuple[Node, ...]:
    """What is worked in a round that repeats the target. main: the stitch that the pattern is made of; change: what is
    other in it; time: which of the reference's rounds it is, from 1."""
    stitch = Stitch(main)
    if ref.ends:
        return tuple(each_end(ref.ends, stitch, span))
    if ref.patterned and unit(target):
        return gone_on_with(target)
    body = (Repeat((stitch,), AROUND, None, target.span),) if ref.even else target.body
    return (changed(body, change, time) or body) if change else body


def grows(ref: Reference, target: Round, stated: tuple[Count, ...]) -> bool:
    """Whether the count behind `Rows 6-8: rep row 5` is that of the last one only, since the row changes it."""
    return bool(ref.ends) or bool(target.stated and stated and target.stated[0].amount != stated[0].amount)
