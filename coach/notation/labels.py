"""Labels of rounds and rows: `Rnd 3:`, `Rows 4-9:`, `R7:`, `4.-6. rnd`, `1st row (WS):`, `Rounds 3, 5 and 7:` ..."""

from __future__ import annotations

import re
from dataclasses import replace

from coach.notation.colour_names import read_labelled_colour
from coach.notation.cursor import Cursor
from coach.notation.lexer import Token, pieces
from coach.values import value

LONGEST_RANGE = 10_000
_HEAD = 200  # characters of a line that a label can take up
_HINT = re.compile(r"(?<![a-z])(?:r\d|(?:round|rnd|rd|row)s?(?![a-z]))", re.IGNORECASE)
_USUAL = re.compile(
    r"(?P<kind>r(?:ows?|nds?|ounds?)?) ?(?P<first>\d{1,6})(?:-(?P<last>\d{1,6}))?: (?! |_|\*\*)", re.IGNORECASE
)
_BEGINS = re.compile(
    r"\W{0,6}(?:(?:(?:for |in |on )?(?:r|rows?|rnds?|rds?|rounds?))\.? ?#?\d|(?:\d{1,6}(?:st|nd|rd|th|d|\.)?|next|last|"
    r"foundation) (?:rows?|rnds?|rds?|rounds?)\b|(?:for|work) (?:the )?(?:next )?\d{1,4} [^:,]{0,40}?"
    r"(?:rows?|rnds?|rds?|rounds?)[:,])",
    re.IGNORECASE,
)
_DOTTED = re.compile(r"\s*+(?P<kind>r)(?P<n>\d{1,3})\.(?=[\da-z(\[*])", re.IGNORECASE)
_BARE = re.compile(r"\W{0,4}\d{1,3}(?:st|nd|rd|th|d)?(?:\s?(?:-|to|,)\s?\d{1,3}){0,8}\s?[.):]")
_NUMBERED = re.compile(r"\W*+no\.? ?\d{1,3}\.\s*+(?=\d{1,3}[.)])", re.IGNORECASE)  # "NO. 1. 1.--Miss 1": its own number
_LISTED = re.compile(
    r"\W*+\d{1,3}[.)]\s++(?=(?:rounds?|rnds?|rds?|rows?|r)\.? ?#?\d)", re.IGNORECASE
)  # "3. Rnd 3: ..."
ORDINAL = re.compile(r"\s*+(?P<n>\d{1,3})(?:st|nd|rd|th|d)\s*+(?:\((?P<said>[^()]{1,40})\)\s*+)?:", re.IGNORECASE)
SHAPING = ("inc", "dec")
NAMED = (*SHAPING, "pattern", "patt")
_SEPARATORS = (":", ".", ")", "]", "—", "=", "-", ",")
_SIZES_ONLY = re.compile(r"\s*+(?:for\s++)?sizes?\s++(?P<only>[^:.]{1,40}?)\s++only\s*+[:,.-]?\s*+", re.IGNORECASE)
_MAY_FOLLOW = re.compile(
    r"\s*+(\(|\[|\*|ch\b|\d|sc\b|dc\b|hdc|tr\b|inc\b|dec\b|mr\b|sl st|work\b|with\b|join|turn\b|rep|sk\b|magic|blo\b|"
    r"flo\b|in\b|same\b|inv|(?:put|insert|crochet|increase|decrease|make (?!up)|place|using|drop|change|start(?:ing)?|"
    r"begin|as|all|every|each|single|double|half|treble|chain|skip|miss|slip|ss|bo|pop|picot|bobble|shell|[fb]p[a-z]*|"
    r"fsc|htr|dtr|esc|ehdc|edc|fasten|cut|close|finish|colou?r)\b)",
    re.IGNORECASE,
)
_TELLS = re.compile(  # what may follow "R3" and a space: all but a sentence about it
    r"\s++(?!(?:is|are|was|were|and|or|to|with|should|will|looks?|has|have|for|of|on)\b)(?=.*\w)", re.IGNORECASE
)
_EDGING = re.compile(  # "Edging: Ch 1, sc evenly along ...": a round that has a name and no number
    r"\W{0,4}(?P<name>(?:(?:final|last|outer|lace|shell|picot|side|top|bottom|neck|button) )?(?:edging|border|trim)"
    r"(?: (?:row|rnd|round))?)\s?(?:\((?:rs|ws)\)\s?)?:\s*+"
    r"(?=.{0,200}\b(?:sc|hdc|dc|tr|crochet|ch)\b.{0,200}\b(?:in|into|along|around|across|evenly|down|up)\b)",
    re.IGNORECASE,
)
# What stands before a label inside a line. All of it begins with one of a few characters, since each line is searched.
INSIDE = re.compile(
    r"[.)\]>;: ](?<!only:)"  # "Size L only: Rnd 10:" is of that round alone
    r"(?:(?<! )\s++(?=(?:rounds?|rnds?|rds?|rows?)\s*+\d{1,6}(?:\s*+(?:-|to|and|&|,)\s*+\d{1,6}){0,20}"
    r"(?:\s*+[(\[][^)\]]{0,20}[)\]])?(?:\s*+:| - (?=ch\b))"
    r"|R\d{1,4}(?:-\d{1,4})?\s*+:|\d{1,4}(?:st|nd|rd|th)\s++(?:rounds?|rnds?|rds?|rows?)\s*+[:(])"
    r"|(?:(?<=\.)--|(?<= )work the )(?=1st (?:round|row)(?:--|:)))",  # "LACE (fig. 3).--1st row--", "work the 1st row:"
    re.IGNORECASE,
)


@value
class Label:
    """A label as found. numbers: every round it names, in order (None: the next ones, `count` of them); ends: the last
    number for each size, where sizes differ (counted from the first of them, where `numbers` is None); kind: round, row
    or "" (not said)."""

    numbers: tuple[int, ...] | None
    kind: str
    side: str | None
    start: int
    end: int
    base: bool = False
    ends: tuple[int, ...] = ()
    bare: bool = False
    alternate: bool = False  # "Row 2 and all even rows:"
    count: int = 1
    bracket: tuple[int, ...] = ()  # "Row 11 (13, 15):" the number in the other sizes; "Rnd 3 (18):" the count
    only: str = ""  # the sizes named before it: "Sizes M and L only: Rnd 9: ..."
    colour: str = ""  # "Rnd 1 (red):"
    name: str = ""  # inc or dec: "Row 2 (inc row):"
    title: str = ""  # what it is called in place of a number: "Edging:"


def read_label(line: str, start: int, bare: bool = False) -> Label | None:
    """The label that a folded line starts with; `bare` allows `4.` and `4-6)`. start: the line's offset in the text."""
    if m := _USUAL.match(line):  # most lines of most pages, read at once
        first, last = int(m["first"]), int(m["last"] or m["first"])
        if first <= last <= first + LONGEST_RANGE:
            kind = "row" if m["kind"][1:3].lower() == "ow" else "round" if len(m["kind"]) > 1 else ""
            return Label(tuple(range(first, last + 1)), kind, None, start + m.start("kind"), start + m.end())
    if m := _DOTTED.match(line):  # "R2.6INC.(12)"
        return Label((int(m["n"]),), "", None, start + m.start("kind"), start + m.end())
    if bare and (m := ORDINAL.match(line)):  # "3rd:", "2nd (blue and white):", where its turn has come
        colour = m["said"] or ""
        return Label((int(m["n"]),), "", None, start + m.start("n"), start + m.end(), bare=True, colour=colour.lower())
    if bare and (m := _NUMBERED.match(line)):
        return read_label(line[m.end() :], start + m.end(), bare)
    if m := _LISTED.match(line):
        return read_label(line[m.end() :], start + m.end())
    if (m := _EDGING.match(line)) and _MAY_FOLLOW.match(line[m.end() :]):
        kind = "row" if m["name"].lower().endswith("row") else ""
        return Label(None, kind, None, start + m.start("name"), start + m.end(), title=m["name"].capitalize())
    head = line[:_HEAD]
    hinted = bool(_HINT.search(head))
    if not hinted and not (bare and _BARE.match(head)):
        return None
    if (m := _SIZES_ONLY.match(head)) and (label := read_label(line[m.end() :], start + m.end())):
        return replace(label, only=m["only"])
    c = Cursor(pieces(head))
    _bullet(c)
    at = c.at
    for form in (_kind_first, _number_first, _in_words, _base) if hinted else ():
        c.at = at
        if (label := form(c, line)) is not None:
            return _placed(label, c, line, start, at)
    c.at = at
    return _placed(label, c, line, start, at) if bare and (label := _bare(c)) else None


def may_be_labelled(line: str) -> bool:
    """Whether a line starts like one with a label; cheaper than reading it."""
    return _BEGINS.match(line) is not None


def _placed(label: Label, c: Cursor, line: str, start: int, at: int) -> Label:
    end = c.tokens[c.at - 1].end
    while line[end : end + 1] in (" ", "_") or (line[end : end + 2] == "**" and line[:end].count("**") % 2):
        if end >= len(line):
            break
        end += 2 if line[end : end + 2] == "**" else 1
    return replace(label, start=start + c.tokens[at].start, end=start + end)


def _bullet(c: Cursor) -> None:
    """`- `, `> `, `[ ] `, `**`."""
    if c.take_all("[", "]") or c.take_all("[", "x", "]"):
        return
    for _ in range(6):
        if not c.take_if("-", "*", "**", ">", "#", "•") and not _is_picture(c):
            return


def _is_picture(c: Cursor) -> bool:
    """Takes a sign that is no letter, number or mark of ours, as a ball of yarn before a line."""
    sign = str(c.peek().value)
    return c.peek().kind == "mark" and not sign.isascii() and sign not in "—†" and bool(c.take())


# -------------------------------------------------------------------- forms
def _kind_first(c: Cursor, line: str) -> Label | None:
    """`Rnd 3:`, `Rows 4-9`, `R7`, `Row 2 and all even rows to Row 6:`, `Row first:`, `For round 2, ...`."""
    told = c.take_if("for", "in", "on")
    kind = _kind(c, line, letter=True)
    if kind is None:
        return None
    c.take_if(".")
    c.take_if("#")
    numbers, ends = _list(c, line)
    if not numbers:
        return None
    every = _every_other(c, line, numbers[-1])
    numbers = every or numbers
    if c.is_("times", "st", "x"):
        return None
    bracket = _bracket(c) if len(numbers) == 1 else ()
    side, only = _side(c)
    name = _shaping(c)
    colour = read_labelled_colour(c)
    if told and not c.is_(",", ":"):
        return None
    c.take_if("onwards", "onward")  # "Row 3 onwards: repeat row 2 until ..."
    rest = line[c.tokens[c.at - 1].end :]
    if not _separated(c) and not _MAY_FOLLOW.match(rest) and (kind or not _TELLS.match(rest)):
        return None
    label = Label(numbers, kind, side, 0, 0, ends=ends, only=only, bracket=bracket, colour=colour, name=name)
    return replace(label, alternate=len(every) == 1)


def _shaping(c: Cursor) -> str:
    """`(inc row)`, `- decrease round`: what the round is called too."""
    at = c.at
    bracket = c.take_if("(", "[")
    if (bracket or c.take_if("-", "—")) and (word := c.take_if(*SHAPING)):
        named = c.take_if("row", "rnd", "around")
        closed = c.take_if(")", "]")
        if named or bracket and closed and c.is_(":", "-", "—"):  # "(inc row)", "(inc):"
            return str(word.value)
    c.at = at
    return ""


def _bracket(c: Cursor) -> tuple[int, ...]:
    """The numbers in a bracket between the label's own and its colon."""
    at = c.at
    found = _numbers_in_bracket(c, "st")
    if found and c.is_(":"):
        return found
    c.at = at
    return ()


def _numbers_in_bracket(c: Cursor, *noun: str) -> tuple[int, ...]:
    """`(4, 5)`, also with a noun behind them; () and no move where there is no such bracket."""
    at = c.at
    found: list[int] = []
    if c.take_if("(", "["):
        while (number := c.take_kind("number")) and isinstance(number.value, int):
            found.append(number.value)
            c.take_if(",", "/")
        c.take_if(*noun)
        if found and c.take_if(")", "]"):
            return tuple(found)
    c.at = at
    return ()


def _number_first(c: Cursor, line: str) -> Label | None:
    """`1st row (WS):`, `4.-6. rnd`, `2 to 4 rounds:`."""
    numbers, ends = _list(c, line)
    kind = _kind(c, line) if numbers else None
    if kind is None or (c.peek().kind == "number" and c.peek(1).is_("times", "x", "more")) or c.is_("twice", "once"):
        return None
    side, only = _side(c)
    name = _shaping(c)
    colour = read_labelled_colour(c)
    if not _separated(c) and not _MAY_FOLLOW.match(line[c.tokens[c.at - 1].end :]):
        return None
    return Label(numbers, kind, side, 0, 0, ends=ends, only=only, colour=colour, name=name)


def _in_words(c: Cursor, line: str) -> Label | None:
    """`Next round:`, `Next 3 rnds:`, `Last row:`, `Dec row:`, `Pattern row:`, `Next row (dec):`; `For the next 3 rnds,
    ch 2 ...`, `Work 3 rounds: ch 2 ...`."""
    led = c.take_all("for|work", "the?")
    word = c.take_if("next", "last", "final", *NAMED)
    if word is None and not (led and c.peek().kind == "number"):
        return None
    number = c.take_kind("number")
    further = _numbers_in_bracket(c) if number else ()  # of the other sizes: `Next 3 (4, 5) rnds:`
    kind = _kind(c, line)
    if kind is None:
        return None
    if led and number:
        c.take_any("evenly", "straight")
    if led and not (c.is_(":", ",") and _MAY_FOLLOW.match(line[c.peek().end :])):
        return None
    side, only = _side(c)
    name = str(word.value) if word and word.is_(*NAMED) else _shaping(c)
    name = "patt" if name == "pattern" else name
    colour = read_labelled_colour(c)
    if not _separated(c):
        return None
    count = number.value if number and isinstance(number.value, int) else 1
    most, ends = max((count, *further)), (count, *further) if further else ()
    return Label(None, kind, side, 0, 0, count=most, ends=ends, only=only, colour=colour, name=name)


def _base(c: Cursor, line: str) -> Label | None:
    """`Foundation row:`, `Set-up rnd:`."""
    if not (c.take_if("foundation", "base", "setup") or c.take_all("set", "up")):
        return None
    kind = _kind(c, line)
    if kind is None:
        return None
    side, only = _side(c)
    return Label((0,), kind, side, 0, 0, base=True, only=only) if _separated(c) else None


def _bare(c: Cursor) -> Label | None:
    """`4.`, `3-5)`, `3, 4, 5.`"""
    numbers, ends = _list(c, "")
    if (
        not numbers
        or numbers[-1] > 999
        or not (c.tokens[c.at - 1].is_(".") or c.is_(".", ")", ":"))
        or c.peek(1).kind == "end"
        and not c.tokens[c.at - 1].is_(".")
    ):
        return None
    _separated(c)
    return Label(numbers, "", None, 0, 0, ends=ends, bare=True)


# -------------------------------------------------------------------- their pieces
def _kind(c: Cursor, line: str, letter: bool = False) -> str | None:
    token = c.peek()
    if token.is_("row"):
        c.take()
        return "row"
    if token.is_("rnd") or (token.is_("around") and line[token.start : token.start + 1] in "rR"):
        c.take()
        return "round"
    if letter and token.is_("r") and c.peek(1).kind == "number" and c.peek(1).start == token.end:
        c.take()
        return ""
    return None


def _list(c: Cursor, line: str) -> tuple[tuple[int, ...], tuple[int, ...]]:
    """(round numbers, last number for each size): `3`, `4-9`, `3, 5 and 7`, `4.-6.`, `9-12 (14, 16)`, `3-4 (3-5,
    3-6)`.
    """
    found: list[int] = []
    while True:
        at = c.at
        joiner = None
        if found:
            joiner = c.take_if("-", "—", "to", "through", "thru", "until", "and", "&", ",", "/", "+")
            if joiner is None:
                break
            if joiner.is_(","):
                c.take_if("and", "&")
            if joiner.is_("-", "—", "to", "through", "thru", "until", "and", "&", ","):
                _kind(c, line, letter=True)  # "R5 - R7"
        token = c.peek()
        if token.kind not in ("number", "ordinal") or not isinstance(token.value, int) or token.value > 999_999:
            c.at = at
            break
        c.take()
        spaced = joiner is not None and c.tokens[c.at - 2] is joiner and joiner.end < token.start
        if joiner is not None and spaced and joiner.is_("-", "—", ",") and _begins_body(c, joiner, token, found[-1]):
            c.at = at
            break
        if (
            c.is_(".", ")")
            and c.peek().start == c.tokens[c.at - 1].end
            and c.peek(1).is_("-", "rnd", "row", "around", "and", ",")
        ):
            c.take()
        n = token.value
        if (
            joiner is not None
            and joiner.is_("-", "—", "to", "through", "thru", "until")
            and found[-1] < n <= found[-1] + LONGEST_RANGE
        ):
            found.extend(range(found[-1] + 1, n + 1))
        elif not found or n != found[-1]:
            found.append(n)
    ends = _ends(c, found) if found else ()
    if ends:
        found.extend(range(found[-1] + 1, min(max(ends), found[-1] + LONGEST_RANGE) + 1))
    return tuple(found), ends


def _begins_body(c: Cursor, joiner: Token, number: Token, last: int) -> bool:
    """`Rnd 2 - 2 sc in each st`: the number behind the dash is the first of the instruction."""
    if joiner.is_("-", "—") and number.value <= last:
        return True
    return not (
        c.done or c.is_("-", "—", "to", "through", "and", "&", "/", "(", "[", "rnd", "row", "around", *_SEPARATORS)
    )


def _ends(c: Cursor, found: list[int]) -> tuple[int, ...]:
    """`(11, 13)`, `[3-5; 3-6]` behind the numbers of the first size."""
    at = c.at
    if len(found) < 2 or not c.take_if("(", "["):
        return ()
    ends = [found[-1]]
    while number := c.take_kind("number"):
        if c.take_if("-", "to"):
            number = c.take_kind("number")
        if number is None or not isinstance(number.value, int):
            break
        ends.append(number.value)
        c.take_if(",", ";")
    if len(ends) > 1 and c.take_if(")", "]"):
        return tuple(ends)
    c.at = at
    return ()


def _every_other(c: Cursor, line: str, first: int) -> tuple[int, ...]:
    """`and all even rows to Row 6`; without an end (`and all even rows:`) only the first."""
    at = c.at
    named = c.take_all("and", "all|each", "even|odd|other|evenly|ws|rs", "numbered?") and _kind(c, line)
    if named and c.is_(":"):
        return (first,)
    if named and c.take_if("to", "through", "until"):
        _kind(c, line)
        number = c.take_kind("number")
        if number and isinstance(number.value, int) and first < number.value <= first + LONGEST_RANGE:
            return tuple(range(first, number.value + 1, 2))
    c.at = at
    return ()


def _side(c: Cursor) -> tuple[str | None, str]:
    """(RS or WS, names of the only sizes) said in brackets behind the number."""
    at = c.at
    if c.take_if("(", "["):
        side = "RS" if c.take_if("rs", "right") else "WS" if c.take_if("ws", "wrong") else None
        words = c.at
        while not c.done and not c.is_(")", "]", "("):
            c.take()
        only = " ".join(str(t.value) for t in c.tokens[words : c.at - 1]) if c.tokens[c.at - 1].is_("only") else ""
        if (side or only) and c.take_if(")", "]"):
            return side, only
    c.at = at
    return None, ""


def _separated(c: Cursor) -> bool:
    c.take_any("**")
    at = c.at
    while c.is_(*_SEPARATORS):
        c.take()
    c.take_any("**") if c.at > at else None
    return c.at > at
