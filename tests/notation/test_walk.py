"""Every node of a round, one after another."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st
from passages import body, inc, times
from passages import st as stitch

from coach.notation.faults import walk
from coach.notation.model import Node

SC, DC = stitch("sc"), stitch("dc")
ROUNDS = [body(line) for line in ("Sc 2, inc, dc.", "*(Sc, inc) twice, dc; rep from * around.", "Ch 3, turn.", "[Sc 5, inc] x 6.")]


def by_hand(node: Node) -> list[Node]:
    return [node, *(inner for part in getattr(node, "body", ()) for inner in by_hand(part))]


def test_outer_ones_come_first():
    repeat = times(6, SC, inc("dc"))
    assert walk((DC, repeat)) == (DC, repeat, SC, inc("dc"), DC, DC)


def test_there_is_nothing_in_nothing():
    assert walk(()) == ()


@given(st.lists(st.sampled_from(ROUNDS), max_size=6))
def test_whatever_was_walked_before(rounds):
    for nodes in rounds:
        assert list(walk(nodes)) == [inner for node in nodes for inner in by_hand(node)]
