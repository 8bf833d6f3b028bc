"""Where the hook is in the base while a round is worked, and where the next stitch goes."""

from __future__ import annotations

from dataclasses import dataclass

from coach.fabric import along
from coach.fabric.base import Base
from coach.fabric.edges import ALONG, Edged
from coach.fabric.middles import next_middle, row_middle
from coach.notation.model import Into, Node, Repeat, Span, Stitch, for_size

Reached = tuple[
    int, int, int | None
]  # tops passed, stitches among them, the top gone into, counted from where the step starts (None: of another piece)


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
    """Something that can be read in `ways` ways. key: what; node: where it stands; usual: the way it is read where
    nothing speaks against it."""

    key: object
    ways: int
    node: Node
    usual: int = 0

    @property
    def in_turn(self) -> tuple[int, ...]:
        """The ways in the order in which they are tried: the usual one first."""
        return (self.usual, *(way for way in range(self.ways) if way != self.usual))


class Hand:
    """`i` is the next top not yet passed, `prev` the one worked into last; entered: there is one.

    stop: where the first side of a chain ends; side: places left of a chain that was made within the round; inside:
    chains
    of the space under the hook that are used; counted_tch: the row below starts with a chain that counts as a stitch.
    """

    def __init__(self, base: Base, size: int, limit: int | None = None, counted_tch: bool = False):
        self.base = base
        self.size = size
        self.i = 0
        self.prev = 0
        self.entered = False
        self.begun = False  # a stitch was made
        self.stop = base.tops if limit is None else limit
        self.side: int | None = None
        self.inside = 0
        self.stood = 0  # the top behind the one that a chain stands on, which counts as the round's first stitch
        self.bridged = False  # the step before only made chains: they pass over what lies before the place named next
        self.skipped = False  # the step before only skipped: "sk 2 sts, dc in 3rd st" names the place it has reached
        self.into_spaces = False
        self.endless = False  # how long a repeat goes on can't be told, or not be followed: what it makes is not known
        self.counted_tch = counted_tch
        self.edged: Edged | None = None  # the edges that an edging comes along
        self.edge = 0  # the one under the hook
        self.troubles: list[Trouble] = []

    def trouble(self, kind: str, span: Span, message: str, hint: str = "", severity: str = "error") -> None:
        """Note a fault, once for a place."""
        if not any(t.kind == kind and t.span == span for t in self.troubles):
            self.troubles.append(Trouble(kind, span, message, hint, severity))

    def state(self) -> tuple:
        """What `restore` brings back."""
        return self.i, self.prev, self.entered, self.begun, self.inside, self.into_spaces, self.edge, len(self.troubles)

    def restore(self, state: tuple) -> None:
        self.i, self.prev, self.entered, self.begun, self.inside, self.into_spaces, self.edge, known = state
        self.stop = self.edged.stops[self.edge] if self.edged is not None else self.stop
        del self.troubles[known:]

    def stance(self) -> tuple[int, bool, bool, bool]:
        """How the hook stands, wherever it is: what the next steps depend on over a plain run of stitches."""
        return self.i - self.prev, self.entered, self.begun, self.skipped

    def stand(self, i: int, stance: tuple[int, bool, bool, bool]) -> None:
        """Go to a top, standing there so."""
        behind, self.entered, self.begun, self.skipped = stance
        self.i, self.prev = i, i - behind

    def left(self, stop: int | None = None) -> int:
        """Stitches from here to `stop` (the end of this side)."""
        return self.base.stitches_in(self.i, self.stop if stop is None else stop)

    # ---------------------------------------------------------------- taking up
    def reach(self, into: Into, span: Span, take: int = 1) -> Reached:
        """Go where `into` says."""
        if into.kind == "next" and not self.bridged and not self.base.is_ring:  # as mostly
            if self.side is None and self.edged is None:
                return self._pass(take)
        if self.edged is not None:
            along.come_to(self, into, span)
        start, kind = self.i, into.kind
        if self.edged is not None and kind in ("space", "middle") and into.corner:
            return 0, 0, -1 if self.entered else 0
        if self.side is not None and kind in ("next", "chain", "last"):
            if self.side > 0:
                self.side -= take
                return 0, 0, -1
            self.side = None
        if self.side and kind == "same":  # "2 sc in 2nd ch from hook", of a chain within the round
            return 0, 0, -1
        if kind == "piece":
            return 0, 0, None
        if kind == "named" or kind in ALONG and self.edged is None:
            return 0, 0, 0
        if kind == "own":
            return 0, 0, -1
        if self.base.is_ring or kind == "ring":
            return 0, 0, 0
        if kind in ("same", "join"):
            return (0, 0, self.prev - start) if self.entered else self._pass(take)
        if kind == "first" and start > 0 and self.entered:
            if self.prev == 0 and start == 1:  # the stitch that the counting chain stands on
                return 0, 0, -1
            return self._pass(take) if self.left() > 0 else (0, 0, -start)
        if kind == "space":
            return self._space(into, span, start)
        if kind == "tch" and (self.left() <= 0 or not self.counted_tch and self.base.plain and self.left() == 0):
            return 0, 0, -1
        if kind == "middle" and (here := self.base.top(start)) and here.is_space:
            return self._space(Into("space"), span, start)
        if kind in ("middle", "centre"):
            return self._middle(kind, span, start, take)
        if kind == "between" and into.number is not None:
            return self._pass(for_size(into.number, self.size))
        if kind in ("next", "last") and self.bridged and (found := self.base.next_of(into.stitch, start)) is not None:
            self._enter(found)  # "ch 2, dc in next sc", past the stitches of other kinds
            return found + 1 - start, self.base.stitches_in(start, found + 1), found - start
        if kind == "nth" and not self.skipped:
            return self._nth(for_size(into.number, self.size) - (start == self.stood == 1), take)
        if kind == "last":
            return self._last(span, start, take)
        if kind == "top" and not self.base.plain and start < self.base.tops:
            self._enter(start)
            return 1, self.base.stitches_in(start, self.i), 0
        if kind == "chain" and not self.base.plain:
            return self._chain(start) or self._pass(take)
        return self._pass(take)

    def _enter(self, top: int) -> None:
        self.prev, self.i, self.entered, self.skipped, self.bridged = top, top + 1, True, False, False

    def _pass(self, take: int) -> Reached:
        """Past the next `take` stitches and the spaces before them."""
        start = self.i
        if self.base.plain:
            self.i += take
            self.prev, self.entered, self.skipped, self.bridged = self.i - 1, True, False, False
            return take, take, 0
        if not take:
            return 0, 0, 0
        first = self.base.next_stitch(start)
        last = first if take == 1 else self.base.nth("stitches", start, take)
        if last is None:  # more than are there: past the end
            last = max(start, self.base.tops) + take - self.left(self.base.tops) - 1
        if first is None:
            first = max(start, self.base.tops)
        self._enter(last)
        return self.i - start, take, first - start

    def _nth(self, n: int, take: int) -> Reached:
        passed, stitches, at = self._pass(max(min(n, self.base.tops) - 1, 0))
        more, taken, inside = self._pass(take)
        return passed + more, stitches + taken, passed + inside

    def _last(self, span: Span, start: int, take: int) -> Reached:
        left = self.left()
        if left > take and self.base.plain:
            over = left - take
            self.trouble(
                "leaves", span, f"Before the last stitch, {are(over)} left unworked.", "Check the stitches before it."
            )
            self.i += over
        passed, _, at = self._pass(take)
        return self.i - start, self.base.stitches_in(start, self.i), at + (self.i - passed - start)

    def _middle(self, kind: str, span: Span, start: int, take: int) -> Reached:
        """Into the middle stitch of the row, or of its next group; what lies before it should be worked already."""
        middle = row_middle(self.base) if kind == "centre" else next_middle(self.base, start)
        if middle is None or middle < start:
            what = "row" if kind == "centre" else "next group"
            self.trouble(
                "repeat", span, f"Here the {what} has no middle stitch to work into.", "Count the round below."
            )
            return self._pass(take)
        if (over := self.base.stitches_in(start, middle)) > 0 and not self.bridged:
            self.trouble(
                "leaves", span, f"Before the middle stitch, {are(over)} left unworked.", "Check the stitches before it."
            )
        self._enter(middle)
        return self.i - start, self.base.stitches_in(start, self.i), middle - start

    def _chain(self, start: int) -> Reached | None:
        """Into the next single chain of a space; None when a stitch comes first."""
        if self.inside:
            space = self.base.top(self.prev)
            self.inside = 0 if space is None or self.inside + 1 >= space.chains else self.inside + 1
            return 0, 0, self.prev - start
        top = self.base.top(start)
        if top is None or not top.is_space:
            return None
        self._enter(start)
        self.inside = 1 if top.chains > 1 else 0
        self.into_spaces = True
        return 1, 0, 0

    def _space(self, into: Into, span: Span, start: int) -> Reached:
        chains = (
            for_size(into.number, self.size)
            if into.number is not None
            else self.base.corner_chains()
            if into.corner
            else None
        )
        found = self.base.next_space(start, chains)
        if found is None and not (into.number is not None and self.base.spaces_of(chains)):
            found = self.base.next_space(start)
        if found is None and into.words and self.base.spaces:  # where the round began
            return 0, 0, -start
        if found is None:
            where = (
                "There is no chain space in the round below" if not self.base.spaces else "There is no chain space left"
            )
            self.trouble(
                "short", span, f"{where} to work into.", "Check the round below, and how many times this is repeated."
            )
            return 0, 0, 0
        self.into_spaces = True
        self._enter(found)
        return found + 1 - start, self.base.stitches_in(start, found), found - start

    def travel(self, into: Into, times: int = 1) -> None:
        """Slip stitches that only move the start of a joined round; along the edges of a piece they lead to where it
        begins."""
        if self.edged is not None:
            return
        after = self.base.top(1)
        if into.kind == "chain" and after is not None and after.is_space:  # along the chains of the first space
            into = Into("space")
        if into.kind == "space":
            chains = for_size(into.number, self.size) if into.number is not None else None
            here = self.base.top(0)
            at = self.base.next_space(1 if here and not here.is_space else 0, chains)
            at = at if at is not None else self.base.next_space(0)
            self.into_spaces = True
        else:
            at = self.base.past(1, times) - 1 if times <= self.base.stitches_in(1, self.base.tops) else 0
        self.base = self.base.rotated(at or 0)
        self.i, self.prev = (1, 0) if into.kind == "space" else (0, 0)
        self.entered = into.kind == "space"

    def start_in_last_space(self) -> None:
        """Begin a round inside the space that the one below ends with."""
        if self.base.top(self.base.tops - 1) and self.base.top(self.base.tops - 1).is_space:
            self.base = self.base.rotated(self.base.tops - 1)
            self.i, self.prev, self.entered, self.into_spaces = 1, 0, True, True


def slips(node: Stitch | Repeat, size: int) -> tuple[Stitch, int]:
    """The slip stitch of a node that is nothing else, and how many times it is worked."""
    times = 1
    while isinstance(node, Repeat):
        times *= for_size(node.times.amount, size) * len(node.body)
        node = node.body[0]
    return node, times


def sts(n: int) -> str:
    """`1 stitch`, `3 stitches`."""
    return "1 stitch" if n == 1 else f"{n} stitches"


def are(n: int) -> str:
    """`1 stitch is`, `3 stitches are`."""
    return "1 stitch is" if n == 1 else f"{n} stitches are"
