"""A pattern as worked: each round with what it takes up and makes, and every step in its place."""

from __future__ import annotations

from dataclasses import dataclass

from coach.fabric.edges import Edged
from coach.fabric.tree import Leaf, Loop, Run, Tree, leaf_at, sums_before
from coach.notation.model import Fault, Note, Part, Pattern, Round
from coach.values import value


@value
class Yarn:
    """The colours at the ends of a round, "" where none is named. before: on the hook when the round is come to; first:
    in which it begins; after: on the hook at its end, taken up with its last step; changes: it has changes inside."""

    before: str = ""
    first: str = ""
    after: str = ""
    changes: bool = False


@value
class Worked:
    """One round (or row) as worked in one size.

    made: stitches the trade counts; takes: stitches of the base it takes up; base: stitches that were there (None: not
    known); stated: the count written for it, or None; same: it is worked exactly as the round before it;
    readings: sentences that tell which of two readings the arithmetic chose; sound: nothing is wrong with it;
    edged: the edges of the piece that it goes along, in place of a round below;
    counted: all of it was read, and as much is known of the round below as it needs. Where not, `made` and `takes` are
    0.
    """

    source: Round
    tree: Tree
    base: int | None
    stated: int | None
    same: bool = False
    readings: tuple[str, ...] = ()
    faults: tuple[Fault, ...] = ()
    counted: bool = True
    yarn: Yarn = Yarn()
    edged: Edged | None = None

    @property
    def label(self) -> str:
        return self.source.label

    @property
    def made(self) -> int:
        return self.tree.makes if self.counted else 0

    @property
    def takes(self) -> int:
        return self.tree.takes if self.counted else 0

    @property
    def steps(self) -> int:
        return self.tree.steps

    @property
    def sound(self) -> bool:
        return not any(f.severity == "error" for f in self.faults)

    def made_before(self, step: int) -> int:
        """Stitches made by the first `step` steps: the count so far."""
        return sums_before(self.tree, step)["makes"] if self.counted else 0

    def step_at(self, step: int) -> Leaf:
        """The step with this index (from 0). Raises IndexError."""
        return leaf_at(self.tree, step)[0]

    def first_step_with(self, made: int) -> int:
        """The number of steps done when the count first reaches `made` (at most all steps)."""
        low, high = 0, self.steps
        while low < high:
            middle = (low + high) // 2
            if self.made_before(middle) < made:
                low = middle + 1
            else:
                high = middle
        return low


@value
class Chunk:
    """Steps that are read out together: `start` (included) to `stop` (excluded).

    trees: what they are, in order, each a Leaf, a Loop of one step ("sc in the next 3") or a Loop/Run read in words;
    time, times: which time of the surrounding repeat this is (from 1), None outside a repeat.
    """

    start: int
    stop: int
    trees: tuple[Tree, ...]
    time: int | None = None
    times: int | None = None


@value
class WorkedPart:
    """A part as worked; rounds that this size does not work are left out."""

    source: Part
    rounds: tuple[Worked, ...]

    @property
    def name(self) -> str:
        return self.source.name

    @property
    def make(self) -> int:
        return self.source.make


@dataclass(frozen=True)
class Fabric:
    """A whole pattern as worked in one size. faults: those of reading and of arithmetic, in the order of the text."""

    pattern: Pattern
    size: int
    parts: tuple[WorkedPart, ...]
    faults: tuple[Fault, ...]

    @property
    def assembly(self) -> tuple[Note, ...]:
        return self.pattern.assembly


__all__ = ["Chunk", "Fabric", "Leaf", "Loop", "Run", "Worked", "WorkedPart", "Yarn"]
