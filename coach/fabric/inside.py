"""What stands in one place: the tops that a stitch or a whole group leaves there."""

from __future__ import annotations

from functools import lru_cache

from coach.fabric.tree import Top, tally_of
from coach.notation.model import Chain, Group, Node, Repeat, Stitch, for_size
from coach.stitches.catalogue import stitch as entry_of
from coach.values import value

WIDEST = 200  # tops that one step may leave


@lru_cache(maxsize=1024)
def tops_of(id: str, makes: int) -> tuple[Top, ...]:
    """The tops of one stitch, given how many stitches it makes."""
    entry = entry_of(id)
    if not makes:
        return ()
    if entry and entry.tops:
        return tuple(Top("space", int(t.split()[1])) if t.startswith("space") else Top(t) for t in entry.tops)
    return (Top(entry.of if entry and entry.kind == "decrease" and entry.of else id),) * makes


@lru_cache(maxsize=1024)
def tallied(id: str, makes: int) -> tuple[tuple[Top, ...], dict[str, int]]:
    """The tops of one stitch and how many there are of each kind: one tally for all such stitches."""
    tops = tops_of(id, makes)
    return tops, tally_of(tops)


@value
class Inside:
    """Counts what is worked into one place in a round of `main` stitches."""

    main: str
    size: int

    def of(self, body: tuple[Node, ...]) -> tuple[tuple[Top, ...], int] | None:
        """(tops, stitches) of nodes worked into one place; None when they are too many for one step."""
        tops: list[Top] = []
        makes = 0
        for k, node in enumerate(body):
            found = self._one(node, body[k + 1] if k + 1 < len(body) else None)
            if found is None:
                return None
            tops += found[0]
            makes += found[1]
            if len(tops) > WIDEST:
                return None
        return tuple(tops), makes

    def _counted(self, node: Chain) -> tuple[Top, ...]:
        """A starting chain that counts as a stitch, and as a space what is more of it."""
        id = node.stands_for or self.main
        entry = entry_of(id)
        over = for_size(node.count, self.size) - (entry.turning_chain or 1 if entry else 1)
        more = over if node.more is None else for_size(node.more, self.size)
        return (Top(id), Top("space", more)) if more > 0 else (Top(id),)

    def _one(self, node: Node, after: Node | None) -> tuple[tuple[Top, ...], int] | None:
        if isinstance(node, Stitch):
            entry = entry_of(node.stitch)
            decoration = node.stitch == "slst" or (entry is not None and entry.kind == "decoration")
            makes = 0 if decoration else entry.makes if entry else 1
            return tops_of(node.stitch, makes), makes
        if isinstance(node, Chain):
            if node.counts:
                return self._counted(node), 1
            if node.counts is False:
                return (), 0
            picot = (
                isinstance(after, Stitch) and after.stitch == "slst" and after.into.kind in ("hook", "same", "first")
            )
            return (() if picot else (Top("space", for_size(node.count, self.size)),)), 0
        if isinstance(node, Group):
            return self.of(node.body)
        if isinstance(node, Repeat) and node.times.kind == "exact":
            times = for_size(node.times.amount, self.size)
            if (inner := self.of(node.body)) is None or len(inner[0]) * times > WIDEST:
                return None
            return inner[0] * times, inner[1] * times
        return (), 0
