"""Every node of a round, one after another, and where they go."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st
from passages import around, body, inc, times
from passages import st as stitch

from coach.notation.model import Action, Chain, Group, Into, Node, Stitch
from coach.notation.walk import acts, places, walk

SC, DC = stitch("sc"), stitch("dc")
ROUNDS = [body(line) for line in ("Sc 2, inc, dc.", "*(Sc, inc) twice, dc; rep from * around.", "Ch 3, turn.", "[Sc 5, inc] x 6.")]


def by_hand(node: Node) -> list[Node]:
    return [node, *(inner for part in getattr(node, "body", ()) for inner in by_hand(part))]


def test_outer_ones_come_first():
    repeat = times(6, SC, inc("dc"))
    assert walk((DC, repeat)) == (DC, repeat, SC, inc("dc"), DC, DC)


def test_there_is_nothing_in_nothing():
    assert walk(()) == () and places(()) == acts(()) == frozenset()


def test_places_and_actions_however_deep():
    shell = Group((DC, Chain(1), DC), Into("space"))
    nodes = (Chain(3), around(stitch("sc", Into("same")), shell), Action("join"), Action("turn"))
    assert places(nodes) == {"next", "same", "space"}
    assert acts(nodes) == {"join", "turn"}
    assert places((shell,)) == {"next", "space"} and acts((shell,)) == frozenset()


@given(st.lists(st.sampled_from(ROUNDS), max_size=6))
def test_whatever_was_walked_before(rounds):
    for nodes in rounds:
        found = [inner for node in nodes for inner in by_hand(node)]
        assert list(walk(nodes)) == found
        assert places(nodes) == {node.into.kind for node in found if isinstance(node, Stitch | Group)}
        assert acts(nodes) == {node.kind for node in found if isinstance(node, Action)}
