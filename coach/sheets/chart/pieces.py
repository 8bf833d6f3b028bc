"""One worked round as single symbols, each with the tops of the round below that it stands on."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from coach.fabric.base import Base
from coach.fabric.model import Worked
from coach.fabric.tree import Leaf, Top, leaves
from coach.notation.model import Action, Chain, Group, Node, Repeat, Stitch, for_size
from coach.stitches.catalogue import stitch as entry_of


@dataclass(frozen=True, slots=True)
class Piece:
    """One symbol.

    kind: stitch, arc (a chain space), column (a chain that stands for a stitch), turning (a chain that counts as none),
    picot, join (the slip stitch that closes a round) or travel (one that moves its start); id: of the stitch;
    feet: tops of the round below, in the order in which that round made them (empty: a ring, or nothing); top: it
    leaves a place for the next round; chains: of an arc or column; step: which step of the round makes it; made: the
    count when it is done.
    """

    kind: str
    id: str
    step: int
    made: int
    feet: tuple[int, ...] = ()
    top: bool = True
    chains: int = 0
    loop: str = "both"
    fan: int = 1  # symbols that share the foot


def pieces(worked: Worked, base: Base, size: int = 0, wrong_side: bool = False) -> list[Piece]:
    """The round's symbols in the order of working. wrong_side: front and back are drawn as seen from the right side."""
    found: list[Piece] = []
    i, step, made, begun = 0, 0, 0, False
    steps = list(leaves(worked.tree))
    for k, leaf in enumerate(steps):
        node = leaf.node
        if (
            isinstance(node, Stitch)
            and node.stitch == "slst"
            and not begun
            and leaf.at == 0
            and not leaf.makes
            and not leaf.moves
            and base.tops
        ):
            base, i = _travelled(base, node, size)
            found.append(Piece("travel", "slst", step, made, _feet(base, 0, 1), top=False))
        else:
            following = steps[k + 1].node if k + 1 < len(steps) else None
            made += leaf.makes
            takes = _takes(leaf)
            into = i + (leaf.at or 0)
            if isinstance(node, Chain) and leaf.makes and not leaf.moves and i == 1:
                into = 0  # it stands in the space that the slip stitches led to
            feet = () if leaf.at is None or _in_ring(node) else _feet(base, into, takes)
            for piece in _pieces(leaf, following, begun, size):
                done = made if piece.top else made - leaf.makes
                found.append(
                    Piece(
                        piece.kind,
                        piece.id,
                        step,
                        done,
                        feet,
                        piece.top,
                        piece.chains,
                        _loop(node, wrong_side),
                        piece.fan,
                    )
                )
            begun = begun or bool(leaf.tops) or bool(leaf.makes)
        i += leaf.moves
        step += leaf.steps
    return found


def _travelled(base: Base, node: Stitch, size: int) -> tuple[Base, int]:
    """The base begun where slip stitches have carried the hook, as the fabric does it."""
    if node.into.kind != "space":
        return base.rotated(base.next_stitch(1) or 0), 0
    chains = for_size(node.into.number, size) if node.into.number is not None else None
    first = base.top(0)
    at = base.next_space(1 if first and not first.is_space else 0, chains)
    return base.rotated((at if at is not None else base.next_space(0)) or 0), 1


def _in_ring(node: Node | None) -> bool:
    return isinstance(node, (Stitch, Group)) and node.into.kind == "ring"


def _takes(leaf: Leaf) -> int:
    entry = entry_of(leaf.node.stitch) if isinstance(leaf.node, Stitch) else None
    return max(entry.takes, 1) if entry else 1


def _feet(base: Base, start: int, count: int) -> tuple[int, ...]:
    """The tops from `start` on, as indexes into the round below; spaces are passed over when several stitches are
    taken up."""
    if base.is_ring or not base.tops:
        return ()
    found: list[int] = []
    i = start
    while len(found) < count and 0 <= i < base.tops:
        if count == 1 or not base.top(i).is_space:
            w = (i + base.start) % base.tops
            found.append(base.tops - 1 - w if base.turned else w)
        i += 1
    return tuple(found)


def _loop(node: Node | None, wrong_side: bool) -> str:
    loop = getattr(node, "loop", "both")
    if isinstance(node, Group):
        loop = next((n.loop for n in node.body if isinstance(n, Stitch)), "both")
    return {"back": "front", "front": "back"}.get(loop, loop) if wrong_side else loop


def _pieces(leaf: Leaf, following: Node | None, begun: bool, size: int) -> Iterator[Piece]:
    node = leaf.node
    if isinstance(node, Action):
        if node.kind == "join":
            yield Piece("join", "slst", 0, 0, top=False)
    elif isinstance(node, Chain) or node is None and leaf.makes:
        n = for_size(node.count, size) if isinstance(node, Chain) else 0
        if not leaf.tops:
            yield Piece(
                "turning"
                if not begun or _ends(following)
                else "picot"
                if isinstance(following, Stitch) and following.stitch == "slst"
                else "turning",
                "ch",
                0,
                0,
                top=False,
                chains=n,
            )
        loose = sum(t.chains for t in leaf.made_tops if t.is_space)
        for top in leaf.made_tops:
            yield _of_top(top, 1) if top.is_space else Piece("column", top.kind, 0, 0, chains=max(n - loose, 0))
    elif isinstance(node, Stitch):
        if not leaf.tops:
            closes = node.stitch == "slst" and begun
            yield Piece(
                "join" if closes else "picot" if node.stitch == "picot" else "stitch", node.stitch, 0, 0, top=False
            )
        elif leaf.tops > 1:
            yield from (_of_top(top, leaf.tops) for top in leaf.made_tops)
        else:
            yield Piece("stitch", node.stitch, 0, 0)
    elif isinstance(node, Group):
        inside = list(_group(node.body, size))
        if sum(p.top for p in inside) == leaf.tops:
            fan = sum(p.kind == "stitch" for p in inside)
            yield from (Piece(p.kind, p.id, 0, 0, top=p.top, chains=p.chains, fan=fan) for p in inside)
        else:
            yield from (_of_top(top, leaf.tops) for top in leaf.made_tops)


def _ends(following: Node | None) -> bool:
    return following is None or isinstance(following, Action) and following.kind == "turn"


def _of_top(top: Top, fan: int) -> Piece:
    return Piece("arc", "ch", 0, 0, chains=top.chains) if top.is_space else Piece("stitch", top.kind, 0, 0, fan=fan)


def _group(body: tuple[Node, ...], size: int) -> Iterator[Piece]:
    """Symbols of several stitches worked into one place."""
    for k, node in enumerate(body):
        if isinstance(node, Stitch):
            entry = entry_of(node.stitch)
            if entry and entry.kind == "decoration" or node.stitch == "slst":
                yield Piece("picot" if node.stitch == "picot" else "join", node.stitch, 0, 0, top=False)
            elif entry and entry.makes > 1:
                yield from (
                    Piece("stitch", entry.of or node.stitch, 0, 0)
                    if not t.startswith("space")
                    else Piece("arc", "ch", 0, 0, chains=int(t.split()[1]))
                    for t in entry.tops or (node.stitch,) * entry.makes
                )
            else:
                yield Piece("stitch", node.stitch, 0, 0)
        elif isinstance(node, Chain):
            after = body[k + 1] if k + 1 < len(body) else None
            n = for_size(node.count, size)
            if node.counts:
                yield Piece("column", node.stands_for or "dc", 0, 0, chains=n)
            elif isinstance(after, Stitch) and after.stitch == "slst":
                yield Piece("picot", "ch", 0, 0, top=False, chains=n)
            else:
                yield Piece("arc", "ch", 0, 0, chains=n)
        elif isinstance(node, Group):
            yield from _group(node.body, size)
        elif isinstance(node, Repeat):
            for _ in range(for_size(node.times.amount, size)):
                yield from _group(node.body, size)
