"""How often: `x 6`, `6 times`, `twice`, `3 more times`, and the marks of `* ... rep from *`."""

from __future__ import annotations

from dataclasses import dataclass
from typing import NamedTuple

from coach.notation.cursor import Cursor
from coach.notation.extents import AROUND, read_extent
from coach.notation.model import Action, Amount, Chain, Node, Repeat, Span, Times

_ADVERBS = {"once": 1, "twice": 2, "thrice": 3}
_TIMES_FIRST = frozenset(("a", "for", "another", "all", "total", "of", "work", "x", "*", *_ADVERBS))

REPEAT_FIRST = frozenset("rep and then do work continue continuing carry keep go the same".split())


def _plus(amount: Amount, n: int) -> Amount:
    return amount + n if isinstance(amount, int) else tuple(a + n for a in amount)


def read_times(c: Cursor, star: bool = True) -> Times | None:
    """A number of times after a bracket or a stitch; None (and no move) when there is none.

    star: `* 6` is "times 6" (where no repeat is open that the star closes).
    """
    if c.peek().kind != "number" and not c.is_in(_TIMES_FIRST):
        return None
    at = c.at
    c.take_any("a", "for", "another", "all", "total", "of")
    c.take_if("work") if c.peek(1).kind == "number" and c.peek(2).is_("times", "x") else None
    for adverb, n in _ADVERBS.items():
        if c.take_if(adverb):
            if c.take_all("more"):
                return Times("exact", n + 1)
            c.take_all("in", "all|total")
            return Times("exact", n)
    if c.take_if("x") or (star and c.take_if("*")):
        star = c.tokens[c.at - 1].is_("*")
        number = c.take_kind("number")
        if number and not (star and (c.peek().kind == "stitch" or c.is_("ch", "inc", "dec"))):  # "(..), *1 sc, ..."
            c.take_if("times")
            return Times("exact", number.value)
        c.at = at
        return None
    number = c.take_kind("number")
    if number:
        if c.take_all("more", "times") or c.take_all("times", "more"):
            return Times("exact", _plus(number.value, 1))
        if c.take_if("times", "x"):
            c.take_all("in?", "all|total|altogether")
            c.take_all("over") if c.peek(1).kind == "end" or c.peek(1).is_(",", ".", ";") else None  # "six times over"
            return Times("exact", number.value)
    c.at = at
    return None


@dataclass(slots=True)
class Mark:
    text: str
    start: int  # index of the first node after it
    span: Span
    closed: int | None = None  # index of the node after a second mark of the same kind
    used: bool = False


class Marks:
    """The stars seen so far. A second `*` closes the first unless a repeat was already made from it."""

    def __init__(self) -> None:
        self.latest: dict[str, Mark] = {}

    def see(self, text: str, at: int, span: Span) -> Mark | None:
        """A new mark, or None when it closes one (its end is then kept)."""
        mark = self.latest.get(text)
        if mark is not None and not mark.used and mark.closed is None and at > mark.start:
            mark.closed = at
            return None
        self.latest[text] = Mark(text, at, span)
        return self.latest[text]

    def start_of(self, text: str) -> int | None:
        mark = self.find(text)
        return mark.start if mark else None

    def find(self, text: str) -> Mark | None:
        """The last mark of this kind."""
        return self.latest.get(text)

    def use(self, text: str) -> None:
        """A repeat was made from it."""
        if text in self.latest:
            self.latest[text].used = True

    def waiting(self) -> Mark | None:
        """The last star that waits for its end."""
        stars = [m for m in self.latest.values() if m.text.startswith("*") and m.closed is None and not m.used]
        return max(stars, key=lambda m: m.start, default=None)

    @property
    def open(self) -> bool:
        """Whether a star waits for its end."""
        return self.waiting() is not None


def is_mark(c: Cursor, nodes: list[Node], marks: Marks) -> bool:
    """A star or dagger; in old books a cross that stands alone and comes in pairs."""
    token = c.peek()
    if token.kind == "mark" and str(token.value)[0] in "*†":
        return True
    if not token.is_("x") or (c.peek(1).kind == "number" and nodes and not marks.find("x")):
        return False
    return bool(marks.find("x")) or (not nodes and any(t.is_("x") for t in c.tokens[c.at + 1 : c.stop]))


def first_worked(nodes: list[Node]) -> int:
    """Where what is worked begins: behind chains and joinings, with its colour where others follow."""
    first = next((i for i, n in enumerate(nodes) if not isinstance(n, (Chain, Action))), len(nodes))
    told = [i for i, n in enumerate(nodes) if isinstance(n, Action) and n.kind == "colour"]
    return first - 1 if first and first - 1 in told and told[-1] > first else first


def all_so_often(c: Cursor, nodes: list[Node]) -> list[Node] | None:
    """`two single crochets and then an increase, six times over` (or `all the way around`): all since it began."""
    start = first_worked(nodes)
    at, body = c.at, tuple(nodes[start:])
    times = (read_times(c) or read_extent(c)) if len(body) > 1 else None
    if (
        times is None
        or not (c.done or c.is_(".", ";"))
        or any(isinstance(n, Repeat) and len(n.body) > 1 for n in nodes)
    ):
        return None
    del nodes[start:]
    return [Repeat(body, times, None, body[0].span.to(c.span_from(at)))]


def is_all(c: Cursor, at: int, body: list[Node]) -> bool:
    """Whether nothing stands behind `*sc, inc*`, so that it is worked all around: several things, none so already."""
    ends = all(t.is_(".") for t in c.tokens[at : c.stop])
    return ends and len(body) > 1 and not any(isinstance(n, Repeat) and n.times.kind != "exact" for n in body)


def since_star(marks: Marks) -> int:
    """The first node behind the last star, where no repeat is made from it yet."""
    star = marks.find("*")
    return star.start if star is not None and not star.used else 0


class Again(NamedTuple):
    """A repeat of what was read before. start: its first node (None: all of the round); end: the node behind its last
    one, where a second mark says so; cut: nodes of its incomplete last time; ending: as in `Repeat`."""

    start: int | None
    end: int | None
    times: Times
    cut: int | None = None
    ending: int | None = None


def read_repeat_from(c: Cursor, marks: Marks) -> Again | None:
    """`rep from * around`, `rep from * 3 more times`, `rep between *s twice`, `repeat around`."""
    at = c.at
    c.take_if("and", ",", "then")
    if c.take_all("do|work", "this|these|so"):  # "do this six times"
        times = read_times(c) or read_extent(c)
        if times is None:
            c.at = at
            return None
        return Again(None, None, times)
    if c.take_all("continue|continuing|carry|keep|go", "going?|on?", "like|in", "this|that", "manner?|way?|fashion?"):
        return Again(None, None, read_times(c) or read_extent(c) or Times("fill", 0, said=False))
    if c.take_all("the?", "same") and (extent := read_extent(c)):  # "The same all round."
        return Again(None, None, extent)
    c.at = c.at if c.is_("rep") else at
    if not c.take_if("rep"):
        return None
    c.take_any("the", "this", "these", "same", "instructions", "sequence", "pattern")
    start, end, name = None, None, None
    if c.is_("*") and c.peek(1).is_("-", "to") and c.peek(2).is_("*"):  # "rep *-* around"
        c.at += 3
        mark = marks.find("*")
        if mark is not None:
            marks.use("*")
            return Again(mark.start, mark.closed, _repeat_times(c, True) or AROUND)
    before = c.at
    if times := read_times(c):  # "repeat 6 times from *"
        if c.is_("from") and c.peek(1).kind == "mark" and str(c.peek(1).value)[0] in "*†":
            c.take()
            mark = marks.find(str(c.take().value))
            if mark is not None:
                marks.use(mark.text)
                return Again(mark.start, mark.closed, Times("exact", _plus(times.amount, 1), (times.amount,)))
        c.at = before
    if c.take_if("from", "between", "instructions"):
        c.take_any("the", "st", "first", "from", "last")
        token = c.peek()
        if token.kind == "mark" and str(token.value)[0] in "*†":
            name = str(c.take().value)
        elif c.take_all("(", "a", ")"):
            name = "(a)"
        elif not c.take_if("s"):
            if not c.is_("beg", "first", "around", "across", "to"):
                c.at = at
                return None
        c.take_any("s", "'", "'s")
        if c.take_if("to", "and") or name and c.is_(name):  # "from * to *", "between * *"
            if c.peek().kind == "mark" and str(c.peek().value)[0] in "*†":
                c.take()
            else:
                c.at -= 1
        c.take_any("s")
        mark = marks.find(name) if name else None
        if mark:
            start = mark.start
            end = mark.closed
            marks.use(name)
    elif c.is_("rnd", "row") or (c.peek().kind == "number" and not c.peek(1).is_("times", "more", "x")):
        c.at = at
        return None
    elif waiting := marks.waiting():  # "* miss 1, 2 trebles in next stitch, repeat to end"
        start = waiting.start
        marks.use(waiting.text)
    times = _repeat_times(c, bool(name))
    cut, ending = _last_time(c, marks, start)
    return Again(start, end, times or Times("fill", 0, said=False), cut, ending)


def _repeat_times(c: Cursor, after_star: bool) -> Times | None:
    c.take_if(",")
    if c.take_all("to", "close|complete|finish", "the?", "rnd|row|around"):
        return AROUND
    if extent := read_extent(c):
        c.take_all("of", "rnd|row")
        return extent
    at = c.at
    more = bool(c.take_if("another", "for"))
    number = c.take_kind("number")
    adverb = None
    for word, n in _ADVERBS.items():
        if not number and c.take_if(word):
            adverb = n
    if number or adverb:
        n = number.value if number else adverb
        further = bool(c.take_if("more")) or more
        c.take_if("times", "x")
        further = bool(c.take_if("more")) or further
        total = c.take_all("in?", "all|total|altogether")
        if c.take_all("(") or c.take_if(","):
            close = c.at
            stated = c.take_kind("number")
            if stated and c.take_all("times?", "in?", "all|total|altogether"):
                c.take_if(")")
                return Times("exact", stated.value)
            c.at = close - 1
        read_extent(c)
        if further:
            return Times("exact", _plus(n, 1))
        if total or not after_star:
            return Times("exact", n)
        return Times("exact", _plus(n, 1), readings=(n,))
    c.at = at
    if c.take_if("x"):
        if number := c.take_kind("number"):
            return Times("exact", number.value, readings=(_plus(number.value, 1),))
        c.at = at
    return None


def _last_time(c: Cursor, marks: Marks, start: int | None) -> tuple[int | None, int | None]:
    """(nodes that the last time has, `Repeat.ending`) of `ending last rep at **`, `ending with 1 sc`."""
    at = c.at
    c.take_any(",", ";")
    c.take_if("and", "but")
    if c.take_if("ending", "end", "finish"):
        words = c.at
        c.take_any("the", "last", "rep", "at", "with", "on", "in", "time", "times", "final")
        of_the_last = any(t.is_("rep", "times") for t in c.tokens[words : c.at])
        token = c.peek()
        if token.kind == "mark" and str(token.value) == "**" and (mark := marks.find("**")) and start is not None:
            c.take()
            return mark.start - start, None
        if not c.done and not c.is_(",", ";", ".") and (last := c.tokens[c.at - 1]).kind == "word":
            c.at -= last.is_("last") or last.is_("in") and c.tokens[c.at - 2].is_("ending", "end")
            return None, int(of_the_last)
    c.at = at
    return None, None
