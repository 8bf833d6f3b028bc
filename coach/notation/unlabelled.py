"""Rounds without a label: whether they are rows, which only how they are worked tells; and rows called by a name that
is no label."""

from __future__ import annotations

import re

from coach.notation.building import Problem
from coach.notation.model import Action, Node, Round, Span, Stitch
from coach.notation.walk import walk

_CALLED = re.compile(
    r"\W*+(?P<name>(?!(?:at|every|each|all|this|these|for|in|on|after|before|note|tip)\b)(?:[a-z-]{2,20} ){1,2}"
    r"(?:row|rnd|round)s?)(?: ?\([^()]{1,20}\))?\s?:",
    re.IGNORECASE,
)


def kind_of(foundation: tuple[Node, ...], body: tuple[Node, ...], before: Round | None = None) -> str:
    """`row` where the work is turned, or goes along a chain from the hook, or on such a row; else `round`. before:
    the round before this one."""
    acts = {n.kind for n in walk((*foundation, *body)) if isinstance(n, Action)}
    if "turn" in acts:
        return "row"
    if acts & {"join", "ring", "other_side"}:
        return "round"
    if before is not None:
        return before.kind
    along = [n.into.kind for n in walk(body) if isinstance(n, Stitch)]
    return "row" if along[:1] == ["hook"] and {*along} & {"next", "chain", "last"} else "round"


def name_of(kind: str, number: int) -> str:
    """The label as a maker says it."""
    return f"{'Row' if kind == 'row' else 'Rnd'} {number}"


def called(sentence: str) -> re.Match | None:
    """The words that name a row at the start of a sentence: `Turning row:`."""
    return _CALLED.match(sentence)


def unknown_label(name: re.Match, at: int) -> Problem:
    """That they are no label; at: the offset of the sentence."""
    span = Span(at + name.start("name"), at + name.end("name"))
    message = f'"{name["name"]}" is not understood as a label.'
    return Problem("unknown", span, message, "Number it, for example: Row 3.")
