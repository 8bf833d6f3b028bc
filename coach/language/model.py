"""What an ear needs to know of a language."""

from __future__ import annotations

from dataclasses import dataclass

NUMBER = "<number>"  # stands for any of `Grammar.numbers` in a phrase


@dataclass(frozen=True, slots=True)
class Grammar:
    """All that can be said now: phrases in lower case, in which `<number>` stands for any of the numbers in words."""

    phrases: tuple[str, ...]
    numbers: tuple[str, ...] = ()

    def spoken(self) -> tuple[str, ...]:
        """Every phrase with every number put in."""
        found: dict[str, None] = {}
        for phrase in self.phrases:
            if NUMBER in phrase:
                found.update(dict.fromkeys(phrase.replace(NUMBER, n) for n in self.numbers))
            else:
                found[phrase] = None
        return tuple(found)
