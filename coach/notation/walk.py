"""Every node of a round's body, one after another, and what kinds of place and action are among them.

Reader after reader and check after check asks this of the same round, so the last answer is kept.
"""

from __future__ import annotations

from coach.notation.model import Action, Group, Node, Repeat, Stitch
from coach.values import value


@value
class _Walked:
    """What one walk through `body` found: every node, the kinds of place of its stitches and groups, and the kinds of
    its actions."""

    body: tuple[Node, ...]
    nodes: tuple[Node, ...] = ()
    places: frozenset[str] = frozenset()
    acts: frozenset[str] = frozenset()


def walk(nodes: tuple[Node, ...]) -> tuple[Node, ...]:
    """Every node, outer ones first."""
    return _walked(nodes).nodes


def places(nodes: tuple[Node, ...]) -> frozenset[str]:
    """The kinds of place (see `Into`) that the stitches and groups among all these go into."""
    return _walked(nodes).places


def acts(nodes: tuple[Node, ...]) -> frozenset[str]:
    """The kinds of action among all these."""
    return _walked(nodes).acts


_nothing = _last = _Walked(())


def _walked(nodes: tuple[Node, ...]) -> _Walked:
    global _last
    if not nodes:
        return _nothing
    if nodes is not _last.body:
        found: list[Node] = []
        places: set[str] = set()
        acts: set[str] = set()
        _walk(nodes, found, places, acts)
        _last = _Walked(nodes, tuple(found), frozenset(places), frozenset(acts))
    return _last


def _walk(nodes: tuple[Node, ...], found: list[Node], places: set[str], acts: set[str]) -> None:
    for node in nodes:
        found.append(node)
        kind = type(node)
        if kind is Stitch:
            places.add(node.into.kind)
        elif kind is Group:
            places.add(node.into.kind)
            _walk(node.body, found, places, acts)
        elif kind is Repeat:
            _walk(node.body, found, places, acts)
        elif kind is Action:
            acts.add(node.kind)
