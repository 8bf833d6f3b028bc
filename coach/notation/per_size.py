"""Numbers of a round that are given for some of the sizes, or for each of several rounds."""

from __future__ import annotations

import re
from dataclasses import replace

from coach.notation.building import Problem
from coach.notation.labels import Label
from coach.notation.model import Amount, Count, Span

SIZES_ONLY = re.compile(r"\s*+(?:for\s++)?sizes?\s++(.{1,40}?)\s++only\s*+[:,.-]?\s*+", re.IGNORECASE)
ALL_SIZES = re.compile(r"\s*+(?:for\s++)?(?:all|both)\s++sizes\s*+[:,.-]?\s*+", re.IGNORECASE)
SIZES_FIRST = re.compile(  # of what follows in the same line
    r"\s*+(?:for\s++)?(?:(?:all|both)\s++sizes|sizes?\s++(?P<only>[^:.]{1,40}?)\s++only)\s*+:\s*+(?=\S)", re.IGNORECASE
)
SIZE_NAMES = re.compile(r"\s*+[A-Za-z0-9][\w-]{0,12}\s*+[(\[][\w ,-]{1,120}[)\]]\s*+:\s*+(?=\S)")


def reaches(label: Label, number: int) -> tuple[int, ...]:
    """The sizes that work the round of this number, where the label ends sooner for some (`Rnds 5-7 (8, 9)`); () where
    all do."""
    found = tuple([i for i, end in enumerate(label.ends) if end >= number])
    return () if len(found) == len(label.ends) else found


def too_few(label: Label, sizes: tuple[str, ...]) -> Problem | None:
    """`Next 4 (5) rnds` where there are three sizes."""
    if not label.ends or len(sizes) < 2 or len(label.ends) == len(sizes):
        return None
    message = f"Here are {len(label.ends)} numbers, but there are {len(sizes)} sizes."
    return Problem("sizes", Span(label.start, label.end), message, "Give one number for each size.")


def for_all(amount: Amount, only: tuple[int, ...], sizes: tuple[str, ...]) -> Amount:
    """A number for each size, where numbers are given for the named sizes only."""
    if isinstance(amount, int) or not only or len(amount) != len(only) or len(amount) == len(sizes):
        return amount
    named = dict(zip(only, amount, strict=True))
    return tuple(named.get(i, amount[0]) for i in range(len(sizes)))


def of_each(stated: tuple[Count, ...], i: int, rounds: int, sizes: tuple[str, ...]) -> tuple[Count, ...]:
    """`Rows 4-6: ... (11, 9, 7)`: the i-th number for the i-th round, where there are no sizes to give one for."""
    if sizes or rounds < 2:
        return stated
    return tuple(
        replace(c, amount=c.amount[i]) if isinstance(c.amount, tuple) and len(c.amount) == rounds else c for c in stated
    )


def which(words: str, sizes: tuple[str, ...]) -> tuple[int, ...]:
    """The indexes of the sizes that words name."""
    words = re.sub(r"\s*/\s*", "/", words.lower())
    forms = [rf"(?<![\w/]){re.escape(name.lower())}(?![\w/])" for name in sizes]  # "L/XL", "2 years"
    named = [(m.start(), i) for i, form in enumerate(forms) if (m := re.search(form, words))]
    return tuple(i for _, i in sorted(named))
