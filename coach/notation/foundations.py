"""The chain or ring that a round starts from, apart from what is worked into it."""

from __future__ import annotations

import re
from dataclasses import replace

from coach.notation.model import Action, Chain, Node, Repeat, Skip, Stitch

START = re.compile(
    r"(?:\W*+(?:(?:foundation|base|begin(?:ning)?|start(?:ing)?)(?: ch(?:ain)?s?| (?P<ring>ring|circle))?|"
    r"to (?:start|begin)|set-?up|(?:make (?:a|the) )?(?P<a_ring>ring|circle))\s*+(?:[:—-]|(?<=n|t),)\s*+)?"
    r"(?:[A-Z][^:;]{2,120}?\.--(?=[A-Z])|[^.;:]{2,80}: (?=(?:make|begin|commence|ch|\d{1,4} ?ch)))?"
    r"(?:\W*+(?:[\w ]{1,30} (?:is|are) )?(?:begin|begun|start(?:ed)?|commenced?|commencing)(?: in the cent(?:re|er))? "
    r"(?:with|by)\s*+(?:a|making)?\s*+)?",
    re.IGNORECASE,
)
SAMPLE = re.compile(
    r".{0,80}multiple.{0,80}?\([^()]{0,40}?\b(?P<sample>\d{1,4} ?ch(?:s|ains?)?\b|ch(?:ain)? \d{1,4})[^()]{0,60}\)",
    re.IGNORECASE,
)


def split_foundation(nodes: tuple[Node, ...], first: bool = True) -> tuple[tuple[Node, ...], tuple[Node, ...]]:
    """The chain or ring that a round starts from, and the rest of it."""
    for i, node in enumerate(nodes):
        if isinstance(node, Action) and (node.kind == "ring" or (node.kind == "join" and node.text == "ring")):
            return nodes[: i + 1], nodes[i + 1 :]
        if isinstance(node, Skip) and node.what == "chain" and i and first:
            return nodes[:i], nodes[i:]
        behind = isinstance(node, Action) and i and first and i + 1 < len(nodes)
        if behind and (node.kind == "join" or node.kind == "turn" and isinstance(nodes[i - 1], Chain)):
            return nodes[: i + 1], nodes[i + 1 :]  # "ch 60, join; ch 1, ...", "ch 60, turn, dc in ..."
        if not isinstance(node, (Chain, Action)) and not (isinstance(node, Stitch) and node.stitch == "slst"):
            return (nodes[:i], nodes[i:]) if first and first_into(node) == "hook" else ((), nodes)
    return (), nodes


def with_standing(nodes: tuple[Node, ...], standing: tuple[bool | None, str | None]) -> tuple[Node, ...]:
    """The foundation, its last chain knowing whether what is skipped of it counts as a stitch."""
    if standing[0] is None:
        return nodes
    last = max((i for i, n in enumerate(nodes) if isinstance(n, Chain)), default=None)
    if last is None:
        return nodes
    return (*nodes[:last], replace(nodes[last], counts=standing[0], stands_for=standing[1]), *nodes[last + 1 :])


def first_into(node: Node) -> str | None:
    """The kind of place that the first stitch of a node goes into."""
    if isinstance(node, Repeat):
        return first_into(node.body[0]) if node.body else None
    into = getattr(node, "into", None)
    return into.kind if into else None


def names_a_stitch(nodes: list[Node], sentence: str) -> bool:
    """`THE CHAIN.`, `Double crochet.`: a heading over how a stitch is worked, and nothing to work."""
    lone = len(nodes) == 1 and (isinstance(nodes[0], Stitch) or isinstance(nodes[0], Chain) and nodes[0].count == 1)
    return lone and not any(c.isdigit() for c in sentence) and len(sentence.split()) <= 4


def tells_of_a_chain(nodes: list[Node]) -> bool:
    """`Ch 3 counts as dc throughout`: said of the chains that rounds begin with, and none to make."""
    return (
        len(nodes) == 1
        and isinstance(nodes[0], Chain)
        and nodes[0].counts is not None
        and nodes[0].count in (1, 2, 3, 4)
    )
