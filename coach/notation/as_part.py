"""Rounds that are worked as those of another part: `Rnds 1-9: same as leg 1`, `Repeat rounds 1-9 of leg 1`."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import replace

from coach.notation.model import Round, Span

_OF_A_PART = re.compile(
    r"\W*+(?:(?:work|repeat|rep|make|crochet)\s++)?(?:the\s++)?(?:"
    r"(?:(?:exactly\s++)?(?:the\s++)?same\s++)?(?:as|like)\s++(?:(?:for|in|on)\s++)?"
    r"(?:(?:rounds?|rnds?|rows?)\s++\d{1,3}(?:\s?(?:-|to)\s?\d{1,3})?\s++(?:of|for)\s++)?"
    r"|(?:rounds?|rnds?|rows?)\s++(?P<first>\d{1,3})(?:\s?(?:-|to|and)\s?(?P<last>\d{1,3}))?\s++"
    r"(?:of|as for|as in|from)\s++)(?:the\s++)?"
    r"(?P<name>[a-z][\w ]{1,30}?)\s*+(?:[(\[]\d{1,4}[^()]{0,12}[)\]]\s*+)?\.?\s*+",
    re.IGNORECASE,
)
Made = Mapping[str, tuple[Round, ...]]  # rounds of the parts before, by the name in small letters


def as_part(text: str, made: Made, numbers: tuple[int, ...] | None, span: Span) -> tuple[Round, ...]:
    """The rounds of another part that a sentence asks for, with these numbers (None: those it names); none where it
    asks for no such thing, or where that part lacks one of them."""
    m = _OF_A_PART.fullmatch(text)
    model = made.get(m["name"].strip().lower()) if m else None
    if model is None:
        return ()
    if numbers is None:
        if not m["first"]:
            return ()
        first, last = int(m["first"]), int(m["last"] or m["first"])
        numbers = tuple(range(first, min(last, first + len(model)) + 1))
    by_number = {round.number: round for round in model}
    if not all(number in by_number for number in numbers):
        return ()
    return tuple(replace(by_number[number], span=span, notes=()) for number in numbers)
