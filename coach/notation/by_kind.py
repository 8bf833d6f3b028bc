"""What each kind of stitch of the round below is worked with: `1 double on each double, 1 treble on each treble`, `3
plain over 2 chain, 1 plain over each treble`. They take turns as those below come, not one after the other."""

from __future__ import annotations

import re
from dataclasses import replace

from coach.notation.extents import AROUND
from coach.notation.model import Action, Chain, Group, Node, Repeat, Stitch, Times

BY_KIND = Times("kinds", 0, said=False)
_OVER_CHAINS = re.compile(r"\bover \d{1,3} ch(?:ain)?s?\W*$", re.IGNORECASE)


def by_kind(nodes: list[Node], text: str) -> list[Node]:
    """The nodes, with neighbours that go all around, each into another kind, made one repeat. text: of the pattern."""
    if len(nodes) < 2:
        return nodes
    out: list[Node] = []
    for node in nodes:
        before = out[-1] if out else None
        kind = _kind(node)
        if kind is None or before is None:
            out.append(node)
        elif isinstance(before, Repeat) and before.times == BY_KIND and kind not in map(_kind_of_one, before.body):
            out[-1] = replace(before, body=(*before.body, _one(node)), span=before.span.to(node.span))
        elif _kind(before) not in (None, kind) or _over_chains(before, out[:-1], text) and kind[0] != "space":
            both = (_one(before), _one(node))
            if any(len(n.body) > 1 for n in both):  # "..., 1 treble on each treble, 3 chain between": behind every one
                both = tuple([_with_chain(n, both) for n in both])
            out[-1] = Repeat(both, BY_KIND, None, before.span.to(node.span))
        else:
            out.append(node)
    return out


def _kind(node: Node) -> tuple[str, str | None] | None:
    """The kind of places that a node goes all around in; None where it does not, or names none."""
    if not isinstance(node, Repeat) or node.times.kind not in ("fill", "kinds"):
        return None
    if node.times == BY_KIND and len(node.body) == 1:
        return _kind_of_one(node.body[0])
    if node.times != AROUND or not node.body:
        return None
    if len(node.body) > 1 and not (len(node.body) == 2 and isinstance(node.body[1], Chain)):
        return None
    one = node.body[0]
    return _kind_of_one(one) if isinstance(one, (Stitch, Group)) else None


def _kind_of_one(node: Node) -> tuple[str, str | None] | None:
    while isinstance(node, Repeat):
        node = node.body[0]
    if not isinstance(node, (Stitch, Group)) or node.into.corner:
        return None
    if node.into.kind in ("space", "middle"):
        return "space", None
    return ("stitch", node.into.stitch) if node.into.kind == "next" and node.into.stitch else None


def _one(node: Node) -> Repeat:
    """What is worked in one place of its kind, held together."""
    if isinstance(node, Repeat) and node.times == BY_KIND:
        return node.body[0]
    body = node.body if isinstance(node, Repeat) else (node,)
    return Repeat(body, Times("exact", 1), None, node.span)


def _with_chain(one: Repeat, all_: tuple[Repeat, ...]) -> Repeat:
    chain = next(n.body[-1] for n in all_ if len(n.body) > 1)
    return one if len(one.body) > 1 else replace(one, body=(*one.body, chain))


def _over_chains(node: Node, before: list[Node], text: str) -> bool:
    """Whether a node is `3 plain over 2 chain`, the first thing of its round: said of each chain of the round below."""
    return (
        isinstance(node, (Stitch, Group))
        and node.into.kind == "space"
        and all(isinstance(n, (Chain, Action)) for n in before)
        and _OVER_CHAINS.search(text[node.span.start : node.span.end]) is not None
    )
