"""Random works of several rounds, as a maker could work them: rows with their turning chains, joined rounds, spirals,
ovals, lace, colours, sizes, and rows that repeat others. Each round fits the one below it.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

from bodies import AROUND, COLOURS, Bodies, begins_with_a_chain, ends_with_a_chain, first_stitch, group, run
from by_hand import HEIGHT, STANDS, ByHand, is_space
from hypothesis import strategies as st
from programs import PLAIN, POSTS, times
from works import Line, Program, Work, one_or_many, worked

from coach.notation.model import RING, SAME, Action, Chain, Group, Into, Repeat, Skip, Stitch, Times
from coach.notation.printer import abbreviation, amount

TURN, JOIN, OTHER_SIDE = Action("turn"), Action("join", "", Into("first")), Action("other_side")
ADVERBS = ("once", "twice", "three times")


@st.composite
def works(draw: Callable) -> Work:
    return Maker(draw).work


class Maker(Bodies):
    """Draws a work, round after round. tops: of the last round in each size, as the next one meets them; colour: on the
    hook; carried: the turning chain that was made at the end of the last row."""

    def __init__(self, draw: Callable):
        super().__init__(draw, draw(st.sampled_from(("row", "row", "round", "joined"))))
        self.work = Work(self.kind, self.one_of("US", "US", "UK"), self.one_of(1, 1, 1, 2, 3))
        self.counting = self.draw(st.booleans())  # chains of 2 and more count as a stitch, in the whole work
        self.unsaid = self.draw(st.booleans())  # though it isn't said
        self.tops: list[list[str] | None] = [None] * self.work.sizes
        self.colour = ""
        self.carried: Chain | None = None
        self.first()
        for _ in range(self.draw(st.integers(1, 4))):
            self.further()
        if not self.work.lines:
            self.keep((Repeat((Stitch("sc"),), AROUND), TURN), self.hands())
        if len(self.work.lines) > 2 and self.maybe():
            self.again()

    def sized(self, low: int, high: int) -> list[int]:
        """A number for each size, from the smallest on."""
        numbers = [self.draw(st.integers(low, high))]
        for _ in range(self.work.sizes - 1):
            numbers.append(numbers[-1] + self.draw(st.integers(1, 4)))
        return numbers

    def keep(self, nodes: Program, begun: tuple[ByHand, ...], **line) -> None:
        hands = worked(begun, nodes)
        self.work.lines.append(Line(nodes, begun, hands, **line))
        turned = self.kind == "row"
        self.tops = [hand.tops[::-1] if turned else hand.tops for hand in hands]
        self.colour = hands[0].colour
        self.carried = next((n for n in nodes[-2:-1] if isinstance(n, Chain) and turned), None)

    def hands(self, colour: str = "") -> tuple[ByHand, ...]:
        """For a round in each size, nothing of it worked yet. colour: that of its label."""
        hands = tuple(ByHand(None if tops is None else list(tops), colour or self.colour) for tops in self.tops)
        for hand in hands if self.carried else ():
            hand.carry(self.carried)
        return hands

    # ---- where a work begins

    def first(self) -> None:
        starts = (self.chain, self.chain, self.row) if self.kind == "row" else (self.ring, self.square, self.oval)
        self.one_of(*starts)()

    def row(self) -> None:
        """`Fsc 24, turn.`"""
        n = self.sized(5, 24)
        self.work.head = f"{abbreviation('fsc', self.work.terms)} {amount(one_or_many(n))}, turn."
        self.tops = [["sc"] * k for k in n]

    def ring(self) -> None:
        self.work.head = self.one_of("", "Magic ring.", "Ch 4, join with sl st to form a ring.")
        id = self.one_of(*PLAIN) if self.kind == "joined" else "sc"
        begun = (self.one_of(self.standing_chain(id), Chain(1)),) if self.kind == "joined" else ()
        around = Repeat((Stitch(id, RING),), Times("exact", one_or_many(self.sized(4, 12))))
        self.keep((*begun, around, *self.end()), self.hands())

    def square(self) -> None:
        """`Ch 3 (counts as dc), 2 dc in ring, ch 2, (3 dc in ring, ch 2) x 3, join`."""
        if self.kind == "round" or not self.counting:
            return self.ring()
        dc, corner = Stitch("dc", RING), Chain(self.one_of(1, 2, 3))
        n, side = self.sized(3, 6), self.draw(st.integers(2, 4))
        begun = (Chain(3, True, "dc"), dc if side == 2 else times(side - 1, dc), corner)
        again = Repeat((times(side, dc), corner), Times("exact", one_or_many([k - 1 for k in n])))
        self.keep((*begun, again, JOIN), self.hands())

    def chain(self) -> None:
        id, n = self.one_of(*PLAIN), self.sized(5, 24)
        hook = HEIGHT[id] + 1
        self.work.head = f"Ch {amount(one_or_many([k + hook for k in n]))}."
        along = Repeat((Stitch(id, Into("chain")),), self.one_of(AROUND, Times("exact", one_or_many(n))))
        self.tops = [["ch"] * (k + 1) for k in n]
        hands = self.hands()
        for hand in hands if HEIGHT[id] >= 3 else ():  # the skipped chains are the first stitch
            hand.make(id)
        self.keep((Stitch(id, Into("hook", hook)), along, *self.end()), hands)

    def oval(self) -> None:
        id, n = self.one_of("sc", "hdc"), self.sized(2, 9)
        self.work.head = f"Ch {amount(one_or_many([k + HEIGHT[id] + 2 for k in n]))}."
        side, last = run(id, one_or_many(n), Into("chain")), Into("last", stitch="ch")
        ends = group(id, self.draw(st.integers(2, 5)), last), group(id, self.one_of(2, 3), last)
        self.tops = [["ch"] * (2 * k + 3) for k in n]
        nodes = (Stitch(id, Into("hook", HEIGHT[id] + 1)), side, ends[0], OTHER_SIDE, side, ends[1], *self.end())
        self.keep(nodes, self.hands())

    # ---- how rounds begin and end

    def standing_chain(self, id: str) -> Chain:
        if HEIGHT[id] == 1:
            return Chain(1, self.one_of(None, False))
        return Chain(HEIGHT[id], True, id) if self.counting else Chain(HEIGHT[id], False)

    def begin(self, main: str) -> Program:
        chain = self.standing_chain(main)
        if not chain.counts:
            return (chain,)
        if self.kind == "joined" and self.maybe(3):
            return chain, Stitch(main, SAME)
        if self.kind == "row" and self.maybe():
            return chain, Skip(1, first=True)
        return (replace(chain, count=HEIGHT[main] + 2, more=2),) if self.maybe(5) else (chain,)

    def end(self) -> Program:
        change = (Action("colour", f"change to {self.one_of(*COLOURS)} in last st"),) if self.maybe(8) else ()
        if self.kind == "round":
            return change
        if self.kind == "row" and self.work.lines and self.maybe(6):
            main = self.one_of(*PLAIN)
            chain = Chain(HEIGHT[main], True, main) if self.counting and HEIGHT[main] > 1 else Chain(1)
            return (*change, chain, TURN)
        return (*change, JOIN if self.kind == "joined" else TURN)

    # ---- a round

    def further(self) -> None:
        nodes = self.nodes()
        if nodes is None or sum(not isinstance(n, (Action, Chain)) for n in nodes) == 1 and any(
                isinstance(n, (Stitch, Group)) for n in nodes):  # a lone stitch with a count would be worked all around
            return
        colour = self.one_of(*COLOURS) if self.maybe(5) else ""
        hands = self.hands(colour)
        done = worked(hands, nodes)
        if not all(hand.fits(nodes) and hand.tops for hand in done):
            return
        countable = len(done) == 1 and all(is_space(top) or top in (*PLAIN, *POSTS) for top in done[0].tops)
        side = ("RS", "WS")[len(self.work.lines) % 2] if self.kind == "row" and self.maybe(6) else ""
        line = {"colour": colour, "by_kind": countable and self.maybe(3), "side": side}
        carried = self.carried
        self.keep(nodes, hands, standing=carried, **line)
        if carried is None and self.carried is None and self.maybe(6):
            self.more_of_it(nodes, line)

    def nodes(self) -> Program | None:
        carried, row = self.carried, self.kind == "row"
        main = carried.stands_for if carried and carried.stands_for else self.one_of(*PLAIN)
        begun = self.begin(main) if self.kind != "round" and carried is None else ()
        counts = bool(begun and begun[0].counts)
        body = None
        if self.kind == "joined" and counts and any(map(is_space, self.tops[0])) and self.maybe():
            body = self.from_a_space(self.tops, begun[0] if not begun[0].more else Chain(3, True, "dc"))
            begun = begun if body is None else ()
        if body is None:
            hands = worked(self.hands(), (*begun, Skip(0, "tch")))  # something follows the chain
            body = self.over(hands, main, row and self.stands_first())
        if body is None or begins_with_a_chain(body) and not counts or ends_with_a_chain(body) and row:
            return None
        chain = begun[0] if begun else None
        if self.unsaid and counts and chain and chain.count in STANDS and not chain.more and first_stitch(body) == main:
            begun = (Chain(chain.count), *begun[1:])
        if begun and self.maybe(4) and not isinstance(body[0], Skip):
            body = self.coloured(body)
        end = self.end()
        if counts and begun and end[-1] == JOIN and self.maybe():
            end = (*end[:-1], Action("join", "", Into("tch", begun[0].count)))
        return (*begun, *body, *end)

    def stands_first(self) -> bool:
        """Whether the row below begins with a chain that counts, and with nothing but that."""
        if not self.work.lines:
            return False
        line = self.work.lines[-1]
        chain = line.nodes[0] if line.standing is None else line.standing
        return isinstance(chain, Chain) and bool(chain.counts) and chain.more is None

    # ---- several at once, and rounds that repeat others

    def more_of_it(self, nodes: Program, line: dict) -> None:
        """`Rows 4-6: ...`, where each of them can be worked so."""
        noun, first, kept = self.work.noun, len(self.work.lines), self.work.lines[-1]
        for _ in range(self.draw(st.integers(1, 3))):
            hands = self.hands(line["colour"])
            done = worked(hands, nodes)
            if [h.tops for h in done] != [h.tops for h in kept.hands] or not all(h.fits(nodes) for h in done):
                break
            self.keep(nodes, hands, words=None, **line)
        if (last := len(self.work.lines)) > first:
            words = self.work.line(first, kept).replace(f"{noun} {first}", f"{noun}s {first}-{last}", 1)
            self.work.lines[first - 1] = replace(kept, words=words)

    def again(self) -> None:
        """`Rep Rows 2 and 3 three times`, `Rows 6-9: Rep Rows 4 and 5`, `Row 6: Rep Row 4`."""
        noun, last = self.work.noun, len(self.work.lines)
        set_of = min(self.one_of(1, 2, 2, 2, 3), last - 1)  # none works a round on its foundation again
        lines = self.work.lines[-set_of:]
        numbers = [str(n) for n in range(last - set_of + 1, last + 1)]
        listed = " and ".join(filter(None, (", ".join(numbers[:-1]), numbers[-1])))
        named = f"{noun}{'s' if set_of > 1 else ''} {listed}"
        often = self.draw(st.integers(1, 3))
        rounds = often * set_of
        words = self.one_of(f"Rep {named} {ADVERBS[often - 1]}.", f"{noun}{'s' if rounds > 1 else ''} "
                            f"{last + 1}{f'-{last + rounds}' if rounds > 1 else ''}: Rep {named}.")
        before = list(self.work.lines), self.tops, self.colour, self.carried
        for k in range(rounds):
            line = lines[k % set_of]
            hands = self.hands(line.colour)
            done = worked(hands, line.nodes)
            alike = [h.takes for h in done] == [h.takes for h in line.hands]
            alike &= bool(self.carried) == bool(line.standing)
            if not alike or not all(hand.fits(line.nodes) for hand in done):
                self.work.lines, self.tops, self.colour, self.carried = before
                return
            self.keep(line.nodes, hands, colour=line.colour, words=None if k else words, standing=self.carried)
