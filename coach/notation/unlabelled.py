"""Rounds without a label: whether they are rows, which only how they are worked tells."""

from __future__ import annotations

from coach.notation.faults import walk
from coach.notation.model import Action, Node, Round, Stitch


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
