"""A cursor over tokens: look, take, come back."""

from __future__ import annotations

from coach.notation.lexer import Token
from coach.notation.model import Span

END = Token("end", "", 0, 0)
_WORDS = ("word", "mark")
_OPENING = {"(": ")", "[": "]", "{": "}", "<": ">"}
_BRACKETS = frozenset("()[]{}<>")


class Cursor:
    """Reads tokens in order. Every `take...` either takes what it names or leaves the cursor where it was. text: what
    the tokens are of, where words are to be kept as written.

    Reading a round asks hundreds of times for one word or another, so the questions are answered in one call each.
    """

    __slots__ = ("tokens", "at", "stop", "_pairs", "text")

    def __init__(
        self,
        tokens: list[Token],
        at: int = 0,
        stop: int | None = None,
        pairs: dict[int, int] | None = None,
        text: str = "",
    ):
        self.text = text
        self.tokens = tokens
        self.at = at
        self.stop = len(tokens) if stop is None else stop
        self._pairs = pairs

    def within(self, at: int, stop: int) -> Cursor:
        """A cursor over a part of the same tokens."""
        return Cursor(self.tokens, at, stop, self.pairs, self.text)

    @property
    def pairs(self) -> dict[int, int]:
        """Index of the closing bracket for each opening one that has one; a bracket closed by another kind is closed
        there.
        """
        if self._pairs is None:
            self._pairs = _matched(self.tokens)
        return self._pairs

    def peek(self, ahead: int = 0) -> Token:
        i = self.at + ahead
        return self.tokens[i] if i < self.stop else END

    def take(self) -> Token:
        if self.at >= self.stop:
            return END
        self.at += 1
        return self.tokens[self.at - 1]

    @property
    def done(self) -> bool:
        return self.at >= self.stop

    def is_(self, *values: str) -> bool:
        if self.at >= self.stop:
            return False
        token = self.tokens[self.at]
        return token.value in values and token.kind in _WORDS

    def take_if(self, *values: str) -> Token | None:
        """Take one word or mark if it is one of these."""
        if self.at >= self.stop:
            return None
        token = self.tokens[self.at]
        if token.value not in values or token.kind not in _WORDS:
            return None
        self.at += 1
        return token

    def take_any(self, *values: str) -> None:
        """Take as many of these words as come."""
        tokens = self.tokens
        while self.at < self.stop and (token := tokens[self.at]).value in values and token.kind in _WORDS:
            self.at += 1

    def is_in(self, group: frozenset[str]) -> bool:
        """`is_` for a long list of words."""
        if self.at >= self.stop:
            return False
        token = self.tokens[self.at]
        return token.value in group and token.kind in _WORDS

    def take_in(self, group: frozenset[str]) -> Token | None:
        """`take_if` for a long list of words."""
        if self.at >= self.stop:
            return None
        token = self.tokens[self.at]
        if token.value not in group or token.kind not in _WORDS:
            return None
        self.at += 1
        return token

    def pass_over(self, group: frozenset[str]) -> None:
        """`take_any` for a long list of words."""
        tokens = self.tokens
        while self.at < self.stop and (token := tokens[self.at]).value in group and token.kind in _WORDS:
            self.at += 1

    def take_all(self, *sequence: str) -> bool:
        """Take exactly these words in this order; `a|b` stands for either, a trailing `?` for one that may be
        missing.
        """
        at, stop, tokens = self.at, self.stop, self.tokens
        first, steps = _SEQUENCES[sequence]
        if first is not None and (at >= stop or tokens[at].value not in first):  # as mostly
            return False
        for words, optional in steps:
            if at < stop and (token := tokens[at]).value in words and token.kind in _WORDS:
                at += 1
            elif not optional:
                return False
        self.at = at
        return True

    def take_kind(self, kind: str) -> Token | None:
        if self.at >= self.stop or self.tokens[self.at].kind != kind:
            return None
        self.at += 1
        return self.tokens[self.at - 1]

    def take_first(self) -> Token | None:
        """Take `first`, `1st` or `beginning`."""
        first = self.at < self.stop and self.tokens[self.at].kind == "ordinal" and self.tokens[self.at].value == 1
        return self.take() if first else self.take_if("first")

    def written(self, at: int) -> str:
        """The tokens from index `at` to the cursor as they are written, where the text is known."""
        if not self.text or at >= self.at:
            return " ".join(str(t.value) for t in self.tokens[at : self.at])
        return " ".join(self.text[self.tokens[at].start : self.tokens[self.at - 1].end].split())

    def span_from(self, at: int) -> Span:
        """The span of the tokens from index `at` to the cursor."""
        if at >= len(self.tokens):
            end = self.tokens[-1].end if self.tokens else 0
            return Span(end, end)
        return Span(self.tokens[at].start, self.tokens[max(at, self.at - 1)].end)

    def closing(self) -> int | None:
        """Index of the bracket that closes the one under the cursor; None when it is missing."""
        close = self.pairs.get(self.at)
        return close if close is not None and close < self.stop else None


class _Sequences(dict[tuple[str, ...], tuple[frozenset[str] | None, tuple[tuple[tuple[str, ...], bool], ...]]]):
    """What `take_all` makes of each sequence that the readers name: (words that it begins with, None where all may be
    missing; its places: words, whether they may be missing)."""

    def __missing__(self, sequence: tuple[str, ...]):
        steps = tuple((tuple(word.replace("?", "").split("|")), word.endswith("?")) for word in sequence)
        needed = next((i for i, (_, optional) in enumerate(steps) if not optional), None)
        first = None if needed is None else frozenset(word for words, _ in steps[: needed + 1] for word in words)
        self[sequence] = first, steps
        return first, steps


_SEQUENCES = _Sequences()


def _matched(tokens: list[Token]) -> dict[int, int]:
    open_: list[int] = []
    pairs: dict[int, int] = {}
    for i in [i for i, token in enumerate(tokens) if token.value in _BRACKETS and token.kind == "mark"]:
        value = tokens[i].value
        if value in _OPENING:
            open_.append(i)
        elif value != ">" or (open_ and tokens[open_[-1]].value == "<"):
            while open_ and tokens[open_[-1]].value == "<" and value != ">":  # "<" alone is no bracket
                open_.pop()
            for k in range(len(open_) - 1, max(len(open_) - 4, -1), -1):
                if _OPENING[tokens[open_[k]].value] == value:  # what was opened in between is not closed
                    pairs[open_[k]] = i
                    del open_[k:]
                    break
            else:
                if open_:  # "[sc, inc)": closed by another kind
                    pairs[open_.pop()] = i
    return pairs
