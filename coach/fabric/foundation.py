"""What the first round stands on: a ring, a chain (worked along one side, both, or joined), or foundation stitches."""

from __future__ import annotations

from dataclasses import replace

from coach.fabric.base import Base
from coach.fabric.model import Worked
from coach.fabric.standing import standing_chains
from coach.fabric.tree import Leaf, Loop, Run, Top, Tree
from coach.fabric.worker import Worker
from coach.notation.model import NEXT, RING, SAME, Action, Chain, Group, Node, Repeat, Round, Skip, Stitch, for_size
from coach.notation.walk import acts, places, walk
from coach.values import value


@value
class Foundation:
    """base: what can be worked into; limit: end of a chain's first side where its other side is worked too;
    standing: skipped chains that count as the first stitch; hooked: the first stitch goes into a chain counted from the
    hook; known: how many places there are is known."""

    base: Base
    limit: int | None = None
    standing: Tree | None = None
    hooked: bool = False
    known: bool = True


def first_place(nodes: tuple[Node, ...]) -> tuple[str, int, str] | None:
    """(kind, number, stitch) of the place that the first stitch goes into; None when there is no stitch."""
    for node in walk(nodes):
        if isinstance(node, (Stitch, Group)) and not (isinstance(node, Group) and node.into.kind == "next"):
            id = (
                node.stitch
                if isinstance(node, Stitch)
                else next((n.stitch for n in walk(node.body) if isinstance(n, Stitch)), "sc")
            )
            if isinstance(node, Stitch) and id == "slst" and node.into.kind != "hook":
                continue
            return node.into.kind, node.into.number or 0, id
    return None


def lay(round: Round, main: str, size: int, way: int, chains_count: bool | None) -> Foundation:
    """The foundation of a part's first round.

    way: 0 or 1, where the words leave open whether one chain of the foundation is for turning;
    chains_count: whether skipped chains count as a stitch (None: by the usual practice).
    """
    nodes = round.foundation
    chains = [for_size(n.count, size) for n in nodes if isinstance(n, Chain)]
    place = first_place(round.body)
    stitches = [n for n in walk(nodes) if isinstance(n, Stitch) and n.stitch != "slst"]
    if stitches:
        return Foundation(
            Base(_row_of(nodes, size), turned=any(isinstance(n, Action) and n.kind == "turn" for n in nodes))
        )
    if chain_alone(round, size) is not None:
        return Foundation(Base(None))
    if not places(round.body).isdisjoint(("piece", "named")):
        return Foundation(Base(None), known=False)  # worked onto pieces that were made before
    ring = any(isinstance(n, Action) and n.kind == "ring" for n in nodes)
    if ring or (place and place[0] == "ring") or not chains:
        hooked = bool(place and place[0] == "hook")
        return Foundation(Base(None), None, None, hooked, bool(ring or chains or (place and place[0] == "ring")))
    joined = [n for n in nodes if isinstance(n, Action) and n.kind == "join"]
    if joined and way and joined[0].text == "ring":  # worked into the ring, though only its making says so
        return Foundation(Base(None))
    if joined:
        return Foundation(Base.chain(chains[0]))
    count, skipped, standing = chains[-1], 0, None
    hooked = bool(place and place[0] == "hook")
    said = [n for n in nodes if isinstance(n, Chain)][-1]
    counts = said.counts if said.counts is not None else chains_count
    if hooked:
        skipped = for_size(place[1], size) - 1
        standing = standing_chains(said.stands_for or place[2], skipped, counts)
    elif any(isinstance(n, Skip) and n.what == "chain" for n in round.body[:1]):
        standing = standing_chains(main, for_size(round.body[0].count, size), counts)
    elif way:
        skipped = 1
    usable = max(count - skipped, 0)
    if "other_side" in acts(round.body):
        return Foundation(Base.chain(_both_sides(round.body, usable, size)), usable, standing, hooked)
    return Foundation(Base.chain(usable), None, standing, hooked)


def chain_alone(round: Round, size: int) -> Tree | None:
    """`Rnd 1: Ch 40, join`: each chain is a stitch of the round; None when the round is more than a chain."""
    if round.foundation or not round.body or not isinstance(round.body[0], Chain):
        return None
    if not all(isinstance(n, Action) and n.kind in ("join", "turn") for n in round.body[1:]):
        return None
    n = for_size(round.body[0].count, size)
    chains = Loop(Leaf(None, makes=1, tops=(Top("ch"),), tally={"ch": 1}, steps=0), n)
    return Run((Leaf(round.body[0]), chains, *(Leaf(n) for n in round.body[1:])))


def _both_sides(body: tuple[Node, ...], usable: int, size: int) -> int:
    """The places around a chain: an end that holds a group turns the corner, so that the other side has one less."""
    across = next((k for k, n in enumerate(body) if isinstance(n, Action) and n.kind == "other_side"), len(body))
    before = [n for n in body[:across] if not isinstance(n, (Action, Skip))]
    end = bool(before) and isinstance(before[-1], Group)
    start = 1 + sum(
        for_size(n.times.amount, size)
        for n in body[1:2]
        if isinstance(n, Repeat)
        and n.times.kind == "exact"
        and isinstance(n.body[0], Stitch)
        and n.body[0].into == SAME
    )
    return max(2 * usable - end - (start >= 3), usable)


def _row_of(nodes: tuple[Node, ...], size: int) -> Tree:
    """A foundation row of stitches, worked without anything below."""
    return Worker(Base(None), size, "sc", {}).run(tuple(n for n in nodes if isinstance(n, (Stitch, Repeat))))


def into_the_ring(round: Round) -> Round:
    """`MR 6 sc`, `Magic ring, 8 sc`: where a round begins with a magic ring, its stitches go into that."""
    if not any(isinstance(n, Action) and n.kind == "ring" for n in round.foundation):
        return round
    return replace(round, body=tuple([_into_the_ring(n) for n in round.body]))


def _into_the_ring(node: Node) -> Node:
    if isinstance(node, Repeat) and node.times.kind == "exact" and len(node.body) == 1:
        return replace(node, body=(_into_the_ring(node.body[0]),))
    plain = isinstance(node, Stitch) and node.stitch != "slst" and node.into == NEXT
    return replace(node, into=RING) if plain else node


def begun_with(worked: Worked) -> tuple[Node, ...]:
    """What is made before a round's first step: its foundation, or the ring that the text speaks of only as the place
    of the first stitch ("6 sc in magic ring"); where a round is below, a ring is there already."""
    begun = worked.source.foundation
    only_colours = all(isinstance(n, Action) and n.kind == "colour" for n in begun)
    return (*begun, Action("ring")) if only_colours and not worked.base and _into_ring(worked) else begun


def _into_ring(worked: Worked) -> bool:
    for step in range(min(worked.steps, 3)):
        match worked.step_at(step).node:
            case Stitch(into=into) | Group(into=into) if into == RING:
                return True
            case Chain():
                pass  # a turning chain
            case _:
                return False
    return False
