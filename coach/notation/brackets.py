"""Brackets among the instructions of a round: what is wrong with one, and what it is where the words around it tell."""

from __future__ import annotations

from coach.notation.building import Problem
from coach.notation.cursor import Cursor
from coach.notation.extents import AROUND, read_extent
from coach.notation.lexer import Token
from coach.notation.model import Node, Repeat, Stitch
from coach.notation.repeats import read_times

_ALIKE = ("()", "[]", "{}")


def unlike(opening: Token, closing: Token) -> list[Problem]:
    """The fault of a bracket that one of another kind closes; none where they are alike."""
    if f"{opening.value}{closing.value}" in _ALIKE:
        return []
    message = f'"{opening.value}" is closed by "{closing.value}".'
    return [Problem("bracket", opening.span, message, "Use the same kind of bracket.")]


def not_closed(opening: Token) -> Problem:
    """The fault of a bracket that nothing closes."""
    message = f'The bracket "{opening.value}" is not closed.'
    return Problem("bracket", opening.span, message, "Add the closing bracket where the repeated part ends.")


def closes_nothing(closing: Token) -> Problem:
    """The fault of a closing bracket that none was opened for."""
    message = f'The bracket "{closing.value}" closes nothing.'
    hint = "Take it away, or add the bracket that opens the repeated part."
    return Problem("bracket", closing.span, message, hint)


def too_many(opening: Token) -> Problem:
    """The fault of a bracket inside too many others."""
    return Problem("bracket", opening.span, "Too many brackets inside one another.", "Write it with fewer brackets.")


def is_repeated(c: Cursor, close: int) -> bool:
    """Whether the bracket that ends at token `close` is worked so many times, or around."""
    behind = c.within(close + 1, c.stop)
    behind.take_any(",", "rep")
    return bool(read_times(behind) or read_extent(behind))


def says_how(before: Node, body: tuple[Node, ...]) -> bool:
    """Whether a bracket says how the stitches before it are made: `12 sc (inc in each)`."""
    counted = (
        isinstance(before, Repeat)
        and before.times.kind == "exact"
        and len(before.body) == 1
        and isinstance(before.body[0], Stitch)
    )
    return counted and len(body) == 1 and isinstance(body[0], Repeat) and body[0].times == AROUND
