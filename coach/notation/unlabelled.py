"""Rounds without a label: whether they are rows, which only how they are worked tells."""

from __future__ import annotations

from coach.notation.faults import walk
from coach.notation.model import Action, Chain, Node, Round, Stitch, for_size

SHORTEST_ROW = 5  # chains of a foundation that is worked across; shorter ones are rings


def kind_of(foundation: tuple[Node, ...], body: tuple[Node, ...], before: Round | None = None) -> str:
    """`row` where the work is turned, or goes across a chain that is no ring, or on such a row; else `round`. before:
    the round before this one."""
    acts = {n.kind for n in walk((*foundation, *body)) if isinstance(n, Action)}
    if "turn" in acts:
        return "row"
    if acts & {"join", "ring", "other_side"}:
        return "round"
    if before is not None:
        return before.kind
    chain = next((for_size(n.count, 0) for n in reversed(foundation) if isinstance(n, Chain)), 0)
    hooked = any(isinstance(n, Stitch) and n.into.kind == "hook" for n in walk(body[:2]))
    return "row" if hooked and chain >= SHORTEST_ROW else "round"


def name_of(kind: str, number: int) -> str:
    """The label as a maker says it."""
    return f"{'Row' if kind == 'row' else 'Rnd'} {number}"
