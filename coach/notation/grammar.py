"""The instructions of one round: tokens → nodes, by recursive descent.

    items    = item { separator item }
    item     = chain | action | bracket | repeat-from | skip | evenly | place-first | stitch
    stitch   = [loop] [number] NAME [number] [place {"and" place}]
    bracket  = "(" items ")" ( times | place | extent )?
    repeat   = "*" items ";" "rep from *" ( times | extent )

Nothing is thrown: what does not fit becomes `Unread`, and a sentence without any instruction becomes a note.
"""

from __future__ import annotations

from dataclasses import dataclass, field

from coach.notation import actions
from coach.notation.cursor import Cursor
from coach.notation.lexer import Token
from coach.notation.model import (NEXT, SAME, Action, Amount, Chain, Evenly, Group, Into, Node, Note, Repeat, Skip, Span, Stitch, Times,
                                  Unread)
from coach.notation.places import LOOPS, Where, read_extent, read_loop, read_where
from coach.notation.repeats import Marks, read_repeat_from, read_times

SEPARATORS = (",", ";", ".", "and", "then", "&", ":", "+", "—", "=", "now", "also", "/", "-")
FILLERS = ("work", "the", "a", "an", "you", "will", "again", "just", "one", "make", "ending", "with", "end", "finish", "by")
OPENING = ("(", "[", "{")
DEPTH = 40  # brackets inside brackets; no pattern written for people comes near


@dataclass(slots=True)
class Problem:
    """A fault found while reading one round; the reader gives it its line."""

    kind: str
    span: Span
    message: str
    hint: str = ""


@dataclass(slots=True)
class Body:
    """What was read of one round."""

    nodes: list[Node] = field(default_factory=list)
    notes: list[Note] = field(default_factory=list)
    problems: list[Problem] = field(default_factory=list)


class Grammar:
    """Reads one round's tokens. special: the pattern's own stitches, name → body; main: the stitch that `inc` is made of."""

    def __init__(self, text: str, special: dict[str, tuple[Node, ...]] | None = None, main: str = "sc", dec: str | None = None):
        self.text = text
        self.special = special or {}
        self.main = main
        self.dec = dec
        self.loop = "both"
        self.depth = 0
        self.last: str | None = None
        self.problems: list[Problem] = []

    def items(self, c: Cursor) -> list[Node]:
        """All items up to the end of the cursor."""
        nodes: list[Node] = []
        marks = Marks()
        while not c.done:
            if c.take_if(*SEPARATORS):
                continue
            if c.peek().kind == "mark" and str(c.peek().value)[0] in "*†":
                self._mark(c, marks, nodes)
                continue
            at = c.at
            found = self._item(c, nodes, marks)
            if c.at == at:  # nothing fits here
                found = [self._unread(c)]
            nodes.extend(found)
        for mark in marks.open():
            if not mark.used and mark.closed is None and mark.text == "*":
                pass
        return nodes

    def _mark(self, c: Cursor, marks: Marks, nodes: list[Node]) -> None:
        token = c.take()
        mark = marks.see(str(token.value), len(nodes), token.span)
        if mark is None:  # a closing star: `*sc, inc* 6 times`
            start = marks.start_of(str(token.value))
            times = read_times(c) or read_extent(c) or (read_extent(c) if c.take_all("rep") else None)
            if times and start is not None:
                body = tuple(nodes[start:])
                nodes[start:] = [Repeat(body, times, None, self._span(body, c))]
                marks.use(str(token.value))

    # ---------------------------------------------------------------- one item
    def _item(self, c: Cursor, nodes: list[Node], marks: Marks) -> list[Node]:
        start = c.at
        if (found := actions.read_action(c)) is not None:
            return found
        c.at = start
        while c.is_(*FILLERS) and not (c.is_("one") and c.peek(1).kind == "stitch"):
            c.take()
        for reader in (self._bracket, self._repeat_from(nodes, marks), actions.read_action, self._skip, self._evenly, self._chain,
                       self._prefix_loop, self._stitch, self._place_first, self._counted_bracket):
            at = c.at
            found = reader(c)
            if found is not None:
                return found
            c.at = at
        c.at = start
        return []

    def _repeat_from(self, nodes: list[Node], marks: Marks):
        def read(c: Cursor) -> list[Node] | None:
            found = read_repeat_from(c, marks, len(nodes))
            if found is None:
                return None
            start, end, times, cut = found
            if start is None:  # "repeat around": all since the chain or join that the round starts with
                start = next((i for i, n in enumerate(nodes) if not isinstance(n, (Chain, Action))), len(nodes))
            body = tuple(nodes[start:end])
            tail = nodes[end:] if end is not None else []
            if body:
                del nodes[start:]
                nodes.extend((*body, *tail) if end is not None else ())
                repeated = Repeat(body, times, cut, self._span(body, c))
                if end is None:
                    return [repeated]
                return [repeated]
            return []
        return read

    def _span(self, body: tuple[Node, ...], c: Cursor) -> Span:
        end = c.tokens[max(c.at - 1, 0)].end
        return Span(body[0].span.start if body else end, end)

    def _bracket(self, c: Cursor) -> list[Node] | None:
        if not c.is_(*OPENING):
            return None
        at, close = c.at, c.closing()
        if close is None:
            token = c.take()
            self.problems.append(Problem("bracket", token.span, f'The bracket "{token.value}" is not closed.',
                                         "Add the closing bracket where the repeated part ends."))
            return []
        if self.depth >= DEPTH:
            self.problems.append(Problem("bracket", c.peek().span, "Too many brackets inside one another.", "Write it with fewer brackets."))
            c.at = close + 1
            return []
        opening = c.take()
        if opening.value == "(" and actions.is_remark(c, close):
            c.at = close + 1
            return []
        known = len(self.problems)
        inner = Cursor(c.tokens, c.at, close)
        loop = self.loop
        self.depth += 1
        body = tuple(self.items(inner))
        self.depth -= 1
        self.loop = loop
        c.at = close + 1
        if not body or all(isinstance(n, Unread) for n in body):
            del self.problems[known:]
            return []
        return self._after_bracket(c, at, body)

    def _after_bracket(self, c: Cursor, at: int, body: tuple[Node, ...]) -> list[Node]:
        """What follows a bracket says what it is: a repeat, a group into one place, or only words held together."""
        while True:
            comma = c.at
            c.take_if(",")
            c.take_all("rep", "this?") if not c.peek(1).is_("from") else None
            if times := read_times(c):
                body = (Repeat(body, times, None, c.span_from(at)),)
                if not c.is_("in", "around", "across", ","):
                    return list(body)
                continue
            if extent := read_extent(c):
                return [Repeat(body, extent, self._ending(c, body), c.span_from(at))]
            c.at = comma
            if c.take_all("all?", "in|on") or c.take_if("all"):
                c.at -= 1
            where = read_where(c)
            if where is None:
                c.at = comma
                return list(body)
            group = Group(body, self._deepen(where), c.span_from(at))
            found: list[Node] = self._placed(group, where, c.span_from(at))
            if times := read_times(c):
                return [Repeat(tuple(found), times, None, c.span_from(at))]
            if where.fill is None and (extent := read_extent(c)):
                return [Repeat(tuple(found), extent, None, c.span_from(at))]
            return found + self._more_places(c, lambda w, s: self._placed(Group(body, self._deepen(w), s), w, s))

    def _ending(self, c: Cursor, body: tuple[Node, ...]) -> int | None:
        return None

    def _counted_bracket(self, c: Cursor) -> list[Node] | None:
        """`6(1 sc, inc)`, `6 x (sc, inc)`."""
        at = c.at
        number = c.take_kind("number")
        if not number:
            return None
        c.take_if("x", "times", "*")
        c.take_if("of", ":")
        if not c.is_(*OPENING):
            return None
        found = self._bracket(c)
        if not found:
            return found
        return [Repeat(tuple(found), Times("exact", number.value), None, c.span_from(at))]

    # ---------------------------------------------------------------- chains, skips, shaping
    def _chain(self, c: Cursor) -> list[Node] | None:
        at = c.at
        number = c.take_kind("number")
        if c.peek().kind == "space" and not number and not c.peek(1).is_("sp", "corner", "lp"):
            count: Amount = c.take().value
        elif c.take_if("ch"):
            after = c.take_kind("number") if not number else None
            if after and c.is_("st") and not c.peek(1).kind == "end":
                c.take()
            count = number.value if number else after.value if after else 1
        else:
            return None
        c.take_if("ch")
        counts, stands_for = actions.read_counts(c)
        self.last = self.last or None
        return [Chain(count, counts, stands_for, c.span_from(at))]

    def _skip(self, c: Cursor) -> list[Node] | None:
        at = c.at
        if c.take_all("leave|leaving", "the?"):
            c.take_any("last", "remain", "rest", "of", "the", "all")
            number = c.take_kind("number")
            c.take_any("st", "sts", "ch", "remain") or c.take_kind("stitch")
            if c.take_if("unworked", "free") or not number:
                return [Skip(number.value, span=c.span_from(at)) if number else Skip(0, "rest", span=c.span_from(at))]
            return None
        if not c.take_if("skip"):
            return None
        c.take_any("over", "the", "each", "of")
        first = bool(c.take_if("first")) or bool(c.peek().kind == "ordinal" and c.peek().value == 1 and c.take())
        c.take_any("next", "same")
        number = c.take_kind("number")
        what = "stitch"
        if c.take_kind("space"):
            c.take_any("corner", "sp")
            what = "space"
        elif c.is_("ch") and c.peek(1).is_("sp"):
            c.take(), c.take()
            what = "space"
        elif c.take_if("sp", "corner"):
            c.take_if("sp")
            what = "space"
        elif c.take_if("tch"):
            return [Skip(0, "tch", span=c.span_from(at))]
        elif c.take_if("ch"):
            what = "chain"
        elif c.take_kind("stitch"):
            c.take_if("st")
        else:
            c.take_if("st")
        count = number.value if number else 1
        if c.take_all("at", "the?", "first|end", "of?", "the?", "row|rnd|around"):
            first = True
        return [Skip(count, what, first, c.span_from(at))]

    def _evenly(self, c: Cursor) -> list[Node] | None:
        at = c.at
        token = c.take_if("inc", "dec")
        if not token:
            return None
        number = c.take_kind("number")
        c.take_any("st", "sts") or c.take_kind("stitch")
        if not number or not (c.take_all("evenly") or c.take_all("spaced", "evenly")):
            return None
        c.take_any("spaced")
        read_extent(c)
        return [Evenly(str(token.value), number.value, self.main, c.span_from(at))]

    # ---------------------------------------------------------------- stitches
    def _prefix_loop(self, c: Cursor) -> list[Node] | None:
        """`In BLO, sc in each st`: the loop holds for the rest of the round."""
        at = c.at
        c.take_any("in", "through", "of", "using")
        loop = read_loop(c)
        if loop is None:
            return None
        c.take_any("only")
        if c.is_(",", ":", ".") or (c.peek().kind in ("stitch", "number") and c.tokens[at].is_("in", "through", "using")) or c.is_(*OPENING) or c.is_("*"):
            self.loop = loop
            return []
        if c.peek().kind in ("stitch", "number") or c.is_("inc", "dec"):
            found = self._stitch(c, loop)
            return found
        if c.done:
            self.loop = loop
            return []
        return None

    def _stitch(self, c: Cursor, loop: str | None = None) -> list[Node] | None:
        at = c.at
        before = c.take_kind("number")
        c.take_if("more", "x", "times") if before else None
        if before and c.is_(*OPENING):
            return None
        c.take_any("plain", "st_")
        loop = loop or self._loop_before(c)
        unit = self._name(c)
        if unit is None:
            if before and self.last and c.is_("in") and not c.peek(1).is_("rnd", "row"):
                unit = self.last
            elif before and c.is_("st") and not c.peek(1).is_("remain", "left", "unworked"):
                c.take()
                unit = self.last or self.main
            else:
                return None
        else:
            c.take_if("st")
        if unit not in ("inc", "dec", "invdec"):
            self.last = unit
        after = None
        if not before and c.peek().kind == "number" and not (c.peek(1).is_("times", "x", "more") and not c.peek(1).is_("st")):
            after = c.take()
            if c.peek().is_("st") and not c.peek(1).is_("together"):
                c.take()
        together = self._together(c, unit)
        if together:
            unit, before, after = together, before if not isinstance(together, tuple) else None, None
        loop = loop or read_loop(c) or self.loop
        count = before or after
        amount = count.value if count else 1
        if times := (read_times(c) if not count or c.is_("x", "times", "*") else None):
            return [Repeat((self._one(unit, NEXT, loop, c.span_from(at)),), times, None, c.span_from(at))]
        where = read_where(c)
        if where is None:
            if not count and (extent := read_extent(c)):
                return [Repeat((self._one(unit, NEXT, loop, c.span_from(at)),), extent, None, c.span_from(at))]
            if count and before and (extent := read_extent(c)):  # "2 sc around": so many in each
                return [Repeat((self._many(unit, amount, NEXT, loop, c.span_from(at)),), extent, None, c.span_from(at))]
            return self._counted(unit, amount, loop, c.span_from(at))
        span = c.span_from(at)
        found = self._worked(unit, amount, bool(count), where, loop, span)
        found += self._more_places(c, lambda w, s: self._worked(unit, 1 if not before else amount, bool(before), w, loop, s))
        if len(found) == 1 and not isinstance(found[0], Repeat) and (times := read_times(c)):
            return [Repeat(tuple(found), times, None, c.span_from(at))]
        if len(found) == 1 and not isinstance(found[0], Repeat) and where.fill is None and (extent := read_extent(c)):
            return [Repeat(tuple(found), extent, None, c.span_from(at))]
        return found

    def _loop_before(self, c: Cursor) -> str | None:
        at = c.at
        loop = read_loop(c)
        if loop and (c.peek().kind == "stitch" or c.is_("inc", "dec")):
            return loop
        c.at = at
        return None

    def _name(self, c: Cursor) -> str | None:
        if c.peek().kind == "stitch":
            id = str(c.take().value)
            if c.is_("inc", "dec") and not c.peek(1).is_("evenly") and c.peek().start - c.tokens[c.at - 1].end <= 1:
                return f"{id} inc" if c.take().value == "inc" else f"{id}2tog"
            return id
        if c.is_("inc", "dec") and not (c.peek(1).kind == "number" and (c.peek(2).is_("evenly") or c.peek(3).is_("evenly"))):
            kind = str(c.take().value)
            if c.take_if("in", "of"):
                c.at -= 1
            return kind
        if c.take_if("picot"):
            return "picot"
        return None

    def _together(self, c: Cursor, unit: str) -> str | None:
        """`sc next 2 sts together`, `sc 2 together`."""
        at = c.at
        number = c.tokens[c.at - 1] if c.tokens[c.at - 1].kind == "number" else None
        if number and c.take_all("st?", "together"):
            return f"{unit}{number.value}tog"
        c.at = at
        c.take_any("in", "the", "over")
        if c.take_if("next", "first", "last"):
            number = c.take_kind("number")
            if number and (c.take_if("st") or c.take_kind("stitch") or True) and c.take_if("together"):
                return f"{unit}{number.value}tog"
        c.at = at
        return None

    # ---------------------------------------------------------------- building nodes
    def _one(self, unit: str, into: Into, loop: str, span: Span) -> Node:
        """One working of a stitch, an increase, a decrease or one of the pattern's own stitches."""
        if unit == "inc" or unit.endswith(" inc"):
            of = self.main if unit == "inc" else unit[:-4]
            return self._many(of, 2, into, loop, span)
        if unit == "dec":
            unit = self.dec or f"{self.main}2tog"
        if unit in self.special:
            body = self.special[unit]
            return Group(body, into, span) if not (len(body) == 1 and isinstance(body[0], Stitch)) else Stitch(body[0].stitch, into, loop, span)
        return Stitch(unit, into, loop, span)

    def _many(self, unit: str, count: Amount, into: Into, loop: str, span: Span) -> Node:
        """`count` of a stitch in one place."""
        one = self._one(unit, NEXT, loop, span)
        if count == 1:
            return self._one(unit, into, loop, span)
        inside = (one,) * count if isinstance(count, int) and count <= 3 else (Repeat((one,), Times("exact", count), None, span),)
        return Group(inside, into, span)

    def _counted(self, unit: str, amount: Amount, loop: str, span: Span) -> list[Node]:
        one = self._one(unit, NEXT, loop, span)
        return [one] if amount == 1 else [Repeat((one,), Times("exact", amount), None, span)]

    def _worked(self, unit: str, amount: Amount, counted: bool, where: Where, loop: str, span: Span) -> list[Node]:
        loop = where.loop or loop
        into = self._deepen(where)
        takes = self._takes(unit)
        if into.kind == "hook" and where.count is None and where.fill is None and (amount != 1 or unit == "inc"):
            first = self._one(unit, into, loop, span)
            if unit == "inc":
                return [first]
            return [first, Repeat((self._one(unit, SAME, loop, span),), Times("exact", _less(amount)), None, span)]
        if into.kind == "ring":
            one = self._one(unit, into, loop, span)
            return [one] if amount == 1 else [Repeat((one,), Times("exact", amount), None, span)]
        if where.count is None and where.fill is None:
            return [self._many(unit, amount, into, loop, span)]
        if where.fill is not None:
            return [Repeat((self._many(unit, amount, into, loop, span),), where.fill, None, span)]
        count = where.count
        if takes > 1 and isinstance(count, int):  # "dec over next 4 sts": two decreases; "3 dec over next 6": three
            return self._counted(unit, amount if counted else max(1, count // takes), loop, span)
        if into.kind == "last":
            into = NEXT
        each = 1 if amount == count else amount  # "3 sc in next 3 sts": one in each
        one = self._many(unit, each, into, loop, span)
        return [Repeat((one,), Times("exact", count), None, span)] if count != 1 else [one]

    def _placed(self, group: Group, where: Where, span: Span) -> list[Node]:
        if where.fill is not None:
            return [Repeat((group,), where.fill, None, span)]
        if where.count is not None and where.count != 1:
            return [Repeat((group,), Times("exact", where.count), None, span)]
        return [group]

    def _more_places(self, c: Cursor, build) -> list[Node]:
        """`... and in each ch across`, `... and in next 5 ch`."""
        found: list[Node] = []
        while True:
            at = c.at
            if not (c.take_if("and", "&") or (c.is_(",") and c.peek(1).is_("in", "each") and c.take())):
                return found
            if c.peek().kind in ("number", "stitch") or (where := read_where(c)) is None:
                c.at = at
                return found
            found += build(where, c.span_from(at + 1))

    def _place_first(self, c: Cursor) -> list[Node] | None:
        """`In next st work 2 sc, ch 3, 2 sc`: everything to the end of the sentence goes into that place."""
        at = c.at
        where = read_where(c)
        if where is None:
            return None
        c.take_any(",", "work", "make", ":")
        end = next((i for i in range(c.at, c.stop) if c.tokens[i].is_(".", ";")), c.stop)
        if c.done or c.at >= end or where.into.kind in ("hook",):
            return None
        if c.is_(*OPENING):
            close = c.closing()
            end = close + 1 if close is not None else end
        body = tuple(self.items(Cursor(c.tokens, c.at, end)))
        if not body or any(isinstance(n, (Unread, Action)) for n in body):
            return None
        c.at = end
        return self._placed(Group(body, self._deepen(where), c.span_from(at)), where, c.span_from(at))

    def _takes(self, unit: str) -> int:
        if unit in ("dec", "invdec"):
            return 2
        head, _, tail = unit.rpartition("tog")
        return int(head[-1]) if tail == "" and head and head[-1].isdigit() else 1

    @staticmethod
    def _deepen(where: Where) -> Into:
        return where.into

    # ---------------------------------------------------------------- what can't be read
    def _unread(self, c: Cursor) -> Unread:
        at = c.at
        c.take()
        while not c.done and not c.is_(",", ";", ".", ")", "]", "(", "[", "*"):
            c.take()
        span = c.span_from(at)
        return Unread(self.text[span.start:span.end], span)


def _less(amount: Amount) -> Amount:
    return amount - 1 if isinstance(amount, int) else tuple(n - 1 for n in amount)


def main_stitch(tokens: list[Token]) -> str:
    """The stitch that a bare `inc` or `dec` of this round is made of: the first plain one named, else single crochet."""
    for token in tokens:
        if token.kind == "stitch" and token.value in ("sc", "hdc", "dc", "tr", "dtr", "trtr"):
            return str(token.value)
    return "sc"


__all__ = ["Body", "Grammar", "LOOPS", "Problem", "Skip", "main_stitch"]
