"""How the last time of a repeat ends where it is unlike the others: cut short, or ended by something else."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

from coach.notation.cursor import Cursor
from coach.notation.extents import AROUND, read_extent
from coach.notation.model import NEXT, SAME, Action, Chain, Group, Node, Repeat, Skip, Stitch, Times
from coach.notation.places import read_where
from coach.notation.printer import write

MOST_MORE = 12  # stitches more in the last place of a repeat


def last_told(c: Cursor) -> list[Node] | None:
    """`..., working last sc in last ch`: says again where a row that goes across ends."""
    if not c.take_all("work?", "the?", "last|final") or not c.take_kind("stitch"):
        return None
    where = read_where(c)
    return [] if where is not None and where.into.kind in ("last", "tch", "chain") and where.fill is None else None


def omitted(c: Cursor, items: Callable[[Cursor], list[Node]], body: tuple[Node, ...]) -> int | None:
    """`omitting last ch 3 on last rep`: how many nodes of the body its last time has."""
    at = c.at
    c.take_any(",", ";", "and", "but")
    if c.take_if("skip") and c.take_all("the?", "last|final"):
        end = next((i for i in range(c.at, c.stop) if c.tokens[i].is_(",", ";", ".", "on", "at", "from", "in")), c.stop)
        left_out = items(c.within(c.at, end))
        n = len(left_out)
        if 0 < n < len(body) and write(left_out) == write(body[-n:]):
            c.at = end
            c.take_all("on|at|from|in", "the?", "last|final", "rep|time")
            return len(body) - n
    c.at = at
    return None


def ended_by(node: Node, following: Node) -> Node:
    """A repeat whose last time is ended by what follows, which takes the place of its last node when it is alike."""
    if not isinstance(node, Repeat) or node.ending is None or not node.body:
        return node
    last = node.body[-1]
    if isinstance(following, Chain):  # two chains don't come after each other
        return replace(node, ending=_with_its_chain(node.body))
    if not node.ending:  # "ending with dc in last st", where each time ends with dc
        same = isinstance(last, Stitch) and isinstance(following, Stitch) and last.stitch == following.stitch
        return replace(node, ending=int(same and len(node.body) > 1))
    return replace(node, ending=int(not isinstance(last, Chain) and not isinstance(following, Action)))


def _with_its_chain(body: tuple[Node, ...]) -> int:
    """Nodes that end a body with a chain, and with what that passes over: `*sc in next st, ch 3, sk 1`; 0 for none."""
    skips = next((n for n, node in enumerate(reversed(body)) if not isinstance(node, Skip)), 0)
    return skips + 1 if isinstance(body[-1 - skips], Chain) else 0


def ended_in_its_place(node: Node, found: list[Node]) -> tuple[Node, list[Node]]:
    """`3 trebles in next loop; repeat from * across, ending with 4 trebles`: one more in the last of these places."""
    last = node.body[-1] if isinstance(node, Repeat) and node.ending is not None and len(node.body) > 1 else None
    told = found[0].body[0] if isinstance(found[0], Repeat) and len(found[0].body) == 1 else None
    if not isinstance(last, Group) or not isinstance(told, Stitch) or told.into != NEXT:
        return node, found
    inside = last.body[0] if len(last.body) == 1 and isinstance(last.body[0], Repeat) else None
    many = inside.times.amount if inside else len(last.body)
    if any(n != replace(told, span=n.span) for n in (inside.body if inside else last.body) if isinstance(n, Stitch)):
        return node, found
    more = found[0].times.amount - many if isinstance(many, int) and isinstance(found[0].times.amount, int) else 0
    if more < 1:
        return node, found
    return replace(node, ending=None), [*(replace(told, into=SAME),) * min(more, MOST_MORE), *found[1:]]


def after_the_last(c: Cursor, nodes: list[Node]) -> list[Node] | None:
    """`after the 7th treble: ...` behind a repeat says where it has come to, and so how often it was worked."""
    if not c.take_all("after", "the?"):
        return None
    ordinal = c.take_kind("ordinal") or c.take_if("last")
    stitch = c.take_kind("stitch") or c.take_if("st", "point", "petal", "leaf", "ray")
    if not ordinal or not stitch:
        return None
    chain = None
    if c.take_all("and", "the?"):  # "after the 7th treble and the 9 chain": worked behind it
        at = c.at
        number = c.take_kind("number")
        if not c.take_if("ch") and not c.take_kind("space"):
            return None
        chain = Chain(number.value, span=c.span_from(at)) if number else None
    if not c.take_if(":"):
        return None
    if ordinal.kind == "word" or stitch.is_("st") or not nodes or not isinstance(repeat := nodes[-1], Repeat):
        return []
    id = str(stitch.value) if stitch.kind == "stitch" else None
    id = id if _made(repeat.body, id) else None
    before, each = (_made(nodes[:-1], id), _made(repeat.body, id)) if stitch.kind == "stitch" else (0, 1)
    for amount in (repeat.times.amount, *repeat.times.readings):
        if amount and isinstance(amount, int) and before + each * amount == ordinal.value:
            nodes[-1] = replace(repeat, times=replace(repeat.times, amount=amount, readings=()))
    begun_with = repeat.body[0]
    return [chain] if chain and isinstance(begun_with, Chain) and begun_with.count == chain.count else []


def _made(nodes: tuple[Node, ...] | list[Node], id: str | None) -> int:
    """Stitches of a kind (None: of any)."""
    return sum(isinstance(n, Stitch) and n.stitch in (id or n.stitch, "") for n in nodes)


def how_far(c: Cursor, nodes: list[Node]) -> list[Node] | None:
    """`a treble in each treble, including those of the shell, up to the 2 chain`: how far the stitch before goes."""
    if not c.is_("up", "to"):
        return None
    last = next((i for i in range(len(nodes) - 1, -1, -1) if not _is_note(nodes[i])), None)
    if last is None or not isinstance(repeat := nodes[last], Repeat) or repeat.times != AROUND:
        return None
    extent = read_extent(c)
    if extent is None or extent == AROUND:
        return None
    nodes[last] = replace(repeat, times=extent)
    return []


def _is_note(node: Node) -> bool:
    return isinstance(node, Action) and node.kind == "note"


def one_less(times: Times) -> Times:
    """One time less, in each of its readings."""
    if times.kind != "exact":
        return times
    amounts = [a - 1 if isinstance(a, int) else tuple(n - 1 for n in a) for a in (times.amount, *times.readings)]
    return Times("exact", amounts[0], tuple(a for a in amounts[1:] if a != 0))
