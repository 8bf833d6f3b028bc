"""Which requests a recogniser can take for each other: how far apart their sounds are, from its own dictionary.

    APART   the least cost of turning one phrase's phonemes into the other's, in the weights of coach.sound.likeness

Two phrases of different requests that can be said in the same situation, and are nearer than APART, are a fault of the
phrasebook. 1.5 was chosen by reason: a phoneme too many, too few or another costs 0.4 to 1.2, so a pair must differ by
more than one. (It found "count slower" beside "count slowly", 1.4, and "a slow pace" beside "a slower pace", 1.0.)
Nearest of what is left are 2.0. How often phrases are in fact mixed up is in the matrix of
tests/bench/bench_hearing.py.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass
from itertools import combinations

from coach.guide.requests import SITUATIONS, makes_sense
from coach.language.phrasebook import Heard, Phrasebook
from coach.sound.likeness import distance

APART = 1.5
NUMBERS_APART = 1.3  # "seventeen" and "seventy" are 1.0 apart; "thirteen" and "thirty" too

Pronounce = Callable[[str], "list[list[str]]"]


@dataclass(frozen=True, slots=True)
class Pair:
    """Two phrases that are easily mixed up. apart: what tells them apart, see APART; 0 is nothing."""

    one: str
    other: str
    apart: float


def confusable(book: Phrasebook, pronounce: Pronounce, apart: float = APART) -> list[Pair]:
    """The pairs of a phrasebook that are too near, the nearest first. pronounce: the ways of saying a phrase, each a
    row of phonemes; none for a phrase that the recogniser can't hear."""
    found: dict[tuple[str, str], Pair] = {}
    for one, other in _together(book):
        for a in one.say:
            for b in other.say:
                if (a, b) not in found and (pair := Pair(a, b, _between(a, b, pronounce))).apart < apart:
                    found[a, b] = pair
    return sorted(found.values(), key=lambda pair: (pair.apart, pair.one, pair.other))


def mixed_numbers(
    book: Phrasebook, pronounce: Pronounce, highest: int, apart: float = NUMBERS_APART
) -> list[tuple[int, int]]:
    """Pairs of numbers up to a highest one that are nearer than that."""
    said = {n: pronounce(book.number.spoken(n)[0]) for n in range(1, highest + 1)}
    return [(a, b) for a, b in combinations(said, 2) if _nearest(said[a], said[b]) < apart]


def _together(book: Phrasebook) -> Iterator[tuple[Heard, Heard]]:
    """Different requests that can be said in the same situation."""
    for one, other in combinations(book.request, 2):
        asked_alike = one.name == other.name and one.value == other.value
        if not asked_alike and any(makes_sense(one.name, s) and makes_sense(other.name, s) for s in SITUATIONS):
            yield one, other


def _between(a: str, b: str, pronounce: Pronounce) -> float:
    return _nearest(_with_slots(a, pronounce), _with_slots(b, pronounce))


def _nearest(ones: Iterable[list[str]], others: Iterable[list[str]]) -> float:
    return min((distance(one, other) for one in ones for other in others), default=float("inf"))


def _with_slots(phrase: str, pronounce: Pronounce) -> list[list[str]]:
    """A number (a stitch, a part) is one sound, the same wherever it stands: what stands there may be the same."""
    ways: list[list[str]] = [[]]
    for word in phrase.split():
        said = [["#"]] if word.startswith("<") else pronounce(word)
        ways = [way + more for way in ways for more in said]
    return ways
