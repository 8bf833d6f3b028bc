"""What an ear needs to know of a language."""

from __future__ import annotations

from dataclasses import dataclass

NUMBER = "<number>"  # stands for any of `Grammar.numbers` in a phrase
COUNT = "<count>"  # stands for any of `Grammar.counts`


@dataclass(frozen=True, slots=True)
class Grammar:
    """All that can be said now: phrases in lower case, in which `<number>` stands for any of the numbers in words
    (those of rounds), and `<count>` for any of the counts (of stitches). sounds: any sound said on its own is wanted
    besides, as an example of a word to be learned."""

    phrases: tuple[str, ...]
    numbers: tuple[str, ...] = ()
    counts: tuple[str, ...] = ()
    sounds: bool = False

    def slots(self) -> dict[str, tuple[str, ...]]:
        """What stands in a phrase for several words, and these."""
        return {NUMBER: self.numbers, COUNT: self.counts}

    def spoken(self) -> tuple[str, ...]:
        """Every phrase with every number put in."""
        found: dict[str, None] = {}
        for phrase in self.phrases:
            slot = next((slot for slot in (NUMBER, COUNT) if slot in phrase), None)
            if slot:
                found.update(dict.fromkeys(phrase.replace(slot, n) for n in self.slots()[slot]))
            else:
                found[phrase] = None
        return tuple(found)
