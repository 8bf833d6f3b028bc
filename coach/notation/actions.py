"""What makes no stitch: turning, joining, rings, markers, colours, fastening off; and remarks in brackets."""

from __future__ import annotations

import re

from coach.notation.colour_names import read_colour
from coach.notation.cursor import Cursor
from coach.notation.edges import tells_of_rows
from coach.notation.lexer import Token
from coach.notation.model import Action, Into, Node, Stitch
from coach.notation.pieces import PIECES
from coach.notation.places import read_where
from coach.notation.sides import read_other_side

_REMARKS = tuple(
    (
        "counts does do rs ws this these note not right wrong see mark marker you beginning optional made including "
        "now both should stuff approximately approx about"
    ).split()
)
LONGEST_REMARK = 80  # tokens
FIRST_OF_ALL = 3  # tokens of "sl st in the" at the start of a round
_TIMES = frozenset("times twice once thrice x more rep * each next same in".split())
_ENDS = (",", ";", ".")
_NO_YARN = ("hook", "hooks", "side", "sides", "rs", "ws", "facing", "needle", "tail", "tails", "end", "ends", "marker")
_NO_COLOURS = ("with", "to", "in", "rnd", "around", "the", "as", "ring", "ch", "by", "and", "it")
_JOINED_TO = (
    "the",
    "first",
    "top",
    "of",
    "st",
    "ch",
    "tch",
    "sp",
    "turn",
    "rnd",
    "row",
    "around",
    "same",
    "next",
    "starting",
    "in",
    "inc",
    "second",
    "other",
    "last",
    *PIECES,
)
JOIN = Action("join", "", Into("first"))
RING = Action("join", "ring", Into("first"))  # a chain joined into a ring


def read_action(c: Cursor) -> list[Node] | None:
    """One action; None (and no move) when there is none."""
    at = c.at
    token = c.peek()
    for reader in _BY_FIRST.get(str(token.value), ()) if token.kind in ("word", "stitch") else ():
        found = reader(c)
        if found is not None:
            span = c.span_from(at)
            return [Action(n.kind, n.text, n.into, span) if isinstance(n, Action) else n for n in found]
        c.at = at
    return None


def _words(c: Cursor, at: int) -> str:
    if any(t.kind in ("stitch", "ordinal") for t in c.tokens[at : c.at]):  # as written, in the terms of the pattern
        return c.written(at)
    return " ".join(f"ch-{t.value}" if t.kind == "space" else str(t.value) for t in c.tokens[at : c.at])


def _to_end_of_clause(c: Cursor, *also: str) -> None:
    while not c.done and not c.is_(*_ENDS, *also):
        c.take()


def _ring(c: Cursor) -> list[Node] | None:
    if not (
        c.take_all("in?", "a?|an?|the?", "mr")
        or c.take_all("in?", "a?|an?|the?", "magic|adjustable|sliding|slip", "ring|lp")
    ):
        if c.take_all("work", "a", "lp") and (c.done or c.is_(",", ".", ";")):
            return [Action("ring")]  # "Make a loop, chain 1 and ..."
        if c.take_all("in", "a", "ring") and c.take_if(":", ","):  # "Into a ring: ch 3, ..."
            return [Action("ring")]
        closed = c.take_all("to", "form|close|work", "a?|the?", "ring|around")
        if closed or c.take_all("form|forming", "a?|the?", "ring|lp"):
            return [RING]
        return None
    if c.peek().kind == "number" and (c.peek(1).kind == "end" or c.peek(1).is_(",", ".", "(", ";")):
        return None  # "MR 6" is read as six stitches in the ring
    c.take_any("of")
    return [Action("ring")]


def _other_side(c: Cursor) -> list[Node] | None:
    return [Action("other_side")] if read_other_side(c) else None


def _turn(c: Cursor) -> list[Node] | None:
    if not c.take_if("turn", "rotate"):
        return None
    c.take_all("the|your?", "work")
    c.take_all("work")
    if c.peek().kind == "number" and c.peek(1).is_("degrees"):
        turned = c.take().value
        c.take(), c.take_any("clockwise", "counterclockwise")
        if turned == 90:  # to its side: neither back along the row nor to the other side
            return [Action("rotate", "rotate the work to its side")]
    c.take_any("back", "clockwise", "upside", "down", "180", "degrees")
    if c.take_all("so", "that?") or c.take_all("to", "work"):  # "so that the bottom of the chain is on top"
        at = c.at
        _to_end_of_clause(c, ":")
        if any(t.is_("other", "bottom", "underside") for t in c.tokens[at : c.at]):
            return [Action("other_side")]
    return [Action("turn")]


# -------------------------------------------------------------------- joining
def _yarn_joined(c: Cursor) -> list[Node] | None:
    """`Join B in any st`, `join white with a sc in first st` (that is the first stitch)."""
    at = c.at
    if not c.take_if("join", "attach", "tie"):
        return None
    if c.is_("in", "to", "at") and c.peek(1 + c.peek(1).is_("a")).is_("any", "corner", "sp"):  # the yarn named before
        where = read_where(c)
        _to_end_of_clause(c, ":", ")")
        single = where is not None and where.into.kind == "space" and where.count is None and where.fill is None
        return [Action("colour", "join yarn", where.into if where and single else None)]
    c.take_any("new", "the")
    if c.is_("color"):
        c.take()
        if c.peek().kind == "word" and not c.is_(*_NO_COLOURS):
            c.take()
    elif (
        c.peek().kind == "word"
        and not c.is_(*_NO_COLOURS)
        and (c.peek(1).is_("in", "with", "at", "to") or c.tokens[c.at - 1].is_("new"))
    ):
        c.take()
    else:
        return None
    c.take_any("color")
    colour = Action("colour", _joined(c, at))
    if c.take_if("with", "by", "using"):
        c.take_any("a", "an")
        stitch = c.take_kind("stitch")
        if stitch is not None:
            where_at = c.at
            where = read_where(c)
            into = where.into if where and where.count is None and where.fill is None else Into()
            id = str(stitch.value)
            if id != "slst":
                return [colour, Stitch(id, into if into.kind != "first" else Into(), span=c.span_from(where_at - 1))]
            return [colour, Stitch("slst", into, span=c.span_from(where_at - 1))] if into.kind == "space" else [colour]
    where = read_where(c) if c.is_("in", "to") else None  # "join B in any ch-2 sp": there the round starts
    _to_end_of_clause(c, ":", ")")
    into = where.into if where and where.into.kind == "space" and where.count is None and where.fill is None else None
    return [Action("colour", _joined(c, at), into)]


def _joined(c: Cursor, at: int) -> str:
    """The words with "yarn" where that is written: "join yarn in any st" names no colour."""
    is_yarn = re.match(r"\w+ yarn\b", c.written(at), re.IGNORECASE)
    return re.sub(r"^(\w+) color\b", r"\1 yarn", _words(c, at)) if is_yarn else _words(c, at)


def _join(c: Cursor) -> list[Node] | None:
    if c.peek().kind == "stitch" and c.peek().value == "slst":
        c.take()
        return _slipped(c)
    if c.take_if("join", "close"):
        closed = c.tokens[c.at - 1].start
        c.take_all("the?", "rnd|around|ring|ch")
        ring = c.tokens[c.at - 1].is_("ring") and c.tokens[c.at - 1].start > closed  # "close the ring"
        ring = c.take_all("in|to", "a|the?", "ring|lp|around") or ring
        if c.take_if("with", "by"):
            c.take_any("a")
            c.take_kind("stitch")
        join = _joined_to(c)
        c.take_all("it", "in?") if c.peek(1).is_("in") else None
        return [RING if ring or c.take_all("to?", "form|make|in", "a?|the?", "ring|lp|around|tube") else join]
    if c.take_all("unite"):
        c.take_any("it", "the", "ends")
        return [RING]
    return None


def _slipped(c: Cursor) -> list[Node] | None:
    """A slip stitch that joins: `sl st to join`, `sl st in first sc`, `sl st to top of ch-3`."""
    if c.take_all("to", "join") or c.take_all("join"):
        join = _joined_to(c)
        return [RING if c.take_all("in", "a|the", "ring|around|lp") else join]
    at = c.at
    if c.is_("fasten", "fo") or c.is_(",", ".", ";", "and") and c.peek(1).is_("fasten", "fo", "finish", "cut", "break"):
        return [JOIN]  # "Sl st, fasten off"
    preposition = c.take_if("in", "to", "on")
    c.take_any("the")
    if c.at <= FIRST_OF_ALL and c.peek().kind == "ordinal" and c.peek(1).is_("ch") and c.peek(2).is_(",", ";"):
        number = c.take().value  # "Row 1: Sl st in 2nd ch, sc in next ch": the first stitch of a row on a chain
        c.take()
        return [Stitch("slst", Into("hook", number))]
    nth_chain = c.peek().kind == "ordinal" and (
        (c.peek(1).is_("ch") and not c.peek(2).is_("from"))
        or (c.peek(1).is_("of") and any(c.peek(k).is_("ch") or c.peek(k).kind == "space" for k in (2, 3, 4)))
    )  # "in 3rd ch", "on the 5th of the 9 chain", "in 3rd of ch-5"
    if (
        preposition
        and (c.is_("first", "top", "tch") or nth_chain or (c.peek().kind == "ordinal" and c.peek().value == 1))
        and not (c.peek(1).kind in ("space", "number") and not c.peek(2).kind == "end")
    ):
        first = c.at
        join = _joined_to(c)
        if any(t.is_("sp", "lp") for t in c.tokens[first : c.at]):
            c.at = at
            return None
        if c.take_all("to?", "form|close|make", "a?|the?", "ring|lp|around"):
            return [RING]
        joins = c.take_all("to", "join")
        return [RING if c.take_all("in", "a|the?", "ring|around|lp") and joins else join]
    c.at = at
    return [JOIN] if c.take_all("to?", "close") else None


def _joined_to(c: Cursor) -> Action:
    """The joining, to where it says: `to first st`, `in top of beg ch-3`, `to the first sc of the round`, `to the first
    leg`."""
    start = c.at
    if not c.take_if("to", "in", "on") and not c.is_("first", "top", "tch") and c.peek().kind != "ordinal":
        return JOIN
    _to_where(c)
    taken = c.tokens[start : c.at]
    chains = next((t.value for t in taken if t.kind == "space" and isinstance(t.value, int)), None)
    chains = chains or next((t.value for t in taken if t.kind == "number" and isinstance(t.value, int)), None)
    if chains and any(t.is_("top", "tch") for t in taken):
        return Action("join", "", Into("tch", chains))
    nth = next((t.value for t in taken if t.kind == "ordinal"), 1)
    if nth > 1 and any(t.is_("ch") or t.kind == "space" for t in taken):
        return Action("join", "", Into("chain", nth))
    return JOIN


def _to_where(c: Cursor) -> None:
    for _ in range(12):
        before = c.tokens[c.at - 1]
        if c.is_("to") or not _may_be_joined_to(c, before):
            return
        if c.is_("in", "next") and not before.is_("to", "the"):
            return
        if c.is_("turn") and not c.peek(1).is_("ch"):
            return
        if c.is_("ch") and c.peek(1).kind == "number" and not before.is_("first", "of", "turn", "the", "to", "in"):
            return
        c.take()


def _may_be_joined_to(c: Cursor, before) -> bool:
    if c.is_(*_JOINED_TO) or c.peek().kind in ("space", "ordinal", "stitch"):
        return True
    return c.peek().kind == "number" and (
        before.is_(*PIECES)
        or before.is_("ch", "first")
        or (before.is_("of", "the", "in", "to") and c.peek(1).is_("ch"))
    )


# -------------------------------------------------------------------- ends, markers, colours
def _fasten_off(c: Cursor) -> list[Node] | None:
    at = c.at
    if (
        c.take_all("fasten|finish|bind", "off")
        or c.take_all("fo")
        or c.take_all("f", "/", "o")
        or c.take_all("break", "off")
        or (c.is_("cut", "break") and c.peek(1).kind == "word" and c.take())
    ):
        while not c.done and not c.is_(".", ";"):
            c.take()
        return [Action("fasten_off", _words(c, at))]
    return None


def _marker(c: Cursor) -> list[Node] | None:
    at = c.at
    if (
        c.take_all("pm|sm")
        or c.take_all("sl", "marker")
        or c.take_all("move|moving", "the?|your?", "marker")
        or c.take_all("work|place?", "a?|the?", "marker")
        or c.take_all("mark", "this|the|first")
    ):
        _to_end_of_clause(c, ")")
        return [Action("marker", _words(c, at))]
    return None


def _colour(c: Cursor) -> list[Node] | None:
    at = c.at
    if (
        c.take_all("change|changing|switch", "to?", "color?")
        or c.take_all("drop")
        or c.take_all("pick", "up")
        or (not c.peek(1).is_("on") and c.take_all("carry"))
        or c.take_all("in", "color")
    ):
        _to_end_of_clause(c, ")")
        return [Action("colour", _words(c, at))]
    if (
        c.is_("with", "using")
        and c.peek(1).kind == "word"
        and not (c.peek(1).is_("a", "the") and not (c.peek(2).is_(",", ":", ";", "color") or c.peek(2).kind == "word"))
    ):
        c.take()
        while c.peek().kind == "word" and not c.is_("work", "ch", "in", "and", "place"):
            if c.take().is_("color") and c.at - at > 2:
                break
        c.take_all("in", "turn")
        if any(token.is_(*_NO_YARN) for token in c.tokens[at : c.at]):
            return _with_other(c, at)
        return [Action("colour", _words(c, at))]
    if c.take_all("new|next|another", "color") and c.take_if(":", ","):
        return [Action("colour", "new colour")]
    if c.is_("mc", "cc", "ca", "cb"):
        c.take()
        c.take_if(":", ",")
        return [Action("colour", _words(c, at))]
    return None


def _with_other(c: Cursor, at: int) -> list[Node]:
    """`with larger hook`, `with right side facing`: a note; `with larger hook and A`: that, and a colour."""
    note = Action("note", _words(c, at))
    if not c.take_if("and"):
        return [note]
    name = read_colour(c)
    return [note, Action("colour", f"with {name}")] if name else [note]


def _closes(c: Cursor) -> list[Node] | None:
    """`hdc in first sc to join`, `dc in first sc to form last ch-5 sp`: says what the stitch before it is for."""
    if not c.take_if("to") or not c.take_if("join", "close", "form", "complete", "make", "work", "finish"):
        return None
    c.take_any("the", "a", "last", "final", "rnd", "around", "ch", "corner")
    c.take_kind("space")
    c.take_any("corner", "sp", "lp", "rnd", "around")
    return [JOIN] if c.done or c.is_(*_ENDS, ")") else None


def _do_not(c: Cursor) -> list[Node] | None:
    """What is not to be done is a note: a maker at the end of a row would turn without it."""
    at = c.at
    if c.take_all("do|don't", "not?", "join|turn|stuff|fasten|cut|break|close|skip|work"):
        _to_end_of_clause(c)
        return [Action("note", _words(c, at))]
    return [] if c.take_all("without", "join|turn") else None


_FIRST_WORDS = {
    _ring: "work in a an the mr magic adjustable sliding slip form forming to",
    _other_side: (
        "now then and to work rotate turn continue continuing cont going it so that back across in on down up "
        "around the st each other underside bottom "
        "unused free"
    ),
    _turn: "turn rotate",
    _yarn_joined: "join attach tie",
    _join: "slst join close unite",
    _fasten_off: "fasten finish bind f fo break cut",
    _marker: "pm sm sl move moving marker work place mark",
    _colour: "new next another change changing switch drop pick carry in with using mc cc ca cb",
    _do_not: "do don't without",
    _closes: "to",
}
_BY_FIRST: dict[str, list] = {}
for _reader, _words_first in _FIRST_WORDS.items():
    for _word in _words_first.split():
        _BY_FIRST.setdefault(_word, []).append(_reader)
FIRST_WORDS = frozenset(_BY_FIRST)


# -------------------------------------------------------------------- remarks
def read_counts(c: Cursor) -> tuple[bool | None, str | None]:
    """`(counts as first dc)`, `(does not count as a st)`, `counts as dc`; (None, None) when nothing is said."""
    at = c.at
    bracket = bool(c.take_if("(", "["))
    if not bracket:
        c.take_if(",")
    if c.done or c.peek().kind == "stitch":  # most often it is the next thing to work
        c.at = at
        return None, None
    c.take_any(
        "this", "which", "here", "and", "always", "ch", "turn", "tch", "now", "skip", "the", "first", "st", "miss"
    )
    _ = c.take_kind("space") or c.take_kind("number")
    c.take_any("will", "now", "always", "ch", "st", "skip")
    counts: bool | None = None
    if c.take_if("does", "do", "doesn't", "don't", "not", "never"):
        c.take_if("not")
        counts = False if c.take_if("counts") else None
    elif c.take_if("counts", "stands", "equals", "represents", "="):
        counts = True
    if counts is None:
        c.at = at
        return None, None
    return counts, _counted_as(c, bracket, counts)


def _counted_as(c: Cursor, bracket: bool, counts: bool) -> str | None:
    """The stitch that is named, and past the end of the remark."""
    stands_for = None
    depth = 0
    while not c.done:
        if c.is_(")", "]"):
            if not bracket:
                break
            c.take()
            if depth == 0:
                break
            depth -= 1
            continue
        if not bracket and c.is_(*_ENDS):
            break
        depth += bracket and c.is_("(", "[")
        token = c.take()
        if counts and token.kind == "stitch" and stands_for is None:
            stands_for = str(token.value)
            if not bracket and c.is_("in", "and"):
                break
        if token.is_("+", "and") and not bracket:
            break
    return stands_for


def is_remark(c: Cursor, close: int) -> bool:
    """Whether the bracket that ends at token `close` holds a remark and no instruction."""
    first = c.peek()
    if first.kind == "word" and first.value in _REMARKS or c.peek(1).is_("consisting"):  # "each consisting of 5 ch"
        return True
    if read_counts(Cursor(c.tokens, c.at, close))[0] is not None:
        return True
    if c.tokens[close - 1].is_("made", "formed", "completed", "complete"):  # "(picot made)"
        return True
    return not any(
        t.kind in ("stitch", "space") or t.is_("ch", "inc", "dec", "turn", "skip") for t in c.tokens[c.at : close]
    )


def _is_aside(tokens: list[Token], opening: int, close: int) -> bool:
    """Whether a bracket holds a remark; in square brackets, only what a chain counts as is one."""
    if tokens[opening].value == "(":
        return is_remark(Cursor(tokens, opening + 1), close)
    return read_counts(Cursor(tokens, opening, close + 1))[0] is not None


def without_remarks(c: Cursor) -> tuple[Cursor, tuple[bool | None, str | None]]:
    """The tokens of a round without the remarks in brackets among them, and what a remark says of skipped chains.

    What is said of a chain right behind it stays there, and so does a bracket that says how often.
    """
    standing: tuple[bool | None, str | None] = (None, None)
    tokens = c.tokens
    out: list[Token] = []
    after = 0  # the first token that is not in `out` yet
    for i, close in sorted(c.pairs.items()):
        if (
            i < after
            or not tokens[i].is_("(", "[")
            or not i + 1 < close <= i + LONGEST_REMARK
            or any([t.value in _TIMES and t.kind in ("word", "mark") for t in tokens[i + 1 : min(close, i + 20)]])
            or tells_of_rows(tokens, i, close)
            or not _is_aside(tokens, i, close)
        ):
            continue
        out += tokens[after:i]
        said = read_counts(Cursor(tokens, i, close + 1))
        chain = bool(out) and (
            out[-1].kind == "space"
            or out[-1].is_("ch", "tch")
            or (len(out) > 1 and out[-1].kind == "number" and out[-2].is_("ch"))
        )
        if said[0] is not None and chain:
            out += tokens[i : close + 1]
        elif said[0] is not None:
            standing = said
        after = close + 1
    return Cursor(out + tokens[after:], text=c.text) if after else c, standing


__all__ = ["is_remark", "read_action", "read_counts", "without_remarks"]
