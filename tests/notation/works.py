"""A work of several rounds with its arithmetic, as a pattern page, and the coach's reading compared with it."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass, field, replace

from by_hand import ByHand, is_space
from passages import plain
from programs import changed, numbers

from coach.fabric import work
from coach.fabric.colours import stitches_by_colour
from coach.fabric.model import Fabric, Worked
from coach.notation import read
from coach.notation.model import Amount, Chain, Node, Stitch
from coach.notation.printer import amount, write

Program = tuple[Node, ...]
SIZES = ("S", "M", "L")


@dataclass(frozen=True)
class Line:
    """A round. begun, hands: before its first stitch and behind its last, in each size; words: what the text says in
    place of nodes and count (None: it is told with the line before)."""

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


# ---- as the coach reads it


def read_back(wanted: Work) -> None:
    """Asserts that the page of a work is read as it was meant, in every size."""
    pattern = read(wanted.page())
    assert pattern.terms == wanted.terms
    for line, round in zip(wanted.lines, pattern.parts[0].rounds, strict=True):
        assert plain(round.body) == plain(line.nodes), round.label
        assert write(round.body, wanted.terms) == write(line.nodes, wanted.terms)
        assert line.words != "" or (round.side or "") == line.side
    for size in range(wanted.sizes):
        comes_out(wanted, work(pattern, size))


def comes_out(wanted: Work, fabric: Fabric) -> None:
    """Asserts that each round is as it was worked by hand, in the size of the fabric, and nothing wrong."""
    rounds = [worked for part in fabric.parts for worked in part.rounds]
    for line, done in zip(wanted.lines, rounds, strict=True):
        hand = line.hands[fabric.size]
        assert (done.takes, done.made) == (hand.takes, hand.makes), done.label
        assert done.tree.tally == Counter(hand.tops), done.label
        assert coloured(done) == {colour: n for colour, n in hand.colours.items() if n}, done.label
    assert not fabric.faults


def coloured(done: Worked) -> dict[str, int]:
    """Stitches in each colour."""
    return {colour: n for colour, n in stitches_by_colour(done.tree, done.yarn.first)[0].items() if n}
