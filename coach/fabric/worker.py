"""Works the nodes of one round into its base, giving its tree. What can be read in two ways is chosen by the caller."""

from __future__ import annotations

from dataclasses import dataclass

from coach.fabric.base import Base
from coach.fabric.tree import Leaf, Loop, Run, Top, Tree
from coach.notation.model import Action, Chain, Evenly, Group, Into, Node, Repeat, Skip, Span, Stitch, Times, Unread, for_size
from coach.stitches.catalogue import stitch as entry_of

MOST_TURNS = 20_000  # times that a repeat is worked one by one, where the base below is no plain run of stitches
WIDEST_GROUP = 200  # tops that one step may leave


@dataclass(slots=True)
class Trouble:
    """A fault of arithmetic at a place; `kind` as in `coach.fabric.checks`."""

    kind: str
    span: Span
    message: str
    hint: str = ""
    severity: str = "error"


@dataclass(frozen=True, slots=True)
class Option:
    """Something that can be read in `ways` ways. key: what; node: where it stands."""

    key: object
    ways: int
    node: Node


class Worker:
    """State while one round is worked: `i` is the next top not yet passed, `prev` the one worked into last."""

    def __init__(self, base: Base, size: int, main: str, chosen: dict[object, int], *, limit: int | None = None, hooked: bool = False):
        self.base = base
        self.size = size
        self.main = main
        self.chosen = chosen
        self.options: dict[object, Option] = {}
        self.troubles: list[Trouble] = []
        self.i = 0
        self.prev = 0
        self.begun = False  # a stitch was made
        self.stop = base.tops if limit is None else limit  # end of the first side of a chain
        self.side: int | None = None  # places left of a chain made within the round
        self.inside = 0  # chains of the space under the hook that are used
        self.into_spaces = False
        self.may_leave = 0
        self.leaves_rest = False
        self.hooked = hooked  # the next stitch into a chain counted from the hook starts along the foundation
        self.joined = False
        self.turned = False

    # ---------------------------------------------------------------- choosing
    def choose(self, key: object, ways: int, node: Node, default: int = 0) -> int:
        self.options[key] = Option(key, ways, node)
        return self.chosen.get(key, default)

    def trouble(self, kind: str, span: Span, message: str, hint: str = "", severity: str = "error") -> None:
        if not any(t.kind == kind and t.span == span for t in self.troubles):
            self.troubles.append(Trouble(kind, span, message, hint, severity))

    # ---------------------------------------------------------------- sequences
    def run(self, nodes: tuple[Node, ...], after: int = 0) -> Tree:
        """Nodes one after another; `after`: stitches that what follows them needs."""
        out: list[Tree] = []
        needs = [after]
        for node in reversed(nodes):
            needs.append(needs[-1] + self.needs(node))
        needs.reverse()
        for k, node in enumerate(nodes):
            following = nodes[k + 1] if k + 1 < len(nodes) else None
            out.append(self.work(node, needs[k + 1], following, nodes, k))
        return out[0] if len(out) == 1 else Run(tuple(out))

    def needs(self, node: Node) -> int:
        """Stitches of the base that a node needs at least; what fills a rest needs none of its own."""
        if isinstance(node, Stitch):
            entry = entry_of(node.stitch)
            if node.into.kind in ("next", "chain", "last", "between"):
                return entry.takes if entry else 1
            return 0
        if isinstance(node, Group):
            return 1 if node.into.kind in ("next", "last", "between", "chain") else 0
        if isinstance(node, Skip):
            return for_size(node.count, self.size) if node.what == "stitch" else 0
        if isinstance(node, Repeat):
            if node.times.kind == "exact":
                return for_size(node.times.amount, self.size) * sum(self.needs(n) for n in node.body)
            return for_size(node.times.amount, self.size) if node.times.kind == "fill" and node.times.said else 0
        return 0

    def work(self, node: Node, after: int, following: Node | None, nodes: tuple[Node, ...], k: int) -> Tree:
        if isinstance(node, Stitch):
            return self.stitch(node, after, following, nodes, k)
        if isinstance(node, Chain):
            return self.chain(node, following, nodes, k)
        if isinstance(node, Group):
            return self.group(node)
        if isinstance(node, Repeat):
            return self.repeat(node, after)
        if isinstance(node, Skip):
            return self.skip(node)
        if isinstance(node, Evenly):
            return self.evenly(node)
        if isinstance(node, Action):
            return self.action(node)
        return Leaf(node)

    # ---------------------------------------------------------------- taking up
    def reach(self, into: Into, span: Span, take: int = 1) -> tuple[int, int, int]:
        """Go where `into` says. Gives (tops passed, stitches among them, where it goes in, counted from the start)."""
        start = self.i
        kind = into.kind
        if self.side is not None and kind in ("next", "chain", "last"):
            if self.side > 0:
                self.side -= take
                return 0, 0, -1
            self.side = None
        if self.base.is_ring or kind == "ring":
            return 0, 0, 0
        if kind in ("same", "join"):
            if not self.begun and self.i == 0 and self.prev == 0 and self.base.tops:
                kind = "next"
            else:
                return 0, 0, self.prev - start
        if kind == "first" and start > 0:
            if self.base.stitches_in(start, self.stop) > 0:
                kind = "next"
            else:
                return 0, 0, -start
        if kind == "space":
            return self._space(into, span, start)
        if kind == "tch" and self.base.stitches_in(start, self.stop) <= 0:
            return 0, 0, -1
        if kind == "nth" and self.i == 0:
            n = for_size(into.number, self.size)
            for _ in range(min(n - 1, 1000)):
                self._pass(1)
            passed, stitches, at = self._pass(take)
            return self.i - start, self.base.stitches_in(start, self.i) if start < self.base.tops else stitches, at + (self.i - passed - start)
        if kind == "last":
            left = self.base.stitches_in(start, self.stop)
            if left > take and self.base.plain:
                self.trouble("leaves", span, f"Before the last stitch, {left - take} {'is' if left - take == 1 else 'are'} left unworked.",
                             "Check the stitches before it.")
                self.i += left - take
            passed, stitches, at = self._pass(take)
            return self.i - start, self.base.stitches_in(start, self.i), at + (self.i - passed - start)
        if kind == "chain" and not self.base.plain:
            top = self.base.top(start)
            if self.inside:
                space = self.base.top(self.prev)
                self.inside = 0 if space and self.inside + 1 >= space.chains else self.inside + 1
                return 0, 0, self.prev - start
            if top and top.is_space:
                self.prev, self.i = start, start + 1
                self.inside = 1 if top.chains > 1 else 0
                self.into_spaces = True
                return 1, 0, 0
        return self._pass(take)

    def _pass(self, take: int) -> tuple[int, int, int]:
        """Past the next `take` stitches and the spaces before them."""
        start = self.i
        if self.base.plain:
            self.i += take
            self.prev = self.i - 1
            return take, take, 0
        first = None
        for _ in range(take):
            found = self.base.next_stitch(self.i)
            at = found if found is not None else max(self.i, self.base.tops)
            first = at if first is None else first
            self.prev, self.i = at, at + 1
        return self.i - start, take, (first or start) - start if take else 0

    def _space(self, into: Into, span: Span, start: int) -> tuple[int, int, int]:
        self.into_spaces = True
        chains = for_size(into.number, self.size) if into.number is not None else self.base.corner_chains() if into.corner else None
        found = self.base.next_space(start, chains)
        if found is None:
            found = self.base.next_space(start)
        if found is None:
            if self.base.plain and self.base.tops and not self.base.spaces:
                self.trouble("short", span, "There is no chain space in the round below to work into.", "Check the round below.")
            else:
                self.trouble("short", span, "There is no chain space left to work into.", "Check how many times it is repeated.")
            return 0, 0, 0
        self.prev, self.i = found, found + 1
        return found + 1 - start, self.base.stitches_in(start, found), found - start

    # ---------------------------------------------------------------- stitches
    def stitch(self, node: Stitch, after: int, following: Node | None, nodes: tuple[Node, ...], k: int) -> Tree:
        entry = entry_of(node.stitch)
        takes = entry.takes if entry else 1
        makes = entry.makes if entry else 1
        if node.stitch == "slst":
            if self._is_picot(nodes, k):
                return Leaf(node)
            if not self.begun and _starts_later(nodes, k) and not self.base.is_ring:
                return self._travel(node)
            left = self.base.stitches_in(self.i, self.base.tops)
            if node.into.kind in ("first", "tch") and self.begun and left <= 0 or (self.begun and left <= 0 and not self.base.is_ring and self.side is None):
                self.joined = True
                return Leaf(node, at=-self.i)
            if node.into.kind == "same" or (node.into.kind == "hook" and self.begun):
                return Leaf(node, at=self.prev - self.i)
        if node.into.kind == "hook" and self.hooked:
            self.hooked = False
        elif node.into.kind == "hook" and (self.begun or self._chain_before(nodes, k)):
            self._side_chain(node, nodes, k)
            self.begun = True
            return self._leaf(node, entry, 0, 0, -1, makes)
        into = node.into if node.into.kind != "hook" else Into("next")
        if entry and entry.takes == 0 and entry.kind not in ("stitch",):
            takes = 0
        passed, stitches, at = self.reach(into, node.span, takes) if takes else (0, 0, -1)
        counts_nothing = node.stitch == "picot" or (entry is not None and entry.kind == "decoration")
        self.begun = True
        return self._leaf(node, entry, passed, stitches, at, 0 if counts_nothing else makes)

    def _leaf(self, node: Node, entry, passed: int, stitches: int, at: int, makes: int) -> Leaf:
        tops = self._tops(entry, node.stitch, makes)
        return Leaf(node, takes=stitches, moves=passed, makes=makes, tops=tops, at=at, tally=_tally(tops))

    @staticmethod
    def _tops(entry, id: str, makes: int) -> tuple[Top, ...]:
        if entry and entry.tops:
            return tuple(Top("space", int(t.split()[1])) if t.startswith("space") else Top(t) for t in entry.tops)
        plain = entry.of if entry and entry.kind == "decrease" and entry.of else id
        return (Top(plain),) * makes

    def _is_picot(self, nodes: tuple[Node, ...], k: int) -> bool:
        before = nodes[k - 1] if k else None
        node = nodes[k]
        return isinstance(before, Chain) and (node.into.kind in ("hook", "same") or node.into.kind == "first" and node.into.stitch is None and self.begun
                                              and self.base.stitches_in(self.i, self.base.tops) > 0 and isinstance(before, Chain) and before.count == 3)

    def _chain_before(self, nodes: tuple[Node, ...], k: int) -> bool:
        return k > 0 and isinstance(nodes[k - 1], Chain)

    def _side_chain(self, node: Stitch, nodes: tuple[Node, ...], k: int) -> None:
        """A chain made within the round that is worked back along (a finger, a fringe)."""
        chain = nodes[k - 1] if k else None
        n = for_size(chain.count, self.size) if isinstance(chain, Chain) else 0
        self.side = max(n - for_size(node.into.number or 2, self.size), 0)

    def _travel(self, node: Stitch) -> Leaf:
        """A slip stitch that only moves the start of a joined round."""
        space = node.into.kind == "space"
        if space:
            chains = for_size(node.into.number, self.size) if node.into.number is not None else None
            at = self.base.next_space(1 if self.base.top(0) and not self.base.top(0).is_space else 0, chains)
            at = at if at is not None else self.base.next_space(0)
        else:
            at = self.base.next_stitch(1)
        at = at or 0
        self.base = self.base.rotated(at)
        self.i = 1 if space else 0
        self.prev = 0
        self.into_spaces = self.into_spaces or space
        return Leaf(node, at=0)

    # ---------------------------------------------------------------- chains
    def chain(self, node: Chain, following: Node | None, nodes: tuple[Node, ...], k: int) -> Tree:
        n = for_size(node.count, self.size)
        if isinstance(following, Stitch) and following.into.kind == "hook":
            if following.stitch == "slst" and n <= 4 and k + 2 <= len(nodes) and not _chain_target(nodes, k + 2):
                return Leaf(node)  # a picot
            return Leaf(node)
        if isinstance(following, Stitch) and following.stitch == "slst" and self._is_picot(nodes, k + 1):
            return Leaf(node)
        if not self.begun:
            return self._standing(node, n)
        if following is None or (isinstance(following, Action) and following.kind == "turn"):
            if isinstance(following, Action) or self.turned:
                return Leaf(node)  # the turning chain of the row that follows; it is counted there
        return Leaf(node, tops=(Top("space", n),), tally={f"space {n}": 1})

    def _standing(self, node: Chain, n: int) -> Leaf:
        """The chain a round starts with: it brings the hook to its height and may count as a stitch."""
        id = node.stands_for or self.main
        height = int(entry_of(id).turning_chain or 1) if entry_of(id) else 1
        usual = n >= 3 and height >= 3 and n >= height
        counts = node.counts if node.counts is not None else bool(self.choose(("chain", "start"), 2, node, int(usual)))
        self.begun = True
        if not counts:
            rest = n - height
            if node.counts is None and n >= 3 and height < 3 and self._is_loop:  # a loop that a lace round starts with
                return Leaf(node, tops=(Top("space", max(rest, 1)),), tally={f"space {max(rest, 1)}": 1})
            self.begun = False
            return Leaf(node)
        rest = n - height if node.counts is None or node.stands_for or n > height else 0
        tops = (Top(id),) + ((Top("space", rest),) if rest > 0 else ())
        takes = 0 if self.base.is_ring or (self.base.top(0) is not None and self.base.top(0).is_space and self.i == 1) else 1
        if takes:
            top = self.base.top(self.i)
            if top is not None and top.is_space and self.i == 0:
                takes = 0
            else:
                self.prev, self.i = self.i, self.i + 1
        return Leaf(node, takes=takes, makes=1, tops=tops, at=0, tally=_tally(tops))

    _is_loop = True

    # ---------------------------------------------------------------- groups
    def group(self, node: Group) -> Tree:
        into = node.into if not (node.into.kind == "hook") else Into("next")
        skips = sum(for_size(n.count, self.size) for n in node.body if isinstance(n, Skip))
        passed, stitches, at = self.reach(into, node.span, 1)
        tops, makes = self._inside(node.body)
        if skips and self.base.plain:
            self.i += skips
            passed, stitches = passed + skips, stitches + skips
        self.begun = True
        if tops is None:  # too wide for one step: its stitches are steps of their own
            return self._wide(node, passed, stitches, at)
        return Leaf(node, takes=stitches, moves=passed, makes=makes, tops=tops, at=at, tally=_tally(tops))

    def _inside(self, body: tuple[Node, ...]) -> tuple[tuple[Top, ...] | None, int]:
        """(tops, stitches) of nodes worked into one place; (None, 0) when they are too many for one step."""
        tops: list[Top] = []
        makes = 0
        for k, node in enumerate(body):
            more: tuple[Top, ...] = ()
            if isinstance(node, Stitch):
                entry = entry_of(node.stitch)
                n = entry.makes if entry else 1
                if (entry and entry.kind == "decoration") or node.stitch == "slst":
                    n = 0
                more = self._tops(entry, node.stitch, n) if n else ()
                makes += n
            elif isinstance(node, Chain):
                n = for_size(node.count, self.size)
                after = body[k + 1] if k + 1 < len(body) else None
                if node.counts:
                    more, makes = (Top(node.stands_for or self.main),), makes + 1
                elif not (isinstance(after, Stitch) and after.stitch == "slst" and after.into.kind in ("hook", "same", "first")):
                    more = (Top("space", n),)
            elif isinstance(node, Group):
                inner, n = self._inside(node.body)
                if inner is None:
                    return None, 0
                more, makes = inner, makes + n
            elif isinstance(node, Repeat) and node.times.kind == "exact":
                inner, n = self._inside(node.body)
                times = for_size(node.times.amount, self.size)
                if inner is None or len(inner) * times > WIDEST_GROUP:
                    return None, 0
                more, makes = inner * times, makes + n * times
            tops += more
            if len(tops) > WIDEST_GROUP:
                return None, 0
        return tuple(tops), makes

    def _wide(self, node: Group, passed: int, stitches: int, at: int) -> Tree:
        ring = Worker(Base(None), self.size, self.main, self.chosen)
        ring.begun = True
        tree = ring.run(node.body)
        return Run((Leaf(None, takes=stitches, moves=passed, at=at, steps=0), tree))

    # ---------------------------------------------------------------- repeats
    def repeat(self, node: Repeat, after: int) -> Tree:
        times = node.times
        if times.kind == "exact":
            amounts = (times.amount, *times.readings)
            which = self.choose(("times", node.span.start), len(amounts), node) if times.readings else 0
            return self._exactly(node, for_size(amounts[min(which, len(amounts) - 1)], self.size), after)
        if times.kind == "space":
            stop = self.base.next_space(self.i)
            stop = stop if stop is not None else self.base.tops
            return self._fill(node, stop, 0)
        leave = for_size(times.amount, self.size) if times.said else after
        return self._fill(node, self.stop, leave)

    def _static(self, node: Repeat) -> bool:
        """Whether every time through the body takes up the same, wherever it is."""
        if self.side is not None:
            return False
        if self.base.is_ring:
            return True
        return self.base.plain and not any(_looks_at_base(n) for n in node.body)

    def _exactly(self, node: Repeat, times: int, after: int) -> Tree:
        if times <= 0 or not node.body:
            return Run(())
        first = self.run(node.body, after)
        if times == 1:
            return first
        begun = self.i
        second = self.run(node.body, after)
        moved = self.i - begun
        if self._static(node):
            self.i += moved * (times - 2)
            self.prev += moved * (times - 2)
            return Loop(first, times, node) if first.same(second) else Run((first, Loop(second, times - 1, node)))
        if times > MOST_TURNS:
            self.trouble("repeat", node.span, f"It is repeated {times} times, more than can be followed here.", "Write it as several rounds.")
            times = MOST_TURNS
        trees = [first, second]
        for left in range(times - 2, 0, -1):
            trees.append(self.run(node.body, after))
            if self.troubles and len(self.troubles) > 20:
                break
        return _folded(trees, node)

    def _fill(self, node: Repeat, stop: int, leave: int) -> Tree:
        """The body until `leave` stitches are left before `stop`."""
        if self.side is not None and self.side > 0:
            return self._exactly(node, self.side, 0)
        self.side = None
        if self.base.is_ring:
            self.trouble("repeat", node.span, "How often it is repeated can't be told in a ring.", "Say how many times, for example: 6 times.")
            return self.run(node.body)
        if not self._static(node):
            return self._fill_looking(node, stop, leave)
        left = stop - self.i - leave
        known, saved = len(self.troubles), (self.i, self.prev, self.begun)
        first = self.run(node.body)
        takes = self.i - saved[0]
        if takes <= 0:
            self.trouble("repeat", node.span, "The repeated part takes up no stitches, so it can't go around.", "Say how many times it is repeated.")
            return first
        second = self.run(node.body) if left >= 2 * takes else first
        cut = self._cut(node)
        whole = (left - cut[1]) // takes if node.cut is not None and left >= cut[1] else left // takes
        if whole <= 0:
            self.i, self.prev, self.begun = saved
            del self.troubles[known:]
            if left > 0 and node.cut is None:
                self.trouble("repeat", node.span, f"The repeated part needs {_sts(takes)}, but only {_are(left)} left.", "Check the count of the round below.")
                return self.run(node.body)
            tree: Tree = Run(())
        else:
            self.i, self.prev = saved[0] + whole * takes, saved[0] + whole * takes - 1
            tree = first if whole == 1 else Loop(first, whole, node) if first.same(second) else Run((first, Loop(second, whole - 1, node)))
        if node.cut is not None:
            tree = Run((tree, self.run(node.body[:node.cut]))) if tree.steps else self.run(node.body[:node.cut])
        over = left - (self.i - saved[0])
        if over > 0 and whole > 0:
            self.trouble("repeat", node.span, f"The repeat takes {_sts(takes)} at a time: after {whole} times {_are(over)} left over.",
                         f"It fits a round of {left - over + leave} or {left - over + takes + leave} stitches.")
        return tree

    def _cut(self, node: Repeat) -> tuple[int, int]:
        """(nodes, stitches) of the last, incomplete time."""
        if node.cut is None:
            return 0, 0
        return node.cut, sum(self.needs(n) for n in node.body[:node.cut])

    def _fill_looking(self, node: Repeat, stop: int, leave: int) -> Tree:
        trees: list[Tree] = []
        while len(trees) < MOST_TURNS:
            known, saved = len(self.troubles), (self.i, self.prev, self.begun, self.inside, self.into_spaces)
            if self.base.stitches_in(self.i, stop) <= leave and not (self.base.spaces_in(self.i, stop) and _uses_spaces(node.body)):
                break
            tree = self.run(node.body)
            over = self.i > stop or (self.base.stitches_in(self.i, stop) < leave) or len(self.troubles) > known
            if self.i == saved[0] and not over and not self.inside:
                self.trouble("repeat", node.span, "The repeated part takes up no stitches, so it can't go around.", "Say how many times it is repeated.")
                break
            if over:
                del self.troubles[known:]
                self.i, self.prev, self.begun, self.inside, self.into_spaces = saved
                break
            trees.append(tree)
        if node.cut:
            trees.append(self.run(node.body[:node.cut]))
        if not trees:
            return Run(())
        return _folded(trees, node)

    # ---------------------------------------------------------------- the rest
    def skip(self, node: Skip) -> Leaf:
        n = for_size(node.count, self.size)
        start = self.i
        if node.what == "rest":
            self.leaves_rest = True
            return Leaf(node)
        if node.what == "tch":
            self.may_leave += 1
            return Leaf(node)
        if self.base.is_ring:
            return Leaf(node)
        if self.side is not None and self.side > 0:
            self.side -= n
            return Leaf(node)
        if node.first and self.i == 1 and self.prev == 0:
            n -= 1  # the stitch that the counting chain stands on already
            if not n:
                return Leaf(node)
        if node.what in ("space", "chain") and not self.base.plain:
            top = self.base.top(self.i)
            if node.what == "space" or (top and top.is_space):
                for _ in range(n if node.what == "space" else 1):
                    found = self.base.next_space(self.i)
                    self.i = self.prev = found + 1 if found is not None else self.i
                self.prev = self.i - 1
                return Leaf(node, takes=self.base.stitches_in(start, self.i), moves=self.i - start)
        passed, stitches, _ = self._pass(n)
        return Leaf(node, takes=stitches, moves=passed)

    def evenly(self, node: Evenly) -> Tree:
        """Increases (or decreases) spread as evenly as whole stitches allow."""
        count = for_size(node.count, self.size)
        left = self.base.stitches_in(self.i, self.stop)
        plain = Stitch(node.of, span=node.span)
        special: Node = Group((plain, plain), span=node.span) if node.stitch == "inc" else Stitch(f"{node.of}2tog", span=node.span)
        each = 1 if node.stitch == "inc" else 2
        if count <= 0 or left < count * each:
            self.trouble("short", node.span, f"{count} of them do not fit into {_sts(left)}.", "Check the count of the round below.")
            return Leaf(node)
        gap, more = divmod(left - count * each, count)
        nodes: list[Node] = []
        for times, n in ((count - more, gap), (more, gap + 1)):
            if times:
                between = (Repeat((plain,), Times("exact", n), None, node.span),) if n else ()
                nodes.append(Repeat((*between, special), Times("exact", times), None, node.span))
        return self.run(tuple(nodes))

    def action(self, node: Action) -> Leaf:
        if node.kind == "other_side" and self.stop < self.base.tops:
            if self.i < self.stop:
                left = self.stop - self.i
                self.trouble("leaves", node.span, f"Before the other side of the chain, {_are(left)} left unworked.", "Work along the whole chain first.")
            self.i = max(self.i, self.stop)
            self.stop = self.base.tops
        elif node.kind == "join":
            self.joined = True
        elif node.kind == "turn":
            self.turned = True
        return Leaf(node, at=0 if node.kind == "join" else None)


def _starts_later(nodes: tuple[Node, ...], k: int) -> bool:
    """Whether only slip stitches come between here and the chain that the round starts with."""
    for node in nodes[k + 1:]:
        if isinstance(node, Chain):
            return True
        if not (isinstance(node, Stitch) and node.stitch == "slst") and not (
                isinstance(node, Repeat) and all(isinstance(n, Stitch) and n.stitch == "slst" for n in node.body)):
            return False
    return False


def _chain_target(nodes: tuple[Node, ...], k: int) -> bool:
    node = nodes[k] if k < len(nodes) else None
    if isinstance(node, Repeat) and node.body:
        node = node.body[0]
    return isinstance(node, Stitch) and node.into.kind == "chain"


def _looks_at_base(node: Node) -> bool:
    """Whether what a node takes up depends on where it is."""
    if isinstance(node, Repeat):
        return node.times.kind != "exact" or any(_looks_at_base(n) for n in node.body)
    if isinstance(node, Evenly):
        return True
    if isinstance(node, Skip):
        return node.what == "rest" or node.first
    if isinstance(node, (Stitch, Group)):
        return node.into.kind in ("last", "nth", "first", "space", "hook", "tch") or node.into.corner
    return isinstance(node, Action) and node.kind == "other_side"


def _uses_spaces(nodes: tuple[Node, ...]) -> bool:
    return any(isinstance(n, (Stitch, Group)) and n.into.kind in ("space", "chain") or isinstance(n, Repeat) and _uses_spaces(n.body) or
               isinstance(n, Skip) and n.what == "space" for n in nodes)


def _folded(trees: list[Tree], node: Repeat) -> Tree:
    """Equal neighbours become one loop, so that memory follows the text."""
    out: list[Tree] = []
    i = 0
    while i < len(trees):
        j = i + 1
        while j < len(trees) and trees[j].same(trees[i]):
            j += 1
        out.append(Loop(trees[i], j - i, node) if j - i > 1 else trees[i])
        i = j
    return out[0] if len(out) == 1 else Run(tuple(out))


def _tally(tops: tuple[Top, ...]) -> dict[str, int]:
    found: dict[str, int] = {}
    for top in tops:
        kind = f"space {top.chains}" if top.is_space else top.kind
        found[kind] = found.get(kind, 0) + 1
    return found


def _sts(n: int) -> str:
    return "1 stitch" if n == 1 else f"{n} stitches"


def _are(n: int) -> str:
    return "1 stitch is" if n == 1 else f"{n} stitches are"


__all__ = ["Option", "Trouble", "Unread", "Worker"]
