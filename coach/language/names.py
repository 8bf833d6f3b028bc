"""What stitches are called, and a pattern's own words with their abbreviations spoken out."""

from __future__ import annotations

import re
from dataclasses import dataclass
from functools import cache

from coach.language.phrasebook import FALLBACK, Phrasebook, load
from coach.stitches.catalogue import Stitch as CatalogueStitch
from coach.stitches.catalogue import catalogue, directed
from coach.stitches.catalogue import stitch as stitch_of

_MEASURE = re.compile(r"(?<![\w.,/])(?P<number>\d+(?:[.,/]\d+)?)[ -]?$")
_TOGETHER = re.compile(r"(\w+?)(\d+)tog")


@dataclass(frozen=True, slots=True)
class Names:
    """Names of stitches in the words of a language, US or UK."""

    book: Phrasebook
    terms: str = "US"

    def name(self, stitch: str) -> str:
        """What a stitch is called while working."""
        if stitch in self.book.stitch:
            return self.book.stitch[stitch]
        entry = stitch_of(stitch) if not _TOGETHER.fullmatch(stitch) else catalogue().get(stitch)
        if entry:
            return entry.name(self.terms)
        several = _TOGETHER.fullmatch(stitch)
        if several and several[1] in catalogue():
            return self.book.in_words("together", stitch=self.name(several[1]), n=several[2])
        return stitch

    def how(self, entry: CatalogueStitch, hand: str = "right") -> tuple[str, ...]:
        """How a stitch is worked, step by step."""
        own = self.book.how.get(entry.id, ())
        return directed(own, hand) if len(own) == len(entry.how) else entry.steps(hand)

    # ---- the pattern's own words

    def written(self, text: str, terms: str) -> str:
        """A pattern's own words with its abbreviations spoken out. terms: those it is written in, US or UK.

        Where the maker hears the other terms, names in full are put into these too. In a language without words for it
        they stay English, as patterns are.
        """
        if not self.book.written:
            return Names(load(FALLBACK), terms).written(text, terms)
        words, ids = _abbreviations(self.book, terms, terms != self.terms)

        def out(match: re.Match[str]) -> str:
            word = match[0].lower()
            if word in self.book.unit:
                return self._unit(word, text[: match.start()], text[match.end() :]) or match[0]
            said = self.book.written[word] if word in self.book.written else self.name(ids[word])
            before = text[: match.start()].rstrip()
            begins = not before or before[-1] in ".!?:"
            said = capital(said) if begins and match[0][0].isupper() else said
            return f" {said}" if text[: match.start()][-1:].isdigit() else said  # "3sc"

        return " ".join(words.sub(out, text).split())

    def _unit(self, unit: str, before: str, after: str) -> str:
        """A unit after a number, "a 20 cm tail" not in the plural; "" where no number stands before it."""
        measure = _MEASURE.search(before)
        if measure is None:
            return ""
        several, one = self.book.unit[unit]
        words = self.book.before_noun
        article = re.search(rf"\b(?:{'|'.join(words.get('articles', ()))}) $", before[: measure.start()], re.IGNORECASE)
        noun = re.match(rf" (?:{'|'.join(words.get('nouns', ()))})\b", after, re.IGNORECASE)
        belongs = (article and re.match(r" [\w(]", after)) or noun
        said = one if belongs or measure["number"] == "1" else several
        return said if before[-1] in " -" else f" {said}"  # "20cm"


@cache
def _abbreviations(book: Phrasebook, terms: str, names: bool = False) -> tuple[re.Pattern[str], dict[str, str]]:
    """All abbreviations as one expression, and those of stitches with their ids. names: those in full too, where the
    other terms have another."""
    ids: dict[str, str] = {}
    for stitch in catalogue().stitch:
        if stitch.kind in ("technique", "start"):
            continue
        for word in stitch.uk_abbreviations if terms == "UK" else stitch.us_abbreviations:
            if len(word) > 1 and word.lower() != stitch.name(terms).lower():
                ids.setdefault(word.lower(), stitch.id)
        if names and stitch.us != stitch.uk:
            full = (stitch.uk, *stitch.uk_also) if terms == "UK" else (stitch.us, *stitch.us_also)
            for name in full:
                ids.setdefault(name.lower(), stitch.id)
                ids.setdefault(f"{name.lower()}s", stitch.id)
    longest_first = sorted({*ids, *book.written, *book.unit}, key=lambda w: (-len(w), w))
    return re.compile(
        rf"(?:\b|(?<=\d)(?!(?:st|nd|rd|th)\b))(?:{'|'.join(map(re.escape, longest_first))})\b", re.IGNORECASE
    ), ids


def capital(text: str) -> str:
    """With a capital letter at its start."""
    return text[:1].upper() + text[1:]
