"""Random works of several rounds, as a maker could work them: rows with their turning chains, joined rounds, spirals and
ovals; lace, colours, sizes, and rows that repeat others. Each round fits the one below it.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field, replace

from by_hand import HEIGHT, STANDS, ByHand, is_space
from hypothesis import strategies as st
from programs import PLAIN, POSTS, changed, numbers, sequences, takes, times

from coach.notation.model import Action, Amount, Chain, Evenly, Group, Into, Node, Repeat, Skip, Stitch, Times
from coach.notation.printer import amount, write

Program = tuple[Node, ...]
TURN, JOIN, OTHER_SIDE = Action("turn"), Action("join", "", Into("first")), Action("other_side")
REST = Skip(0, "rest")
COLOURS = ("a", "b", "mc", "white", "grey", "dark green")
SIZES = ("S", "M", "L")
AROUND = Times("fill", 0, said=False)


@dataclass(frozen=True)
class Line:
    """A round. begun, hands: before its first stitch and behind its last, in each size; words: what the text says in place
    of nodes and count (None: it is told with the line before)."""

    nodes: Program
    begun: tuple[ByHand, ...]
    hands: tuple[ByHand, ...]
    colour: str = ""  # in its label
    by_kind: bool = False  # the count names the kinds
    words: str | None = ""
    side: str = ""
    standing: Chain | None = None  # a turning chain that was made at the end of the row before


@dataclass
class Work:
    kind: str  # row, round or joined
    terms: str
    sizes: int
    head: str = ""
    lines: list[Line] = field(default_factory=list)

    @property
    def noun(self) -> str:
        return "Row" if self.kind == "row" else "Rnd"

    def page(self) -> str:
        """The work as a pattern is written."""
        sizes = f"Sizes: {SIZES[0]} ({', '.join(SIZES[1:self.sizes])})\n\n" if self.sizes > 1 else ""
        terms = "# Mooring\n\nUK terms.\n\n" if self.terms == "UK" else ""
        lines = [self.line(n, line) for n, line in enumerate(self.lines, 1) if line.words is not None]
        return "\n".join(filter(None, (terms + sizes + self.head, *lines))) + "\n"

    def line(self, n: int, line: Line) -> str:
        if line.words:
            return line.words
        return f"{self.noun} {n}{self.remark(line)}: {write(line.nodes, self.terms)}. ({self.count(line)})"

    @staticmethod
    def remark(line: Line) -> str:
        """What stands behind the number: ` (RS), with A`, ` (white)`."""
        colour = line.colour.upper() if len(line.colour) < 3 else line.colour
        if line.side:
            return f" ({line.side})" + (f", with {colour}" if colour else "")
        return f" ({colour})" if colour else ""

    def with_one_changed(self, which: int, by: int) -> Work | None:
        """The work with a number of one of its rounds changed; None where the arithmetic doesn't show it."""
        written = [n for n, line in enumerate(self.lines) if line.words == "" and numbers(line.nodes)]
        if not written:
            return None
        at = written[which % len(written)]
        line = self.lines[at]
        nodes = changed(line.nodes, which % numbers(line.nodes), by)
        if nodes[0] != line.nodes[0] and isinstance(nodes[0], Chain) and nodes[0].counts is None:
            return None  # so many chains can stand for another stitch, or none
        hands = worked(line.begun, nodes)
        if all(hand.makes == before.makes and hand.fits(nodes) for hand, before in zip(hands, line.hands)):
            return None
        words = self.line(at + 1, line).replace(write(line.nodes, self.terms), write(nodes, self.terms))
        return replace(self, lines=[*self.lines[:at], replace(line, words=words), *self.lines[at + 1:]])

    def count(self, line: Line) -> str:
        if not line.by_kind:
            return amount(one_or_many([hand.makes for hand in line.hands]))
        tops = line.hands[0].tops
        kinds = [(f"{tops.count(k)} {write([Stitch(k)], self.terms)}") for k in dict.fromkeys(tops) if not is_space(k)]
        spaces = [f"{tops.count(k)} ch-{k.split()[1]} sps" for k in dict.fromkeys(tops) if is_space(k)]
        return ", ".join(kinds + spaces)


def worked(begun: Sequence[ByHand], nodes: Program) -> tuple[ByHand, ...]:
    """Each of the hands with the nodes worked."""
    hands = tuple(hand.copy() for hand in begun)
    for size, hand in enumerate(hands):
        hand.work(nodes, size)
    return hands


def one_or_many(numbers: list[int]) -> Amount:
    """One number for one size, a number for each for several."""
    return numbers[0] if len(numbers) == 1 else tuple(numbers)


def run(id: str, n: Amount, into: Into = Into()) -> Node:
    return Stitch(id, into) if n == 1 else Repeat((Stitch(id, into),), Times("exact", n))


def group(id: str, n: int, into: Into = Into()) -> Group:
    return Group((Stitch(id),) * n if n <= 3 else (times(n, Stitch(id)),), into)


def begins_and_ends(begun: Program, body: Program, row: bool) -> bool:
    """Whether a chain of the body is neither the first thing of a round nor the last of a row: it would be a turning chain."""
    made = [n for n in flat(body) if isinstance(n, (Stitch, Group, Chain, Evenly))]
    counts = any(isinstance(n, Chain) and n.counts for n in begun)
    return not (isinstance(made[0], Chain) and not counts) and not (isinstance(made[-1], Chain) and row)


def first_stitch(body: Program) -> str:
    """The stitch that is worked first."""
    inside = [n for node in flat(body) for n in (flat(node.body) if isinstance(node, Group) else [node])]
    return next((n.of if isinstance(n, Evenly) else n.stitch for n in inside if isinstance(n, (Evenly, Stitch))), "")


def flat(nodes: Program) -> list[Node]:
    """The nodes with those of each repeat in its place."""
    return [inner for n in nodes for inner in (flat(n.body if n.cut is None else (*n.body, *n.body[:n.cut])) if isinstance(n, Repeat) else [n])]


@st.composite
def works(draw: Callable) -> Work:
    return Maker(draw).work


class Maker:
    """Draws a work, round after round. `tops`: of the last round in each size, as the next one meets them."""

    def __init__(self, draw: Callable):
        self.draw = draw
        kind = self.one_of("row", "row", "round", "joined")
        self.work = Work(kind, self.one_of("US", "US", "UK"), self.one_of(1, 1, 1, 2, 3))
        self.counting = self.draw(st.booleans())  # chains of 2 and more count as a stitch, in the whole work
        self.unsaid = self.draw(st.booleans())  # though it isn't said
        self.tops: list[list[str] | None] = [None] * self.work.sizes
        self.colour = ""
        self.carried: Chain | None = None
        self.main = "sc"
        self.first()
        for _ in range(self.draw(st.integers(1, 4))):
            self.further()
        while not self.work.lines:
            self.keep((Repeat((Stitch("sc"),), AROUND), TURN), self.hands())
        if len(self.work.lines) > 2 and self.maybe():
            self.again()

    # ---- choices

    def one_of(self, *options):
        return self.draw(st.sampled_from(options))

    def maybe(self, chance: int = 2) -> bool:
        return self.draw(st.integers(1, chance)) == 1

    def sized(self, low: int, high: int) -> list[int]:
        """A number for each size, from the smallest on."""
        numbers = [self.draw(st.integers(low, high))]
        for _ in range(self.work.sizes - 1):
            numbers.append(numbers[-1] + self.draw(st.integers(1, 4)))
        return numbers

    # ---- rounds

    def keep(self, nodes: Program, begun: list[ByHand], **line) -> None:
        hands = worked(begun, nodes)
        self.work.lines.append(Line(nodes, tuple(begun), hands, **line))
        turned = self.work.kind == "row"
        self.tops = [hand.tops[::-1] if turned else hand.tops for hand in hands]
        self.colour = hands[0].colour
        self.carried = next((n for n in nodes[-2:-1] if isinstance(n, Chain) and turned), None)

    def hands(self, standing: Chain | None = None, colour: str = "") -> list[ByHand]:
        hands = [ByHand(None if tops is None else list(tops), colour or self.colour) for tops in self.tops]
        for hand in hands if standing else ():
            hand.carry(standing)
        return hands

    def first(self) -> None:
        """On a ring, along a chain, or around both its sides."""
        start = self.one_of("chain", "chain", "row") if self.work.kind == "row" else self.one_of("ring", "ring", "oval")
        if start == "row":
            n = self.sized(5, 24)
            self.work.head = f"Fsc {amount(one_or_many(n))}, turn." if self.work.terms == "US" else f"Fdc {amount(one_or_many(n))}, turn."
            self.tops = [["sc"] * k for k in n]
            return self.further()
        if start == "ring":
            self.work.head = self.one_of("", "Magic ring.", "Ch 4, join with sl st to form a ring.")
            n, nodes = self.sized(4, 12), []
            id = self.one_of(*PLAIN) if self.work.kind == "joined" else "sc"
            if self.work.kind == "joined":
                nodes = [self.standing_chain(id)] if self.maybe() else [Chain(1)]
            nodes.append(Repeat((Stitch(id, Into("ring")),), Times("exact", one_or_many(n))))
        elif start == "chain":
            id = self.one_of(*PLAIN)
            hook, n = HEIGHT[id] + 1, self.sized(5, 24)
            self.work.head = f"Ch {amount(one_or_many([k + hook for k in n]))}."
            along = Repeat((Stitch(id, Into("chain")),), AROUND if self.maybe() else Times("exact", one_or_many(n)))
            nodes = [Stitch(id, Into("hook", hook)), along]
            self.tops = [["ch"] * (k + 1) for k in n]
        else:
            id, n = self.one_of("sc", "hdc"), self.sized(2, 9)
            self.work.head = f"Ch {amount(one_or_many([k + HEIGHT[id] + 2 for k in n]))}."
            side, last = run(id, one_or_many(n), Into("chain")), Into("last", stitch="ch")
            turns = (self.draw(st.integers(2, 5)), self.draw(st.integers(2, 3)))
            nodes = [Stitch(id, Into("hook", HEIGHT[id] + 1)), side, group(id, turns[0], last), OTHER_SIDE, side,
                     group(id, turns[1], last)]
            self.tops = [["ch"] * (2 * k + 3) for k in n]
        self.main = id
        hands = self.hands()
        if start == "chain" and HEIGHT[id] >= 3:  # the skipped chains are the first stitch
            for hand in hands:
                hand.make(id)
        self.keep((*nodes, *self.end()), hands)

    def standing_chain(self, id: str) -> Chain:
        if HEIGHT[id] == 1:
            return Chain(1, self.one_of(None, False))
        return Chain(HEIGHT[id], True, id) if self.counting else Chain(HEIGHT[id], False)

    def end(self) -> Program:
        """What stands behind the last stitch."""
        change = (Action("colour", f"change to {self.one_of(*COLOURS)} in last st"),) if self.maybe(8) else ()
        if self.work.kind == "round":
            return change
        return (*change, JOIN if self.work.kind == "joined" else TURN)

    def further(self) -> None:
        label = self.one_of(*COLOURS) if self.maybe(5) else ""
        standing = self.carried
        hands = self.hands(standing)
        main = standing.stands_for if standing and standing.stands_for else self.one_of(*PLAIN)
        begun: Program = ()
        if self.work.kind != "round" and standing is None:
            begun = (self.standing_chain(main),)
            if self.work.kind == "joined" and begun[0].counts and self.maybe(3):
                begun += (Stitch(main, Into("same")),)
            if self.work.kind == "row" and begun[0].counts and self.maybe():
                begun += (Skip(1, first=True),)
            if len(begun) == 1 and begun[0].counts and self.maybe(5):
                begun = (replace(begun[0], count=HEIGHT[main] + 2, more=2),)
        body = self.body(worked(hands, (*begun, Skip(0, "tch"))), main)  # something follows the chain
        if body is None:
            return
        if begun and begun[0].counts and not begun[0].more and self.unsaid and main in STANDS.values() and first_stitch(body) == main:
            begun = (Chain(begun[0].count), *begun[1:])
        if self.maybe(4) and not isinstance(body[0], Skip):
            body = self.coloured(body)
        end = self.end()
        if end[-1:] == (JOIN,) and begun[0].counts and self.maybe():
            end = (*end[:-1], Action("join", "", Into("tch", begun[0].count)))
        if self.work.kind == "row" and self.maybe(6) and self.one_of(True):
            following = self.one_of(*PLAIN)
            chain = Chain(HEIGHT[following], True, following) if self.counting and HEIGHT[following] > 1 else Chain(1)
            end = (*end[:-1], chain, TURN)
        nodes = (*begun, *body, *end)
        if not begins_and_ends(begun, body, self.work.kind == "row"):
            return
        if sum(not isinstance(n, (Action, Chain)) for n in nodes) == 1 and any(isinstance(n, (Stitch, Group)) for n in nodes):
            return  # a lone stitch with a count would be worked all around
        hands = self.hands(standing, label)
        done = worked(hands, nodes)
        if not all(hand.fits(nodes) and hand.tops for hand in done):
            return
        by_kind = self.work.sizes == 1 and self.maybe(3) and all(is_space(top) or top in (*PLAIN, *POSTS) for top in done[0].tops)
        side = ("RS", "WS")[len(self.work.lines) % 2] if self.work.kind == "row" and self.maybe(6) else ""
        line = {"colour": label, "by_kind": by_kind, "side": side}
        self.keep(nodes, hands, standing=standing, **line)
        if standing is None and not self.carried and self.maybe(6):
            self.more_of_it(nodes, line)

    def more_of_it(self, nodes: Program, line: dict) -> None:
        """`Rows 4-6: ...`, where each of them can be worked so."""
        first, more = len(self.work.lines), []
        kept = self.work.lines[-1], self.tops, self.colour
        for _ in range(self.draw(st.integers(1, 3))):
            hands = self.hands(colour=line["colour"])
            done = worked(hands, nodes)
            if [h.tops for h in done] != [h.tops for h in kept[0].hands] or not all(h.fits(nodes) for h in done):
                break
            self.keep(nodes, hands, words=None, **line)
            more.append(hands)
        if more:
            words = self.work.line(first, kept[0]).replace(f"{self.work.noun} {first}", f"{self.work.noun}s {first}-{first + len(more)}")
            self.work.lines[first - 1] = replace(kept[0], words=words)

    # ---- what a round is made of

    def body(self, hands: list[ByHand], main: str) -> Program | None:
        if any(hand.spaces_left() for hand in hands):
            return self.lace(hands, main)
        left = [hand.left() for hand in hands]
        if min(left) < 2:
            return (Repeat((Stitch(main),), AROUND),) if min(left) else None
        forms = (self.plain, self.around, self.to_last, self.so_often, self.once, self.cut, self.evenly)
        return self.one_of(*forms)(left, main) or self.plain(left, main)

    def steps(self, most: int) -> Program:
        """Steps that take up at most so many stitches, and at least one."""
        found: list[Node] = []
        for node in self.draw(sequences):
            if takes(node) + sum(map(takes, found)) <= most:
                found.append(node)
        while found and isinstance(found[0], Chain | Skip):
            del found[0]
        found = [n for k, n in enumerate(found) if not (k and isinstance(n, Chain) and isinstance(found[k - 1], Chain))]
        if found and isinstance(found[-1], Chain):
            del found[-1]
        return tuple(found) if sum(map(takes, found)) else (Stitch("sc"),)

    def plain(self, left: list[int], main: str) -> Program:
        if self.work.kind == "row" and self.work.lines and self.stands_first(self.work.lines[-1]) and self.maybe():
            return (Repeat((Stitch(main),), Times("fill", 1)), Stitch(main, Into("tch")))
        if self.maybe(8):
            return (Repeat((Stitch(main, Into("between")),), AROUND),)
        return (Repeat((Stitch(main, loop=self.one_of("both", "both", "back", "front")),), AROUND),)

    def around(self, left: list[int], main: str) -> Program | None:
        body = self.steps(min(left))
        t = sum(map(takes, body))
        return (Repeat(body, AROUND),) if all(n % t == 0 for n in left) else None

    def to_last(self, left: list[int], main: str) -> Program | None:
        body = self.steps(max(min(left) - 1, 1))
        t = sum(map(takes, body))
        over = {n % t or t for n in left}
        if len(over) > 1 or min(left) < t + max(over):
            return None
        r = over.pop()
        return (Repeat(body, Times("fill", r)), run(main, r))

    def so_often(self, left: list[int], main: str) -> Program | None:
        body = self.steps(max(min(left) // 2, 1))
        t = sum(map(takes, body))
        often = [n // t for n in left]
        return (Repeat(body, Times("exact", one_or_many(often))), *self.rest([n % t for n in left], main))

    def once(self, left: list[int], main: str) -> Program | None:
        body = self.steps(min(left))
        return (*body, *self.rest([n - sum(map(takes, body)) for n in left], main))

    def rest(self, over: list[int], main: str) -> Program:
        if not any(over):
            return ()
        if min(over) and self.maybe():
            return (run(main, one_or_many(over)),)
        return (Skip(over[0], "rest") if min(over) > 1 and len(set(over)) == 1 and self.maybe() else REST,)

    def cut(self, left: list[int], main: str) -> Program | None:
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
        how = Times("exact", often[0]) if self.work.sizes == 1 and self.maybe() else AROUND
        return (*((run(main, r),) if r else ()), Repeat(body, how, at))

    def evenly(self, left: list[int], main: str) -> Program | None:
        count = [self.draw(st.integers(1, max(n // 2, 1))) for n in left]
        return (Evenly(self.one_of("inc", "dec"), one_or_many(count), main),)

    @staticmethod
    def stands_first(line: Line) -> bool:
        """Whether a row begins with a chain that counts, and with nothing but that."""
        chain = line.nodes[0] if line.standing is None else line.standing
        return isinstance(chain, Chain) and bool(chain.counts) and chain.more is None

    # ---- over stitches and spaces

    def lace(self, hands: list[ByHand], main: str) -> Program | None:
        """Each unit of the round below worked alike."""
        rests = [hand.below[hand.i:] for hand in hands]
        unit = self.unit(rests[0])
        often = [len(rest) // len(unit) for rest in rests]
        if any(rest != unit * k for rest, k in zip(rests, often)):
            return None
        self.largest = max(ByHand.chains(top) for top in hands[0].below)
        body = self.over(unit, main)
        if all(k == 1 for k in often):
            return body
        if self.maybe():
            return (Repeat(body, AROUND),)
        return (Repeat(body, Times("exact", one_or_many(often))),) if min(often) > 1 else (Repeat(body, AROUND),)

    @staticmethod
    def unit(tops: list[str]) -> list[str]:
        return next(tops[:n] for n in range(1, len(tops) + 1) if len(tops) % n == 0 and tops == tops[:n] * (len(tops) // n))

    def over(self, unit: list[str], main: str) -> Program:
        found: list[Node] = []
        at = 0
        while at < len(unit):
            end = at + 1
            while end < len(unit) and not is_space(unit[at]) and not is_space(unit[end]):
                end += 1
            found += self.over_space(int(unit[at].split()[1]), main) if is_space(unit[at]) else self.over_stitches(end - at, main)
            at = end
        if not any(isinstance(n, (Stitch, Group, Repeat)) for n in found):
            found = [n for n in found if not isinstance(n, Chain)]
            found.append(Stitch(main, Into("space")) if isinstance(found[-1], Skip) and found.pop().what == "space"
                         else Stitch(main))
        kept = [n for k, n in enumerate(found) if not (isinstance(n, Chain) and k and isinstance(found[k - 1], Chain))]
        while isinstance(kept[0], Chain):
            kept.append(kept.pop(0)) if self.work.kind == "joined" and not isinstance(kept[-1], Chain) else kept.pop(0)
        while isinstance(kept[-1], Chain) and (self.work.kind == "row" or isinstance(kept[0], Chain)):
            kept.pop()
        return tuple(kept)

    def over_space(self, chains: int, main: str) -> list[Node]:
        into = Into("space", self.one_of(chains, chains, None))
        if self.largest == chains and self.maybe(4):
            into = replace(into, corner=True)
        n = self.draw(st.integers(1, 5))
        return self.one_of(
            [Stitch(main, into)], [group(main, max(n, 2), into)], [group(self.one_of(*PLAIN), max(n, 2), into)],
            [Group((*(Stitch(main),) * min(n, 3), Chain(min(n, 3)), *(Stitch(main),) * min(n, 3)), into)],
            [Chain(min(n, 3)), Skip(1, "space")], [Chain(chains), Stitch("sc", into), Chain(chains)],
        )

    def over_stitches(self, n: int, main: str) -> list[Node]:
        return self.one_of([run(main, n)], [run("sc", n)], [Chain(max(n - 1, 1)), Skip(n)], [Skip(n - 1), Stitch(main)] if n > 1
                           else [Stitch("fpdc")])

    # ---- colours, and rounds that repeat others

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

    def again(self) -> None:
        """`Rep Rows 2 and 3 three times`."""
        lines = self.work.lines[-2:] if self.maybe(3) or len(self.work.lines) < 4 else self.work.lines[-3:]
        last = len(self.work.lines)
        numbers = [last - k for k in reversed(range(len(lines)))]
        often = self.draw(st.integers(1, 3))
        kept, tops, colour, carried = list(self.work.lines), self.tops, self.colour, self.carried
        named = f"{', '.join(map(str, numbers[:-1]))} and {numbers[-1]}"
        word = ("once", "twice", "three times")[often - 1]
        for k in range(often * len(lines)):
            line = lines[k % len(lines)]
            hands = self.hands(self.carried, line.colour)
            done = worked(hands, line.nodes)
            alike = [h.takes for h in done] == [h.takes for h in line.hands]
            if not alike or not all(hand.fits(line.nodes) for hand in done) or bool(self.carried) != bool(line.standing):
                self.work.lines, self.tops, self.colour, self.carried = kept, tops, colour, carried
                return
            words = f"Rep {self.work.noun}s {named} {word}." if not k else None
            self.keep(line.nodes, hands, colour=line.colour, words=words, standing=self.carried)


__all__ = ["Line", "Work", "works"]
