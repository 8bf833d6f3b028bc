"""Random worked trees, and the naive way to count them: every step and every top written out."""

from __future__ import annotations

from hypothesis import strategies as st

from coach.fabric.tree import Leaf, Loop, Run, Top, Tree, leaves
from coach.notation.model import Stitch

SC, DC, V2, V3 = Top("sc"), Top("dc"), Top("space", 2), Top("space", 3)


def leaf(takes: int = 1, tops: tuple[Top, ...] = (SC,), moves: int | None = None, at: int | None = 0,
    name: str = "sc") -> Leaf:
    """One step that takes up so many stitches and leaves these tops."""
    tally: dict[str, int] = {}
    for top in tops:
        kind = f"space {top.chains}" if top.is_space else top.kind
        tally[kind] = tally.get(kind, 0) + 1
    return Leaf(Stitch(name), takes=takes, moves=moves, makes=sum(not t.is_space for t in tops), tops=tops, at=at,
        tally=tally)


tops = st.lists(st.sampled_from([SC, DC, V2, V3]), max_size=4).map(tuple)
steps = st.builds(leaf, st.integers(0, 3), tops, name=st.sampled_from(["sc", "dc", "hdc"]))
trees: st.SearchStrategy[Tree] = st.recursive(
    steps,
    lambda inner: st.builds(Loop, inner, st.integers(1, 4)) | st.lists(inner, min_size=1,
    max_size=4).map(tuple).map(Run),
    max_leaves=12,
)


def all_tops(tree: Tree) -> list[Top]:
    """Every top, in order, the slow way."""
    return [top for step in leaves(tree) for top in step.made_tops]


def total(steps_: list[Leaf], unit: str) -> int:
    return sum(getattr(step, unit) for step in steps_)
