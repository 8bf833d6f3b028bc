"""What a written pattern says, before anything is counted.

A round's body is a tuple of nodes, as written: `Stitch`, `Chain`, `Group` (several stitches into one place), `Repeat`,
`Skip`, `Action` (turn, join, ring ...) and `Unread`. Counts stay as written, so one node may hold the numbers of every
size; a phrase with two readings keeps both (`Times.readings`). Spans are offsets into `Pattern.text`.

    Pattern ─ Part ─ Round ─ body: Stitch | Chain | Group | Repeat | Skip | Action | Unread
"""

from __future__ import annotations

from bisect import bisect_right
from dataclasses import dataclass, field
from itertools import accumulate

from coach.values import value

Amount = int | tuple[int, ...]  # one number, or one for each size, smallest first


def for_size(amount: Amount, size: int) -> int:
    """The number for the size with this index; a short size list stays at its last number."""
    return amount if isinstance(amount, int) else amount[min(size, len(amount) - 1)]


@value
class Span:
    """Characters `start` (included) to `end` (excluded) of the pattern's text."""

    start: int
    end: int

    def to(self, other: Span) -> Span:
        return Span(min(self.start, other.start), max(self.end, other.end))


@value
class Into:
    """Where the hook goes.

    kind: next (stitch), same (place as the step before), ring, space (made of chains), hook (n-th chain from it),
    chain,
    first, last, between (two stitches, or two groups of `number`), tch (top of the turning chain), join (the place
    joined into), row end (of the next row, along a side), side, edge (of a piece: its rows' ends, or any),
    named (a place that only its name tells), own (the top of the stitch just made).
    number: for hook which chain, for space how many chains it has. stitch: catalogue id where the text names the kind.
    words: of a place that is told as written (`named`, `own`, a chain of a space).
    """

    kind: str = "next"
    number: Amount | None = None
    stitch: str | None = None
    corner: bool = False
    words: str = ""


NEXT = Into()
SAME = Into("same")
RING = Into("ring")


@value
class Stitch:
    """One stitch of the catalogue. loop: both, back, front, front post, back post, third, below."""

    stitch: str
    into: Into = NEXT
    loop: str = "both"
    span: Span = Span(0, 0)


@value
class Chain:
    """`count` chains. counts: whether they stand for a stitch (None: not said); stands_for: which one, where said;
    more: chains that it is beside that stitch, where said (`counts as dc and ch 1`)."""

    count: Amount
    counts: bool | None = None
    stands_for: str | None = None
    span: Span = Span(0, 0)
    more: Amount | None = None


@value
class Group:
    """Several stitches and chains worked into one place; `2 sc in next st` is one."""

    body: tuple[Node, ...]
    into: Into = NEXT
    span: Span = Span(0, 0)


@value
class Times:
    """How often. kind: exact (`amount` in all), fill (until `amount` base stitches are left), space (to the next
    space), last space (to before the last one), made (until the round has `amount` stitches), middle, centre (to the
    middle stitch of the next group, of the row),
    kinds (each part of the body on every place of its kind, as they come).

    readings: further totals that the words allow. said: whether `amount` was written (`to last 2 sts`) or understood.
    partly: the last time goes as far as there is room (`work in pattern to last 5 sts`).
    """

    kind: str
    amount: Amount = 0
    readings: tuple[Amount, ...] = ()
    said: bool = True
    partly: bool = False


@value
class Repeat:
    """`body` worked several times. cut: nodes of the body worked in the last, incomplete time (`ending at **`);
    other: what the same words can mean too (`2 sc in next 2 sts`: one in each, or two in each); ending: what stands
    behind it ends its last time (`ending last rep with dc in last st`), in place of so many nodes where nothing else
    tells."""

    body: tuple[Node, ...]
    times: Times
    cut: int | None = None
    span: Span = Span(0, 0)
    other: Repeat | None = None
    ending: int | None = None


@value
class Skip:
    """Base places left unworked. what: stitch, chain, space or rest (all that is left)."""

    count: Amount = 1
    what: str = "stitch"
    first: bool = False  # "sk first st": the one that a counting chain stands on
    span: Span = Span(0, 0)


@value
class Evenly:
    """`count` increases (or decreases) spread over the round."""

    stitch: str  # "inc", "dec", or "to": as many of either as bring the round to `count` stitches
    count: Amount
    of: str = "sc"
    span: Span = Span(0, 0)


@value
class Action:
    """Something that makes no stitch. kind: ring, turn, join, fasten_off, marker, colour, other_side, piece (join a
    made
    part), elsewhere (into a round further down), note."""

    kind: str
    text: str = ""
    into: Into | None = None
    span: Span = Span(0, 0)


@value
class Unread:
    """Words that could not be read; they are spoken as written."""

    text: str
    span: Span = Span(0, 0)


Node = Stitch | Chain | Group | Repeat | Skip | Evenly | Action | Unread


@value
class Count:
    """A stated count: so many of a kind (None: stitches); kind `space` with its chains, or a catalogue id."""

    amount: Amount
    kind: str | None = None
    span: Span = Span(0, 0)


@value
class Note:
    """Prose that is read out. kind: note, stuff, fasten_off, eyes, sew, caution, colour, piece, embroider."""

    text: str
    kind: str = "note"
    span: Span = Span(0, 0)


@value
class Round:
    """One numbered line of work. `Rnds 5-9` are five of these, sharing one body.

    label: as a maker says it ("Rnd 5"); number: the number in the label; kind: round or row; foundation: what is worked
    before it without a number of its own (a chain, a ring); sizes: indexes of the sizes that work it (empty: all);
    same_as: the label of the round it repeats, where the text says so; notes: prose that follows it.
    """

    label: str
    number: int
    kind: str
    body: tuple[Node, ...]
    stated: tuple[Count, ...] = ()
    foundation: tuple[Node, ...] = ()
    side: str | None = None  # RS or WS
    colour: str | None = None
    sizes: tuple[int, ...] = ()
    same_as: str | None = None
    notes: tuple[Note, ...] = ()
    span: Span = Span(0, 0)


@value
class Part:
    """A piece of the work, made `make` times. notes: prose before its first round."""

    name: str
    make: int = 1
    rounds: tuple[Round, ...] = ()
    notes: tuple[Note, ...] = ()
    span: Span = Span(0, 0)


@value
class Fault:
    """Something wrong, at a place, with a hint. line and column count from 1; end_column is one past the last."""

    kind: str
    severity: str  # error or warning
    line: int
    column: int
    end_column: int
    message: str
    hint: str = ""


@dataclass(frozen=True)
class Pattern:
    """A whole pattern as read. terms: US or UK, as written (stitch ids are always US). sizes: names, smallest first."""

    text: str
    title: str = ""
    terms: str = "US"
    sizes: tuple[str, ...] = ()
    materials: tuple[str, ...] = ()
    gauge: tuple[str, ...] = ()
    abbreviations: tuple[tuple[str, str], ...] = ()
    parts: tuple[Part, ...] = ()
    assembly: tuple[Note, ...] = ()
    notes: tuple[Note, ...] = ()
    faults: tuple[Fault, ...] = ()
    lines: tuple[int, ...] = field(default=(), repr=False)  # offset at which each line starts

    def where(self, span: Span) -> tuple[int, int, int]:
        """(line, column, end column) of a span, from 1; a span over several lines is cut at the end of its first."""
        line = bisect_right(self.lines, span.start) or 1
        start = self.lines[line - 1] if self.lines else 0
        stop = self.lines[line] - 1 if line < len(self.lines) else len(self.text)
        column = span.start - start + 1
        return line, column, max(column + 1, min(span.end, stop) - start + 1)

    def fault(self, kind: str, severity: str, span: Span, message: str, hint: str = "") -> Fault:
        return Fault(kind, severity, *self.where(span), message, hint)


def line_starts(text: str) -> tuple[int, ...]:
    """The offset at which each line of the text starts."""
    return tuple(accumulate([len(line) + 1 for line in text.split("\n")[:-1]], initial=0))
