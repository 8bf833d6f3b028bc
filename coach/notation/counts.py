"""Stated counts: `(18)`, `[18]`, `<18>`, `- 18 sc`, `= 18`, `18 sts`, `(12 dc, 4 ch-2 sps)`, `(24, 26, 28)`."""

from __future__ import annotations

from coach.notation.cursor import Cursor
from coach.notation.lexer import Token
from coach.notation.model import Count, Span

_TAIL_WORDS = ("st", "total", "in", "all", "at", "end", "of", "rnd", "row", "around", "each", "altogether", "made", "remain", "there", "are", "now", "you",
               "have", "should", "on", "will", "counts", "the", "this", "with", "per", "for", "tch", "including", "ch", "not", "picot", "having", "inc")
_NOUN_SPACES = ("sp", "lp")


def read_counts(tokens: list[Token], start: int, stop: int) -> list[Count] | None:
    """The counts that tokens[start:stop] state, when they state counts and nothing else."""
    c = Cursor(tokens, start, stop)
    counts: list[Count] = []
    named = False
    c.take_any("total", ":", "=", "you", "will", "have", "should", "now", "there", "are", "makes", "counts", "st", "—", "-")
    while not c.done:
        number = c.take_kind("number")
        if not number:
            return None
        value = number.value
        if isinstance(value, int) and c.is_("(", "[") and c.peek(1).kind == "number":  # 24 (26, 28)
            at = c.at
            c.take()
            values = [value]
            while n := c.take_kind("number"):
                values.append(n.value)
                c.take_if(",", "/", ":")
            if c.take_if(")", "]"):
                value = tuple(values)
            else:
                c.at = at
                return None
        kind = None
        c.take_any("total", "in", "all")
        if space := c.take_kind("space"):
            c.take_any("corner", "sp", "lp", "ch")
            kind = f"space {space.value}"
        elif c.take_if("corner"):
            if c.take_if("sp") or c.peek().kind == "space":
                c.take_kind("space")
                c.take_any("sp")
            kind = "space"
        elif c.is_("ch") and c.peek(1).is_(*_NOUN_SPACES) or c.is_(*_NOUN_SPACES):
            c.take_any("ch", *_NOUN_SPACES)
            kind = "space"
        elif stitch := c.take_kind("stitch"):
            kind = str(stitch.value)
            c.take_if("st", "s")
        elif c.take_if("st"):
            kind = "st"
        elif c.take_if("ch"):
            kind = "ch"
        elif c.take_if("picot"):
            kind = "picot"
        named = named or kind is not None
        counts.append(Count(value, kind, number.span))
        if c.take_if(",", "and", "+", "&", "/", ";"):
            c.take_if("and")
            continue
        c.take_any(*_TAIL_WORDS, "(", ")", ".")
        while c.peek().kind == "stitch" and c.tokens[c.at - 1].is_("each", "of", "this", "including"):
            c.take()
        if not c.done:
            return None
    if not counts:
        return None
    if len(counts) > 1 and all(n.kind in (None, "st") for n in counts[:-1]) and not (counts[0].kind and counts[-1].kind):
        sizes = tuple(n.amount for n in counts)  # (24, 26, 28 sts): a number for each size
        if all(isinstance(s, int) for s in sizes):
            return [Count(sizes, counts[-1].kind if counts[-1].kind != "st" else None, Span(tokens[start].start, tokens[stop - 1].end))]
    return [Count(n.amount, None if n.kind == "st" else n.kind, n.span) for n in counts]


def take_counts(tokens: list[Token]) -> tuple[list[Token], list[Count]]:
    """The tokens of a round without its stated counts, and those counts. Only the last statement is kept."""
    found: list[Count] = []
    out = list(tokens)
    i = 0
    while i < len(out):  # brackets anywhere that hold counts and end an instruction
        if out[i].is_("(", "[", "<", "{"):
            close = Cursor(out, i).closing()
            if close is not None and close > i + 1 and _ends_something(out, i, close):
                counts = read_counts(out, i + 1, close)
                if counts:
                    found = counts
                    before = i - 1 if i and out[i - 1].is_("-", "—", "=", ":") else i
                    after = close + 1
                    while after < len(out) and out[after].is_("st", ")"):
                        after += 1
                    out[before:after] = [Token("mark", ".", out[i].start, out[close].end)]
                    continue
        i += 1
    if not found:
        tail = _unbracketed(out)
        if tail is not None:
            at, found = tail
            out[at:] = []
    return out, found


def _ends_something(tokens: list[Token], i: int, close: int) -> bool:
    if i == 0:
        return False
    after = tokens[close + 1] if close + 1 < len(tokens) else None
    inner = tokens[i + 1:close]
    bare = all(t.kind == "number" or t.is_(",", "st", "total", "in", "all") for t in inner)
    if after is not None and (after.is_("times", "x", "in", "rep", "more", "around", "across", "twice", "once", "*", "on", "evenly", "to") or after.kind == "number"):
        return False
    before = tokens[i - 1]
    if before.kind == "number" and not (after is None or after.is_(".")):
        return False
    if len(inner) == 1 and inner[0].kind == "number":
        return True
    if bare:
        return not (before.kind == "number") or after is None or after.is_(".")
    # a bracket with stitches in it, "(2 dc, 1 ch)", is a count only when nothing is left to do after it
    return after is None or after.is_(".", ";", "turn", "join", ",") and close + 3 >= len(tokens) or after.is_(".")


def _unbracketed(tokens: list[Token]) -> tuple[int, list[Count]] | None:
    end = len(tokens)
    while end and tokens[end - 1].is_(".", ",", ";"):
        end -= 1
    depth = 0
    for i in range(end - 1, 0, -1):
        if tokens[i].is_(")", "]", "}"):
            depth += 1
        elif tokens[i].is_("(", "[", "{"):
            depth -= 1
        if depth:
            continue
        if tokens[i].is_("=", "—", "-", ":", ">") and i + 1 < end:
            if counts := read_counts(tokens, i + 1, end):
                start = i
                while start and tokens[start - 1].is_("=", "-", "—", ">"):
                    start -= 1
                return start, counts
        if tokens[i].is_(".", ";", ",", "turn", "join", "around", "across", ")", "]") and i + 2 < end + 1:
            nouns = tokens[i + 2:end] if i + 2 <= end else []
            said = any(t.is_("st", "total", "altogether") for t in nouns) and not any(
                t.is_("next", "in") and not (j + 1 < len(nouns) and nouns[j + 1].is_("all")) for j, t in enumerate(nouns))
            whole = tokens[i].is_(".") and i + 1 < end
            if (said or whole) and tokens[i + 1].kind == "number" and (counts := read_counts(tokens, i + 1, end)):
                if said or counts[0].kind or i + 2 == end:
                    return i + 1, counts
    return None
