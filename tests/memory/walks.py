"""Small walks through a work, for the tests of the journal: states as the guide makes them."""

from __future__ import annotations

from coach.guide.model import Message, Place, Request, State

NEXT = Request("next")
UNDO = Request("undo")
TEXT = "# Buoy\n\n## Float\n\nRnd 1: 6 sc in a magic ring (6)\nRnd 2: inc x 6 (12)\n"


def step(state: State, n: int | None = None) -> State:
    """One step further; undo brings `state` back."""
    n = state.place.steps + 1 if n is None else n
    return state.having(place=Place(steps=n), said=(Message("step", {"count": n}),), before=state)


def undone(state: State) -> State:
    """As the guide does it: the state before, with a mark of its own."""
    return state.before.having(finished=False)


def places(state: State | None) -> list[int]:
    """The steps done in this state and in every state that undo would bring back, the last first."""
    found = []
    while state is not None:
        found.append(state.place.steps)
        state = state.before
    return found


def begin(journal, title: str = "Buoy"):
    return journal.begin(title, TEXT, "buoy.md", "S", "US")


def walk(journal, work, state: State, steps: int) -> State:
    """`steps` times next, each recorded; fails where one isn't on disk."""
    for _ in range(steps):
        state = step(state)
        assert journal.record(work, NEXT, state, "next", f"Step {state.place.steps}.") is None
    return state
