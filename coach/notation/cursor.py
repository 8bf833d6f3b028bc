"""A cursor over tokens: look, take, come back."""

from __future__ import annotations

from coach.notation.lexer import Token
from coach.notation.model import Span

END = Token("end", "", 0, 0)


class Cursor:
    """Reads tokens in order. Every `take...` either takes what it names or leaves the cursor where it was."""

    def __init__(self, tokens: list[Token], at: int = 0, stop: int | None = None):
        self.tokens = tokens
        self.at = at
        self.stop = len(tokens) if stop is None else stop

    def peek(self, ahead: int = 0) -> Token:
        i = self.at + ahead
        return self.tokens[i] if i < self.stop else END

    def take(self) -> Token:
        token = self.peek()
        self.at += token is not END
        return token

    @property
    def done(self) -> bool:
        return self.at >= self.stop

    def is_(self, *values: str) -> bool:
        return self.peek().is_(*values)

    def take_if(self, *values: str) -> Token | None:
        """Take one word or mark if it is one of these."""
        return self.take() if self.is_(*values) else None

    def take_any(self, *values: str) -> None:
        """Take as many of these words as come."""
        while self.is_(*values):
            self.at += 1

    def take_all(self, *sequence: str) -> bool:
        """Take exactly these words in this order; `a|b` stands for either, a trailing `?` for one that may be missing."""
        at = self.at
        for word in sequence:
            optional = word.endswith("?")
            if not self.take_if(*word.replace("?", "").split("|")) and not optional:
                self.at = at
                return False
        return True

    def take_kind(self, kind: str) -> Token | None:
        return self.take() if self.peek().kind == kind else None

    def span_from(self, at: int) -> Span:
        """The span of the tokens from index `at` to the cursor."""
        if at >= len(self.tokens):
            end = self.tokens[-1].end if self.tokens else 0
            return Span(end, end)
        return Span(self.tokens[at].start, self.tokens[max(at, self.at - 1)].end)

    def closing(self) -> int | None:
        """Index of the bracket that closes the one under the cursor; None when it is missing."""
        pairs = {"(": ")", "[": "]", "{": "}", "<": ">"}
        close, depth = pairs[self.peek().value], 0
        open_ = self.peek().value
        for i in range(self.at, self.stop):
            if self.tokens[i].is_(open_):
                depth += 1
            elif self.tokens[i].is_(close):
                depth -= 1
                if depth == 0:
                    return i
        return None
