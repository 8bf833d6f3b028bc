"""repeat: a repeat does not fit the stitches it is to fill, or fills nothing.

"Around" and "to last 2 sts" repeat a part until the stitches are used; where they do not come out even, a part of a
repeat
is left over.

Fails:

    Rnd 1: 7 sc in magic ring. (7)
    Rnd 2: (Sc in next st, 2 sc in next st) around.

Passes:

    Rnd 1: 8 sc in magic ring. (8)
    Rnd 2: (Sc in next st, 2 sc in next st) around.
"""

from __future__ import annotations

from coach.fabric.hand import Hand, are, sts
from coach.notation.model import Repeat

_HOW_OFTEN = "Say how many times, for example: 6 times."


def in_a_ring(hand: Hand, node: Repeat) -> None:
    hand.trouble("repeat", node.span, "How often it is repeated can't be told in a ring.", _HOW_OFTEN)


def takes_nothing(hand: Hand, node: Repeat) -> None:
    hand.trouble("repeat", node.span, "The repeated part takes up no stitches, so it can't go around.", _HOW_OFTEN)


def no_such_kind(hand: Hand, node: Repeat) -> None:
    hand.trouble(
        "repeat",
        node.span,
        "There is nothing of this kind in the round below to work into.",
        "Check which stitches the round below has.",
    )


def too_few(hand: Hand, node: Repeat, takes: int, left: int) -> None:
    hand.trouble(
        "repeat",
        node.span,
        f"The repeated part needs {sts(takes)}, but only {are(left)} left.",
        "Check the count of the round below.",
    )


def left_over(hand: Hand, node: Repeat, takes: int, times: int, over: int, fits: int) -> None:
    """fits: the stitches of a round below that it would fit, those before and behind the repeat among them."""
    what = "row" if getattr(hand, "row", False) else "round"
    hand.trouble(
        "repeat",
        node.span,
        f"The repeat takes {sts(takes)} at a time: after {times} times {are(over)} left over.",
        f"It fits a {what} of {fits} or {fits + takes} stitches.",
    )


def too_often(hand: Hand, node: Repeat) -> None:
    hand.endless = True
    hand.trouble(
        "repeat",
        node.span,
        "It is repeated more times than can be followed here.",
        "Check the counts of the rounds below.",
    )
