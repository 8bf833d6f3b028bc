"""The arithmetic of a round as a maker does it on the fingers, stitch by stitch on lists, with nothing of the coach's.

A round is the list of its tops: `"dc"` for a stitch, `"space 2"` for two chains over nothing. A ring is None.
"""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass, field, replace

from programs import MAKES, TAKES

from coach.notation.model import Action, Chain, Evenly, Group, Into, Node, Repeat, Skip, Stitch, for_size

HEIGHT = {"sc": 1, "hdc": 2, "dc": 3, "tr": 4}
STANDS = {3: "dc", 4: "tr"}  # what so many chains stand for where nothing is said
TOPS = {"shell": ["dc"] * 5, "vst": ["dc", "space 1", "dc"], "picot": [], "sc2tog": ["sc"], "sc3tog": ["sc"],
        "hdc2tog": ["hdc"], "dc2tog": ["dc"], "dc3tog": ["dc"], "invdec": ["sc"]}


def is_space(top: str) -> bool:
    return top.startswith("space")


def uses_spaces(nodes: tuple[Node, ...]) -> bool:
    """Whether something goes into a chain space."""
    inner = any(uses_spaces(n.body) for n in nodes if isinstance(n, Repeat))
    return inner or any(n.into.kind == "space" for n in nodes if isinstance(n, (Stitch, Group)))


@dataclass
class ByHand:
    """One round in the making. i: the next top of `below` not yet passed; tops, makes, colours: what is made."""

    below: list[str] | None
    colour: str = ""
    i: int = 0
    tops: list[str] = field(default_factory=list)
    makes: int = 0
    colours: Counter[str] = field(default_factory=Counter)
    begun: bool = False
    in_place: bool = False  # the hook is where the round starts
    on_first: bool = False  # a chain that counts stands on the first stitch
    may_leave: int = 0
    leaves_rest: bool = False
    uncoloured: int = 0  # stitches that have the colour of the next one
    wrong: bool = False  # it can't be worked so

    def copy(self) -> ByHand:
        return replace(self, tops=list(self.tops), colours=Counter(self.colours))

    # ---- what is below

    @property
    def takes(self) -> int:
        """Stitches of the round below that are used or passed."""
        if self.below is None:
            return 0
        return sum(not is_space(t) for t in self.below[:self.i]) + max(self.i - len(self.below), 0)

    def left(self) -> int:
        return sum(not is_space(t) for t in self.below[self.i:]) if self.below is not None else 0

    def spaces_left(self) -> int:
        return sum(is_space(t) for t in self.below[self.i:]) if self.below is not None else 0

    def fits(self, nodes: tuple[Node, ...]) -> bool:
        """Whether all that is below is worked by these nodes, or meant to be left."""
        if self.wrong or self.below is None or self.leaves_rest:
            return not self.wrong
        return not self.spaces_left() if uses_spaces(nodes) else self.left() <= self.may_leave

    def past(self, n: int) -> None:
        """Over the next n stitches and the spaces before them."""
        for _ in range(n if self.below is not None else 0):
            while self.i < len(self.below) and is_space(self.below[self.i]):
                self.i += 1
            self.wrong |= self.i >= len(self.below)
            self.i += 1

    def to_space(self, into: Into) -> None:
        chains = into.number
        if into.corner and chains is None:
            chains = max(map(self.chains, self.below or [""]))
        found = [k for k in range(self.i, len(self.below or ())) if is_space(self.below[k])
                 and chains in (None, self.chains(self.below[k]))]
        self.wrong |= not found
        self.i = found[0] + 1 if found else self.i

    @staticmethod
    def chains(top: str) -> int:
        return int(top.split()[1]) if is_space(top) else 0

    # ---- what is made

    def work(self, nodes: tuple[Node, ...], size: int = 0) -> None:
        for k, node in enumerate(nodes):
            after = nodes[k + 1] if k + 1 < len(nodes) else None
            self.one(node, after, size)

    def one(self, node: Node, after: Node | None, size: int) -> None:
        match node:
            case Stitch(stitch="slst"):
                self.travel(node.into)
            case Stitch():
                self.reach(node.into, TAKES.get(node.stitch, 1))
                self.make(node.stitch)
            case Group():
                self.reach(node.into, 1)
                for inner in node.body:
                    self.inside(inner, size)
            case Chain():
                self.chain(node, after, size)
            case Skip():
                self.skip(node, size)
            case Repeat():
                self.repeat(node, size)
            case Evenly():
                self.evenly(node, size)
            case Action(kind="colour"):
                self.colour = node.text.removeprefix("change to ").removeprefix("with ").removesuffix(" in last st")

    def reach(self, into: Into, takes: int) -> None:
        if into.kind == "space":
            self.to_space(into)
        elif into.kind not in ("same", "ring"):
            self.past(takes)

    def travel(self, into: Into) -> None:
        """A slip stitch to the space where the round starts."""
        at = next((k for k, top in enumerate(self.below) if is_space(top)), 0)
        self.wrong |= not self.spaces_left()
        self.below = [*self.below[at:], *self.below[:at]]
        self.i, self.in_place = 1, True

    def make(self, id: str) -> None:
        n = MAKES.get(id, 1)
        self.tops += TOPS.get(id, [id])
        self.makes += n
        self.colours[self.colour] += n + self.uncoloured
        self.uncoloured = 0
        self.begun = True

    def inside(self, node: Node, size: int) -> None:
        """Into the place of a group."""
        if isinstance(node, Repeat):
            for _ in range(for_size(node.times.amount, size)):
                for inner in node.body:
                    self.inside(inner, size)
        elif isinstance(node, Chain):
            self.tops.append(f"space {node.count}")
        else:
            self.make(node.stitch)

    def chain(self, node: Chain, after: Node | None, size: int) -> None:
        n = for_size(node.count, size)
        if isinstance(after, Action) and after.kind == "turn":
            return  # of the next row
        if self.begun:
            self.tops.append(f"space {n}")
        elif node.counts:
            self.stand(node.stands_for, n, node.more)
        elif node.counts is None and n in STANDS:
            self.stand(STANDS[n], n)

    def carry(self, chain: Chain) -> None:
        """A chain that was made at the end of the row before, in the colour that this one begins with."""
        if chain.counts:
            self.stand(chain.stands_for, chain.count, chain.more)
            self.colours.clear()
            self.uncoloured = 1

    def stand(self, id: str, chains: int, more: int | None = None) -> None:
        """A chain that counts, on the first stitch."""
        if self.below is not None and not self.in_place:
            self.past(1)
            self.on_first = True
        self.make(id)
        more = chains - HEIGHT[id] if more is None else more
        if more > 0:
            self.tops.append(f"space {more}")

    def skip(self, node: Skip, size: int) -> None:
        n = for_size(node.count, size)
        if node.what == "rest":
            self.leaves_rest |= not n
            self.may_leave += n
        elif node.what == "space":
            for _ in range(n):
                self.to_space(Into("space"))
        else:
            self.past(n - (node.first and self.on_first))

    def repeat(self, node: Repeat, size: int) -> None:
        amount = for_size(node.times.amount, size)
        if node.times.kind == "exact":
            whole = amount - (node.cut is not None)
            for _ in range(whole):
                self.work(node.body, size)
            if node.cut is not None:
                self.work(node.body[:node.cut], size)
            return
        spaces = uses_spaces(node.body)
        while not self.wrong:
            before = self.copy()
            if self.left() <= amount and not (spaces and self.spaces_left()):
                break
            if node.cut is not None:
                self.work(node.body[:node.cut], size)
                if self.left() <= amount:
                    break
                self.work(node.body[node.cut:], size)
            else:
                self.work(node.body, size)
            self.wrong |= self.left() < amount or self.i == before.i

    def evenly(self, node: Evenly, size: int) -> None:
        count, left = for_size(node.count, size), self.left()
        self.wrong |= left < count * (1 if node.stitch == "inc" else 2)
        self.past(left)
        for _ in range(left + count if node.stitch == "inc" else left - count):
            self.make(node.of)
