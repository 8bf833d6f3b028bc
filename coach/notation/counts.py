"""Stated counts: `(18)`, `[18]`, `<18>`, `- 18 sc`, `= 18`, `18 sts`, `(12 dc, 4 ch-2 sps)`, `(24, 26, 28)`."""

from __future__ import annotations

from coach.notation.cursor import Cursor
from coach.notation.edges import tells_of_rows
from coach.notation.lexer import Token
from coach.notation.model import Amount, Count, Span

_LEAD_WORDS = frozenset("total : = you will have should now there are makes counts st — - >".split())
_TAIL_WORDS = frozenset(
    (
        "st total in all at end of rnd row around each altogether made remain there are now you have should on will "
        "counts the this with per for tch including ch not picot having inc ( ) ."
    ).split()
)
_UNCOUNTED = frozenset("handles handle petals points leaves shells fans holes buttonholes openings".split())
LONGEST = 60  # tokens of a count
_NOUN_SPACES = ("sp", "lp")
LOOPS = frozenset("sp lp square squares block blocks holes hole mesh meshes ray rays arch arches sq".split())
_AFTER_A_REPEAT = frozenset("times x in rep more around across twice once * on evenly to".split())
_BEHIND_A_TOTAL = frozenset("sp altogether circumference around rnd row".split())
TOTAL_FIRST = frozenset("and which until in work makes gives you will have a total of".split())


def read_counts(tokens: list[Token], start: int, stop: int) -> list[Count] | None:
    """The counts that tokens[start:stop] state, when they state counts and nothing else."""
    if stop - start == 1:  # "(18)", as most are
        only = tokens[start]
        return [Count(only.value, None, only.span)] if only.kind == "number" else None
    c = Cursor(tokens, start, stop)
    counts: list[Count] = []
    c.pass_over(_LEAD_WORDS)
    while not c.done:
        number = c.take_kind("number")
        if not number and counts and c.take_kind("space"):  # "4 sc + ch-2"
            c.take_any("sp", "lp")
        elif not number and counts and c.take_all("the", "ch"):  # "14 sc and the chain"
            pass
        if not number and c.done and counts:
            break
        if not number:
            return None
        value = _sizes(c, number.value)
        if value is None:
            return None
        kind = _kind(c)
        if kind is None and counts and c.is_in(_UNCOUNTED):  # "24 sc + 2 handles"
            c.take()
        else:
            counts.append(Count(value, kind, number.span))
        if c.is_(",") and c.peek(1).is_("counts", "including"):  # "ten dc, counting the first three chains as one"
            break
        if c.take_if(",", "and", "+", "&", "/", ";", ":"):
            c.take_if("and")
            continue
        c.pass_over(_TAIL_WORDS)
        while c.peek().kind == "stitch" and c.tokens[c.at - 1].is_("each", "of", "this", "including"):
            c.take()
        if not c.done:
            return None
    if not counts:
        return None
    if (
        len(counts) > 1
        and all(n.kind in (None, "st") for n in counts[:-1])
        and not (counts[0].kind and counts[-1].kind)
    ):
        sizes = tuple(n.amount for n in counts)  # (24, 26, 28 sts): a number for each size
        if all(isinstance(s, int) for s in sizes):
            return [
                Count(
                    sizes,
                    counts[-1].kind if counts[-1].kind != "st" else None,
                    Span(tokens[start].start, tokens[stop - 1].end),
                )
            ]
    return [Count(n.amount, None, n.span) if n.kind == "st" else n for n in counts]


def _sizes(c: Cursor, first: Amount) -> Amount | None:
    """The number with those of the further sizes behind it, `24 (26, 28)`; None when the bracket holds something
    else.
    """
    if not isinstance(first, int) or not c.is_("(", "[") or c.peek(1).kind != "number":
        return first
    c.take()
    values = [first]
    while n := c.take_kind("number"):
        values.append(n.value)
        c.take_if(",", "/", ":")
    return tuple(values) if c.take_if(")", "]") else None


def _kind(c: Cursor) -> str | None:
    """What is counted: `st`, a stitch, `space`, `space 2`, `ch`, `picot`; None when it is not said."""
    c.take_any("total", "in", "all")
    if space := c.take_kind("space"):
        c.take_any("corner", "sp", "lp", "ch")
        return f"space {space.value}"
    if c.take_if("corner"):
        if c.take_if("sp") or c.take_kind("space"):
            c.take_any("sp")
        return "space"
    if c.is_("ch") and c.peek(1).is_(*_NOUN_SPACES) or c.is_(*_NOUN_SPACES):
        c.take_any("ch", *_NOUN_SPACES)
        return "space"
    if stitch := c.take_kind("stitch"):
        c.take_if("st", "s")
        return str(stitch.value)
    if c.take_if("block", "blocks"):
        return "block"
    for noun in ("st", "ch", "picot"):
        if c.take_if(noun):
            return noun
    return None


def take_counts(tokens: list[Token]) -> tuple[list[Token], list[Count]]:
    """The tokens of a round without its stated counts, and those counts. Only the last statement is kept."""
    found: list[Count] = []
    out: list[Token] = []
    after = 0  # the first token that is not in `out` yet
    for i, close in sorted(Cursor(tokens).pairs.items()):  # brackets that hold counts and end an instruction
        if (
            i < after
            or not i + 1 < close <= i + LONGEST
            or not _ends_something(tokens, i, close)
            or tells_of_rows(tokens, i, close)
            or not (counts := read_counts(tokens, i + 1, close))
        ):
            continue
        found = counts
        out += tokens[after:i]
        if out and out[-1].is_("-", "—", "=", ":"):
            out.pop()
        emphasis = (
            bool(out)
            and out[-1].is_("**", "*")
            and close + 1 < len(tokens)
            and tokens[close + 1].value == out[-1].value
        )
        if emphasis:
            out.pop()
        out.append(Token("mark", ".", tokens[i].start, tokens[close].end))
        after = close + 1 + emphasis
        while after < len(tokens) and tokens[after].is_("st"):
            after += 1
    out += tokens[after:]
    if not found and (tail := _unbracketed(out)) is not None:
        start, stop, found = tail
        out[start:stop] = []
    return out, found


def _only_closes(tokens: list[Token], i: int) -> bool:
    """Whether nothing is worked from token i on: `, turn.`, `; join`."""
    return i + 4 >= len(tokens) and all(t.is_(",", ";", ".", "turn", "join", "work", "and") for t in tokens[i:])


def _ends_something(tokens: list[Token], i: int, close: int) -> bool:
    """Whether the bracket i..close stands where a count does: behind an instruction and before none that needs it."""
    if i == 0:
        return False
    before, after = tokens[i - 1], tokens[close + 1] if close + 1 < len(tokens) else None
    inner = tokens[i + 1 : close]
    if after is not None and (
        after.is_(*_AFTER_A_REPEAT) and not (after.is_("*") and before.is_("*")) or after.kind == "number"
    ):
        return False
    last = after is None or after.is_(".")
    if before.kind == "number" and not last:
        return False
    if len(inner) == 1 and inner[0].kind == "number":
        return True
    if all(t.kind == "number" or t.is_(",", "st", "total", "in", "all", "/") for t in inner):
        return before.kind != "number" or last
    # a bracket with stitches in it, "(2 dc, 1 ch)", is a count only when nothing is left to do after it
    return last or after.is_("**", "*") or _only_closes(tokens, close + 1)


def _unbracketed(tokens: list[Token]) -> tuple[int, int, list[Count]] | None:
    """(first token, token behind, counts) of a count without brackets at the end: `- 18 sc`, `= 18`, `: 25 stitches.
    Turn.`
    """
    end = len(tokens)
    while end and tokens[end - 1].is_(".", ",", ";", "turn", "join", "fo"):
        end -= 1
    depth = 0
    for i in range(end - 1, max(end - 60, 0), -1):
        if tokens[i].is_(")", "]", "}"):
            depth += 1
        elif tokens[i].is_("(", "[", "{"):
            depth -= 1
        if depth:
            continue
        if tokens[i].is_("=", "—", "-", ":", ">", "/") and i + 1 < end and (counts := read_counts(tokens, i + 1, end)):
            start = i
            while start and tokens[start - 1].is_("=", "-", "—", ">"):
                start -= 1
            return start, end, counts
        if (
            tokens[i].is_(".", ";", ",", "turn", "join", "around", "across", ")", "]")
            and i + 1 < end
            and tokens[i + 1].kind == "number"
        ):
            nouns = tokens[i + 2 : end]
            in_all = len(nouns) == 2 and nouns[0].is_("in") and nouns[1].is_("all")
            said = not tells_of_rows(tokens, i, end) and (
                in_all
                or any(t.is_("st", "total", "altogether") for t in nouns)
                and not any(
                    t.is_("next", "in") and not (j + 1 < len(nouns) and nouns[j + 1].is_("all"))
                    for j, t in enumerate(nouns)
                )
            )
            if (
                (said or tokens[i].is_("."))
                and (counts := read_counts(tokens, i + 1, end))
                and (said or counts[0].kind or i + 2 == end)
            ):
                return i + 1, end, counts
    return None


def read_said(tokens: list[Token]) -> list[Count]:
    """What a sentence of its own says: `You now have twelve stitches.`, `There will be 18 loops`, `You have thus formed
    8 rays`."""
    c = Cursor(tokens)
    if not c.take_if("you", "there"):
        return []
    c.take_any("will", "should", "now", "have", "be", "are", "thus", "formed", "made", "a", "total", "of", "then")
    number = c.take_kind("number")
    if not number:
        return []
    noun = c.peek()
    c.take()
    if noun.is_("st") and (c.done or c.is_(".", "in", "on", "now", ",")):
        return [Count(number.value, None, number.span)]
    if noun.is_("ray", "rays"):
        return [Count(number.value, "ray", number.span)]
    return [Count(number.value, "loop", number.span)] if noun.is_(*LOOPS) else []


def read_total(c: Cursor, text: str) -> list[Count] | None:
    """`making 12 loops in all`, `in all 9 spaces`, `making 26 doubles`: a total said among the instructions."""
    if not (_may_be_counted(c) if c.peek().kind == "number" else c.is_in(TOTAL_FIRST)):
        return None
    at = c.at
    c.take_if("and", "which")
    until = c.take_if("until")
    before = bool(c.take_all("in", "all"))
    making = (
        c.is_("work", "makes", "gives")
        and text[c.peek().start : c.peek().end].lower() in ("making", "makes", "giving", "gives")
        and bool(c.take())
    )
    if not making and c.is_("work") and c.peek(1).kind == "number" and c.peek(2).value in LOOPS:
        making = bool(c.take())  # "make 138 squares"
    words = c.at
    c.take_any("you", "will", "have", "a", "total", "of")
    number = c.take_kind("number")
    if not number or (until and c.at - words < 3):
        c.at = at
        return None
    if until and c.take_if("st"):  # "until you have 18 stitches"
        return [Count(number.value, None, c.span_from(at))]
    stitch = c.take_kind("stitch")
    loop = not stitch and (c.take_in(LOOPS) or c.take_kind("space"))
    if not stitch and not loop:
        c.at = at
        return None
    c.take_if("sp")
    c.take_all("in", "the", "whole") if c.peek(3).is_("circumference", "around", "rnd", "row") else None
    after = c.take_all("in", "all") or c.take_all("altogether|circumference") or c.take_all("around|rnd|row")
    around = not before and (c.peek().kind in ("space", "stitch") or c.is_("same", "next", "the", "each"))
    if around or not (before or after) and not (making and (c.done or c.is_(".", ";", ","))):
        c.at = at
        return None
    return [Count(number.value, str(stitch.value) if stitch else "loop", c.span_from(at))]


def _may_be_counted(c: Cursor) -> bool:
    """Whether what stands behind a number and its noun makes it a total: `12 loops in all`, `8 sps around`."""
    behind = c.peek(2)
    return behind.value in _BEHIND_A_TOTAL or behind.value == "in" and c.peek(3).is_("all", "the")
