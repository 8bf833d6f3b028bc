"""What a round is worked into: the tops of the round below, a chain, or a ring that has room for any number."""

from __future__ import annotations

from coach.fabric.tree import Leaf, Loop, Top, Tree, count_before, top_at, tops_before

MOST_PASSED_OVER = 24  # stitches of other kinds that a chain passes over
MOST_LOOKED_AT = 2_000  # spaces of another size that are passed over in search of one


class Base:
    """The tops of a round as the next one meets them: turned (last first) and from where it starts.

    Indexes count tops from 0 in the order of working; past the end there is nothing, and asking says so.
    """

    def __init__(self, tree: Tree | None, turned: bool = False, start: int = 0):
        self.tree = tree
        self.turned = turned
        self.start = start
        self.tops = tree.tops if tree else 0
        self.stitches = tree.stitches if tree else 0
        self.spaces = tree.spaces if tree else 0
        self.is_ring = tree is None
        self.plain = self.spaces == 0  # every top is a stitch, so that counting needs no looking
        self._counted: dict[tuple[str, int], int] = {}  # a place is asked for again and again while it is worked into
        self._plain_run = 0, -1  # the last top asked for a space behind it, and that space: only stitches lie between

    @classmethod
    def chain(cls, count: int) -> Base:
        """A chain of `count` places."""
        return cls(Loop(Leaf(None, tops=(Top("ch"),)), max(count, 0)))

    def rotated(self, by: int) -> Base:
        """The same tops, begun `by` tops later (a joined round that travels along before it starts)."""
        return Base(self.tree, self.turned, (self.start + by) % self.tops if self.tops else 0)

    def top(self, i: int) -> Top | None:
        if self.tree is None or not 0 <= i < self.tops:
            return None
        w = (i + self.start) % self.tops
        return top_at(self.tree, self.tops - 1 - w if self.turned else w)

    def _before(self, unit: str, w: int) -> int:
        """`unit`s among the first w tops, in the order of working, before any rotation."""
        counted = self._counted.get((unit, w))
        if counted is None:
            if self.turned:
                counted = getattr(self.tree, unit) - count_before(self.tree, unit, self.tops - w)
            else:
                counted = count_before(self.tree, unit, w)
            self._counted[unit, w] = counted
        return counted

    def stitches_in(self, start: int, stop: int) -> int:
        """Stitches among tops start (included) to stop (excluded)."""
        start, stop = max(start, 0), min(stop, self.tops)
        if start >= stop:
            return 0
        if self.plain:
            return stop - start
        a, b = start + self.start, stop + self.start
        total = self._before("stitches", min(b, self.tops)) - self._before("stitches", min(a, self.tops))
        if b > self.tops:
            total += self._before("stitches", b - self.tops) - self._before("stitches", max(a - self.tops, 0))
        return total

    def spaces_in(self, start: int, stop: int) -> int:
        start, stop = max(start, 0), min(stop, self.tops)
        return max(stop - start, 0) - self.stitches_in(start, stop)

    def past(self, i: int, n: int, unit: str = "stitches") -> int:
        """The top behind the n-th stitch (or space) from i on, the end when there are not so many."""
        if n <= 0:
            return i
        found = self.nth(unit, i, n)
        return max(i, self.tops) if found is None else found + 1

    def nth(self, unit: str, i: int, n: int = 1) -> int | None:
        """The index of the n-th `unit` ("stitches" or "spaces") from i on; None when there are not so many."""
        if self.tree is None or not 0 <= i < self.tops:
            return None
        all_ = getattr(self.tree, unit)
        w = i + self.start
        if w < self.tops:  # up to where the tree's tops begin again
            rank = self._before(unit, w) + n - 1
            if rank < all_:
                return self._at(unit, rank) - self.start
            rank -= all_
        else:
            rank = self._before(unit, w - self.tops) + n - 1
        if rank >= all_:
            return None
        index = self._at(unit, rank) + self.tops - self.start
        return index if index < self.tops else None

    def _at(self, unit: str, rank: int) -> int:
        """Where the `unit` with this rank is, in the order of working, before any rotation."""
        if self.turned:
            return self.tops - 1 - tops_before(self.tree, unit, getattr(self.tree, unit) - 1 - rank)
        return tops_before(self.tree, unit, rank)

    def next_space(self, i: int, chains: int | None = None) -> int | None:
        """The first space from i on (with so many chains, where said)."""
        if self.plain:
            return None
        if chains is not None and f"space {chains}" not in self.tree.tally:
            return None
        start, found = self._plain_run
        if not start <= i <= found:
            found = self.nth("spaces", i)
            self._plain_run = (i, found) if found is not None else self._plain_run
        for _ in range(MOST_LOOKED_AT):
            if found is None or chains is None or self.top(found).chains == chains:
                return found
            found = self.nth("spaces", found + 1)
        return None

    def spaces_of(self, chains: int) -> int:
        """How many of the spaces have so many chains."""
        return self.tree.tally.get(f"space {chains}", 0) if self.tree else 0

    def next_of(self, kind: str | None, i: int) -> int | None:
        """The first stitch of a kind from i on, where others come before it; None where none does."""
        if kind is None or self.tree is None or kind not in self.tree.tally or self.tree.tally[kind] >= self.stitches:
            return None
        for at in range(i, min(self.tops, i + MOST_PASSED_OVER)):
            if self.top(at).kind == kind:
                return at if self.stitches_in(i, at) else None
        return None

    def next_stitch(self, i: int) -> int | None:
        if self.plain:
            return i if i < self.tops else None
        start, space = self._plain_run
        if start <= i < space:
            return i
        here = self.top(i)
        return i if here is not None and not here.is_space else self.nth("stitches", i)

    def corner_chains(self) -> int | None:
        """Chains of the largest kind of space: those are the corners."""
        sizes = [int(kind.split()[1]) for kind in (self.tree.tally if self.tree else {}) if kind.startswith("space ")]
        return max(sizes, default=None)
