"""Steps gathered as they are said: equal neighbours are one, what repeats is a cycle, a change of colour goes with the
step that it ends."""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass, replace

from coach.fabric.changing import is_change
from coach.fabric.tree import Leaf, Loop, Run, Tree
from coach.notation.model import NEXT, Action, Group, Node, Repeat, Skip, Span, Stitch

NO_CHANGE = re.compile(r"^(?:drop|carry|join)\b", re.IGNORECASE)


@dataclass(frozen=True, slots=True)
class Item:
    """A step `n` times, each in a new place where it goes on. node: without its span, so that equal steps are equal."""

    node: Node
    n: int
    goes_on: bool = True
    change: Action | None = None  # of colour, with its last step


@dataclass(frozen=True, slots=True)
class Cycle:
    """Several items `n` times."""

    items: tuple[Item | Cycle, ...]
    n: int
    change: Action | None = None  # of colour, with its very last step


def items_of(trees: tuple[Tree, ...]) -> list[Item | Cycle]:
    """Worked steps in order, each with how often it is worked."""
    found: list[Item | Cycle] = []
    for tree in trees:
        if tree.steps == 0 and not is_change(tree):  # worked at the end of the round before
            continue
        if isinstance(tree, Run):
            found += items_of(tree.children)
        elif isinstance(tree, Loop) and not isinstance(tree.child, Leaf):
            inside = merged(items_of((tree.child,)))
            if len(inside) == 1 and isinstance(inside[0], Item):
                found.append(replace(inside[0], n=inside[0].n * tree.times))
            else:
                found.append(Cycle(tuple(inside), tree.times))
        else:
            leaf, n = (tree.child, tree.times) if isinstance(tree, Loop) else (tree, 1)
            if leaf.node is not None:
                found.append(Item(bare(leaf.node), n, leaf.moves > 0 or _is_along_a_chain(leaf.node)))
    return found


def _is_along_a_chain(node: Node) -> bool:
    """Whether a step goes into the next of the chains made in its own round, where nothing of the round below is
    passed."""
    return isinstance(node, Stitch) and node.into.kind == "chain"


def merged(items: list[Item | Cycle]) -> list[Item | Cycle]:
    """Equal neighbours made one."""
    found: list[Item | Cycle] = []
    for item in items:
        last = found[-1] if found else None
        joinable = isinstance(item, Item) and isinstance(item.node, (Stitch, Group, Skip))
        if joinable and isinstance(last, Item) and (last.node, last.goes_on) == (item.node, item.goes_on):
            found[-1] = replace(last, n=last.n + item.n)
        else:
            found.append(item)
    return found


def folded(items: Iterable[Item | Cycle]) -> list[Item | Cycle]:
    """The same with each change of colour in the item that it ends."""
    found: list[Item | Cycle] = []
    for item in merged(list(items)):
        change = isinstance(item, Item) and isinstance(item.node, Action) and item.node.kind == "colour"
        if (
            change
            and not NO_CHANGE.match(item.node.text)
            and found
            and found[-1].change is None
            and _can_change(found[-1])
        ):
            found[-1] = replace(found[-1], change=item.node)
        else:
            found.append(item)
    return found


def _can_change(item: Item | Cycle) -> bool:
    """Whether its last step is a pull, with which the hook can take up another yarn."""
    return isinstance(item, Cycle) or not isinstance(item.node, Action) or item.node.kind == "join"


def loosened(body: tuple[Node, ...]) -> list[Item | Cycle]:
    """The steps of a group; their place is the group's."""
    found: list[Item | Cycle] = []
    for node in body:
        if isinstance(node, Repeat) and (plain := plain_times(node)):
            found.append(Item(_inner(plain[0]), plain[1]))
        elif isinstance(node, Repeat) and node.times.kind == "exact" and isinstance(node.times.amount, int):
            found.append(Cycle(tuple(merged(loosened(node.body))), node.times.amount))
        else:
            found.append(Item(_inner(node), 1))
    return found


def _inner(node: Node) -> Node:
    """A node of a group: the place is the group's."""
    return replace(bare(node), into=NEXT) if isinstance(node, Stitch) else bare(node)


def plain_times(node: Repeat) -> tuple[Node, int] | None:
    """The stitch and the number, where a repeat is nothing but "2 dc"."""
    if len(node.body) == 1 and isinstance(node.body[0], Stitch) and node.times.kind == "exact":
        return (node.body[0], node.times.amount) if isinstance(node.times.amount, int) else None
    return None


def bare(node: Node) -> Node:
    """The node without its place in the text, and so all nodes in it."""
    changes: dict[str, object] = {"span": Span(0, 0)}
    if isinstance(node, (Group, Repeat)):
        changes["body"] = tuple(bare(b) for b in node.body)
    return replace(node, **changes)
