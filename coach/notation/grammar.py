"""The instructions of one round: tokens → nodes, by recursive descent.

    items    = item { separator item }
    item     = action | bracket | repeat-from | shaping | skip | chain | loop | stitch | place-first
    stitch   = [loop] [number] NAME [number] [place {"and" place}]
    bracket  = "(" items ")" ( times | place | extent )?
    repeat   = "*" items ";" "rep from *" ( times | extent )

Nothing is thrown: what does not fit becomes `Unread`, and a sentence without any instruction becomes a note.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

from coach.notation import actions, asides, chains_between, colour_names, moves, stitches
from coach.notation.bounds import DEPTH, too_deep
from coach.notation.brackets import closes_nothing, is_repeated, not_closed, says_how, too_many, unlike
from coach.notation.building import Context, Own, Problem, hooked, placed
from coach.notation.candidates import Candidates
from coach.notation.centres import read_but_middle
from coach.notation.chains_between import read_chains_between
from coach.notation.clauses import pass_over_title
from coach.notation.colour_names import read_titled_colour
from coach.notation.counts import TOTAL_FIRST, read_total
from coach.notation.crossed import closes_a_picot, often_for, read_fastened_back
from coach.notation.cursor import Cursor
from coach.notation.endings import after_the_last, ended_by, ended_in_its_place, how_far, last_told, omitted, one_less
from coach.notation.established import PATTERN_FIRST, read_in_pattern
from coach.notation.extents import AROUND, read_extent
from coach.notation.filet import read_squares
from coach.notation.gathered import read_gathered
from coach.notation.loops import (
    HOOK_FIRST,
    LOOP_FIRST,
    read_even,
    read_in_stitch,
    read_loop_first,
    read_loop_taken_up,
)
from coach.notation.model import Action, Group, Node, Repeat, Span, Times, Unread
from coach.notation.moves import read_moves, read_until_made, read_widened
from coach.notation.place_first import read_place_first
from coach.notation.places import WHERE_FIRST, read_where
from coach.notation.repeats import (
    REPEAT_FIRST,
    Marks,
    all_so_often,
    first_worked,
    is_all,
    is_mark,
    read_repeat_from,
    read_times,
    since_star,
)
from coach.notation.shared_out import read_said_again, read_shade, read_shared
from coach.notation.steps import SHAPING_FIRST, read_chain, read_every_two, read_left, read_shaping, read_skip
from coach.notation.stitches import OPENING, SEPARATORS, more_places, read_along_rows, read_stitch, read_told_rows

FILLERS = frozenset(
    "work the a an you will again just one make ending with end finish by crochet put start commence repeatedly place "
    "alternately do simply".split()
)
Reader = Callable[["Grammar", Cursor, "list[Node]", Marks], "list[Node] | None"]


class Grammar:
    """Reads one round's tokens. special: the pattern's own stitches by name; main: the stitch that `inc` is made of."""

    def __init__(self, text: str, special: dict[str, Own] | None = None, main: str = "sc", dec: str | None = None):
        self.context = Context(text, dict(special or {}), main, dec)
        self.depth = 0
        self.given_up = False  # too deep: nothing more is read of this round

    @property
    def problems(self) -> list[Problem]:
        return self.context.problems

    def items(self, c: Cursor) -> list[Node]:
        """All items up to the end of the cursor; none where they lie too deep inside one another."""
        if self.depth > DEPTH:
            self._too_deep(c.span_from(c.at))
            c.at = c.stop
            return []
        self.depth += 1
        at = c.at
        nodes = self._items(c)
        self.depth -= 1
        if not self.depth and not self.given_up and too_deep(nodes):
            self._too_deep(c.span_from(at))
        return [] if self.given_up else nodes

    def _too_deep(self, span: Span) -> None:
        self.given_up = True
        self.problems.append(
            Problem("bracket", span, "Too many repeats inside one another.", "Write it with fewer repeats.")
        )

    def _items(self, c: Cursor) -> list[Node]:
        nodes: list[Node] = _titled_colour(c)
        marks = Marks()
        if not nodes:
            pass_over_title(c)
        while c.at < c.stop and not self.given_up:
            token = c.tokens[c.at]
            if token.value in SEPARATORS and token.kind in ("word", "mark"):
                c.at += 1
                continue
            if (token.kind == "mark" or token.value == "x") and is_mark(c, nodes, marks):
                self._mark(c, marks, nodes)
                continue
            at = c.at
            found = self._item(c, nodes, marks)
            if c.at == at:  # nothing fits here
                found = [self._unread(c)]
            if self.context.hook is not None and any(not isinstance(n, Action) for n in found):
                found, self.context.hook = hooked(found, self.context.hook), None
            if found and nodes and isinstance(nodes[-1], Repeat) and nodes[-1].ending is not None:
                nodes[-1], found = ended_in_its_place(nodes[-1], found)
                nodes[-1] = ended_by(nodes[-1], found[0])
            nodes.extend(found)
        if self.context.hook is not None and self.depth == 1:  # "sc in each ch, starting in 2nd ch from hook"
            last = next((i for i in range(len(nodes) - 1, -1, -1) if not isinstance(nodes[i], Action)), 0)
            nodes[last : last + 1] = hooked(nodes[last : last + 1], self.context.hook)
            self.context.hook = None
        self.context.starred = False
        return nodes

    def _mark(self, c: Cursor, marks: Marks, nodes: list[Node]) -> None:
        token = c.take()
        mark = marks.see(str(token.value), len(nodes), token.span)
        self.context.starred = marks.open
        if mark is not None:
            return
        start = marks.start_of(str(token.value))  # a closing star: `*sc, inc* 6 times`
        at = c.at
        c.take_if(",")
        c.take_all("rep")
        times = read_times(c) or read_extent(c)
        alone = times is None and start == first_worked(nodes) and is_all(c, at, nodes[start:])
        times = AROUND if alone else times
        if times is None:
            c.at = at
        elif start is not None:
            body = tuple(nodes[start:])
            nodes[start:] = [Repeat(body, times, None, _span(body, c))]
            marks.use(str(token.value))

    # ---------------------------------------------------------------- one item
    def _item(self, c: Cursor, nodes: list[Node], marks: Marks) -> list[Node]:
        start = c.at
        if c.tokens[start].kind == "word":
            if c.is_in(FILLERS) and (found := self._first_of(_FILLED.at(c.peek()), c, nodes, marks)) is not None:
                return found
            c.pass_over(FILLERS)
            c.take_all("carry|continue|go|keep", "on?", "with")
            if c.at > start and is_mark(c, nodes, marks):  # "work *1 sc, 2 sc in next sc* to end"
                return []
            if c.is_("with") and c.peek(1).kind == "number":  # "a double in each, with 3 in centre stitch"
                c.take()
        token = c.peek()
        if token.kind == "number" and c.peek(1).kind == "stitch":  # as most numbers are
            readers = _COUNTED_STITCH
        else:
            readers = _BY_KIND.get(token.kind) or _OF_WORDS.at(token)
        if (found := self._first_of(readers, c, nodes, marks)) is not None:
            return found
        c.at = start
        return []

    def _first_of(self, readers: tuple[Reader, ...], c: Cursor, nodes: list[Node], marks: Marks) -> list[Node] | None:
        """What the first reader that fits gives; the cursor stays where it was when none does."""
        at = c.at
        for read in readers:
            found = read(self, c, nodes, marks)
            if found is not None:
                return found
            c.at = at
        return None

    def _total(self, c: Cursor) -> list[Node] | None:
        """`making 12 loops in all`."""
        found = read_total(c, self.context.text)
        if found is None:
            return None
        self.context.totals += found
        return []

    def _shared(self, c: Cursor) -> list[Node] | None:
        found = read_shared(c, self.context.shared)
        self.context.shared = found or self.context.shared
        return None if found is None else []

    def _counts_remark(self, c: Cursor) -> list[Node] | None:
        """`The three skipped chains count as the first stitch`."""
        c.take_any("the")
        c.take_kind("number")
        if not c.take_if("skip") or not c.take_if("ch", "st"):
            return None
        counts, stands_for = actions.read_counts(c)
        if counts is None:
            return None
        self.context.standing = (counts, stands_for)
        return []

    def _repeat_from(self, c: Cursor, nodes: list[Node], marks: Marks) -> list[Node] | None:
        at = c.at
        found = read_repeat_from(c, marks)
        if found is None:
            return None
        start, end, times, cut, ending = found
        if start is None and any(t.is_("*") for t in c.tokens[at : c.at]):
            self.problems.append(
                Problem(
                    "bracket",
                    c.span_from(at),
                    'It repeats from "*", but no "*" stands before.',
                    'Put "*" where the repeated part begins.',
                )
            )
        if start is None:  # "repeat around": all since the chain or join that the round starts with
            start = first_worked(nodes)
            start -= closes_a_picot(nodes, start)
        self.context.starred = marks.open
        body = tuple(nodes[start:end])
        if not body or (len(body) == 1 and isinstance(body[0], Repeat) and body[0].times == times == AROUND):
            return []
        if end is not None and end < len(
            nodes
        ):  # "*sc, inc*, sc 2, rep between *s once more": worked already, then again
            return [Repeat(body, one_less(times), cut, _span(body, c))]
        times = read_until_made(c, self.context, body, often_for(c, body, times))
        del nodes[start:]
        cut = omitted(c, self.items, body) if cut is None else cut
        return [Repeat(body, times, cut, _span(body, c), ending=ending)]

    def _bracket(self, c: Cursor, nodes: list[Node] | None = None) -> list[Node] | None:
        if not c.is_(*OPENING):
            return None
        at, close = c.at, c.closing()
        if close is None or self.depth > DEPTH:
            return self._bad_bracket(c, close)
        opening = c.take()
        self.problems.extend(unlike(opening, c.tokens[close]))
        if opening.value == "(" and actions.is_remark(c, close) and not is_repeated(c, close):
            self._remark(c, close)
            c.at = close + 1
            return self._same_at_more_places(c)
        known = len(self.problems)
        inner = c.within(c.at, close)
        loop = self.context.loop
        body = tuple(self.items(inner))
        self.context.loop = loop
        c.at = close + 1
        if not body or (all(isinstance(n, Unread) for n in body) and not is_repeated(c, close)):
            deep = [p for p in self.problems[known:] if p.kind == "bracket"]
            self.problems[known:] = deep
            _ = deep and read_times(c)  # what is repeated is missing already
            return []
        found = self._after_bracket(c, at, body)
        if found == list(body) and nodes and says_how(nodes[-1], body):
            nodes.pop()  # "12 sc (inc in each)": the bracket says how they are made
        return found

    def _remark(self, c: Cursor, close: int) -> None:
        """`(skipped chs count as dc)` behind the first stitch of a foundation row."""
        inner = c.within(c.at - 1, close + 1)
        counts, stands_for = actions.read_counts(inner)
        if counts is not None:
            self.context.standing = (counts, stands_for)

    def _same_at_more_places(self, c: Cursor) -> list[Node]:
        """`dc in 4th ch from hook (skipped chs count as dc) and in each ch across`."""
        ctx = self.context
        if ctx.last is None:
            return []
        return more_places(c, lambda w, s: ctx.worked(ctx.last or ctx.main, 1, False, w, ctx.loop, s))

    def _bad_bracket(self, c: Cursor, close: int | None) -> list[Node]:
        token = c.take()
        self.problems.append(not_closed(token) if close is None else too_many(token))
        c.at = c.at if close is None else close + 1
        return []

    def _after_bracket(self, c: Cursor, at: int, body: tuple[Node, ...]) -> list[Node]:
        """What follows a bracket says what it is: a repeat, a group into one place, or only words held together."""
        ctx = self.context
        while True:
            comma = c.at
            c.take_if(",")
            if not c.peek(1).is_("from"):
                c.take_all("rep", "this?")
            if times := read_times(c, not ctx.starred):
                body = (Repeat(body, times, None, c.span_from(at)),)
                if not c.is_("in", "around", "across", ","):
                    return list(body)
                continue
            if extent := read_extent(c):
                return [Repeat(body, extent, None, c.span_from(at))]
            c.at = comma
            c.take_if("all") if c.peek(1).is_("in", "on") else None
            where = read_told_rows(c) if ctx.row_ends else None
            where = where or read_where(c)
            if where is None:
                c.at = comma
                return list(body)
            found = placed(Group(body, where.into, c.span_from(at)), where, c.span_from(at))
            times = read_times(c, not ctx.starred) or (read_extent(c) if where.fill is None else None)
            if times:
                return [Repeat(tuple(found), times, None, c.span_from(at))]
            return found + self._at_more_places(c, body)

    @staticmethod
    def _at_more_places(c: Cursor, body: tuple[Node, ...]) -> list[Node]:
        return more_places(c, lambda where, span: placed(Group(body, where.into, span), where, span))

    def _counted_bracket(self, c: Cursor) -> list[Node] | None:
        """`6(1 sc, inc)`, `6 x (sc, inc)`, `1 shell of [3dc, 1ch, 3dc] into next sp`."""
        at = c.at
        number = c.take_kind("number")
        if named := c.take_kind("stitch"):
            if not c.take_if("of"):
                return None
        elif not number:
            return None
        else:
            c.take_if("x", "times", "*")
            c.take_if("of", ":")
        if not c.is_(*OPENING):
            return None
        found = self._bracket(c)
        if not found or named or not number:
            return found
        return [Repeat(tuple(found), Times("exact", number.value), None, c.span_from(at))]

    def _group_of(self, c: Cursor) -> list[Node] | None:
        """`shell of 3 trebles, 2 chain and 3 trebles in next stitch`: all of it goes into one place."""
        at = c.at
        name = c.take_kind("stitch")
        if not name or not c.take_if("of") or c.peek().kind != "number":
            return None
        end = next((i for i in range(c.at, c.stop) if c.tokens[i].is_("in", "under", ".", ";", "between")), c.stop)
        body = tuple(self.items(c.within(c.at, end)))
        c.at = end
        where = read_where(c)
        if where is None or not body or any(isinstance(n, (Unread, Action)) for n in body):
            return None
        self.context.special[str(name.value)] = Own(body)  # what later "a shell as before" is
        span = c.span_from(at)
        return placed(Group(body, where.into, span), where, span)

    # ---------------------------------------------------------------- what can't be read
    def _unread(self, c: Cursor) -> Node:
        at = c.at
        token = c.take()
        if token.is_(")", "]", "}"):
            self.problems.append(closes_nothing(token))
            read_times(c)
            return Action("note", "", None, token.span)
        while not c.done and not c.is_(",", ";", ".", ")", "]", "(", "[", "*"):
            c.take()
        span = c.span_from(at)
        return Unread(self.context.text[span.start : span.end], span)


# Readers whose first word may be one of the fillers, each with the words that it can begin with.
_EARLY: tuple[tuple[str | frozenset[str], Reader], ...] = (
    ("work pick", lambda g, c, nodes, marks: read_along_rows(c, g.context)),
    (TOTAL_FIRST, lambda g, c, nodes, marks: g._total(c)),
    (chains_between.FIRST_WORDS, lambda g, c, nodes, marks: read_chains_between(c, g.context, nodes)),
    (moves.FIRST_WORDS, lambda g, c, nodes, marks: read_moves(c, g.context, nodes)),
    ("inc dec", lambda g, c, nodes, marks: read_widened(c, nodes)),
    ("divide always", lambda g, c, nodes, marks: g._shared(c)),
    ("the middle center", lambda g, c, nodes, marks: read_but_middle(c, nodes)),
    ("after taking", lambda g, c, nodes, marks: read_said_again(c)),
    ("with same next", lambda g, c, nodes, marks: read_shade(c, nodes)),
    ("work last final the", lambda g, c, nodes, marks: last_told(c)),
    ("taking work", lambda g, c, nodes, marks: read_loop_taken_up(c, g.context, nodes)),
    (actions.FIRST_WORDS, lambda g, c, nodes, marks: actions.read_action(c)),
    (SHAPING_FIRST, lambda g, c, nodes, marks: read_shaping(c, g.context, nodes)),
    ("the skip", lambda g, c, nodes, marks: g._counts_remark(c)),
    (REPEAT_FIRST, lambda g, c, nodes, marks: g._repeat_from(c, nodes, marks)),
    ("fasten fastened", lambda g, c, nodes, marks: read_fastened_back(c, nodes)),
    ("after", lambda g, c, nodes, marks: after_the_last(c, nodes)),
    (
        "all around across",
        lambda g, c, nodes, marks: all_so_often(c, nodes) if c.tokens[c.at - 1].is_(",") else None,
    ),
    ("up to", lambda g, c, nodes, marks: how_far(c, nodes)),
    ("the other remain last rest", lambda g, c, nodes, marks: read_left(c)),
    (asides.FIRST_WORDS, lambda g, c, nodes, marks: _with_span(c, asides.read_aside)),
    (colour_names.FIRST_WORDS, lambda g, c, nodes, marks: _titled_colour(c) or None),
)
_FILLED = Candidates(*_EARLY)
_OF_WORDS = Candidates(
    ("in", lambda g, c, nodes, marks: read_in_stitch(c, g.context)),
    ("close evenly straight plain", lambda g, c, nodes, marks: read_even(c, g.context)),
    (PATTERN_FIRST, lambda g, c, nodes, marks: read_in_pattern(c, g.context)),
    ("all", lambda g, c, nodes, marks: read_gathered(c, nodes, since_star(marks))),
    *_EARLY,
    ("skip leave leaving", lambda g, c, nodes, marks: read_skip(c)),
    ("ch base foundation", lambda g, c, nodes, marks: read_chain(c)),
    (LOOP_FIRST, lambda g, c, nodes, marks: read_loop_first(c, g.context)),
    (stitches.FIRST_WORDS, lambda g, c, nodes, marks: read_stitch(c, g.context)),
    (HOOK_FIRST | WHERE_FIRST, lambda g, c, nodes, marks: read_place_first(c, g.context, g.items)),
)
# The readers of what can start with a token of this kind; all others start with a word.
_BY_KIND: dict[str, tuple[Reader, ...]] = {
    "stitch": (
        lambda g, c, nodes, marks: actions.read_action(c),
        lambda g, c, nodes, marks: g._group_of(c),
        lambda g, c, nodes, marks: read_every_two(c, g.context) if c.peek(1).is_("each") else None,
        lambda g, c, nodes, marks: read_stitch(c, g.context),
        lambda g, c, nodes, marks: g._counted_bracket(c),
    ),
    "number": (
        lambda g, c, nodes, marks: all_so_often(c, nodes) if c.peek(1).value == "times" else None,
        lambda g, c, nodes, marks: _one_slip(c),
        lambda g, c, nodes, marks: read_squares(c),
        lambda g, c, nodes, marks: read_said_again(c),
        lambda g, c, nodes, marks: g._total(c),
        lambda g, c, nodes, marks: read_shaping(c, g.context, nodes),
        lambda g, c, nodes, marks: g._counts_remark(c),
        lambda g, c, nodes, marks: read_chains_between(c, g.context, nodes),
        lambda g, c, nodes, marks: read_chain(c),
        lambda g, c, nodes, marks: read_stitch(c, g.context),
        lambda g, c, nodes, marks: g._counted_bracket(c),
    ),
    "ordinal": (lambda g, c, nodes, marks: read_shade(c, nodes),),
    "mark": (lambda g, c, nodes, marks: g._bracket(c, nodes),),
}

_COUNTED_STITCH: tuple[Reader, ...] = (
    lambda g, c, nodes, marks: _one_slip(c),
    lambda g, c, nodes, marks: g._total(c),
    lambda g, c, nodes, marks: read_shaping(c, g.context, nodes),
    lambda g, c, nodes, marks: read_stitch(c, g.context),
    lambda g, c, nodes, marks: g._counted_bracket(c),
)


def _titled_colour(c: Cursor) -> list[Node]:
    """`MC: sc 4`: worked with it."""
    at = c.at
    name = read_titled_colour(c)
    return [Action("colour", f"with {name}", None, c.span_from(at))] if name else []


def _one_slip(c: Cursor) -> list[Node] | None:
    """`1 ss in top of 3ch`: one that joins."""
    if c.peek().value != 1 or c.peek(1).value != "slst":
        return None
    c.take()
    return actions.read_action(c)


def _with_span(c: Cursor, read: Callable[[Cursor], list[Node] | None]) -> list[Node] | None:
    """What a reader of actions gives, with its place."""
    at = c.at
    found = read(c)
    return None if found is None else [replace(n, span=c.span_from(at)) for n in found]


def _span(body: tuple[Node, ...], c: Cursor) -> Span:
    end = c.tokens[max(c.at - 1, 0)].end
    return Span(body[0].span.start if body else end, end)
