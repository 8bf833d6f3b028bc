"""Works the nodes of one round into its base, giving its tree. What can be read in two ways is chosen by the caller."""

from __future__ import annotations

from dataclasses import replace

from coach.fabric import along
from coach.fabric.base import Base
from coach.fabric.blocks import skipped
from coach.fabric.closing import Closing
from coach.fabric.edges import Edged, is_corner
from coach.fabric.hand import Hand, Option, Trouble, are, slips, sts
from coach.fabric.inside import Inside, tallied
from coach.fabric.order import begins_a_row, chain_before, fills_a_rest, is_slip, starts_later
from coach.fabric.repeating import MOST_TURNS, repeat
from coach.fabric.standing import standing_chains
from coach.fabric.tree import Leaf, Run, Top, Tree, tally_of
from coach.notation.model import Action, Chain, Evenly, Group, Into, Node, Repeat, Skip, Stitch, Times, for_size
from coach.stitches.catalogue import stitch as entry_of


class Worker(Hand):
    """One round in the making.

    main: the stitch that gives the round its height; chosen: which way each option is read; limit: end of the first
    side of
    a chain; hooked: the first stitch goes into a chain counted from the hook; row: worked in rows; known: False when
    nothing
    is known of the base, which then has room for anything.
    """

    def __init__(
        self,
        base: Base,
        size: int,
        main: str,
        chosen: dict[object, int],
        *,
        limit: int | None = None,
        hooked: bool = False,
        row: bool = False,
        known: bool = True,
        counted_tch: bool = False,
        closing: Closing = Closing(),
        edged: Edged | None = None,
        in_blocks: bool = False,
    ):
        super().__init__(base, size, limit, counted_tch)
        self.edged = edged
        self.in_blocks = in_blocks  # worked from corner to corner
        self.begun = in_blocks  # no chain of it stands for a stitch
        self.stop = edged.stops[0] if edged else self.stop
        self.main = main
        self.chosen = chosen
        self.options: dict[object, Option] = {}
        self.hooked = hooked
        self.row = row
        self.base_known = known
        self.may_leave = 0
        self.leaves_rest = False
        self.joined = False
        self.closing = closing
        self.in_space = False  # the round ends in its last space, which a stitch has closed
        self.turned = False
        self.trailing: Chain | None = None  # made at the end of the row before, to go back along
        self.turns = 0
        self.open_edges: list[int] = []  # usual stitches along each edge for which nothing tells how many
        self.worked: dict[tuple, tuple[Tree, int, tuple]] = {}  # bodies of repeats, by how they are come to

    def turn(self) -> bool:
        """One more time through a repeat that is looked at each time; False when there were too many."""
        self.turns += 1
        return self.turns <= MOST_TURNS

    def choose(self, key: object, ways: int, node: Node, default: int = 0) -> int:
        """Which way something is read; the caller may choose another one."""
        self.options[key] = Option(key, ways, node, default)
        return self.chosen.get(key, default)

    # ---------------------------------------------------------------- sequences
    def run(self, nodes: tuple[Node, ...], after: int = 0) -> Tree:
        """Nodes one after another; `after`: stitches that what follows them needs."""
        if len(nodes) == 1:
            return self.work(nodes[0], after, nodes, 0)
        fills = any([fills_a_rest(node) for node in nodes])  # what comes behind matters only to what fills a rest
        behind = self._behind(nodes, after) if fills else [after] * len(nodes)
        return Run(tuple([self.work(node, behind[k], nodes, k) for k, node in enumerate(nodes)]))

    def _behind(self, nodes: tuple[Node, ...], after: int) -> list[int]:
        """Stitches that what follows each of the nodes needs; `after`: what follows the last one."""
        needs = [after]
        for node in reversed(nodes[1:]):
            joins = not needs[-1] and is_slip(node) and getattr(node, "into", Into()).kind == "next"
            if self.edged is not None and is_corner(node):  # what follows is on another edge
                needs.append(0)
                continue
            needs.append(needs[-1] + (0 if joins else self.needs(node)))  # "sc in each st around, sl st": it joins
        return needs[::-1]

    def needs(self, node: Node) -> int:
        """Stitches of the base that a node needs at least; what fills a rest needs none of its own."""
        if isinstance(node, (Stitch, Group)):
            if node.into.kind == "tch":
                return int(self.counted_tch)
            if node.into.kind not in ("next", "chain", "last", "between", "top", "middle", "centre"):
                return 0
            if node.into.kind == "between" and node.into.number is not None:
                return for_size(node.into.number, self.size)
            entry = entry_of(node.stitch) if isinstance(node, Stitch) else None
            return entry.takes if entry else 1
        if isinstance(node, Skip):
            if node.what == "tch":
                return int(self.counted_tch)
            return for_size(node.count, self.size) if node.what in ("stitch", "rest") else 0
        if isinstance(node, Repeat):
            if node.times.kind == "exact":
                return for_size(node.times.amount, self.size) * sum(self.needs(n) for n in node.body)
            return for_size(node.times.amount, self.size) if node.times.kind == "fill" and node.times.said else 0
        return 0

    def work(self, node: Node, after: int, nodes: tuple[Node, ...], k: int) -> Tree:
        """The k-th of nodes."""
        if isinstance(node, Stitch):
            return self.stitch(node, nodes, k)
        if isinstance(node, Chain):
            return self.chain(node, nodes, k)
        if isinstance(node, Group):
            return self.group(node)
        if isinstance(node, Repeat):
            if not self.begun and not self.base.is_ring and is_slip(node):
                if starts_later(nodes, k) or self.row and begins_a_row(nodes, k) and self.crosses(node):
                    return self.travels(node)
            return repeat(self, node, after)
        if isinstance(node, Skip):
            return self.skip(node)
        if isinstance(node, Evenly):
            return self.evenly(node)
        if isinstance(node, Action):
            return self.action(node)
        return Leaf(node)

    # ---------------------------------------------------------------- stitches
    def stitch(self, node: Stitch, nodes: tuple[Node, ...], k: int) -> Tree:
        entry = entry_of(node.stitch)
        takes = entry.takes if entry else 1
        makes = entry.makes if entry else 1
        if self.in_space and node == self.closing.stitch:
            self.joined = True
            return Leaf(node, at=-self.i)
        if node.stitch == "slst" and (slipped := self.slip(node, nodes, k)) is not None:
            return slipped
        into = node.into
        if into.kind == "hook":
            if not self.hooked and (self.begun or self.trailing or chain_before(nodes, k)):
                return self.along_chain(node, nodes, k)
            self.hooked = False
            into = Into()
        if entry and entry.takes == 0 and entry.kind != "stitch":
            takes = 0
        if takes and self.goes_back(node):
            takes, passed, stitches, at = 0, 0, 0, None
        else:
            passed, stitches, at = self.reach(into, node.span, takes) if takes else (0, 0, -1)
        self.begun = True
        if entry is not None and entry.kind == "decoration":
            makes = 0
        return self.leaf(node, passed, stitches, at, makes)

    def goes_back(self, node: Stitch) -> bool:
        """Whether `in the same stitch as the last` at the start of a spiral round is that of the round before."""
        if node.into.kind != "same" or self.entered or self.begun or self.base.is_ring or self.row:
            return False
        return bool(self.choose(("same", "start"), 2, node))

    def leaf(self, node: Stitch, passed: int, stitches: int, at: int | None, makes: int) -> Leaf:
        tops, tally = tallied(node.stitch, makes)
        return Leaf(node, takes=stitches, moves=passed, makes=makes, tops=tops, at=at, tally=tally)

    def slip(self, node: Stitch, nodes: tuple[Node, ...], k: int) -> Leaf | None:
        """A slip stitch that is no stitch of the round: of a picot, travelling, joining; None when it is one."""
        if self.is_picot(nodes, k):
            return Leaf(node)
        if self.in_blocks:
            passed, taken, at = self.reach(node.into, node.span)
            return Leaf(node, takes=taken, moves=passed, at=at)
        if not self.begun and not self.base.is_ring and starts_later(nodes, k):
            return self.travels(node)
        if (
            self.begun
            and not self.base.is_ring
            and self.side is None
            and self.base.stitches_in(self.i, self.base.tops) <= 0
        ):
            self.joined = True
            return Leaf(node, at=-self.i)
        if node.into.kind in ("ring", "space") and self.begun:
            passed, taken, at = self.reach(node.into, node.span)
            return Leaf(node, takes=taken, moves=passed, at=at)
        closes = node.into.kind == "hook" and self.begun and not self.goes_along(nodes, k)
        if node.into.kind == "same" or closes:
            return Leaf(node, at=self.prev - self.i)
        return None

    def crosses(self, node: Repeat) -> bool:
        """Whether several slip stitches at the start of a row only bring the hook along, as they mostly do."""
        return not self.choose(("slips", node.span.start), 2, node)

    def travels(self, node: Stitch | Repeat) -> Leaf:
        """Slip stitches that only move the start: of a joined round, or along the edge of a row."""
        stitch, times = slips(node, self.size)
        if self.row and stitch.into.kind != "space":
            passed, taken, _ = self._pass(times)
            self.entered = False
            return Leaf(node, takes=taken, moves=passed, at=0)
        self.travel(stitch.into, times)
        return Leaf(node, at=0)

    def is_picot(self, nodes: tuple[Node, ...], k: int) -> bool:
        """Whether the k-th node closes a picot: a chain before it, and back into where that began."""
        before, into = nodes[k - 1] if k else None, nodes[k].into
        if not isinstance(before, Chain) or into.kind == "hook" and self.goes_along(nodes, k):
            return False
        back = into.kind == "first" and into.stitch is None and before.count == 3 and self.begun
        return into.kind in ("hook", "same") or (back and self.base.stitches_in(self.i, self.base.tops) > 0)

    def goes_along(self, nodes: tuple[Node, ...], k: int) -> bool:
        """Whether the k-th node, into a chain from the hook, is the first of a finger: further chains come after it."""
        before, following = nodes[k - 1] if k else None, nodes[k + 1] if k + 1 < len(nodes) else None
        chains = for_size(before.count, self.size) if isinstance(before, Chain) else 0
        left = chains - for_size(nodes[k].into.number or 2, self.size)
        further = following.body[0] if isinstance(following, Repeat) and following.body else following
        return left > 0 and isinstance(further, (Stitch, Group)) and further.into.kind == "chain"

    def along_chain(self, node: Stitch, nodes: tuple[Node, ...], k: int) -> Leaf:
        """Back along a chain that was made within the round (a finger, a fringe), or at the end of the one before."""
        chain = next((n for n in reversed(nodes[:k]) if not isinstance(n, Action)), None)
        chain, self.trailing = (chain if isinstance(chain, Chain) else self.trailing), None
        n = for_size(chain.count, self.size) if chain else 0
        self.side = max(n - for_size(node.into.number or 2, self.size), 0)
        self.begun = True
        return self.leaf(node, 0, 0, -1, 1)

    # ---------------------------------------------------------------- chains
    def chain(self, node: Chain, nodes: tuple[Node, ...], k: int) -> Tree:
        n = for_size(node.count, self.size)
        following = nodes[k + 1] if k + 1 < len(nodes) else None
        if self.in_blocks:  # "ch 6, turn, dc in 4th ch from hook"
            following = next((n for n in nodes[k + 1 :] if not isinstance(n, Action)), None)
        if self.in_blocks and following is not None and is_slip(following) and not self.i:
            return Leaf(node)  # it only brings the hook along
        if isinstance(following, Stitch) and (self.in_blocks and following.into.kind == "hook"):
            n = skipped(following, self.size)
            return Leaf(node, tops=(Top("space", n),), tally={f"space {n}": 1})
        if isinstance(following, Stitch) and (
            following.into.kind == "hook" or following.stitch == "slst" and self.is_picot(nodes, k + 1)
        ):
            return self.lengthening(node, following)
        bridge = (
            isinstance(following, Skip) and following.what == "stitch" and for_size(following.count, self.size) == n
        )
        if not self.begun and not (bridge and n >= 3 and node.counts is None and _height(self.main) < 3):
            return self.standing(node, n)  # else: "chain 4, skip 4 for the thumb"
        if isinstance(following, Action) and following.kind == "turn" or (following is None and self.turned):
            return Leaf(node)  # the turning chain of the row that follows; it is counted there
        over, self.bridged = 0, True
        if node == self.closing.chain and self.comes_round():
            over = self.left() if not self.base.is_ring else 0
            self.i += over
            self.in_space, n = self.closing.stitch is not None, n + self.closing.more
        return Leaf(node, takes=over, moves=over, tops=(Top("space", n),), tally={f"space {n}": 1})

    def lengthening(self, node: Chain, following: Stitch) -> Leaf:
        """A chain that is gone back along; at the start of a row its last chains may stand for a stitch."""
        skipped = for_size(following.into.number or 1, self.size) - 1
        stands = standing_chains(following.stitch, skipped, node.counts) if self.row and not self.begun else None
        if stands is None or following.into.kind != "hook":
            return Leaf(node)
        return Leaf(node, makes=stands.makes, tops=stands.made_tops, tally=stands.tally)

    def comes_round(self) -> bool:
        """Whether the chain that a round ends with has only what it passes over before it."""
        if self.into_spaces:
            return not self.base.spaces_in(self.i, self.base.tops)
        return self.left() in (0, self.closing.passes)

    def standing(self, node: Chain, n: int) -> Leaf:
        """The chain a round starts with: it brings the hook to its height and may count as a stitch."""
        id = node.stands_for or self.main
        height = _height(id)
        usual = n >= 3 and height >= 3 and n >= height
        counts = node.counts
        if counts is None:
            counts = n >= 2 and bool(self.choose(("chain", "start"), 2, node, int(usual)))
        self.begun = True
        rest = n - height if node.more is None else for_size(node.more, self.size)
        if not counts:
            if node.counts is None and n >= 3 and height < 3:  # a loop that a lace round starts with
                return Leaf(node, tops=(Top("space", max(rest, 1)),), tally={f"space {max(rest, 1)}": 1})
            self.begun = False
            return Leaf(node)
        tops = (Top(id),) + ((Top("space", rest),) if rest > 0 else ())
        here, bridged = self.base.top(self.i), rest > 0
        takes = int(
            not self.base.is_ring
            and not (here is not None and here.is_space and self.i == 0)
            and not (self.into_spaces and self.i == 1)
        )
        if takes:
            self._enter(self.i)
            self.stood = self.i
        self.bridged = bridged
        return Leaf(
            node,
            takes=takes,
            makes=1,
            tops=tops,
            at=0 if takes or not self.entered else self.prev - self.i,
            tally=tally_of(tops),
        )

    def carried(self, chain: Chain, fits: bool) -> Leaf | None:
        """The turning chain made at the end of the row before: a stitch of this one, where it counts."""
        n, id = for_size(chain.count, self.size), chain.stands_for or self.main
        height = _height(id)
        counts = chain.counts
        if counts is None:
            counts = n >= 2 and bool(
                self.choose(("chain", "carried"), 2, chain, int(n >= 3 and height >= 3 and n >= height))
            )
        if not counts or not fits:
            return None
        tops = (Top(id),) + ((Top("space", n - height),) if n > height else ())
        self.begun = True
        self._enter(self.i)
        return Leaf(chain, takes=1, makes=1, tops=tops, at=0, tally=tally_of(tops), steps=0)

    # ---------------------------------------------------------------- groups
    def group(self, node: Group) -> Tree:
        if (over := self.over_its_stitches(node)) is not None:
            return self.stitch(over, (over,), 0)
        into = node.into if node.into.kind != "hook" else Into()
        skips = sum([for_size(n.count, self.size) for n in node.body if isinstance(n, Skip)]) if self.base.plain else 0
        passed, stitches, at = self.reach(into, node.span, 1)
        if self.edged is not None and into.kind in ("space", "middle") and into.corner:
            node = replace(node, into=Into("piece corner"))
        if not self.begun and node.body and isinstance(node.body[0], Chain):
            node = self.begun_in_a_place(node, node.body[0])
        inside = Inside(self.main, self.size).of(node.body)
        if skips:
            self.i += skips
            passed, stitches = passed + skips, stitches + skips
        self.begun = True
        if inside is None:  # too wide for one step: its stitches are steps of their own
            ring = Worker(Base(None), self.size, self.main, self.chosen)
            ring.begun = True
            return Run((Leaf(None, takes=stitches, moves=passed, at=at, steps=0), ring.run(node.body)))
        tops, makes = inside
        return Leaf(node, takes=stitches, moves=passed, makes=makes, tops=tops, at=at, tally=tally_of(tops))

    def over_its_stitches(self, node: Group) -> Stitch | None:
        """`dc2tog in next st` as a decrease over the next two, where the stitches bear that out; a low one usually is
        meant so (common practice, no source). None where all its legs go into one."""
        only = node.body[0] if len(node.body) == 1 else None
        entry = entry_of(only.stitch) if isinstance(only, Stitch) and node.into.kind == "next" else None
        if entry is None or entry.takes != 2 or not only.stitch.endswith("2tog"):
            return None
        over = self.choose(("legs", node.span.start), 2, node, int(_height(only.stitch.removesuffix("2tog")) < 3))
        return replace(only, into=node.into, span=node.span) if over else None

    def begun_in_a_place(self, node: Group, chain: Chain) -> Group:
        """`(3 ch, 2 tr, 2 ch, 3 tr) in same sp` at a round's start: whether its chain counts, as `standing` tells."""
        n, height = for_size(chain.count, self.size), _height(chain.stands_for or self.main)
        if chain.counts is not None or n >= 3 and height < 3:
            return node
        usual = n >= height >= 3
        counts = n >= 2 and bool(self.choose(("chain", "start"), 2, chain, int(usual)))
        return replace(node, body=(replace(chain, counts=counts), *node.body[1:]))

    # ---------------------------------------------------------------- the rest
    def skip(self, node: Skip) -> Leaf:
        n = for_size(node.count, self.size)
        start = self.i
        if node.what == "rest":
            self.leaves_rest = n == 0 or self.leaves_rest
            self.may_leave += n
            return Leaf(node)
        if node.what == "tch":
            self.may_leave += 1
            return Leaf(node)
        if self.base.is_ring or self.in_space:  # its last chain has passed over them
            return Leaf(node)
        if self.side is not None and self.side > 0:
            self.side -= n
            return Leaf(node)
        if node.first and self.i == 1 and self.entered and self.prev == 0:
            n -= 1  # the stitch that the counting chain stands on already
            if not n:
                return Leaf(node)
        if node.what in ("space", "chain") and not self.base.plain:
            here = self.base.top(self.i)
            if node.what == "space" or (here and here.is_space):
                self.i = self.base.past(self.i, n if node.what == "space" else 1, "spaces")
                self.prev = self.i - 1
                return Leaf(node, takes=self.base.stitches_in(start, self.i), moves=self.i - start)
        entered = self.entered
        passed, stitches, _ = self._pass(n)
        self.entered, self.skipped = entered, True
        return Leaf(node, takes=stitches, moves=passed)

    def evenly(self, node: Evenly) -> Tree:
        """Increases (or decreases) spread as evenly as whole stitches allow."""
        count = for_size(node.count, self.size)
        left = self.left()
        if node.stitch == "to":
            more = count - left
            if not more:
                return self.run((Repeat((Stitch(node.of, span=node.span),), Times("exact", count), None, node.span),))
            node, count = replace(node, stitch="inc" if more > 0 else "dec", count=abs(more)), abs(more)
        plain = Stitch(node.of, span=node.span)
        special: Node = (
            Group((plain, plain), span=node.span) if node.stitch == "inc" else Stitch(f"{node.of}2tog", span=node.span)
        )
        each = 1 if node.stitch == "inc" else 2
        if count <= 0 or left < count * each:
            if not self.base.is_ring:
                self.trouble(
                    "short",
                    node.span,
                    f"{count} of them do not fit into {sts(left)}.",
                    "Check the count of the round below.",
                )
            return Leaf(node)
        gap, more = divmod(left - count * each, count)
        nodes: list[Node] = []
        for times, n in ((count - more, gap), (more, gap + 1)):
            if times:
                between = (Repeat((plain,), Times("exact", n), None, node.span),) if n else ()
                nodes.append(Repeat((*between, special), Times("exact", times), None, node.span))
        return self.run(tuple(nodes))

    def action(self, node: Action) -> Leaf:
        if node.kind == "other_side" and self.edged is not None:
            along.to_the_chain(self, node.span)
        elif node.kind == "other_side" and self.stop < self.base.tops:
            if self.i < self.stop:
                self.trouble(
                    "leaves",
                    node.span,
                    f"Before the other side of the chain, {are(self.stop - self.i)} left unworked.",
                    "Work along the whole chain first.",
                )
            self.i = max(self.i, self.stop)
            self.stop = self.base.tops
        elif node.kind == "join":
            self.joined = True
        elif node.kind == "turn":
            self.turned = True
        elif node.kind == "colour" and node.into and not self.begun and not self.base.is_ring:
            self.travel(node.into)
        return Leaf(node, at=0 if node.kind == "join" else None)


def _height(id: str) -> int:
    entry = entry_of(id)
    return int(entry.turning_chain or 1) if entry else 1


__all__ = ["Option", "Trouble", "Worker"]
