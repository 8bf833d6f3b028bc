"""What a check of a round looks at."""

from __future__ import annotations

from typing import TYPE_CHECKING

from coach.fabric.tree import Tree
from coach.notation.model import Round, Span
from coach.values import value

if TYPE_CHECKING:
    from coach.fabric.base import Base
    from coach.fabric.worker import Worker


@value
class Seen:
    """A round as written and as worked in one size; base: what it was worked into (a ring where that is not known)."""

    round: Round
    tree: Tree
    worker: Worker
    base: Base
    size: int

    @property
    def last(self) -> Span:
        """The end of the round's instructions, where something is left over or missing."""
        return self.round.body[-1].span if self.round.body else self.round.span

    def has(self, *kinds: str) -> bool:
        """Whether a fault of one of these kinds was found while working."""
        return any(t.kind in kinds for t in self.worker.troubles)
