"""Rounds that point at other rounds: `Rep Row 2`, `Repeat rows 2 and 3 three times`, `Work even for 6 rows`."""

from __future__ import annotations

import re
from dataclasses import dataclass

from coach.notation.model import Amount
from coach.notation.words import NUMBER_WORDS, ORDINAL_WORDS

_N = r"(?:\d{1,6}(?:st|nd|rd|th)?|" + "|".join([*ORDINAL_WORDS, *list(NUMBER_WORDS)[1:21]]) + ")"
_ROWS = rf"(?:(?:rounds?|rnds?\.?|rds?\.?|rows?|r)\s*(?P<after>{_N}(?:\s*(?:-|—|to|through|,|and|&|,\s*and)\s*{_N})*)|(?:the\s+)?(?P<before>{_N}(?:\s*(?:-|—|to|,|and|&|,\s*and)\s*{_N})*)\s+(?:rounds?|rnds?|rows?))"
_REFERENCE = re.compile(
    rf"\s*(?:work\s+)?(?:rep(?:eat)?s?\.?|same as|as(?: for)?|like|work as(?: for)?|(?:work\s+)?(?:the )?same as)\s+(?:from\s+)?(?:the\s+)?(?:last\s+)?{_ROWS}(?P<rest>.*)", re.IGNORECASE | re.DOTALL)
_LAST = re.compile(
    r"\s*(?:rep(?:eat)?s?|same as|as|work as)\.?\s+(?:the\s+)?(?:last|previous|prev)\s*(?P<n>\d+|one|two|three|four|six)?\s*(?:rounds?|rnds?|rows?|r)\b\.?(?P<rest>.*)", re.IGNORECASE | re.DOTALL)
_EVEN = re.compile(
    r"\s*(?:work|continue)\s+(?:even|straight|in patt(?:ern)?|as established|in (?:the )?(?:established )?pattern)\b(?P<rest>.*)", re.IGNORECASE | re.DOTALL)
_TIMES = re.compile(
    rf"\b(?:(?P<more>another|further|an additional)\s+)?(?P<n>\d+(?:\s*\([\d,\s]+\))?|once|twice|thrice|{'|'.join(list(NUMBER_WORDS)[1:21])})\s*(?P<more2>more)?\s*(?:times?|x\b|(?:more )?(?P<rows>rounds?|rnds?|rows?))?(?:\s+(?P<more3>more))?",
    re.IGNORECASE)
_UNTIL = re.compile(r"\b(until|till|for)\b.*?\b(measures?|cm|inch(es)?|long|desired|length|fits|reach(es)?|mm)\b", re.IGNORECASE | re.DOTALL)


@dataclass(frozen=True, slots=True)
class Reference:
    """numbers: the rounds pointed at (empty: the last ones, `last` of them); times: how often they are worked as a set,
    None where the label says it; rows: how many rounds in all, where the text counts rounds; until: a measure that ends it;
    even: work each stitch as it comes; rest: words behind it."""

    numbers: tuple[int, ...] = ()
    last: int = 0
    times: Amount | None = None
    rows: Amount | None = None
    until: str | None = None
    even: bool = False
    rest: str = ""


def read_reference(text: str) -> Reference | None:
    """The reference that an instruction is; None when it is an instruction of its own."""
    if m := _REFERENCE.match(text):
        spoken = m["after"] or m["before"]
        numbers = _numbers(spoken)
        return _with_times(Reference(numbers=numbers, rest=m["rest"]))
    if m := _LAST.match(text):
        n = m["n"]
        return _with_times(Reference(last=1 if not n else int(n) if n.isdigit() else NUMBER_WORDS[n.lower()], rest=m["rest"]))
    if m := _EVEN.match(text):
        return _with_times(Reference(last=1, even=True, rest=m["rest"]))
    return None


def _with_times(reference: Reference) -> Reference:
    rest = reference.rest
    until = _UNTIL.search(rest)
    if until:
        return Reference(reference.numbers, reference.last, None, None, " ".join(rest[until.start():].split()).rstrip("."), reference.even, rest)
    m = _TIMES.search(re.sub(r"^\s*\(\d+\)", "", rest))
    if not m or not (m["rows"] or re.search(r"times?|once|twice|thrice|x\b|more", m.group(), re.IGNORECASE)) and not m["more"]:
        return reference
    word = m["n"].lower()
    adverbs = {"once": 1, "twice": 2, "thrice": 3}
    if "(" in word:
        amount: Amount = tuple(int(n) for n in re.findall(r"\d+", word))
    else:
        amount = adverbs.get(word) or (int(word) if word.isdigit() else NUMBER_WORDS[word])
    if m["rows"]:
        return Reference(reference.numbers, reference.last, None, amount, None, reference.even, rest)
    return Reference(reference.numbers, reference.last, amount, None, None, reference.even, rest)


def _numbers(text: str) -> tuple[int, ...]:
    found: list[int] = []
    join = ","
    for m in re.finditer(rf"({_N})|(-|—|\bto\b|through)|(and|&|,)", text, re.IGNORECASE):
        if m[1]:
            word = m[1].lower()
            n = ORDINAL_WORDS.get(word) or NUMBER_WORDS.get(word) or int(re.sub(r"\D", "", word))
            if join == "-" and found and found[-1] < n <= found[-1] + 10_000:
                found.extend(range(found[-1] + 1, n + 1))
            else:
                found.append(n)
        else:
            join = "-" if m[2] else ","
    return tuple(found)
