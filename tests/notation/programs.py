"""Random rounds as a maker could work them, with their arithmetic done here and not by the coach."""

from __future__ import annotations

from dataclasses import replace

from hypothesis import strategies as st

from coach.notation.model import Amount, Chain, Evenly, Group, Node, Repeat, Skip, Span, Stitch, Times

PLAIN = ("sc", "hdc", "dc", "tr")
POSTS = ("fpsc", "fphdc", "fpdc", "bpdc", "fptr", "bptr")
GROUPS = ("cl", "bobble", "puff", "popcorn", "shell", "vst", "picot")
TAKES = {"sc2tog": 2, "sc3tog": 3, "hdc2tog": 2, "dc2tog": 2, "dc3tog": 3, "invdec": 2, "picot": 0}
MAKES = {"shell": 5, "vst": 2, "picot": 0}
LOOPS = ("both", "both", "both", "back", "front")


def times(n: int, *body: Node) -> Repeat:
    return Repeat(body, Times("exact", n))


plain_stitches = st.builds(Stitch, st.sampled_from(PLAIN), loop=st.sampled_from(LOOPS))
decreases = st.sampled_from([id for id in TAKES if id != "picot"]).map(Stitch)
posts = st.sampled_from(POSTS).map(Stitch)
groups = st.sampled_from(GROUPS).map(Stitch)
clusters = st.sampled_from(("dc3tog", "sc3tog")).map(lambda id: Group((Stitch(id),)))  # all of it in one place
runs = st.builds(times, st.integers(2, 12), plain_stitches | posts | groups)
skips = st.integers(1, 4).map(Skip)
spaces = st.integers(1, 7).map(Chain)
increases = st.builds(
    lambda stitch, n: Group((stitch,) * n if n <= 3 else (times(n, stitch),)),
    st.sampled_from(PLAIN).map(Stitch),
    st.integers(2, 7),
)
shells = st.builds(
    lambda id, n, chains: Group((*(Stitch(id),) * n, Chain(chains), *(Stitch(id),) * n)),
    st.sampled_from(PLAIN),
    st.integers(1, 3),
    st.integers(1, 3),
)
steps = st.one_of(plain_stitches, runs, decreases, increases, shells, skips, spaces, posts, groups, clusters)


def begins_with_a_stitch(nodes: list[Node]) -> bool:
    """A chain at a round's start is its turning chain, and one written after another is a longer one: neither is
    meant here.
    """
    return isinstance(nodes[0], Stitch) and not any(
        isinstance(a, Chain) and isinstance(b, Chain) for a, b in zip(nodes, nodes[1:], strict=False)
    )


sequences = st.lists(steps, min_size=2, max_size=5).filter(begins_with_a_stitch)
repeats = st.builds(lambda body, n: times(n, *body), sequences, st.integers(2, 9))
nested = st.builds(lambda before, inner, n: times(n, *before, inner), sequences, repeats, st.integers(2, 5))
programs = st.one_of(
    sequences.map(tuple),
    st.tuples(repeats),
    st.tuples(nested),
    st.builds(lambda a, b, c: (*a, b, *c), sequences, repeats, sequences),
)


def takes(node: Node) -> int:
    """Stitches of the round below that a node takes up."""
    if isinstance(node, Repeat):
        return node.times.amount * sum(map(takes, node.body))
    if isinstance(node, Stitch):
        return TAKES.get(node.stitch, 1)
    return 1 if isinstance(node, Group) else node.count if isinstance(node, Skip) else 0


def makes(node: Node) -> int:
    """Stitches that a node makes, as the trade counts them."""
    if isinstance(node, Repeat):
        return node.times.amount * sum(map(makes, node.body))
    if isinstance(node, Group):
        return sum(map(makes, node.body))
    return MAKES.get(node.stitch, 1) if isinstance(node, Stitch) else 0


def numbers(nodes: tuple[Node, ...]) -> int:
    """How many numbers of the program can be changed."""
    return sum(_own(n) + numbers(getattr(n, "body", ())) for n in nodes)


def _own(node: Node) -> int:
    """Whether the node itself has a number."""
    return int(isinstance(node, (Skip, Chain, Evenly)) and bool(node.count)
               or isinstance(node, Repeat) and bool(node.times.amount))


def changed(nodes: tuple[Node, ...], which: int, by: int) -> tuple[Node, ...]:
    """The program with one of its numbers changed, never below 1."""
    out: list[Node] = []
    for node in nodes:
        mine = numbers((node,))
        if 0 <= which < mine:
            if which >= _own(node):
                node = replace(node, body=changed(node.body, which - _own(node), by))
            elif isinstance(node, Repeat):
                node = replace(node, times=replace(node.times, amount=_moved(node.times.amount, by)))
            else:
                node = replace(node, count=_moved(node.count, by))
        out.append(node)
        which -= mine
    return tuple(out)


def _moved(n: Amount, by: int) -> Amount:
    if isinstance(n, tuple):
        return (*n[:-1], _moved(n[-1], by))
    return n + by if n + by >= 1 else n - by


__all__ = ["Span", "changed", "makes", "numbers", "programs", "takes", "times"]
