"""How alike two pronunciations are: an edit distance in which phonemes that are easily taken for each other cost less.

Phonemes are those of the CMU Pronouncing Dictionary (ARPAbet without stress). The groups follow manner and place of
articulation; the costs are round numbers, chosen by reason and never fitted.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence

VOWELS = frozenset("AA AE AH AO AW AY EH ER EY IH IY OW OY UH UW".split())
NEAR = tuple(
    frozenset(group.split())
    for group in (
        "P B",
        "T D",
        "K G",
        "CH JH SH ZH",
        "F V TH DH",
        "S Z",
        "M N NG",
        "L R W ER",
        "Y IY IH",
        "AA AO AH AW OW",
        "AE EH AH AY",
        "UW UH OW W",
        "EY EH IH IY AY",
    )
)
NEAR_COST = 0.4  # two of one group
VOWEL_COST = 0.8  # any two vowels
CONSONANT_COST = 1.0  # any two consonants; also a phoneme too many or too few
KIND_COST = 1.2  # a vowel for a consonant


def difference(a: str, b: str) -> float:
    """What it costs to take phoneme a for phoneme b."""
    if a == b:
        return 0.0
    if any(a in group and b in group for group in NEAR):
        return NEAR_COST
    if (a in VOWELS) != (b in VOWELS):
        return KIND_COST
    return VOWEL_COST if a in VOWELS else CONSONANT_COST


def distance(heard: Sequence[str], wanted: Sequence[str]) -> float:
    """The least cost of turning one row of phonemes into the other (Levenshtein's distance, weighted)."""
    row = [float(i) for i in range(len(wanted) + 1)]
    for number, a in enumerate(heard, 1):
        above, row = row, [float(number)]
        for at, b in enumerate(wanted):
            row.append(min(above[at] + difference(a, b), above[at + 1] + 1.0, row[at] + 1.0))
    return row[-1]


def likeness(heard: Sequence[str], wanted: Iterable[Sequence[str]]) -> float:
    """1 = the same as one of the pronunciations wanted, 0 = nothing in common with any of them."""
    best = 0.0
    for pronunciation in wanted:
        longest = max(len(heard), len(pronunciation))
        if longest:
            best = max(best, 1.0 - distance(heard, pronunciation) / longest)
    return best
