"""The edges of a flat piece: `in the end of each row`, `evenly along the side`, `20 sc along each side`, `across the
bottom edge`, `2 sc per row`."""

from __future__ import annotations

from math import gcd

from coach.notation.cursor import Cursor
from coach.notation.lexer import Token
from coach.notation.model import NEXT, Amount, Into
from coach.values import value

_EDGES = ("side", "sides", "edge", "edges")
_ENDS = ("end", *_EDGES)
_NOUNS = frozenset(_ENDS)
LONGEST = 8  # tokens before the noun of a place at the ends of rows
FEWEST_OF_ROWS = 4  # tokens of "2 sts per row"
_SAID_WITH = frozenset(
    "the this that its a left right long short first second next opposite other remain raw straight last first of both "
    "each all two four 2 4 evenly spaced across up down row end".split()
)
_PIECES = frozenset(
    "piece blanket scarf square panel work body rectangle strip cloth dishcloth washcloth afghan shawl swatch pillow "
    "front back it mat flap bag rows row".split()
)
_OPENINGS = tuple("neck neckline armhole armholes opening cuff hem waist thumb thumbhole brim leg".split())
_UNTOLD = Into("side", words="evenly along the ends of the rows")
_ABOUT = frozenset("about approx approximately roughly work place .".split())
EVENLY_FIRST = frozenset("evenly spaced across up down".split())


@value
class RowEnds:
    """A place at the ends of rows. count: of so many rows; each: of every one; alternate: of every other one."""

    count: Amount | None = None
    each: bool = False
    alternate: bool = False


@value
class Side:
    """An edge to go along. into: places of a side, of any edge, or the stitches of the top; bottom: on the other side
    of the foundation chain; times: how many such edges."""

    into: Into
    bottom: bool = False
    times: int = 1


def read_row_ends(c: Cursor) -> RowEnds | None:
    """`ends of rows`, `the side of each row`, `next 3 row ends`, behind their preposition; None (and no move) where
    none are named."""
    if _NOUNS.isdisjoint([token.value for token in c.tokens[c.at : c.at + LONGEST]]):  # as mostly
        return None
    at = c.at
    found = _before_rows(c) or RowEnds(each=True)
    if c.take_if(*_ENDS) and c.take_if("of"):
        inner = _before_rows(c)
        c.take_kind("stitch")
        if c.take_if("row"):
            c.take_any("end")
            _along_which(c)
            return inner or RowEnds(each=c.text[c.tokens[c.at - 1].start : c.tokens[c.at - 1].end].lower() != "row")
    else:
        c.take_kind("stitch")  # "each dc row end"
        if c.take_if("row") and c.take_if(*_ENDS):
            _along_which(c)
            return found
    c.at = at
    return None


def read_per_rows(c: Cursor) -> int | None:
    """Of how many rows it is said what goes along their ends: `per row`, `for each row end`, `for every 2 dc rows`;
    None (and no move) where it is not said."""
    if not c.is_("per", "for", "to", "every", "each"):
        return None
    at = c.at
    if c.take_if("per") or c.take_all("for|to|every", "each") or c.take_if("each"):
        c.take_any("each")
        number = c.take_kind("number")
        c.take_kind("stitch")
        rows = number.value if number else 1
        if c.take_if("row") and isinstance(rows, int) and rows > 0:
            c.take_any(*_ENDS)
            _along_which(c)
            return rows
    c.at = at
    return None


def read_told_of_rows(c: Cursor) -> tuple[str | None, int, int] | None:
    """(stitch, how many, for how many rows) behind a side: `(2 sc per row)`, `at 3 sts for every 2 rows`, `(1 sc in the
    end of each row)`; None (and no move) where it is not said."""
    at = c.at
    bracket = c.take_if("(", "[")
    if bracket or c.take_if("at", "with"):
        c.pass_over(_ABOUT)
        number = c.take_kind("number")
        stitch = c.take_kind("stitch")
        c.take_if("st")
        if number and isinstance(number.value, int) and number.value > 0:
            rows = read_per_rows(c)
            if rows is None and c.take_if("in", "on"):
                ends = read_row_ends(c)
                rows = read_per_rows(c) if ends is None else 1 if ends.each else None
            if rows is not None and (not bracket or c.take_if(")", "]")):
                return str(stitch.value) if stitch else None, number.value, rows
    c.at = at
    return None


def tells_of_rows(tokens: list[Token], start: int, stop: int) -> bool:
    """Whether the bracket (or the words behind the comma) at `start`, behind an edge, tells what goes there for so many
    rows (`2 sts per row`), and so counts no round and is no remark."""
    if stop - start <= FEWEST_OF_ROWS:
        return False
    c = Cursor(tokens, start + 1, stop)
    c.pass_over(_ABOUT)
    if not c.take_kind("number") or not (c.take_kind("stitch") or c.is_("st")):
        return False
    c.take_if("st")
    along = any(t.is_("evenly", *_EDGES) for t in tokens[max(start - LONGEST, 0) : start])
    return along and c.is_("per", "for", "in", "on", "each") and any(t.is_("row") for t in tokens[c.at : stop])


def over_rows(many: int, rows: int) -> tuple[int, ...]:
    """How many of `many` stitches go into the end of each of `rows` rows, evenly: 3 over 2 rows are 2 and 1."""
    common = gcd(many, rows)
    many, rows = many // common, rows // common
    at = [k * rows // many for k in range(many)]
    return tuple(at.count(row) for row in range(rows))


def _before_rows(c: Cursor) -> RowEnds | None:
    """`the`, `each`, `every other`, `next 3`; None where nothing is said."""
    c.take_any("the", "of")
    if c.take_if("each"):
        other = bool(c.take_if("other")) or bool(c.peek().kind == "ordinal" and c.peek().value == 2 and c.take())
        c.take_any("of", "the", "next")
        number = c.take_kind("number")
        return RowEnds(number.value) if number else RowEnds(each=not other, alternate=other)
    moved = c.take_if("next", "first", "last")
    number = c.take_kind("number")
    if number:
        return RowEnds(number.value)
    return RowEnds() if moved else None


def _along_which(c: Cursor) -> None:
    """`along the side`, `of the first edge` behind the ends of rows: says again which."""
    at = c.at
    c.take_if("evenly")
    if not c.take_if("across", "up", "down", "around", "on", "of", "to"):
        c.at = at
        return
    while c.is_in(_SAID_WITH) or c.is_("end", "corner"):
        c.take()
    if c.done or c.is_(",", ";", ".", ")"):
        return
    if not c.take_if(*_EDGES, *_PIECES) and not c.tokens[c.at - 1].is_("end", "corner"):
        c.at = at
        return
    while c.take_if(*_EDGES) or c.take_all("of", "the?") or c.take_in(_PIECES):
        pass


def read_edge_named(c: Cursor, into: Into) -> str:
    """`(sc in each st across) top`, `bottom edge`, `(each ch) of foundation ch across`: top, bottom; "" for neither."""
    at = c.at
    if c.tokens[at - 1].is_("across") or c.is_("across"):
        c.take_if("across")
        c.take_if("the")
        edge = c.take_if("top", "upper", "bottom", "lower")
        if edge and (c.take_if(*_EDGES) or c.done or c.is_(",", ";", ".", ")")):
            return "top" if edge.is_("top", "upper") else "bottom"
    elif into.kind == "chain" and c.take_all("of", "the?", "foundation|starting|base|first", "ch"):
        c.take_if("across", "around")
        return "bottom"
    c.at = at
    return ""


def read_side(c: Cursor, counted: bool) -> Side | None:
    """`evenly along the side`, `down the left edge`, `across each side`; None (and no move) where no edge is named.
    counted: it is said how many stitches go there."""
    if not c.is_in(EVENLY_FIRST):
        return None
    at = c.at
    evenly = bool(c.take_if("evenly", "spaced"))
    c.take_any("evenly", "spaced")
    ends = 1 + c.peek(1).is_("the")
    around = c.is_("around") and c.peek(ends).is_("row") and c.peek(ends + 1).is_("end")  # "around the row ends"
    if not (c.take() if around else c.take_if("across", "up", "down")):
        c.at = at
        return None
    words = c.at
    lower = upper = False
    while c.is_in(_SAID_WITH) or c.is_("bottom", "lower", "foundation", "top", "upper") or c.peek().kind == "ordinal":
        lower = lower or c.is_("bottom", "lower", "foundation")
        upper = upper or c.is_("top", "upper")
        c.take()
    if all(any(t.is_(noun) for t in c.tokens[words : c.at]) for noun in ("row", "end")):  # "evenly along row ends"
        _along_which(c)
        return Side(Into("side", words=_told(c, at, evenly)))
    if not c.take_if(*_EDGES) and not (lower or upper) or c.is_("of") and c.peek(1 + c.peek(1).is_("the")).is_("ch"):
        c.at = at
        return None
    c.take_if(*_EDGES)
    if c.take_if("of"):
        while c.is_in(_SAID_WITH) or c.is_in(_PIECES):
            c.take()
    said = c.tokens[words : c.at]
    if lower or upper:
        return Side(Into("edge", words=_told(c, at, evenly)) if counted else NEXT, bottom=lower)
    other = any(t.is_("other") for t in said)
    if other and not evenly and not any(t.is_("edge", "edges") for t in said):  # of a chain, most often
        c.at = at
        return None
    both = any(t.is_("both") or t.value == 2 for t in said)
    long = any(t.is_("long", "short") for t in said)
    times = 2 if both else 1
    if any(t.is_("each", "all") or t.value == 4 for t in said):
        times = 2 if long or both else 4
    kind = "edge" if times == 4 or any(t.is_("next") for t in said) else "side"
    told = (
        _told(c, at, evenly)
        if times == 1
        else f"{'evenly ' if evenly else ''}along next {'edge' if times == 4 else 'side'}"
    )
    return Side(Into(kind, words=told), times=times)


def read_opening(c: Cursor) -> Into | None:
    """`evenly around neck opening`, `along the left armhole edge`: what the piece has there is not told."""
    at = c.at
    c.take_any("evenly", "spaced")
    if c.take_if("around", "across", "in", "up", "down"):
        c.take_any("the", "left", "right", "front", "back", "lower", "bottom", "entire", "whole", "each")
        if c.take_if(*_OPENINGS):
            c.take_any("edge", "opening", "edges", *_OPENINGS)
            if c.done or c.is_(",", ";", ".", ")", "and"):
                return Into("named", words=_told(c, at, False))
    c.at = at
    return None


def read_spread(c: Cursor) -> Side | None:
    """`evenly spaced`, `evenly`, where it is told before that the work goes along the ends of rows."""
    at = c.at
    if c.take_if("evenly", "spaced"):
        c.take_any("evenly", "spaced", "across")
        if c.done or c.is_(",", ";", ".", ")"):
            return Side(_UNTOLD)
    c.at = at
    return None


def read_told_before(c: Cursor) -> bool:
    """`working in ends of rows`: said once of all that follows; False (and no move) where it is not."""
    at = c.at
    if c.take_if("work"):
        behind, side = c.at, read_side(c, False)
        ends = side is not None and side.into.kind == "side"
        if side is None:
            c.at = behind
            ends = bool(c.take_if("in", "across", "down", "up", "on", "over")) and read_row_ends(c) is not None
        if ends and (c.done or c.is_(",", ";", ".", ":") or c.peek().kind in ("stitch", "number")):
            return True
    c.at = at
    return False


def read_picked_up(c: Cursor, main: str) -> tuple[str, Amount, Into] | None:
    """(stitch, how many, place) of `pick up 20 sts along the side`, `pick up and sc 20 sts along ends of rows`."""
    at = c.at
    if c.take_all("pick", "up", "and?", "work?"):
        stitch = c.take_kind("stitch")
        number = c.take_kind("number")
        if number:
            stitch = c.take_kind("stitch") or stitch
            c.take_if("st")
            if (side := read_side(c, True)) is not None and not side.bottom and side.times == 1:
                return str(stitch.value) if stitch else main, number.value, side.into
            if c.take_if("in", "on", "across") and read_row_ends(c) is not None:
                return str(stitch.value) if stitch else main, number.value, _UNTOLD
    c.at = at
    return None


def _told(c: Cursor, at: int, evenly: bool) -> str:
    words = c.written(at)
    return words[:1].lower() + words[1:]
