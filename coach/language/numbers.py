"""Numbers as they are spoken, made from the words of a language."""

from __future__ import annotations

from pydantic import BaseModel, ConfigDict, Field

HIGHEST = 999
WITHOUT_HUNDREDS = 99


class Numbers(BaseModel):
    """The words that numbers are made of.

    units: 0 to 19; tens: 20 to 90; tens_alone: the same where nothing follows them (if that is otherwise); hundreds:
    100 to 900, each in all its forms (none: these numbers end at 99); after_tens, after_hundreds: what may stand
    between a ten (a hundred) and what follows it; oh: what a nought between digits is called, where digits are said one
    by one; ordinals: from the first on; twins: pairs below 100 that sound alike; alone_to: where these are numbers for
    counting, the highest that is never said in the other words.
    """

    model_config = ConfigDict(frozen=True, extra="forbid")

    units: tuple[str, ...] = Field(min_length=20, max_length=20)
    tens: tuple[str, ...] = Field(min_length=8, max_length=8)
    tens_alone: tuple[str, ...] = Field(default=(), max_length=8)
    hundreds: tuple[tuple[str, ...], ...] = Field(default=(), max_length=9)
    after_tens: tuple[str, ...] = (" ",)
    after_hundreds: tuple[str, ...] = (" ",)
    oh: str = ""
    ordinals: tuple[str, ...] = ()
    twins: tuple[tuple[int, int], ...] = ()
    alone_to: int = 0

    @property
    def highest(self) -> int:
        """The highest number that there are words for."""
        return HIGHEST if len(self.hundreds) == 9 else WITHOUT_HUNDREDS

    def mistaken_for(self, number: int) -> tuple[int, ...]:
        """The numbers that sound like this one, after the same hundreds."""
        hundreds, rest = divmod(number, 100)
        others = [b if rest == a else a for a, b in self.twins if rest in (a, b)]
        return tuple(hundreds * 100 + other for other in others)

    def spoken(self, number: int) -> tuple[str, ...]:
        """Every way to say a number from 0 to `highest`, the usual one first. Raises ValueError for others."""
        if not 0 <= number <= self.highest:
            raise ValueError(number)
        hundreds, rest = divmod(number, 100)
        small = self._below_hundred(rest)
        if not hundreds:
            return small
        whole = self.hundreds[hundreds - 1]
        if not rest:
            return whole
        found = [h + link + s for h in whole for link in self.after_hundreds for s in small]
        if self.oh:
            digit = self.units[hundreds]
            found += [f"{digit} {self.oh} {s}" if rest < 10 else f"{digit} {s}" for s in small]
        return tuple(found)

    def _below_hundred(self, number: int) -> tuple[str, ...]:
        if number < 20:
            return (self.units[number],)
        tens, unit = divmod(number, 10)
        if not unit:
            return ((self.tens_alone or self.tens)[tens - 2],)
        return tuple(self.tens[tens - 2] + link + self.units[unit] for link in self.after_tens)

    def table(self) -> dict[str, int]:
        """Every spoken form of every number, to the number."""
        return {form: n for n in range(self.highest + 1) for form in self.spoken(n)}
