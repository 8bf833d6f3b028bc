"""Which readers are tried at a word: a clause may be one of many phrases, and each of them begins with few words."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Generic, TypeVar

from coach.notation.lexer import Token

Reader = TypeVar("Reader")


class Candidates(Generic[Reader]):
    """Readers in the order in which they are tried, each with the words that what it reads can begin with: a string of
    them, or a set."""

    def __init__(self, *readers: tuple[str | Iterable[str], Reader]):
        firsts = [(frozenset(words.split() if isinstance(words, str) else words), read) for words, read in readers]
        self.every = tuple(read for _, read in firsts)
        self._by_word = {
            word: tuple(read for words, read in firsts if word in words)
            for word in frozenset().union(*(words for words, _ in firsts))
        }

    def at(self, token: Token) -> tuple[Reader, ...]:
        """Those that can read something that begins with this token; all of them where it is no word."""
        return self._by_word.get(token.value, ()) if token.kind == "word" else self.every
