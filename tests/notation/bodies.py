"""What a random round is made of: steps over plain stitches, and over stitches and chain spaces."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

from by_hand import ByHand, is_space
from hypothesis import strategies as st
from programs import PLAIN, sequences, takes, times
from works import Program, one_or_many

from coach.notation.model import SAME, Action, Amount, Chain, Evenly, Group, Into, Node, Repeat, Skip, Stitch, Times

AROUND = Times("fill", 0, said=False)
REST = Skip(0, "rest")
COLOURS = ("a", "b", "mc", "white", "grey", "dark green")


def run(id: str, n: Amount, into: Into = Into()) -> Node:
    """`sc 3`."""
    return Stitch(id, into) if n == 1 else Repeat((Stitch(id, into),), Times("exact", n))


def group(id: str, n: int, into: Into = Into()) -> Group:
    """`3 sc in next st`."""
    return Group((Stitch(id),) * n if n <= 3 else (times(n, Stitch(id)),), into)


def flat(nodes: Program) -> list[Node]:
    """The nodes with those of each repeat in its place."""
    found: list[Node] = []
    for node in nodes:
        if isinstance(node, Repeat):
            found += flat(node.body if node.cut is None else (*node.body, *node.body[:node.cut]))
        else:
            found.append(node)
    return found


def first_stitch(body: Program) -> str:
    """The stitch that is worked first."""
    inside = [n for node in flat(body) for n in (flat(node.body) if isinstance(node, Group) else [node])]
    return next((n.of if isinstance(n, Evenly) else n.stitch for n in inside if isinstance(n, (Evenly, Stitch))), "")


def begins_with_a_chain(body: Program) -> bool:
    """Whether the first thing made is a chain: it would be the round's turning chain."""
    return isinstance(_made(body)[0], Chain)


def ends_with_a_chain(body: Program) -> bool:
    """Whether the last thing made is a chain: before a turn it would be the next row's."""
    return isinstance(_made(body)[-1], Chain)


def _made(body: Program) -> list[Node]:
    return [n for n in flat(body) if isinstance(n, (Stitch, Group, Chain, Evenly))]


def unit_of(tops: list[str]) -> list[str]:
    """The shortest list of which the tops are copies."""
    sizes = (n for n in range(1, len(tops) + 1) if len(tops) % n == 0)
    return next(tops[:n] for n in sizes if tops == tops[:n] * (len(tops) // n))


class Bodies:
    """Draws the body of a round. kind: row, round or joined; main: the stitch that it is mostly of."""

    def __init__(self, draw: Callable, kind: str):
        self.draw, self.kind = draw, kind
        self.main = "sc"
        self.largest = 0  # chains of the largest space below: those are the corners

    def one_of(self, *options):
        return self.draw(st.sampled_from(options))

    def maybe(self, chance: int = 2) -> bool:
        return self.draw(st.integers(1, chance)) == 1

    def over(self, hands: tuple[ByHand, ...], main: str, on_chain: bool) -> Program | None:
        """What works off all that is left for each of the hands; None where nothing was found.

        on_chain: the last stitch below is a turning chain that counts.
        """
        self.main = main
        if any(hand.spaces_left() for hand in hands):
            return self.lace([hand.below[hand.i:] for hand in hands])
        left = [hand.left() for hand in hands]
        if min(left) < 2:
            return (Repeat((Stitch(main),), AROUND),) if min(left) else None
        if on_chain and self.maybe(3):
            return (Repeat((Stitch(main),), Times("fill", 1)), Stitch(main, Into("tch")))
        forms = (self.plain, self.around, self.to_last, self.so_often, self.once, self.cut, self.evenly)
        return self.one_of(*forms)(left) or self.plain(left)

    # ---- over plain stitches

    def steps(self, most: int) -> Program:
        """Steps that take up at most so many stitches, and at least one."""
        found: list[Node] = []
        for node in self.draw(sequences):
            if found and self.maybe(8):
                node = times(2, *found, Stitch("sc"))
            if takes(node) + sum(map(takes, found)) <= most:
                found.append(node)
        while found and isinstance(found[0], Chain | Skip):
            del found[0]
        found = [n for k, n in enumerate(found) if not (k and isinstance(n, Chain) and isinstance(found[k - 1], Chain))]
        if found and isinstance(found[-1], Chain):
            del found[-1]
        return tuple(found) if sum(map(takes, found)) else (Stitch("sc"),)

    def plain(self, left: list[int]) -> Program:
        if self.maybe(8):
            return (Repeat((Stitch(self.main, Into("between")),), AROUND),)
        return (Repeat((Stitch(self.main, loop=self.one_of("both", "both", "back", "front")),), AROUND),)

    def around(self, left: list[int]) -> Program | None:
        body = self.steps(min(left))
        t = sum(map(takes, body))
        return (Repeat(body, AROUND),) if all(n % t == 0 for n in left) else None

    def to_last(self, left: list[int]) -> Program | None:
        body = self.steps(max(min(left) - 1, 1))
        t = sum(map(takes, body))
        over = {n % t or t for n in left}
        if len(over) > 1 or min(left) < t + max(over):
            return None
        r = over.pop()
        return (Repeat(body, Times("fill", r)), run(self.main, r))

    def so_often(self, left: list[int]) -> Program | None:
        body = self.steps(max(min(left) // 2, 1))
        t = sum(map(takes, body))
        often = [n // t for n in left]
        return (Repeat(body, Times("exact", one_or_many(often))), *self.rest([n % t for n in left]))

    def once(self, left: list[int]) -> Program | None:
        body = self.steps(min(left))
        return (*body, *self.rest([n - sum(map(takes, body)) for n in left]))

    def rest(self, over: list[int]) -> Program:
        """What is over is worked plainly, or left."""
        if not any(over):
            return ()
        if min(over) and self.maybe():
            return (run(self.main, one_or_many(over)),)
        return (Skip(over[0], "rest") if min(over) > 1 and len(set(over)) == 1 and self.maybe() else REST,)

    def cut(self, left: list[int]) -> Program | None:
        """`*a**, b; rep from * around, ending last rep at **`."""
        body = self.steps(min(left) // 2)
        if len(body) < 2:
            return None
        at = self.draw(st.integers(1, len(body) - 1))
        first, whole = sum(map(takes, body[:at])), sum(map(takes, body))
        before = {(n - first) % whole for n in left}
        if len(before) > 1 or not first or min(left) < max(before) + whole + first or first == whole:
            return None
        r = before.pop()
        often = [(n - first) // whole + 1 for n in left]
        how = Times("exact", often[0]) if len(left) == 1 and self.maybe() else AROUND
        return (*((run(self.main, r),) if r else ()), Repeat(body, how, at))

    def evenly(self, left: list[int]) -> Program:
        count = [self.draw(st.integers(1, max(n // 2, 1))) for n in left]
        return (Evenly(self.one_of("inc", "dec"), one_or_many(count), self.main),)

    # ---- over stitches and spaces

    def lace(self, rests: list[list[str]]) -> Program | None:
        """Each unit of the round below worked alike."""
        unit = unit_of(rests[0])
        often = [len(rest) // len(unit) for rest in rests]
        if any(rest != unit * k for rest, k in zip(rests, often)):
            return None
        self.largest = max(ByHand.chains(top) for top in unit)
        body = self.over_unit(unit)
        if all(k == 1 for k in often):
            return body
        return (self.repeated(body, often),)

    def repeated(self, body: Program, often: list[int]) -> Repeat:
        exact = min(often) > 1 and self.maybe()
        return Repeat(body, Times("exact", one_or_many(often)) if exact else AROUND)

    def over_unit(self, unit: list[str]) -> Program:
        found: list[Node] = []
        at = 0
        while at < len(unit):
            end = at + 1
            while end < len(unit) and not is_space(unit[at]) and not is_space(unit[end]):
                end += 1
            found += self.over_space(ByHand.chains(unit[at])) if is_space(unit[at]) else self.over_stitches(end - at)
            at = end
        if not any(isinstance(n, (Stitch, Group, Repeat)) for n in found):
            *found, last = [n for n in found if not isinstance(n, Chain)]
            found += [Stitch(self.main, Into("space"))] if last.what == "space" else [last, Stitch(self.main)]
        kept = [n for k, n in enumerate(found) if not (isinstance(n, Chain) and k and isinstance(found[k - 1], Chain))]
        while isinstance(kept[0], Chain):
            chain = kept.pop(0)
            kept += [chain] if self.kind == "joined" and not isinstance(kept[-1], Chain) else []
        while isinstance(kept[-1], Chain) and (self.kind == "row" or isinstance(kept[0], Chain)):
            kept.pop()
        return tuple(kept)

    def over_space(self, chains: int) -> list[Node]:
        into = Into("space", self.one_of(chains, chains, None))
        if self.largest == chains and self.maybe(4):
            into = replace(into, corner=True)
        n = self.draw(st.integers(2, 5))
        return self.one_of(
            [Stitch(self.main, into)], [group(self.main, n, into)], [group(self.one_of(*PLAIN), n, into)],
            [self.shell(into)],
            [Chain(min(n, 3)), Skip(1, "space")], [Chain(chains), Stitch("sc", into), Chain(chains)],
        )

    def shell(self, into: Into) -> Group:
        side = (Stitch(self.main),) * self.one_of(1, 2, 3)
        return Group((*side, Chain(self.one_of(1, 2, 3)), *side), into)

    def over_stitches(self, n: int) -> list[Node]:
        last = [Skip(n - 1), Stitch(self.main)] if n > 1 else [Stitch("fpdc")]
        return self.one_of([run(self.main, n)], [run("sc", n)], [Chain(max(n - 1, 1)), Skip(n)], last)

    def from_a_space(self, rests: list[list[str]], chain: Chain) -> Program | None:
        """`sl st in next ch-2 sp, ch 3, (dc, ch 2, 2 dc) in same sp, *... in next ch-2 sp; rep from * around`."""
        at = next(k for k, top in enumerate(rests[0]) if is_space(top))
        turned = [[*rest[at:], *rest[:at]] for rest in rests]
        unit = unit_of(turned[0])
        often = [len(rest) // len(unit) for rest in turned]
        if any(rest != unit * k for rest, k in zip(turned, often)) or min(often) < 2 or sum(map(is_space, unit)) > 1:
            return None
        into = Into("space", ByHand.chains(unit[0]))
        self.main, shell = chain.stands_for, self.shell(into)
        stitches = len(unit) - 1
        between = () if not stitches else (Chain(1),) if self.maybe() else (run(self.main, stitches),)
        rest = Group(shell.body[1:], SAME) if len(shell.body) > 3 else Group((*shell.body[1:], Stitch(self.main)), SAME)
        return (Stitch("slst", into), chain, rest, *between, self.repeated((shell, *between), [k - 1 for k in often]))

    # ---- colours

    def coloured(self, body: Program) -> Program:
        """The same with a colour before some of its steps."""
        at = self.draw(st.integers(0, len(body) - 1))
        node, change = body[at], Action("colour", f"with {self.one_of(*COLOURS)}")
        if isinstance(node, Repeat) and len(node.body) > 1 and node.cut is None and self.maybe():
            k = self.draw(st.integers(0, len(node.body) - 1))
            if k and isinstance(node.body[k - 1], Chain):
                return body
            again = (Action("colour", f"with {self.one_of(*COLOURS)}"),) if k else ()
            node = replace(node, body=(*again, *node.body[:k], change, *node.body[k:]))
            return (*body[:at], node, *body[at + 1:])
        return (*body[:at], change, *body[at:])
