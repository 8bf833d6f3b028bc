"""Sentences between instructions: which are prose, and of what kind."""

from __future__ import annotations

import re

from coach.notation.model import Note, Span

_KINDS = (
    ("fasten_off", r"\b(fasten(ing)? off|break off|cut (the )?(yarn|thread)|finish off)\b"),
    ("stuff", r"\b(stuff|stuffing|fill)\b"),
    ("eyes", r"\b(safety eyes?|eyes?)\b"),
    ("caution", r"\b(caution|warning|safety|careful|choke|choking|under three|small parts|never leave)\b"),
    ("sew", r"\b(sew|whip ?stitch|attach|stitch (it|them) (on|to))\b"),
    ("embroider", r"\b(embroider|satin stitch|straight stitch)\b"),
    ("colour", r"\b(change to|switch to|join (yarn|colou?r))\b"),
)
_STARTERS = re.compile(
    r"^\W*+(stuff|begin stuffing|start stuffing|continue stuffing|keep stuffing|add|fill|note|notes|tip|hint|caution|"
    r"warning|remember|insert (the )?(safety )?eyes?|attach|sew|embroider|weave|"
    r"pull|tighten|thread|close (the|up|off)|gather|you|your|it|if|this|these|they|the|when|from (here|now)|for (a|"
    r"the|an)|check|count|press|block|wash|photo|picture|fig|figure|see|"
    r"page|put|use|using a|now you|keep (a|the|going)|turn (the|it) (work|piece)? ?(inside|right)|leave (a|the|an)|"
    r"hide|trim|snip|knot|secure|darn|tuck|"
    r"that|there|here|so|we|i|be|to (make|finish|close)|"
    r"mark|place|move|count|flatten|fold|pin|shape|both|repeat (for|this part|these)|make (a|the|an|one|two) (second|"
    r"tail|other)|measure|hold|don't|do not|wrong|right)\b",
    re.IGNORECASE,
)
_HARD = re.compile(
    r"^\W*+(stuff\w*|tips?|hint|notes?|caution|warning|photo|picture|fig(ure)?|page|see|sew|embroider|weave|thread|"
    r"you|your|press|block|remember|attach|check|count (the|your|on|it|again)|"
    r"fasten off|insert|pull|gather|flatten|fold|pin)\b",
    re.IGNORECASE,
)
_SENTENCE_END = re.compile(  # its last character and what comes between it and the next
    r"[.!?)\]\n](?:(?<=[.!?])[\s)]+(?=[\"'(\[*]*[A-Z0-9*\[(])(?!X ?\d|\d{1,3} ?(?:x|times)\b)"  # not before "X6"
    r"|(?<=\d[)\]])\s++(?=[A-Z][a-z])|(?<=\n)\n+)"
)


def kind_of(text: str) -> str:
    """The kind of note a sentence is (see `Note`)."""
    for kind, words in _KINDS:
        if re.search(words, text, re.IGNORECASE):
            return kind
    return "note"


def starts_as_prose(sentence: str) -> bool:
    """Whether a sentence opens as prose does; an instruction may still follow ("Turn the work, ch 1")."""
    return bool(_STARTERS.match(sentence))


def is_surely_prose(sentence: str) -> bool:
    """Whether a sentence is prose whatever stitches it names ("Stuff before the last 3 sc")."""
    return bool(_HARD.match(sentence))


_HANDS = re.compile(r"\W*+(?:stuff|fill|press|fold|flatten|pin|insert|attach|pull|gather|turn inside)\b", re.IGNORECASE)


def is_for_the_hands(sentence: str) -> bool:
    """Whether a sentence opens with an order to the hands, behind which work may follow (`Press flat, 5 sc ...`)."""
    return bool(_HANDS.match(sentence))


_ELSEWHERE = re.compile(
    r"\b(stuff\w*|filling|markers?|tail|tails|needle|eyes?|you|your|neatly?|tight\w*|loose\w*|mm|hook size|thread|"
    r"twist\w*|care|careful\w*|seam|"
    r"cent(?:re|er) the work|inside out|right side out|wrong side|right side|measure)\b",
    re.IGNORECASE,
)
_MEASURE = re.compile(r"\d{0,6}[.½¼¾⅓⅔]?\d{0,4}\s?(?:mm|cm|inch(?:es)?)\b", re.IGNORECASE)
_WORKED = re.compile(r"\b(sc|hdc|dc|tr|dtr|htr|ch|inc|dec|sk|sts?|stitch(es)?|sl)\b|\d", re.IGNORECASE)


def speaks_of_other_things(clause: str) -> bool:
    """Whether a clause among instructions is about the stuffing, a marker, the yarn's tail ..., and names no stitch."""
    clause = _MEASURE.sub("mm", clause)
    return bool(_ELSEWHERE.search(clause)) and not _WORKED.search(clause)


def note(text: str, start: int) -> Note | None:
    """A note of this text (None when nothing is in it)."""
    clean = " ".join(text.replace("**", " ").split()).strip(" -*•")
    if not re.search(r"\w", clean):
        return None
    return Note(clean, kind_of(clean), Span(start, start + len(text)))


_RING = re.compile(
    r"\W*+(?:(?:make|start|begin)\s(?:with\s)?)?(?:an?\s)?(?:mr|(?:magic|adjustable) (?:ring|circle|loop))\.", re.I
)


def sentences(text: str, start: int, clauses: bool = False) -> list[tuple[str, int]]:
    """(sentence, offset) of each; a full stop inside brackets or of an abbreviation ends none. clauses: a semicolon
    ends one, too."""
    found, at, seen, depth = [], 0, 0, 0
    for m in _SENTENCE_END.finditer(text):
        end = m.start() + (m[0][0] != "\n")
        between = text[seen:end]
        depth += between.count("(") + between.count("[") + between.count("{")
        depth -= between.count(")") + between.count("]") + between.count("}")
        seen = end
        if depth > 0 or text[m.end() : m.end() + 1].isdigit() and _RING.fullmatch(text, at, end):  # "Magic ring. 6 sc."
            continue
        found.append((text[at:end], start + at))
        at = m.end()
        seen, depth = at, 0
    if text[at:].strip():
        found.append((text[at:], start + at))
    return [part for sentence in found for part in _clauses(*sentence)] if clauses else found


def _clauses(sentence: str, start: int) -> list[tuple[str, int]]:
    """The clauses of a sentence, each with its semicolon."""
    cuts = [0, *(m.end() for m in re.finditer(r";\s++", sentence)), len(sentence)]
    return [(sentence[a:b], start + a) for a, b in zip(cuts, cuts[1:], strict=False) if sentence[a:b].strip()]
