"""Rounds that point at other rounds: `Rep Row 2`, `Repeat rows 2 and 3 three times`, `Work even for 6 rows`."""

from __future__ import annotations

import re
from dataclasses import replace

from coach.notation import prose
from coach.notation.cursor import Cursor
from coach.notation.established import says_pattern
from coach.notation.extents import read_extent
from coach.notation.lexer import pieces, sized
from coach.notation.model import Amount
from coach.notation.proceeding import ROWS_OF_A_RIB
from coach.values import value

LONGEST_RANGE = 10_000
_ADVERBS = {"once": 1, "twice": 2, "thrice": 3}
_ROWS = ("row", "rnd", "around", "r")
_MEASURE = re.compile(
    r"\b(?:until|till|for)\b.*?\b(?:measures?|cm|inch(?:es)?|long|desired|length|fits|reach(?:es)?|mm|deep|wide|in)\b",
    re.IGNORECASE | re.DOTALL,
)
_AGAIN = re.compile(r"[.!?)]\s++(?:rep|work as|same as|dec|inc)", re.IGNORECASE)
_ALSO = re.compile(r"[,;]\s++and (?=rep(?:eat)? (?:the )?\d)", re.IGNORECASE)
_FIRST = re.compile(
    r"\W*+(?:work|rep|rpt|same|the |as\b|like\b|cont|now\b|then\b|dec|inc|narrow|widen|at the|plain|\d+ (?:r|more)|"
    r"\w+ (?:rows|rounds|rnds)\b)",
    re.IGNORECASE,
)
_PLAIN = ("increasing", "decreasing", "shaping", "inc", "dec", "increases", "decreases", "widening", "narrowing")


@value
class Reference:
    """numbers: the rounds pointed at (empty: the last ones, `last` of them); times: how often they are worked as a set,
    None where the label says it; rows: how many rounds in all, where the text counts rounds; up_to: the number of the
    last round; until: a measure that ends it; even: work each stitch as it comes (of: with this stitch); patterned: or
    as the pattern has it; ends: inc or dec at each end of each row; called: the last inc or dec row; rest: words behind
    it."""

    numbers: tuple[int, ...] = ()
    last: int = 0
    times: Amount | None = None
    rows: Amount | None = None
    up_to: Amount | None = None
    until: str | None = None
    even: bool = False
    patterned: bool = False
    of: str = ""
    ends: str | None = None
    called: str = ""
    rest: str = ""

    @property
    def extends(self) -> bool:
        """Whether it says by itself how many rounds it is."""
        return any(x is not None for x in (self.times, self.rows, self.up_to, self.until))


def read_reference(text: str) -> Reference | None:
    """The reference that an instruction is; None when it is an instruction of its own."""
    head = text[:400]
    if not _FIRST.match(head):
        return None
    c = Cursor(sized(pieces(head), alone=False))
    for reader in (_rounds_named, _last_rounds, _even, _each_end):
        c.at = 0
        if (found := reader(c, head)) is not None:
            rest = text[c.tokens[c.at - 1].end :] if c.at else text
            return replace(found, rest=rest)
    return None


def cut_reference(text: str) -> tuple[str, str]:
    """A round's text, and behind it `Rep Rows 2 and 3 twice` where a sentence of it says so, or its last clause
    (`..., and repeat 2d row`)."""
    if _AGAIN.search(text):
        for sentence, at in prose.sentences(text, 0)[1:]:
            reference = read_reference(sentence)
            if reference is not None and (reference.numbers or reference.last) and not reference.even:
                return text[:at], text[at:]
    if (m := _ALSO.search(text)) and (reference := read_reference(text[m.end() :])) and reference.numbers:
        return text[: m.end()], text[m.end() :]
    return text, ""


def told(measure: str) -> str:
    """The measure that ends a repeat, as a note says it."""
    return f"Work {measure}" if measure.lower().startswith("for") else f"Repeat {measure}"


def _says_again(c: Cursor) -> bool:
    """`Rep`, `Same as`, `Work as for` ..."""
    at = c.at
    c.take_any("work")
    if c.take_if("rep"):
        c.take_any("from", "the")
        return True
    if c.take_all("the?", "same", "st?", "as|like") or c.take_all("as", "for?|in?") or c.take_all("like"):
        c.take_any("in", "for", "the")
        return True
    c.at = at
    return False


def _rounds_named(c: Cursor, text: str) -> Reference | None:
    if c.take_all("work", "the?") and c.is_(*_ROWS) and c.peek(1).kind == "number":  # "work rows 2-5 twice more"
        c.take()
        found = _with_times(c, text, Reference(_list(c)))
        return found if found.numbers and found.extends else None
    if not _says_again(c):
        return None
    c.take_any("last") if c.peek(1).is_(*_ROWS) and c.peek(2).kind == "number" else None
    if c.is_("inc", "dec", "patt", "pattern") and c.peek(1).is_(*_ROWS):  # "rep inc row"
        called = str(c.take().value).replace("pattern", "patt")
        c.take()
        return _with_times(c, text, Reference(called=called))
    before = bool(c.take_if(*_ROWS))
    numbers = _list(c)
    named = before or c.take_if(*_ROWS) or (c.tokens[c.at - 1].kind == "ordinal" and _is_behind(c))  # "Like 3rd, ..."
    if not numbers or not named:
        return None
    return _with_times(c, text, Reference(numbers))


def _is_behind(c: Cursor) -> bool:
    """Whether the words end here, or what follows says something else."""
    return c.done or c.is_(",", ".", ";", "-", "—", "--")


def _last_rounds(c: Cursor, text: str) -> Reference | None:
    if not _says_again(c):
        return None
    if not c.take_if("last", "previous", "prev", "these", "preceding"):
        return None
    number = c.take_kind("number")
    if not c.take_if(*_ROWS) and not (c.tokens[c.at - 1].is_("preceding", "last") and _is_behind(c)):
        return None
    return _with_times(c, text, Reference(last=number.value if number and isinstance(number.value, int) else 1))


def _even(c: Cursor, text: str) -> Reference | None:
    c.take_any("work", "continue", "continuing", "now", "then")
    started = c.at > 0
    number = c.take_kind("number")
    rows = bool(number and c.take_if(*_ROWS))
    if number and not rows:
        return None
    c.take_any("in", "sc") if c.peek(1).is_("evenly", "straight", "without") else None
    plain = bool(c.take_if("evenly", "straight", "plain")) or c.take_all("without", "|".join(_PLAIN))
    patterned = says_pattern(c)
    plain = plain or patterned
    started = started or c.tokens[0].is_("plain")  # "5. Plain."
    if not plain or not (started or rows) or not (rows or _ends_or_counts(c)):
        return None
    c.take_all("or", "|".join(_PLAIN))
    if rows:
        return Reference(last=1, even=True, patterned=patterned, rows=number.value)
    if c.is_("to") and (far := read_extent(c)) and far.said:
        return None  # "work even to last 5 sts": an instruction of its own
    return _with_times(c, text, Reference(last=1, even=True, patterned=patterned))


def _ends_or_counts(c: Cursor) -> bool:
    return (
        c.done
        or c.is_(".", ",", ";", ":", "for", "until", "(", "in", "over", "on", "or", "as", "from", "to")
        or c.peek().kind == "number"
    )


def _each_end(c: Cursor, text: str) -> Reference | None:
    """`Dec 1 st at each end of next 4 rows`, `at the same time, inc 1 st each end of every row 3 times`."""
    at = next((i for i in range(len(c.tokens)) if c.tokens[i].is_("inc", "dec")), None)
    if at is None or any(t.kind == "number" for t in c.tokens[:at]):
        return None
    c.at = at + 1
    number = c.take_kind("number")
    c.take_if("st")
    if (
        not number
        or number.value != 1
        or not c.take_all("at?", "each|both", "end|side", "of", "the?", "next|following|each?")
    ):
        return None
    rows = c.take_kind("number")
    if not rows or not c.take_if(*_ROWS):
        return None
    return Reference(last=1, rows=rows.value, ends=str(c.tokens[at].value))


def _with_times(c: Cursor, text: str, reference: Reference) -> Reference:
    """What follows says how often: times, rows in all, a measure."""
    here = c.tokens[c.at - 1].end if c.at else 0
    tail = text[here:]
    if counted := _until_rows(c):
        return replace(reference, up_to=counted)
    if until := _MEASURE.search(tail):
        return replace(reference, until=" ".join(tail[until.start() :].split()).rstrip("."))
    if c.take_all("("):
        c.take_kind("number")
        c.take_if(")")
    at = c.at
    c.take_any(",", "for")
    number = c.take_kind("number")
    if number and c.take_if("times") and c.take_all(",", "work"):  # "23 times, making 24 rows of blocks in all"
        return replace(reference, times=number.value)
    c.at = at
    if (rows := _all_rows(c)) is not None:
        return replace(reference, rows=rows)
    c.at = at
    c.take_any(",", "for", "a", "total", "of", "work", "over")
    more = bool(c.take_if("another", "further"))
    for word, n in _ADVERBS.items():
        if c.take_if(word):
            c.take_any("more")
            return replace(reference, times=n)
    number = c.take_kind("number")
    further = bool(number) and bool(c.take_if("more"))
    if number and (c.take_if("times", "x") or more or further):
        c.take_any("more")
        return replace(reference, times=number.value)
    c.at = at
    return reference


def _until_rows(c: Cursor) -> Amount | None:
    """`until you have 8 rows in all`, `until there are 24 ribs`, `until there are 40/44/48 rows`."""
    at = c.at
    if c.take_all("until"):
        c.take_any("you", "have", "there", "are", "work", "a", "total", "of", "been", "completed")
        number = c.take_kind("number")
        if number and isinstance(number.value, int) and c.take_if("ribs"):
            return ROWS_OF_A_RIB * number.value
        amount = number.value if number else 0
        while number and isinstance(number.value, int) and c.take_if("/"):  # "40/44/48 rows"
            number = c.take_kind("number")
            further = (number.value,) if number else ()
            amount = (*amount, *further) if isinstance(amount, tuple) else (amount, *further)
        if number and c.take_if(*_ROWS):
            c.take_any("in", "all", "total", "altogether", "have", "been", "work", "are", "done")
            return amount
    c.at = at
    return None


def _all_rows(c: Cursor) -> Amount | None:
    """The sum of every `N rows` that is named: `with MC 4 (6, 8) rnds, with CC 2 rnds`."""
    found: list[Amount] = []
    end = c.at
    while not c.done and not (c.is_(".") and found):
        token = c.take()
        if token.kind == "number":
            c.take_any("more", "further")
            if c.take_if(*_ROWS):
                c.take_any("more")
                found.append(token.value)
                end = c.at
    c.at = end
    if not found:
        return None
    width = max(len(a) if isinstance(a, tuple) else 1 for a in found)
    sums = tuple(sum(a if isinstance(a, int) else a[min(i, len(a) - 1)] for a in found) for i in range(width))
    return sums if width > 1 else sums[0]


def _list(c: Cursor) -> tuple[int, ...]:
    """`2`, `2 and 3`, `2nd, 3rd and 4th`, `2-4`."""
    found: list[int] = []
    while True:
        at = c.at
        ranged = False
        if found:
            joined = c.take_if(",", "and", "&", "/", "+")
            ranged = not joined and bool(c.take_if("-", "to", "through", "thru", "—"))
            if joined:
                c.take_if("and")
            elif not ranged:
                return tuple(found)
            c.take_if(*_ROWS)
        token = c.take_kind("ordinal") or c.take_kind("number")
        if (
            token is None
            or not isinstance(token.value, int)
            or c.is_("times", "x", "more")
            or (found and c.is_("st", "sc", "hdc", "dc", "tr", "htr"))  # "Rep Row 4—23 hdc": a count
        ):
            c.at = at
            return tuple(found)
        n = token.value
        if ranged and found[-1] < n <= found[-1] + LONGEST_RANGE:
            found.extend(range(found[-1] + 1, n + 1))
        else:
            found.append(n)
