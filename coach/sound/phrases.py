"""What an ear may hear: complete phrases of a grammar, and nothing half said."""

from __future__ import annotations

from coach.language.model import Grammar


class Phrases:
    """The phrases of a grammar with every number put in.

    A recogniser's hypothesis may be the beginning of a phrase ("go to"); and a phrase may be the beginning of another
    ("undo", "undo that"), so that whoever has heard it must wait whether more comes.
    """

    def __init__(self, grammar: Grammar) -> None:
        self.grammar = grammar
        self._spoken = frozenset(grammar.spoken())
        self._beginnings = frozenset(
            " ".join(words[:n]) for phrase in self._spoken for words in [phrase.split()] for n in range(1, len(words))
        )

    def __contains__(self, text: str) -> bool:
        return text in self._spoken

    def __iter__(self):
        return iter(sorted(self._spoken))

    def is_over(self, text: str) -> bool:
        """Whether this is a complete phrase that can't go on."""
        return text in self._spoken and text not in self._beginnings


def words(grammar: Grammar) -> tuple[str, ...]:
    """Every word of a grammar once, in order."""
    found: dict[str, None] = {}
    for phrase in (*grammar.phrases, *grammar.numbers, *grammar.counts):
        found.update(dict.fromkeys(word for word in phrase.split() if word not in grammar.slots()))
    return tuple(found)


def without(grammar: Grammar, unknown: set[str]) -> Grammar:
    """The grammar without the phrases and numbers that have a word of these."""

    def known(phrase: str) -> bool:
        return unknown.isdisjoint(phrase.split())

    slots = {slot: tuple(filter(known, words)) for slot, words in grammar.slots().items()}
    empty = [slot for slot, words in slots.items() if not words]
    phrases = (p for p in grammar.phrases if known(p) and not any(slot in p for slot in empty))
    return Grammar(tuple(phrases), *slots.values())
